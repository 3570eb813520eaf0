//! What the shell holds while it runs: open photos, offers of files, work under way, the camera's last frames.

use crate::error::Error;
use crate::live::Live;
use crate::studio::Door;
use crate::thumbnails::Line;
use std::borrow::Cow;
use std::collections::HashMap;
use std::path::PathBuf;
use std::sync::atomic::{AtomicU32, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use tonefast_core::{Photo, Progress, SoftMap, Squint};

/// Everything that the shell holds.
#[derive(Default)]
pub(crate) struct Shell {
    next: AtomicU32,
    photos: Mutex<HashMap<u32, Arc<OpenPhoto>>>,
    offers: Mutex<HashMap<u32, Offer>>,
    at_start: Mutex<Option<(u32, String)>>,
    jobs: Mutex<HashMap<u32, Arc<Progress>>>,
    /// What is known of the camera's last frames.
    pub(crate) live: Arc<Mutex<Live>>,
    /// Small pictures that wait to be made.
    pub(crate) thumbnails: Arc<Line>,
    /// All that is kept.
    pub(crate) studio: Arc<Door>,
}

/// A picture's bytes as they came, to be kept.
pub(crate) type Original = Arc<Cow<'static, [u8]>>;

/// What the page may open once, without knowing where it lies.
#[derive(Debug, PartialEq, Eq)]
pub(crate) enum Offer {
    /// A file that was picked, dropped, named or copied.
    File(PathBuf),
    /// An encoded picture, and what to call it.
    Bytes { name: String, bytes: Vec<u8> },
}

/// A photo and what was once computed from it.
pub(crate) struct OpenPhoto {
    pub(crate) name: String,
    pub(crate) original: Original,
    /// Quarter turns to the right, by hand, from how the original stands.
    pub(crate) quarters: u8,
    pub(crate) photo: Arc<Photo>,
    /// The same as the camera saw it, before any light was told.
    pub(crate) as_seen: Arc<Photo>,
    /// The number that stays while its light is told anew.
    pub(crate) subject: u32,
    soft: Mutex<HashMap<Squint, Arc<SoftMap>>>,
}

/// Work under way; it is forgotten when this is dropped.
pub(crate) struct Job<'a> {
    shell: &'a Shell,
    id: u32,
    pub(crate) progress: Arc<Progress>,
}

impl Shell {
    /// Keeps a photo; what it is known by.
    pub(crate) fn keep(&self, name: String, original: Original, photo: Photo) -> u32 {
        let photo = Arc::new(photo);
        self.keep_restored(OpenPhoto::restored(name, original, 0, Arc::clone(&photo), photo))
    }

    /// Keeps `open` turned; what it is known by.
    pub(crate) fn keep_turned(&self, open: &OpenPhoto, quarters: u8, photo: Photo) -> u32 {
        let (photo, quarters) = (Arc::new(photo), (open.quarters + quarters) % 4);
        let (name, original) = (open.name.clone(), Arc::clone(&open.original));
        self.keep_restored(OpenPhoto::restored(name, original, quarters, Arc::clone(&photo), photo))
    }

    /// Keeps `open` in another light; what it is known by.
    pub(crate) fn keep_lit(&self, open: &OpenPhoto, photo: Arc<Photo>) -> u32 {
        let id = self.fresh();
        let OpenPhoto { name, original, quarters, photo: _, as_seen, subject, soft: _ } = open;
        let (name, original, as_seen) = (name.clone(), Arc::clone(original), Arc::clone(as_seen));
        let (quarters, subject, soft) = (*quarters, *subject, Mutex::default());
        self.insert(id, OpenPhoto { name, original, quarters, photo, as_seen, subject, soft });
        id
    }

    /// Keeps a photo as it was put together; what it is known by.
    pub(crate) fn keep_restored(&self, mut open: OpenPhoto) -> u32 {
        let id = self.fresh();
        open.subject = id;
        self.insert(id, open);
        id
    }

    fn insert(&self, id: u32, open: OpenPhoto) {
        lock(&self.photos).insert(id, Arc::new(open));
    }

    /// An open photo.
    pub(crate) fn photo(&self, id: u32) -> Result<Arc<OpenPhoto>, Error> {
        lock(&self.photos).get(&id).cloned().ok_or(Error::Gone)
    }

    /// Forgets a photo.
    pub(crate) fn close(&self, id: u32) {
        lock(&self.photos).remove(&id);
    }

    /// The page has begun anew and knows no photo: those of the page before are forgotten, and its work is called off.
    pub(crate) fn forget_page(&self) {
        lock(&self.photos).clear();
        lock(&self.jobs).values().for_each(|progress| progress.cancel());
    }

    /// Keeps what the page may open once, by the number that it gets.
    pub(crate) fn offer(&self, offer: Offer) -> u32 {
        let id = self.fresh();
        lock(&self.offers).insert(id, offer);
        id
    }

    /// As [`Self::offer`], for the page to ask for when it starts.
    pub(crate) fn offer_at_start(&self, path: PathBuf) {
        let name = crate::photo::name_of(&path);
        *lock(&self.at_start) = Some((self.offer(Offer::File(path)), name));
    }

    /// The offer that waited for the page, once.
    pub(crate) fn take_offer_at_start(&self) -> Option<(u32, String)> {
        lock(&self.at_start).take()
    }

    /// What is behind an offer, once.
    pub(crate) fn take_offer(&self, id: u32) -> Result<Offer, Error> {
        lock(&self.offers).remove(&id).ok_or(Error::Gone)
    }

    /// Notes work under way by the number that the page gave it.
    pub(crate) fn start(&self, id: u32) -> Job<'_> {
        let progress = Arc::<Progress>::default();
        lock(&self.jobs).insert(id, Arc::clone(&progress));
        Job { shell: self, id, progress }
    }

    /// The progress of work under way.
    pub(crate) fn progress(&self, job: u32) -> Option<Arc<Progress>> {
        lock(&self.jobs).get(&job).cloned()
    }

    fn fresh(&self) -> u32 {
        self.next.fetch_add(1, Ordering::Relaxed)
    }
}

impl OpenPhoto {
    /// A photo that was turned by `quarters`, in a light that was told and as the camera saw it; it has no number yet.
    pub(crate) fn restored(
        name: String,
        original: Original,
        quarters: u8,
        as_seen: Arc<Photo>,
        photo: Arc<Photo>,
    ) -> Self {
        Self { name, original, quarters, photo, as_seen, subject: 0, soft: Mutex::default() }
    }

    /// The softened picture, made once.
    pub(crate) fn soft(&self, squint: Squint) -> Arc<SoftMap> {
        if let Some(soft) = lock(&self.soft).get(&squint) {
            return Arc::clone(soft);
        }
        let soft = Arc::new(SoftMap::of(&self.photo, squint));
        Arc::clone(lock(&self.soft).entry(squint).or_insert(soft))
    }
}

impl Drop for Job<'_> {
    fn drop(&mut self) {
        lock(&self.shell.jobs).remove(&self.id);
    }
}

/// A thread that panicked while it held one of these maps left it whole: every change is one insertion or removal.
pub(crate) fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_offer_is_good_once() {
        let shell = Shell::default();
        let offer = shell.offer(Offer::File("/low-water.jpg".into()));
        assert_eq!(shell.take_offer(offer).ok(), Some(Offer::File("/low-water.jpg".into())));
        assert!(matches!(shell.take_offer(offer), Err(Error::Gone)));
    }

    #[test]
    fn a_page_that_begins_anew_holds_no_photo_and_no_work() {
        let shell = Shell::default();
        let photo = Photo::from_srgb((2, 2), vec![90; 12]);
        let id = shell.keep("demo".to_owned(), Arc::new(Cow::Borrowed(&[])), photo);
        let (job, offer) = (shell.start(7), shell.offer(Offer::File("/low-water.jpg".into())));
        assert!(shell.photo(id).is_ok());
        shell.forget_page();
        assert!(matches!(shell.photo(id), Err(Error::Gone)) && job.progress.is_cancelled());
        assert!(shell.take_offer(offer).is_ok(), "the page asks for it when it begins");
    }

    #[test]
    fn work_is_forgotten_when_it_ends() {
        let shell = Shell::default();
        let job = shell.start(7);
        assert!(shell.progress(7).is_some());
        drop(job);
        assert!(shell.progress(7).is_none());
    }
}
