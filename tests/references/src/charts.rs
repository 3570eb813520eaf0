//! Photographs of colour charts by real cameras: what was read of each patch, and a picture drawn from that.

mod judged;
mod score;

pub use judged::{Answer, Difference, Judged};
pub use score::{Left, coverage, median, score};

use std::collections::BTreeMap;
use tonefast_core::{OpenOptions, Patch, PatchKind, Photo, Progress, Spot};

/// One photograph of a chart.
pub struct Chart {
    /// The camera's number.
    pub camera: u32,
    /// Which of its pictures.
    pub picture: String,
    /// Where it comes from.
    pub group: Group,
    /// The chart's patches.
    pub patches: Vec<ChartPatch>,
    /// Drawn from what was read: flat patches in their places.
    pub photo: Photo,
}

/// A patch of a chart.
pub struct ChartPatch {
    /// As the chart names it.
    pub name: String,
    /// Whether it is one of the greys.
    pub neutral: bool,
    /// True L* under D65.
    pub lightness: f64,
    /// True C*ab and hue in degrees.
    pub colour: (f64, f64),
    /// Where it lies in the drawn picture.
    pub spot: Spot,
}

/// Where a photograph comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Group {
    /// A camera's own JPEG.
    Main,
    /// Developed from raw, or a screenshot.
    Converter,
    /// A cheap webcam.
    Webcam,
    /// Clipped, glare or montage.
    Hard,
}

/// A way of stating the light.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Way {
    /// White alone.
    White,
    /// White and black.
    WhiteDark,
    /// White and a mid grey.
    WhiteMid,
    /// White, a mid grey and black.
    WhiteMidDark,
    /// All greys but one.
    FiveNeutrals,
}

/// Why the readings can't be used.
pub type ChartError = Box<dyn std::error::Error + Send + Sync>;

const WIDTH: usize = 320;
const HEIGHT: usize = 240;

/// Half a drawn patch's side; a spot's radius.
const HALF: usize = 4;

/// Pixels of a drawn patch, and a number that goes through all of them in a scattered order.
const PIXELS: usize = (2 * HALF + 1) * (2 * HALF + 1);
const SCATTER: usize = 50;

impl Chart {
    /// All charts of the reference data.
    ///
    /// # Errors
    /// Where the data is not as expected.
    pub fn all() -> Result<Vec<Self>, ChartError> {
        let mut reader = csv::ReaderBuilder::new()
            .comment(Some(b'#'))
            .from_reader(include_bytes!("../data/charts.csv").as_slice());
        let mut rows: BTreeMap<(u32, String), Vec<BTreeMap<String, String>>> = BTreeMap::new();
        for row in reader.deserialize() {
            let row: BTreeMap<String, String> = row?;
            rows.entry((row["camera"].parse()?, row["picture"].clone())).or_default().push(row);
        }
        rows.into_iter().map(|((camera, picture), rows)| Self::of(camera, picture, &rows)).collect()
    }

    fn of(camera: u32, picture: String, rows: &[BTreeMap<String, String>]) -> Result<Self, ChartError> {
        let group = match rows[0]["group"].as_str() {
            "main" => Group::Main,
            "converter" => Group::Converter,
            "webcam" => Group::Webcam,
            "hard" => Group::Hard,
            other => return Err(format!("{other} is no group").into()),
        };
        let (mut patches, mut samples) = (Vec::new(), vec![128; 3 * WIDTH * HEIGHT]);
        for row in rows {
            let number = |name: &str| row[name].parse::<f64>();
            let (x, y) = ((number("x")? * WIDTH as f64).round(), (number("y")? * HEIGHT as f64).round());
            draw(&mut samples, (x as usize, y as usize), [number("r")?, number("g")?, number("b")?]);
            patches.push(ChartPatch {
                name: row["patch"].clone(),
                neutral: row["neutral"] == "1",
                lightness: number("l_true")?,
                colour: (number("c_true")?, number("h_true")?),
                spot: Spot { x, y, radius: HALF as f64 },
            });
        }
        Ok(Self { camera, picture, group, patches, photo: opened(&samples)? })
    }

    /// The patches stated in a way.
    #[must_use]
    pub fn stated(&self, way: Way) -> Vec<Patch> {
        let named = |name: &&str| {
            let patch = self.patches.iter().find(|patch| patch.name == *name)?;
            let kind = match *name {
                "white 9.5" => PatchKind::White,
                "black 2" => PatchKind::Dark,
                "neutral 5" => PatchKind::Card,
                _ => PatchKind::Step,
            };
            Some(Patch { kind, spot: patch.spot, lightness: patch.lightness })
        };
        way.names().iter().filter_map(named).collect()
    }
}

impl Way {
    /// All ways.
    pub const ALL: [Self; 5] =
        [Self::White, Self::WhiteDark, Self::WhiteMid, Self::WhiteMidDark, Self::FiveNeutrals];

    /// Names of the patches that are stated.
    #[must_use]
    pub const fn names(self) -> &'static [&'static str] {
        match self {
            Self::White => &["white 9.5"],
            Self::WhiteDark => &["white 9.5", "black 2"],
            Self::WhiteMid => &["white 9.5", "neutral 5"],
            Self::WhiteMidDark => &["white 9.5", "neutral 5", "black 2"],
            Self::FiveNeutrals => &["white 9.5", "neutral 8", "neutral 5", "neutral 3.5", "black 2"],
        }
    }
}

/// A patch of linear light, in codes scattered so that their mean is that light.
fn draw(samples: &mut [u8], (x, y): (usize, usize), light: [f64; 3]) {
    let codes = light.map(|light| {
        let light = light.clamp(0.0, 1.0);
        let encoded =
            if light <= 0.003_130_8 { 12.92 * light } else { 1.055 * light.powf(1.0 / 2.4) - 0.055 };
        255.0 * encoded
    });
    let side = 2 * HALF + 1;
    for at in 0..PIXELS {
        let threshold = (at * SCATTER % PIXELS) as f64 / PIXELS as f64 + 0.5 / PIXELS as f64;
        let pixel = (y + at / side - HALF) * WIDTH + x + at % side - HALF;
        for (channel, code) in codes.into_iter().enumerate() {
            samples[3 * pixel + channel] = (code + threshold).min(255.0) as u8;
        }
    }
}

fn opened(samples: &[u8]) -> Result<Photo, ChartError> {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, WIDTH as u32, HEIGHT as u32);
    encoder.set_color(png::ColorType::Rgb);
    encoder.write_header()?.write_image_data(samples)?;
    Ok(Photo::open(&bytes, &OpenOptions::default(), &Progress::new())?)
}
