//! The line in which small pictures wait that are not there: each is a photo to be decoded, so that one is made at a time.
//! The last that was asked for comes first, and what was asked for long before is given up: it was scrolled past.

use crate::state::lock;
use crate::worker::caught;
use std::collections::VecDeque;
use std::sync::{Arc, Mutex};
use tonefast_core::{Photo, PhotoHash};

/// How many wait at most: what a large screen shows, and the rows that are loaded about it.
pub(crate) const MOST_WAITING: usize = 64;

/// The line.
#[derive(Default)]
pub(crate) struct Line {
    waiting: Mutex<Waiting>,
    /// The photo that was opened last, while anybody waits: snapshots beside each other are often of one.
    pub(crate) last: Mutex<Option<(PhotoHash, Photo)>>,
}

#[derive(Default)]
struct Waiting {
    asks: VecDeque<Ask>,
    is_served: bool,
}

/// Answers somebody who waits.
pub(crate) type Ask = Box<dyn FnOnce(Turn) + Send>;

/// What became of an ask.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Turn {
    /// It is its turn.
    Now,
    /// So many came after it that it is given up.
    GivenUp,
}

impl Line {
    /// Has an ask answered when it is its turn, away from this thread.
    pub(crate) fn join(self: &Arc<Self>, ask: Ask) {
        let (given_up, starts) = {
            let mut waiting = lock(&self.waiting);
            waiting.asks.push_back(ask);
            let given_up = if waiting.asks.len() > MOST_WAITING { waiting.asks.pop_front() } else { None };
            (given_up, !std::mem::replace(&mut waiting.is_served, true))
        };
        if let Some(given_up) = given_up {
            given_up(Turn::GivenUp);
        }
        if starts {
            let line = Arc::clone(self);
            drop(tauri::async_runtime::spawn_blocking(move || line.serve()));
        }
    }

    /// Answers all that wait. The photo is forgotten after that.
    fn serve(&self) {
        while let Some(ask) = self.next() {
            if let Err(error) = caught(|| {
                ask(Turn::Now);
                Ok(())
            }) {
                tracing::error!(error = crate::log::names(&error), "a small picture was not answered");
            }
        }
        drop(lock(&self.last).take());
    }

    fn next(&self) -> Option<Ask> {
        let mut waiting = lock(&self.waiting);
        let next = waiting.asks.pop_back();
        waiting.is_served = next.is_some();
        next
    }
}

#[cfg(test)]
mod tests;
