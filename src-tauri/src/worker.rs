//! Work away from the window's thread. A panic in it is an error like any other, and the next job runs.

use crate::error::Error;
use std::panic::{AssertUnwindSafe, catch_unwind};

/// Runs work that takes long on a thread of its own.
pub(crate) async fn blocking<T: Send + 'static>(
    work: impl FnOnce() -> Result<T, Error> + Send + 'static,
) -> Result<T, Error> {
    tauri::async_runtime::spawn_blocking(move || caught(work)).await?
}

/// Runs a job on this thread. What a job that panicked leaves half done is safe to use: locks are taken all the same,
/// and a transaction that is dropped is rolled back.
pub(crate) fn caught<T>(job: impl FnOnce() -> Result<T, Error>) -> Result<T, Error> {
    catch_unwind(AssertUnwindSafe(job)).unwrap_or(Err(Error::Program))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_panic_is_an_error() {
        let failed = caught(|| -> Result<(), Error> { panic!("as a test") });
        assert!(matches!(failed, Err(Error::Program)));
        assert!(matches!(caught(|| Ok(3)), Ok(3)));
    }
}
