//! Commands that open, turn and close photos.

pub(crate) mod wire;

use crate::error::Error;
use crate::files;
use crate::state::{Job, Offer, Shell};
use crate::worker::blocking;
use percent_encoding::percent_decode_str;
use std::borrow::Cow;
use std::path::Path;
use std::sync::Arc;
use std::time::Duration;
use tauri::State;
use tauri::ipc::{InvokeBody, Request};
use tonefast_core::{OpenError, OpenOptions, Photo, Progress};
use wire::PhotoInfo;

/// How soon a call-off is answered.
const LOOK_EVERY: Duration = Duration::from_millis(20);

/// Opens what is behind an offer.
#[tauri::command]
pub(crate) async fn open_offer(offer: u32, job: u32, shell: State<'_, Shell>) -> Result<PhotoInfo, Error> {
    let job = shell.start(job);
    let offer = shell.take_offer(offer)?;
    let (name, bytes, photo) = work(job, move |progress| {
        let (name, bytes) = match offer {
            Offer::File(path) => (name_of(&path), files::read(&path)?),
            Offer::Bytes { name, bytes } => (name, bytes),
        };
        let photo = open(&bytes, progress)?;
        Ok((name, bytes, photo))
    })
    .await?;
    keep(&shell, name, Cow::Owned(bytes), photo)
}

/// Opens bytes that the page holds: a pasted picture, or a still of a phone's camera.
#[tauri::command]
pub(crate) async fn open_sent(request: Request<'_>, shell: State<'_, Shell>) -> Result<PhotoInfo, Error> {
    let InvokeBody::Raw(bytes) = request.body() else {
        return Err(Error::Caller("a picture must be sent as bytes".to_owned()));
    };
    let bytes = bytes.clone();
    let header = |name| request.headers().get(name).and_then(|value| value.to_str().ok()).unwrap_or_default();
    // The page's `encodeURIComponent`: header values are ASCII.
    let name = percent_decode_str(header("x-name")).decode_utf8_lossy().into_owned();
    let job = header("x-job").parse().map_err(|_| Error::Caller("the job has no number".to_owned()))?;
    let (bytes, photo) = work(shell.start(job), move |progress| {
        let photo = open(&bytes, progress)?;
        Ok((bytes, photo))
    })
    .await?;
    keep(&shell, name, Cow::Owned(bytes), photo)
}

/// Opens the demo's picture.
#[tauri::command]
pub(crate) async fn open_demo(job: u32, shell: State<'_, Shell>) -> Result<PhotoInfo, Error> {
    let photo = work(shell.start(job), |progress| open(tonefast_demo::SUBJECT_JPEG, progress)).await?;
    keep(&shell, "Low water".to_owned(), Cow::Borrowed(tonefast_demo::SUBJECT_JPEG), photo)
}

/// The part of a job that is done, 0 to 1; 1 once it has ended.
#[tauri::command]
pub(crate) fn progress_of(job: u32, shell: State<'_, Shell>) -> f32 {
    shell.progress(job).map_or(1.0, |progress| progress.fraction())
}

/// Calls a job off.
#[tauri::command]
pub(crate) fn cancel_open(job: u32, shell: State<'_, Shell>) {
    if let Some(progress) = shell.progress(job) {
        progress.cancel();
    }
}

/// Turns a photo by quarter turns to the right; the turned one is a new photo, as the camera saw it.
#[tauri::command]
pub(crate) async fn turn_photo(id: u32, quarters: u8, shell: State<'_, Shell>) -> Result<PhotoInfo, Error> {
    let open = shell.photo(id)?;
    let subject = Arc::clone(&open);
    let turned = blocking(move || Ok(subject.as_seen.turned(quarters))).await?;
    let id = shell.keep_turned(&open, quarters % 4, turned);
    Ok(PhotoInfo::new(id, &*shell.photo(id)?))
}

/// Forgets a photo.
#[tauri::command]
pub(crate) fn close_photo(id: u32, shell: State<'_, Shell>) {
    shell.close(id);
}

/// A file's name, for people to read.
pub(crate) fn name_of(path: &Path) -> String {
    path.file_name().map_or(Cow::Borrowed("picture"), |name| name.to_string_lossy()).into_owned()
}

/// Opens a picture's bytes.
pub(crate) fn open(bytes: &[u8], progress: &Progress) -> Result<Photo, Error> {
    Ok(Photo::open(bytes, &OpenOptions::default(), progress)?)
}

fn keep(shell: &Shell, name: String, original: Cow<'static, [u8]>, photo: Photo) -> Result<PhotoInfo, Error> {
    let id = shell.keep(name, Arc::new(original), photo);
    Ok(PhotoInfo::new(id, &*shell.photo(id)?))
}

/// Runs a job, and answers at once when it is called off: a decoder that can't stop goes on behind, unheeded.
pub(crate) async fn work<T: Send + 'static>(
    job: Job<'_>,
    work: impl FnOnce(&Progress) -> Result<T, Error> + Send + 'static,
) -> Result<T, Error> {
    let progress = Arc::clone(&job.progress);
    let called_off = async {
        while !job.progress.is_cancelled() {
            tokio::time::sleep(LOOK_EVERY).await;
        }
    };
    tokio::select! {
        done = blocking(move || work(&progress)) => done,
        () = called_off => Err(OpenError::Cancelled.into()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_called_off_job_answers_at_once_and_a_panic_is_an_error() {
        tauri::async_runtime::block_on(async {
            let shell = Shell::default();
            let job = shell.start(1);
            job.progress.cancel();
            let slow = work(job, |_| {
                std::thread::sleep(Duration::from_secs(2));
                Ok(())
            });
            let begun = std::time::Instant::now();
            assert!(matches!(slow.await, Err(Error::Open(OpenError::Cancelled))));
            assert!(begun.elapsed() < Duration::from_secs(1));
            let failed = work(shell.start(2), |_| -> Result<(), Error> { panic!("as a test") });
            assert!(matches!(failed.await, Err(Error::Program)));
        });
    }
}
