//! A file's bytes as libjpeg reads them, watched: within a picture of many scans it offers no other way to see how far
//! it has come, and none to call it off.

use crate::photo::Progress;
use std::cell::Cell;
use std::io::{BufRead, Error, Read, Result};
use std::rc::Rc;

/// Bytes between two looks at the progress: some milliseconds of decoding.
const BYTES_BETWEEN: usize = 1 << 16;

/// Reads from memory; at every checkpoint it notes how far it has come, and fails once called off.
pub(super) struct WatchedInput<'a> {
    bytes: &'a [u8],
    position: usize,
    progress: &'a Progress,
    /// Progress at the last byte.
    to: f32,
    /// No stretch that is handed out reaches over this place; the first beyond it is told.
    stop: usize,
    asked: Rc<Asked>,
}

/// How far a decoder has asked for bytes.
#[derive(Default)]
pub(super) struct Asked {
    /// Beyond the stop.
    pub(super) past_stop: Cell<bool>,
    /// Beyond the last byte that there is.
    pub(super) past_end: Cell<bool>,
}

impl<'a> WatchedInput<'a> {
    /// `to` is the progress that the last byte stands for; `asked` is told once bytes from `stop` on are asked for, and
    /// once all are used up.
    pub(super) fn new(
        bytes: &'a [u8],
        progress: &'a Progress,
        to: f32,
        stop: usize,
        asked: Rc<Asked>,
    ) -> Self {
        Self { bytes, position: 0, progress, to, stop, asked }
    }
}

impl Read for WatchedInput<'_> {
    fn read(&mut self, buf: &mut [u8]) -> Result<usize> {
        let count = self.fill_buf()?.read(buf)?;
        self.consume(count);
        Ok(count)
    }
}

impl BufRead for WatchedInput<'_> {
    fn fill_buf(&mut self) -> Result<&[u8]> {
        let done = self.position as f32 / self.bytes.len().max(1) as f32;
        self.progress.reach(self.to * done).map_err(Error::other)?;
        let mut end = self.position.saturating_add(BYTES_BETWEEN).min(self.bytes.len());
        if self.position < self.stop {
            end = end.min(self.stop);
        } else {
            self.asked.past_stop.set(true);
        }
        if self.position >= self.bytes.len() {
            self.asked.past_end.set(true);
        }
        Ok(&self.bytes[self.position..end])
    }

    fn consume(&mut self, count: usize) {
        self.position = (self.position + count).min(self.bytes.len());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_byte_comes_in_order_and_the_stop_is_told() {
        let bytes: Vec<u8> = (0..200_000_u32).map(|i| ((i * 31) >> 3) as u8).collect();
        let (progress, asked) = (Progress::new(), Rc::new(Asked::default()));
        let mut input = WatchedInput::new(&bytes, &progress, 0.5, 150_000, Rc::clone(&asked));
        let mut came = vec![0; 150_000];
        input.read_exact(&mut came).unwrap();
        assert!(!asked.past_stop.get() && !asked.past_end.get());
        // Asked for beyond 131,072, the second checkpoint.
        assert!((progress.fraction() - 0.5 * 131_072.0 / 200_000.0).abs() < 2e-3);
        input.read_to_end(&mut came).unwrap();
        assert!(asked.past_stop.get() && asked.past_end.get());
        assert_eq!(came, bytes);
        assert!(input.fill_buf().unwrap().is_empty());
    }

    #[test]
    fn once_called_off_it_fails() {
        let bytes = vec![7; 200_000];
        let progress = Progress::new();
        let mut input = WatchedInput::new(&bytes, &progress, 1.0, 0, Rc::default());
        assert_eq!(input.fill_buf().unwrap().len(), BYTES_BETWEEN);
        progress.cancel();
        input.consume(BYTES_BETWEEN);
        assert!(input.fill_buf().is_err());
    }
}
