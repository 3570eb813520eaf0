//! A file's bytes as the JPEG decoder reads them, watched: the decoder offers no other way to see how far it has come,
//! and none to call it off.

use crate::photo::Progress;
use std::cell::Cell;
use zune_jpeg::zune_core::bytestream::{ZByteIoError, ZByteReaderTrait, ZSeekFrom};

/// Bytes between two looks at the progress: some milliseconds of decoding.
const BYTES_BETWEEN: usize = 1 << 16;

/// Reads from memory; at every checkpoint it notes how far it has come, and pretends to be at the end once called off.
pub(super) struct WatchedInput<'a> {
    bytes: &'a [u8],
    /// The part up to the next checkpoint: its bound is the only one that the fast path checks.
    window: &'a [u8],
    position: usize,
    progress: &'a Progress,
    /// Progress at the first and at the last byte.
    span: (f32, f32),
    /// Told the position in the end: the decoder, which owns this, does not give it back.
    reached: &'a Cell<usize>,
}

impl Drop for WatchedInput<'_> {
    fn drop(&mut self) {
        self.reached.set(self.position);
    }
}

impl<'a> WatchedInput<'a> {
    /// `span` is the progress that the first and the last byte stand for; `reached` is told the position in the end.
    pub(super) fn new(
        bytes: &'a [u8],
        progress: &'a Progress,
        span: (f32, f32),
        reached: &'a Cell<usize>,
    ) -> Self {
        Self { bytes, window: &[], position: 0, progress, span, reached }
    }

    /// Moves the checkpoint on, and what is left of the bytes away where decoding was called off.
    #[cold]
    fn checkpoint(&mut self) {
        let (from, to) = self.span;
        let done = self.position.min(self.bytes.len()) as f32 / self.bytes.len().max(1) as f32;
        if self.progress.reach(from + (to - from) * done).is_err() {
            self.bytes = &[];
        }
        let end = self.position.saturating_add(BYTES_BETWEEN).min(self.bytes.len());
        self.window = &self.bytes[..end];
    }

    fn rest(&self) -> &'a [u8] {
        self.bytes.get(self.position..).unwrap_or_default()
    }
}

impl ZByteReaderTrait for WatchedInput<'_> {
    #[inline(always)]
    fn read_byte_no_error(&mut self) -> u8 {
        let position = self.position;
        self.position += 1;
        if let Some(&byte) = self.window.get(position) {
            return byte;
        }
        if position < self.bytes.len() {
            self.checkpoint();
        }
        self.window.get(position).copied().unwrap_or(0)
    }

    fn read_exact_bytes(&mut self, buf: &mut [u8]) -> Result<(), ZByteIoError> {
        self.peek_exact_bytes(buf)?;
        self.position += buf.len();
        Ok(())
    }

    fn read_bytes(&mut self, buf: &mut [u8]) -> Result<usize, ZByteIoError> {
        let count = self.peek_bytes(buf)?;
        self.position += count;
        Ok(count)
    }

    fn peek_bytes(&mut self, buf: &mut [u8]) -> Result<usize, ZByteIoError> {
        let rest = self.rest();
        let count = rest.len().min(buf.len());
        buf[..count].copy_from_slice(&rest[..count]);
        Ok(count)
    }

    fn peek_exact_bytes(&mut self, buf: &mut [u8]) -> Result<(), ZByteIoError> {
        let rest = self.rest();
        let wanted = rest.get(..buf.len()).ok_or(ZByteIoError::NotEnoughBytes(rest.len(), buf.len()))?;
        buf.copy_from_slice(wanted);
        Ok(())
    }

    fn z_seek(&mut self, from: ZSeekFrom) -> Result<u64, ZByteIoError> {
        let (base, offset) = match from {
            ZSeekFrom::Start(position) => (0, i64::try_from(position).unwrap_or(i64::MAX)),
            ZSeekFrom::End(offset) => (self.bytes.len(), offset),
            ZSeekFrom::Current(offset) => (self.position, offset),
        };
        let position = base as u64;
        let position =
            position.checked_add_signed(offset).ok_or(ZByteIoError::SeekError("before the start"))?;
        self.position = usize::try_from(position).map_err(|_| ZByteIoError::SeekError("beyond memory"))?;
        Ok(position)
    }

    #[inline(always)]
    fn is_eof(&mut self) -> Result<bool, ZByteIoError> {
        Ok(self.position >= self.bytes.len())
    }

    fn z_position(&mut self) -> Result<u64, ZByteIoError> {
        Ok(self.position as u64)
    }

    fn read_remaining(&mut self, sink: &mut Vec<u8>) -> Result<usize, ZByteIoError> {
        let rest = self.rest();
        sink.extend_from_slice(rest);
        self.position += rest.len();
        Ok(rest.len())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_byte_comes_in_order_and_zeros_after_them() {
        let bytes: Vec<u8> = (0..200_000_u32).map(|i| ((i * 31) >> 3) as u8).collect();
        let progress = Progress::new();
        let reached = Cell::new(0);
        let mut input = WatchedInput::new(&bytes, &progress, (0.0, 0.5), &reached);
        for &byte in &bytes {
            assert_eq!(input.read_byte_no_error(), byte);
        }
        assert!(input.is_eof().unwrap());
        assert_eq!(input.read_byte_no_error(), 0);
        // Three checkpoints of 65,536 bytes lie before the end.
        assert!((progress.fraction() - 0.5 * 196_608.0 / 200_000.0).abs() < 2e-3);
        input.z_seek(ZSeekFrom::Start(5)).unwrap();
        let mut buf = [0; 3];
        input.read_exact_bytes(&mut buf).unwrap();
        assert_eq!(buf, bytes[5..8]);
        assert!(input.z_seek(ZSeekFrom::Current(-9)).is_err());
        assert_eq!(input.z_seek(ZSeekFrom::End(-1)).unwrap(), 199_999);
        assert!(input.read_exact_bytes(&mut buf).is_err());
        drop(input);
        assert_eq!(reached.get(), 199_999);
    }

    #[test]
    fn once_called_off_it_is_at_its_end() {
        let bytes = vec![7; 200_000];
        let progress = Progress::new();
        let reached = Cell::new(0);
        let mut input = WatchedInput::new(&bytes, &progress, (0.0, 1.0), &reached);
        assert_eq!(input.read_byte_no_error(), 7);
        progress.cancel();
        let left = (0..200_000).filter(|_| input.read_byte_no_error() == 7).count();
        assert_eq!(left, BYTES_BETWEEN);
        assert!(input.is_eof().unwrap());
    }
}
