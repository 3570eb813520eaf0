//! How much work a HEIC asks for, told from its headers: a small file can point at one tile many times.

use crate::photo::OpenError;
use heifer::heifer_hevc_dec::nal::{NalUnit, split_annex_b};
use heifer::heifer_hevc_dec::params::{ParameterSets, Sps};
use heifer::heifer_isobmff::{HeifFile, ItemId};
use std::collections::HashMap;

/// What decoding an item comes to, tiles and all.
#[derive(Debug, Default, Clone, Copy, PartialEq, Eq)]
pub(super) struct Work {
    /// Coded pixels, counted again for every use.
    pub(super) pixels: u64,
    /// Bytes of coded data, counted likewise.
    pub(super) bytes: u64,
    /// Coded pixels of the largest single picture.
    pub(super) largest: u64,
}

/// Nesting of derived pictures that is followed; the decoder stops at the same.
const DEEPEST: u32 = 4;

/// Adds up what `id` and all that it is made of ask for, its opacity included.
///
/// # Errors
/// A damaged structure, or more items than a picture is made of.
pub(super) fn of(
    file: &HeifFile<'_>,
    id: ItemId,
    broken: impl Fn(&str) -> OpenError,
) -> Result<Work, OpenError> {
    let mut tally = Tally { known: HashMap::new(), visits: 0 };
    tally.item(file, id, 0).map_err(|detail| broken(&detail))
}

/// The first sequence parameter set of an item or of its first tile.
pub(super) fn parameters(file: &HeifFile<'_>, id: ItemId) -> Option<Sps> {
    let mut item = id;
    for _ in 0..=DEEPEST {
        if let Ok(stream) = file.hevc_bitstream(item) {
            return sets(&stream).ok()?.sps.iter().flatten().next().cloned();
        }
        item = *file.referenced_items(item, b"dimg").first()?;
    }
    None
}

struct Tally {
    known: HashMap<ItemId, Work>,
    visits: u32,
}

impl Tally {
    fn item(&mut self, file: &HeifFile<'_>, id: ItemId, depth: u32) -> Result<Work, String> {
        // A grid has 65,536 tiles at most; twice that is for their opacity.
        const MOST_VISITS: u32 = 2 << 16;
        self.visits += 1;
        if self.visits > MOST_VISITS || depth > DEEPEST {
            return Err("it is made of too many parts".to_owned());
        }
        if let Some(work) = self.known.get(&id) {
            return Ok(*work);
        }
        let kind = file.item(id).map_err(|error| error.to_string())?.item_type.0;
        let mut work = if kind == *b"hvc1" { coded(file, id)? } else { Work::default() };
        let parts = file.referenced_items(id, b"dimg").iter().copied();
        // Opacity, and with it maps of gain and depth, which are smaller and not decoded: a little is counted in vain.
        let auxiliary = file.referencing_items(id, b"auxl").into_iter();
        for part in parts.chain(auxiliary) {
            let part = self.item(file, part, depth + 1)?;
            work.pixels = work.pixels.saturating_add(part.pixels);
            work.bytes = work.bytes.saturating_add(part.bytes);
            work.largest = work.largest.max(part.largest);
        }
        self.known.insert(id, work);
        Ok(work)
    }
}

fn coded(file: &HeifFile<'_>, id: ItemId) -> Result<Work, String> {
    let stream = file.hevc_bitstream(id).map_err(|error| error.to_string())?;
    let sets = sets(&stream)?;
    let pixels =
        |sps: &Sps| u64::from(sps.pic_width_in_luma_samples) * u64::from(sps.pic_height_in_luma_samples);
    let largest = sets.sps.iter().flatten().map(pixels).max().unwrap_or(0);
    Ok(Work { pixels: largest, bytes: stream.len() as u64, largest })
}

/// All parameter sets of a stream, from its header and from within.
fn sets(stream: &[u8]) -> Result<ParameterSets, String> {
    let mut sets = ParameterSets::default();
    for unit in split_annex_b(stream) {
        let unit = NalUnit::parse(unit).map_err(|error| error.to_string())?;
        sets.add(&unit).map_err(|error| error.to_string())?;
    }
    Ok(sets)
}
