//! Commands of the live camera: patches of its frames in, readings out.
//!
//! All pins, the paper and a glance at the whole come in one message, so that they are of one frame. Which frames a
//! reading has settled over, and where the paper was last seen, is kept here from message to message.

pub(crate) mod wire;

use crate::error::Error;
use crate::photo::wire::SoftSizes;
use crate::reading::wire::{BandsInfo, BandsSetting, DifferenceInfo};
use crate::state::Shell;
use crate::worker::blocking;
use percent_encoding::percent_decode_str;
use std::collections::HashMap;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use tauri::State;
use tauri::ipc::{InvokeBody, Request};
use tonefast_core::{
    Bands, Difference, FramePatch, Gains, Light, NoReading, Overview, PaperFollower, PaperSight, Reading,
    Settling, Spot, Window,
};
use wire::{
    LiveAgainst, LiveAsk, LiveInfo, LiveReadingInfo, PaperAsk, PaperInfo, PinAsk, SightName, UnreadInfo,
};

/// What is known of the camera's last frames.
#[derive(Default)]
pub(crate) struct Live {
    /// Frames of each pin, by its letter, and what they were taken of.
    pins: HashMap<String, Followed>,
    paper: Option<(u32, PaperFollower)>,
    /// Why the paper that was tapped last, by its number, was refused.
    refused: Option<(u32, String)>,
    /// The paper that was tapped last, by its number, and the share of the frame that speaks against it: it does not
    /// count until the painter says that it is paper.
    questioned: Option<(u32, f64)>,
    overview: Option<FramePatch>,
    against: LiveAgainst,
}

struct Followed {
    spot: Spot,
    settling: Settling,
    /// Why the newest frame gave no reading.
    unread: Option<NoReading>,
}

/// A camera was opened, whose frames have so many columns and rows: what was known of another's is forgotten. Answers
/// with the columns and rows of the softened pictures.
#[tauri::command]
pub(crate) fn begin_live(width: u32, height: u32, shell: State<'_, Shell>) -> Result<SoftSizes, Error> {
    begin(&shell.live, (width, height))
}

/// Reads what a frame shows. The patches are the body, RGBA, in this order: the whole at a glance, the window about the
/// paper where there is one, each pin. The rest is JSON in the header `x-live`, in the page's `encodeURIComponent`.
#[tauri::command]
pub(crate) async fn read_live(request: Request<'_>, shell: State<'_, Shell>) -> Result<LiveInfo, Error> {
    let InvokeBody::Raw(bytes) = request.body() else {
        return Err(Error::Caller("patches must be sent as bytes".to_owned()));
    };
    let bytes = bytes.clone();
    let header = request.headers().get("x-live").and_then(|value| value.to_str().ok()).unwrap_or_default();
    let ask = percent_decode_str(header).decode_utf8_lossy().into_owned();
    let live = Arc::clone(&shell.live);
    blocking(move || answer(&live, &ask, &bytes)).await
}

/// Divides the camera's picture into bands: fitted ones by the last glance at the whole.
#[tauri::command]
pub(crate) async fn set_live_bands(
    setting: BandsSetting,
    shell: State<'_, Shell>,
) -> Result<BandsInfo, Error> {
    let live = Arc::clone(&shell.live);
    blocking(move || bands(&live, setting)).await
}

pub(crate) fn begin(live: &Mutex<Live>, size: (u32, u32)) -> Result<SoftSizes, Error> {
    if size.0 == 0 || size.1 == 0 {
        return Err(Error::Caller("a frame has pixels".to_owned()));
    }
    *locked(live) = Live::default();
    Ok(SoftSizes::of(size))
}

pub(crate) fn bands(live: &Mutex<Live>, setting: BandsSetting) -> Result<BandsInfo, Error> {
    let live = locked(live);
    let whole = live.overview.as_ref().map(|patch| patch.overview(live.gains()));
    Ok(BandsInfo::of_live(setting, whole.as_ref().map(|whole| &whole.histogram))?)
}

/// One message's answer.
pub(crate) fn answer(live: &Mutex<Live>, ask: &str, bytes: &[u8]) -> Result<LiveInfo, Error> {
    let ask: LiveAsk = serde_json::from_str(ask).map_err(|error| Error::Caller(error.to_string()))?;
    locked(live).read(ask, bytes)
}

/// A message that panicked half way leaves readings that the next replaces.
fn locked(live: &Mutex<Live>) -> MutexGuard<'_, Live> {
    live.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Live {
    fn read(&mut self, ask: LiveAsk, bytes: &[u8]) -> Result<LiveInfo, Error> {
        let LiveAsk { time, edges, overview, paper, pins, pair } = ask;
        let bands = Bands::by_hand(edges)?;
        let mut patches = Patches(bytes);
        let whole = patches.next(overview)?;
        let exposure = self.overview.as_ref().map_or(1.0, |before| whole.exposure_since(before));
        let window = paper.as_ref().map(|paper| paper.window(&mut patches)).transpose()?;
        match paper.zip(window) {
            Some((paper, window)) => self.look_for(&paper, &window, &whole, exposure, time),
            None => (self.paper, self.refused, self.questioned) = (None, None, None),
        }
        let gains = self.gains();
        let light = self.paper.as_ref().and_then(|(_, follower)| follower.held_light()).map(Arc::new);
        let against = if self.is_held() { LiveAgainst::Paper } else { LiveAgainst::Camera };
        if against != self.against {
            // Readings of two kinds don't settle into one.
            self.pins.clear();
            self.against = against;
        }
        self.pins.retain(|letter, _| pins.iter().any(|pin| pin.letter == *letter));
        for pin in pins {
            let patch = patches.next(pin.size())?;
            self.take(&pin, &patch, light.as_ref(), &bands, time)?;
        }
        patches.end()?;
        let Overview { histogram, clipped_light, clipped_dark, is_glaring } = whole.overview(gains);
        self.overview = Some(whole);
        Ok(LiveInfo {
            readings: self.readings(&bands),
            unread: self.unread(),
            difference: pair.and_then(|(first, second)| self.difference(&first, &second, &bands)),
            paper: self.paper_info(),
            refused: self.refused.as_ref().map(|(_, why)| why.clone()),
            questioned: self.questioned.map(|(_, share)| share),
            against,
            gains: gains.0,
            shares: histogram.shares(&bands),
            clipped_light,
            clipped_dark,
            glaring: is_glaring,
        })
    }

    /// Follows the paper, or begins to where another was tapped.
    fn look_for(&mut self, paper: &PaperAsk, window: &Window, whole: &FramePatch, exposure: f64, time: f64) {
        match &mut self.paper {
            Some((number, follower)) if *number == paper.number => {
                follower.set_lightness(paper.lightness);
                follower.follow(window, exposure, time);
            }
            _ if self.refused.as_ref().is_some_and(|(number, _)| *number == paper.number) => {}
            _ if self.questioned.is_some_and(|(number, _)| number == paper.number) => {}
            _ => {
                let started =
                    PaperFollower::start(window, (paper.x, paper.y), paper.radius, paper.lightness, time);
                (self.paper, self.refused, self.questioned) = match started {
                    Ok(follower) => match follower.questioned(whole).filter(|_| !paper.confirmed) {
                        Some(share) => (None, None, Some((paper.number, share))),
                        None => (Some((paper.number, follower)), None, None),
                    },
                    Err(error) => (None, Some((paper.number, error.to_string())), None),
                };
            }
        }
    }

    fn take(
        &mut self,
        pin: &PinAsk,
        patch: &FramePatch,
        light: Option<&Arc<Light>>,
        bands: &Bands,
        time: f64,
    ) -> Result<(), Error> {
        let spot = pin.spot()?;
        let seen = patch.photo();
        let photo = if let Some(light) = light { seen.lit(light) } else { seen };
        let taken = Reading::take(&photo, pin.in_patch(spot), bands);
        if taken == Err(NoReading::Outside) {
            return Err(Error::Caller("a spot lies in its patch".to_owned()));
        }
        let fresh = || Followed { spot, settling: Settling::default(), unread: None };
        let followed = self.pins.entry(pin.letter.clone()).or_insert_with(fresh);
        if followed.spot != spot {
            *followed = fresh();
        }
        followed.unread = taken.as_ref().err().copied();
        match taken {
            Ok(reading) => followed.settling.add(time, reading),
            // What it read before is not what it is now.
            Err(_) => followed.settling = Settling::default(),
        }
        Ok(())
    }

    fn readings(&self, bands: &Bands) -> Vec<LiveReadingInfo> {
        let settled = |(letter, pin): (&String, &Followed)| {
            Some(LiveReadingInfo::new(letter.clone(), pin.settling.settled(bands)?))
        };
        let mut readings: Vec<_> = self.pins.iter().filter_map(settled).collect();
        readings.sort_by(|a, b| a.letter.cmp(&b.letter));
        readings
    }

    fn unread(&self) -> Vec<UnreadInfo> {
        let unread = |(letter, pin): (&String, &Followed)| {
            Some(UnreadInfo { letter: letter.clone(), why: pin.unread?.into() })
        };
        let mut pins: Vec<_> = self.pins.iter().filter_map(unread).collect();
        pins.sort_by(|a, b| a.letter.cmp(&b.letter));
        pins
    }

    fn difference(&self, first: &str, second: &str, bands: &Bands) -> Option<DifferenceInfo> {
        let settled = |letter: &str| self.pins.get(letter)?.settling.settled(bands);
        Some(Difference::between(&settled(first)?.reading, &settled(second)?.reading).into())
    }

    fn paper_info(&self) -> Option<PaperInfo> {
        let (_, follower) = self.paper.as_ref()?;
        let (x, y) = follower.place();
        let drift = follower.drift();
        let sight = match follower.sight() {
            PaperSight::Followed => SightName::Followed,
            PaperSight::Sought => SightName::Sought,
            PaperSight::Lost => SightName::Lost,
            PaperSight::Clipped => SightName::Clipped,
        };
        Some(PaperInfo { x, y, sight, drift, drifted: drift.abs() >= PaperFollower::DRIFT_TOLD })
    }

    fn is_held(&self) -> bool {
        self.paper.as_ref().is_some_and(|(_, follower)| follower.gains().is_some())
    }

    fn gains(&self) -> Gains {
        self.paper.as_ref().and_then(|(_, follower)| follower.gains()).unwrap_or(Gains::NONE)
    }
}

/// The patches of one body, one after the other.
pub(crate) struct Patches<'a>(&'a [u8]);

impl Patches<'_> {
    pub(crate) fn next(&mut self, size: (u32, u32)) -> Result<FramePatch, Error> {
        let length =
            usize::try_from(u64::from(size.0).saturating_mul(u64::from(size.1)).saturating_mul(4)).ok();
        let (bytes, rest) = length
            .and_then(|length| self.0.split_at_checked(length))
            .ok_or_else(|| Error::Caller("a patch has four bytes a pixel".to_owned()))?;
        self.0 = rest;
        FramePatch::new(size, bytes).map_err(|error| Error::Caller(error.to_string()))
    }

    fn end(self) -> Result<(), Error> {
        if self.0.is_empty() { Ok(()) } else { Err(Error::Caller("there are pixels left over".to_owned())) }
    }
}

#[cfg(test)]
mod tests;
