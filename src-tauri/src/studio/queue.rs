//! The queue of what is to be kept: what can't be kept yet waits in memory, in its order.

use super::{Door, SecondPlace, Written};
use crate::drawing;
use crate::error::{Error, ErrorInfo};
use crate::snapshot::NewSnapshot;
use crate::snapshot::wire::KeptInfo;
use crate::state::{Shell, lock};
use crate::strip::NewStrip;
use crate::strip::wire::KeptStripInfo;
use crate::worker::{blocking, caught};
use serde::Serialize;
use std::collections::VecDeque;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::Ordering;
use std::thread;
use std::time::Duration;
use tauri::{AppHandle, State};
use tonefast_core::{KeptPaint, PaintAbout, Studio, StudioError, StudioFault};

/// On its way into the studio.
pub(crate) enum ToKeep {
    Snapshot(NewSnapshot),
    Strip(NewStrip),
    /// A paint's uuid, and what is said of it.
    About(String, PaintAbout),
}

/// What can't be kept yet.
pub(crate) struct Waiting {
    pub(super) what: ToKeep,
    /// Its record in the second place, where it has one.
    pub(super) stored: Option<PathBuf>,
}

/// What became of what was to be kept.
#[derive(Debug, Default, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct KeptAnswer {
    /// The last snapshot that was kept.
    kept: Option<KeptInfo>,
    /// The last strip that was kept.
    strip: Option<KeptStripInfo>,
    /// How many wait in memory.
    waiting: usize,
    /// What they are.
    kinds: WaitingKinds,
    /// What they wait for.
    trouble: Option<ErrorInfo>,
    /// Why something will never be kept.
    lost: Option<ErrorInfo>,
}

/// How many things of each kind wait.
#[derive(Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct WaitingKinds {
    snapshots: usize,
    strips: usize,
    /// What is said of paints.
    paints: usize,
}

/// Something is made ready to be kept, as long as this lives.
struct Coming(Arc<Door>);

/// How long until it is looked again whether something is still made ready.
const LOOKS_AGAIN: Duration = Duration::from_millis(20);

impl Door {
    /// Keeps what waits, and then what is new; what can't be kept yet waits on.
    pub(crate) fn keep(&self, new: Option<ToKeep>) -> KeptAnswer {
        self.keep_by(new, ToKeep::keep)
    }

    /// As [`Self::keep`], by any function. What panics is given up and told, so that the rest is kept.
    fn keep_by(
        &self,
        new: Option<ToKeep>,
        keep: impl Fn(&ToKeep, &mut Studio, &mut KeptAnswer) -> Result<(), Error>,
    ) -> KeptAnswer {
        let mut waiting = lock(&self.waiting);
        self.take_up(&mut waiting);
        if let Some(new) = new {
            // Of what is said of one paint, the last word counts.
            waiting.retain(|it| {
                let stays = !new.replaces(&it.what);
                if !stays {
                    self.second(it, SecondPlace::remove);
                }
                stays
            });
            waiting.push_back(Waiting { what: new, stored: None });
        }
        let mut answer = KeptAnswer::default();
        while let Some(next) = waiting.front() {
            match caught(|| self.with(|studio| keep(&next.what, studio, &mut answer))) {
                Ok(()) => {
                    let Some(done) = waiting.pop_front() else { break };
                    self.second(&done, SecondPlace::remove);
                    if let (ToKeep::Snapshot(done), Some(KeptInfo { session, .. })) =
                        (&done.what, &answer.kept)
                    {
                        waiting.iter_mut().for_each(|it| it.what.follow(done, &session.uuid));
                    }
                }
                Err(error) if waits(&error) => {
                    answer.trouble = Some(error.info());
                    break;
                }
                Err(error) => {
                    answer.lost = Some(error.info());
                    if let Some(lost) = waiting.pop_front() {
                        self.second(&lost, SecondPlace::give_up);
                    }
                }
            }
        }
        answer.waiting = waiting.len();
        answer.kinds = WaitingKinds::of(&waiting);
        answer
    }

    /// Keeps what waits, and what is made ready at this moment.
    pub(super) fn keep_all(&self) -> KeptAnswer {
        while self.coming.load(Ordering::SeqCst) > 0 {
            thread::sleep(LOOKS_AGAIN);
        }
        self.keep(None)
    }

    /// The program ends: tries once more to keep what waits, and writes what still does into the second place.
    pub(crate) fn leave(&self) -> Written {
        if !lock(&self.waiting).is_empty() {
            self.keep(None);
        }
        let mut waiting = lock(&self.waiting);
        match self.places() {
            Ok(places) => SecondPlace::at(&places.waiting).write(&mut waiting),
            Err(_) => Written { lost: waiting.len(), ..Written::default() },
        }
    }

    /// Takes up what was written into the second place, once: before all else, since it waited longer. Only whoever has
    /// the studio does; another instance leaves it there.
    fn take_up(&self, waiting: &mut VecDeque<Waiting>) {
        if self.taken_up.load(Ordering::Acquire) || self.with(|_| Ok(())).is_err() {
            return;
        }
        self.taken_up.store(true, Ordering::Release);
        let Ok(places) = self.places() else { return };
        match SecondPlace::at(&places.waiting).take_up() {
            Ok(taken) => taken.into_iter().rev().for_each(|it| waiting.push_front(it)),
            Err(error) => tracing::error!(kind = %error.kind(), "the second place can't be read"),
        }
    }

    /// Does something about the record that something has in the second place.
    fn second(&self, item: &Waiting, deed: impl Fn(&SecondPlace, &Path)) {
        if let (Some(record), Ok(places)) = (&item.stored, self.places()) {
            deed(&SecondPlace::at(&places.waiting), record);
        }
    }

    /// The paints that are kept, with what is said of them and still waits: it was typed, and stands on the screen.
    pub(crate) fn paints(&self) -> Result<Vec<KeptPaint>, Error> {
        let mut paints = self.with(|studio| Ok(studio.paints()?))?;
        for waiting in lock(&self.waiting).iter() {
            if let ToKeep::About(uuid, about) = &waiting.what
                && let Some(paint) = paints.iter_mut().find(|paint| paint.uuid == *uuid)
            {
                paint.about = about.clone();
            }
        }
        Ok(paints)
    }
}

impl KeptAnswer {
    /// Whether nothing waits, and nothing was given up.
    pub(super) fn is_all(&self) -> bool {
        self.waiting == 0 && self.lost.is_none()
    }
}

impl WaitingKinds {
    fn of(waiting: &VecDeque<Waiting>) -> Self {
        let mut kinds = Self::default();
        for item in waiting {
            match item.what {
                ToKeep::Snapshot(_) => kinds.snapshots += 1,
                ToKeep::Strip(_) => kinds.strips += 1,
                ToKeep::About(..) => kinds.paints += 1,
            }
        }
        kinds
    }
}

impl Coming {
    fn new(door: &Arc<Door>) -> Self {
        door.coming.fetch_add(1, Ordering::SeqCst);
        Self(Arc::clone(door))
    }
}

impl Drop for Coming {
    fn drop(&mut self) {
        self.0.coming.fetch_sub(1, Ordering::SeqCst);
    }
}

impl ToKeep {
    fn keep(&self, studio: &mut Studio, answer: &mut KeptAnswer) -> Result<(), Error> {
        match self {
            Self::Snapshot(new) => answer.kept = Some(new.keep(studio)?),
            Self::Strip(new) => answer.strip = Some(new.keep(studio)?),
            Self::About(paint, about) => studio.describe_paint(studio.paint_of_uuid(paint)?, about)?,
        }
        Ok(())
    }

    fn follow(&mut self, done: &NewSnapshot, session: &str) {
        if let Self::Snapshot(new) = self {
            new.follow(done, session);
        }
    }

    fn replaces(&self, other: &Self) -> bool {
        matches!((self, other), (Self::About(paint, _), Self::About(other, _)) if paint == other)
    }
}

/// Keeps something, away from the window's thread; what can't be kept yet waits in memory, and that is told.
pub(crate) async fn keep(
    shell: &Shell,
    app: &AppHandle,
    new: impl FnOnce() -> Result<Option<ToKeep>, Error> + Send + 'static,
) -> Result<KeptAnswer, Error> {
    let door = Arc::clone(&shell.studio);
    let coming = Coming::new(&door);
    let answer = blocking(move || {
        let answer = door.keep(new()?);
        drop(coming);
        Ok(answer)
    })
    .await?;
    drawing::begin(app);
    Ok(answer)
}

/// Tries again to keep what waits.
#[tauri::command]
pub(crate) async fn keep_waiting(shell: State<'_, Shell>, app: AppHandle) -> Result<KeptAnswer, Error> {
    keep(&shell, &app, || Ok(None)).await
}

/// Whether it may be kept later: the disk may have room again, the other window may be closed, a studio that can't be
/// opened may be set aside. A record that makes no sense never will.
fn waits(error: &Error) -> bool {
    match error {
        Error::Studio(StudioError::Odd(_)) => false,
        Error::Studio(error) => {
            error.fault() != StudioFault::Elsewhere || matches!(error, StudioError::InUse)
        }
        _ => false,
    }
}

#[cfg(test)]
mod tests;
