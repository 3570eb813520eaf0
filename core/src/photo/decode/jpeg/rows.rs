//! A JPEG's rows as libjpeg decodes them, from the top down.

use super::FORMAT;
use crate::photo::decode::jpeg_input::{Asked, WatchedInput};
use crate::photo::stored::Rows;
use crate::photo::{Noticed, OpenError, Progress};
use mozjpeg::decompress::{DecompressBuilder, DecompressStarted};
use mozjpeg::{ColorSpace, Decompress};
use mozjpeg_sys::{jpeg_common_struct, jpeg_error_mgr};
use std::cell::Cell;
use std::ffi::c_int;
use std::io;
use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};
use std::ptr::null;
use std::rc::Rc;

/// What libjpeg reads from.
#[derive(Clone, Copy)]
pub(super) struct Input<'a> {
    pub(super) bytes: &'a [u8],
    pub(super) progress: &'a Progress,
    /// A sound picture's last row needs bytes from here on.
    pub(super) stop: usize,
}

/// A picture whose header was read.
pub(super) struct Header<'a> {
    input: Input<'a>,
    asked: Rc<Asked>,
    decoder: Decompress<WatchedInput<'a>>,
}

/// A picture whose rows are being read.
pub(super) struct JpegRows<'a> {
    input: Input<'a>,
    /// Set by the decoder's input.
    asked: Rc<Asked>,
    decoder: DecompressStarted<WatchedInput<'a>>,
    warned: bool,
    /// Samples of a row, and rows that were handed out.
    across: usize,
    done: u32,
    /// Rows that had come when the file ended before its picture.
    decoded: Option<u32>,
}

/// Rows that libjpeg is asked for at a time, so that it is known to within so many where a file ends: a row of blocks.
const ROWS_A_GO: usize = 8;

/// Progress once all bytes are read: most of the picture is then reduced and measured as well.
const READ: f32 = 0.9;

impl<'a> Header<'a> {
    /// Reads the header.
    pub(super) fn read(input: Input<'a>) -> Result<Self, OpenError> {
        let asked = Rc::new(Asked::default());
        let (decoder, _) =
            caught(|| begin(input, &asked, noting_errors())).ok_or_else(|| broken(input, None))?;
        Ok(Self { input, asked, decoder })
    }

    /// Columns and rows.
    pub(super) fn size(&self) -> (u32, u32) {
        // A header gives 16 bits to each.
        (self.decoder.width() as u32, self.decoder.height() as u32)
    }

    /// Channels, as coded.
    pub(super) fn channels(&self) -> usize {
        self.decoder.components().len()
    }

    /// Begins to decode to `space`. Where several scans hold the picture, all of them are read here.
    pub(super) fn start(self, space: ColorSpace) -> Result<JpegRows<'a>, OpenError> {
        let across = self.size().0 as usize * if space == ColorSpace::JCS_CMYK { 4 } else { 3 };
        let Self { input, asked, decoder } = self;
        let (decoder, warned) =
            caught(|| decoder.to_colorspace(space)).ok_or_else(|| broken(input, Some(space)))?;
        Ok(JpegRows { input, asked, decoder, warned, across, done: 0, decoded: None })
    }
}

impl Rows for JpegRows<'_> {
    fn next(&mut self, rows: &mut [u8]) -> Result<(), OpenError> {
        if self.input.progress.is_cancelled() {
            return Err(OpenError::Cancelled);
        }
        for some in rows.chunks_mut(ROWS_A_GO * self.across) {
            let (_, warned) = caught(|| self.decoder.read_scanlines_into(some).map(|_| ()))
                .ok_or_else(|| broken(self.input, Some(self.decoder.color_space())))?;
            if warned && self.asked.past_end.get() {
                // What libjpeg makes up for the rest comes from no byte of the file.
                self.decoded.get_or_insert(self.done);
            }
            self.warned |= warned;
            self.done += (some.len() / self.across) as u32;
        }
        Ok(())
    }

    fn noticed(&self) -> Option<Noticed> {
        (self.warned || !self.asked.past_stop.get()).then_some(Noticed::Incomplete)
    }

    fn decoded(&self) -> Option<u32> {
        self.decoded
    }
}

fn begin<'a>(
    input: Input<'a>,
    asked: &Rc<Asked>,
    builder: DecompressBuilder<'_>,
) -> io::Result<Decompress<WatchedInput<'a>>> {
    let Input { bytes, progress, stop } = input;
    builder.from_reader(WatchedInput::new(bytes, progress, READ, stop, Rc::clone(asked)))
}

thread_local! {
    /// Whether libjpeg has warned on this thread: it calls back with nothing of ours in hand, and what it counts itself
    /// lies behind a raw pointer. Set and asked within one call of libjpeg.
    static WARNED: Cell<bool> = const { Cell::new(false) };
}

/// What the call gives, and whether libjpeg warned of something; `None` where it could not go on.
fn caught<T>(call: impl FnOnce() -> io::Result<T>) -> Option<(T, bool)> {
    WARNED.set(false);
    match catch_unwind(AssertUnwindSafe(call)) {
        Ok(given) => Some((given.ok()?, WARNED.get())),
        Err(thrown) if thrown.is::<CannotGoOn>() => None,
        Err(thrown) => resume_unwind(thrown),
    }
}

/// Thrown through libjpeg, which has no other way to give up.
struct CannotGoOn;

/// An error manager of libjpeg that notes warnings.
fn noting_errors() -> DecompressBuilder<'static> {
    extern "C-unwind" fn cannot_go_on(_: &mut jpeg_common_struct) {
        // Unlike a panic, this leaves the hook out.
        resume_unwind(Box::new(CannotGoOn));
    }
    extern "C-unwind" fn message(_: &mut jpeg_common_struct, level: c_int) {
        // Below 0 are warnings, from 0 on what it is just doing.
        if level < 0 {
            WARNED.set(true);
        }
    }
    extern "C-unwind" fn silent(_: &mut jpeg_common_struct) {}
    DecompressBuilder::new().with_err(jpeg_error_mgr {
        error_exit: Some(cannot_go_on),
        emit_message: Some(message),
        output_message: Some(silent),
        format_message: None,
        reset_error_mgr: Some(silent),
        msg_code: 0,
        msg_parm: Default::default(),
        trace_level: 0,
        num_warnings: 0,
        jpeg_message_table: null(),
        last_jpeg_message: 0,
        addon_message_table: null(),
        first_addon_message: 0,
        last_addon_message: 0,
    })
}

/// Why libjpeg could not go on, in its words. It has them only for an error manager of mozjpeg's, which in turn keeps
/// warnings to itself: so what failed is done again.
fn broken(input: Input<'_>, space: Option<ColorSpace>) -> OpenError {
    if input.progress.is_cancelled() {
        return OpenError::Cancelled;
    }
    let again = catch_unwind(AssertUnwindSafe(|| {
        let decoder = begin(input, &Rc::default(), DecompressBuilder::new())?;
        space.map_or(Ok(()), |space| decoder.to_colorspace(space).map(|_| ()))
    }));
    let detail = match again {
        Ok(Ok(())) => "its rows break off".to_owned(),
        Ok(Err(error)) => error.to_string(),
        Err(thrown) => match thrown.downcast::<String>() {
            Ok(words) => words.trim_start_matches("libjpeg fatal error: ").to_owned(),
            Err(other) => resume_unwind(other),
        },
    };
    OpenError::Broken { format: FORMAT, detail }
}
