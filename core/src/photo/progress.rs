//! How far opening has come, and the way to call it off.

use super::OpenError;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};

/// Shared between the thread that opens a picture and the one that waits for it.
#[derive(Debug, Default)]
pub struct Progress {
    per_mille: AtomicU32,
    cancelled: AtomicBool,
}

impl Progress {
    /// Nothing done, not called off.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Calls it off; the worker stops at its next check.
    pub fn cancel(&self) {
        self.cancelled.store(true, Ordering::Relaxed);
    }

    /// Whether it was called off.
    #[must_use]
    pub fn is_cancelled(&self) -> bool {
        self.cancelled.load(Ordering::Relaxed)
    }

    /// The part done, 0 to 1.
    #[must_use]
    pub fn fraction(&self) -> f32 {
        self.per_mille.load(Ordering::Relaxed) as f32 / 1000.0
    }

    /// Notes that `fraction` (0 to 1) is done.
    ///
    /// # Errors
    /// [`OpenError::Cancelled`] once it was called off.
    pub fn reach(&self, fraction: f32) -> Result<(), OpenError> {
        self.per_mille.store((fraction * 1000.0) as u32, Ordering::Relaxed);
        if self.is_cancelled() { Err(OpenError::Cancelled) } else { Ok(()) }
    }
}
