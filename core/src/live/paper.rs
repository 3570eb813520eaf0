//! White paper in the camera's picture: followed while the hand trembles, or told lost.
//!
//! The page sends a coarse window about the place where the paper was last seen. In it the nearest disc counts as the
//! paper that is flat, and that is as light in each channel as the paper was, allowing for what the exposure of the
//! whole frame has done since.

use super::patch::{FramePatch, Gains, LINEAR, is_full};
use crate::Light;
use crate::lighting::MUCH;

/// Samples of a frame about the paper.
#[derive(Debug, Clone, PartialEq)]
pub struct Window {
    /// The samples.
    pub patch: FramePatch,
    /// The frame's pixel that the first of them is.
    pub x: f64,
    /// The same, downward.
    pub y: f64,
    /// The frame's pixels from one sample to the next.
    pub step: f64,
}

/// Follows white paper from window to window.
#[derive(Debug, Clone, PartialEq)]
pub struct PaperFollower {
    lightness: f64,
    radius: f64,
    place: (f64, f64),
    /// Linear light when it was tapped.
    first: [f64; 3],
    /// Linear light that it is thought to have now.
    light: [f64; 3],
    /// When it was last seen.
    seen: f64,
    sight: PaperSight,
}

/// What is known of the paper just now.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PaperSight {
    /// It is seen, and readings are held to it.
    Followed,
    /// It was seen a moment ago: readings are still held to what it was.
    Sought,
    /// It is out of sight, or something lies over it.
    Lost,
    /// It is blown out: how light it is can't be told.
    Clipped,
}

/// Why a place can't be taken for white paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum PaperError {
    /// Outside of the window.
    #[error("the paper must lie wholly in the picture")]
    Outside,
    /// Its tone varies.
    #[error("this is no even piece of paper: tap a blank part of it")]
    Uneven,
    /// Too dark.
    #[error("this is too dark for white paper: give it more light, or tap another place")]
    Dark,
}

/// Linear light under which nothing is taken for white paper: three stops under full, where a camera that exposes for
/// its picture hardly ever puts a white (common practice), and where 8-bit steps grow to 1.5 % of the light.
const DARKEST: f64 = 0.125;

/// Standard deviation over mean within the disc up to which it is flat: paper's tooth and a camera's noise stay under
/// 4 %, while a single sample in twenty of half the light makes 11 %.
const FLAT: f64 = 0.06;

/// By how much each channel may differ from what it should be (natural logarithm): a sixth, between two windows a fifth
/// of a second apart, of which the exposure is known already. A grey card is 1.6 away.
const ALIKE: f64 = 0.16;

/// Share of the disc that may be clipped: one pixel in fifty moves its mean by less than the reading's repeatability.
const CLIPPED: f64 = 0.02;

/// How long, in seconds, the paper may be out of sight before it is told. Windows come five times a second at most: one
/// may be missed then, and none where they come slower, so that losing it is told within half a second either way.
const LOST_AFTER: f64 = 0.22;

/// The least radius of the disc in samples: 21 of them, whose mean errs by a fifth of their noise.
const LEAST_RADIUS: f64 = 2.5;

/// What lies in a disc of samples.
struct Disc {
    light: [f64; 3],
    unevenness: f64,
    clipped: f64,
}

impl PaperFollower {
    /// Takes the disc of `radius` at `place`, in the frame's pixels, for paper of a known L*.
    ///
    /// # Errors
    /// [`PaperError`].
    pub fn start(
        window: &Window,
        place: (f64, f64),
        radius: f64,
        lightness: f64,
        time: f64,
    ) -> Result<Self, PaperError> {
        let disc = window.disc(window.sample(place), radius / window.step).ok_or(PaperError::Outside)?;
        if disc.unevenness > FLAT {
            return Err(PaperError::Uneven);
        }
        if disc.light.iter().any(|&light| light < DARKEST) {
            return Err(PaperError::Dark);
        }
        let sight = if disc.clipped > CLIPPED { PaperSight::Clipped } else { PaperSight::Followed };
        Ok(Self { lightness, radius, place, first: disc.light, light: disc.light, seen: time, sight })
    }

    /// Looks for the paper in a window taken at `time`, in seconds, while the whole frame's exposure rose by the factor
    /// `exposure` since the last.
    pub fn follow(&mut self, window: &Window, exposure: f64, time: f64) -> PaperSight {
        let expected = self.light.map(|light| light * exposure);
        self.light = expected;
        match window.nearest_like(self.place, self.radius / window.step, expected) {
            Some((place, disc)) => {
                self.place = place;
                self.seen = time;
                if disc.clipped > CLIPPED {
                    // What is clipped may have been lighter: the paper is known again once it is not.
                    self.light = std::array::from_fn(|at| expected[at].max(disc.light[at]));
                    self.sight = PaperSight::Clipped;
                } else {
                    self.light = disc.light;
                    self.sight = PaperSight::Followed;
                }
            }
            None if time - self.seen > LOST_AFTER => self.sight = PaperSight::Lost,
            None => self.sight = PaperSight::Sought,
        }
        self.sight
    }

    /// The share of the `whole` frame that would be lighter than a perfect white by it, where that is so much that the
    /// painter should say whether it is paper; `None` where nothing speaks against it.
    #[must_use]
    pub fn questioned(&self, whole: &FramePatch) -> Option<f64> {
        let share = whole.far_beyond_white(self.gains()?);
        (share > MUCH).then_some(share)
    }

    /// Takes another L* for the paper's.
    pub fn set_lightness(&mut self, lightness: f64) {
        self.lightness = lightness;
    }

    /// What is known of it.
    #[must_use]
    pub fn sight(&self) -> PaperSight {
        self.sight
    }

    /// Where it was last seen, in the frame's pixels.
    #[must_use]
    pub fn place(&self) -> (f64, f64) {
        self.place
    }

    /// What holds readings to it; `None` where it is lost or blown out.
    #[must_use]
    pub fn gains(&self) -> Option<Gains> {
        matches!(self.sight, PaperSight::Followed | PaperSight::Sought)
            .then(|| Gains::from_paper(self.light, self.lightness))
    }

    /// The light by which readings are held to it; `None` likewise.
    #[must_use]
    pub fn held_light(&self) -> Option<Light> {
        self.gains().map(|_| Light::of_paper(self.light, self.lightness))
    }

    /// By how many stops the exposure has risen since the paper was tapped.
    #[must_use]
    pub fn drift(&self) -> f64 {
        libm::log2(self.light[1] / self.first[1])
    }

    /// By how many stops the exposure must have drifted to be told: a sixth, which moves an unheld middle tone by about
    /// 2.5 L*, more than the eye's just noticeable step.
    pub const DRIFT_TOLD: f64 = 1.0 / 6.0;
}

impl Window {
    /// A place in the frame's pixels as samples from the first.
    fn sample(&self, (x, y): (f64, f64)) -> (i64, i64) {
        (((x - self.x) / self.step).round() as i64, ((y - self.y) / self.step).round() as i64)
    }

    /// The disc about a sample; `None` where it doesn't lie wholly in the window.
    fn disc(&self, (column, row): (i64, i64), radius: f64) -> Option<Disc> {
        let radius = radius.max(LEAST_RADIUS);
        let reach = radius as i64;
        let (columns, rows) = (i64::from(self.patch.size().0), i64::from(self.patch.size().1));
        if column < reach || row < reach || column + reach >= columns || row + reach >= rows {
            return None;
        }
        let (mut sum, mut square, mut clipped, mut count) = ([0.0; 3], 0.0, 0.0, 0.0);
        for down in -reach..=reach {
            for across in -reach..=reach {
                if (down * down + across * across) as f64 > radius * radius {
                    continue;
                }
                let rgb = self.patch.pixel((column + across) as u32, (row + down) as u32);
                let light = rgb.map(|code| LINEAR[usize::from(code)]);
                for (sum, light) in sum.iter_mut().zip(light) {
                    *sum += light;
                }
                square += light[1] * light[1];
                clipped += f64::from(u8::from(is_full(&rgb)));
                count += 1.0;
            }
        }
        let light = sum.map(|sum| sum / count);
        let deviation = (square / count - light[1] * light[1]).max(0.0).sqrt();
        Some(Disc {
            light,
            unevenness: deviation / light[1].max(f64::MIN_POSITIVE),
            clipped: clipped / count,
        })
    }

    /// The nearest place to `from` whose disc is flat and as light as `expected`.
    fn nearest_like(&self, from: (f64, f64), radius: f64, expected: [f64; 3]) -> Option<((f64, f64), Disc)> {
        let start = self.sample(from);
        let (columns, rows) = (i64::from(self.patch.size().0), i64::from(self.patch.size().1));
        let mut places: Vec<(i64, i64)> =
            (0..rows).flat_map(|row| (0..columns).map(move |column| (column, row))).collect();
        let away = |&(column, row): &(i64, i64)| {
            let (across, down) = (column - start.0, row - start.1);
            (across * across + down * down, row, column)
        };
        places.sort_unstable_by_key(away);
        places.into_iter().find_map(|(column, row)| {
            let disc = self.disc((column, row), radius).filter(|disc| disc.is_like(expected))?;
            let place = if (column, row) == start {
                from
            } else {
                (self.x + column as f64 * self.step, self.y + row as f64 * self.step)
            };
            Some((place, disc))
        })
    }
}

impl Disc {
    /// Whether it is flat, and as light as expected in each channel; what is expected over white looks white.
    fn is_like(&self, expected: [f64; 3]) -> bool {
        let alike = |(light, expected): (f64, f64)| libm::log(light / expected.min(1.0)).abs() < ALIKE;
        self.unevenness <= FLAT && self.light.into_iter().zip(expected).all(alike)
    }
}
