//! Drawn clips, as a camera would take them: Y4M, 4:2:0, limited range, 15 frames a second.

use std::fs::File;
use std::io::{BufWriter, Write};
use std::path::{Path, PathBuf};

use tempfile::TempDir;

/// Small enough for Chromium's software graphics, which convert every frame twice, to keep up with: how fast larger
/// frames are drawn, the app's own window says.
pub(crate) const WIDTH: u32 = 640;
const HEIGHT: u32 = 360;

/// L* of the sheet of paper.
pub(crate) const PAPER: f64 = 94.5;

/// Two spots, in fractions of the frame, and the L* of the patches that they lie on.
pub(crate) const SPOTS: [(f64, f64, f64); 2] = [(0.16, 0.6, 30.0), (0.86, 0.6, 70.0)];

/// L* of the table between the patches, and of the hand.
const TABLE: f64 = 50.0;
const HAND: f64 = 60.0;

/// The sheet's columns and rows, and the patches' ends, while nobody moves.
const SHEET: [f64; 4] = [260.0, 380.0, 100.0, 230.0];
const LEFT_PATCH: f64 = 200.0;
const RIGHT_PATCH: f64 = 440.0;

/// A square in the corner that is white while the hand is there, for the test to see.
const MARK: usize = 32;

/// What hand and camera do in one frame.
pub(crate) struct Moment {
    /// What linear light is multiplied by.
    pub(crate) exposure: f64,
    /// Pixels by which the camera points elsewhere.
    pub(crate) shaken: (f64, f64),
    /// Whether a hand lies over the sheet.
    pub(crate) covered: bool,
}

/// A clip in a file that goes with it.
pub(crate) struct Clip {
    _folder: TempDir,
    path: PathBuf,
}

impl Clip {
    pub(crate) fn drawn(name: &str, frames: u32, moment: impl Fn(u32) -> Moment) -> Self {
        let folder = TempDir::with_prefix("tonefast-clip-").expect("a folder");
        let path = folder.path().join(format!("{name}.y4m"));
        let mut file = BufWriter::new(File::create(&path).expect("a file"));
        // https://wiki.multimedia.cx/index.php/YUV4MPEG2
        writeln!(file, "YUV4MPEG2 W{WIDTH} H{HEIGHT} F15:1 Ip A1:1 C420jpeg").expect("written");
        let grey = vec![128; (WIDTH * HEIGHT / 2) as usize];
        for frame in 0..frames {
            file.write_all(b"FRAME\n").expect("written");
            file.write_all(&luma(&moment(frame), frame)).expect("written");
            file.write_all(&grey).expect("written");
        }
        file.flush().expect("written");
        Self { _folder: folder, path }
    }

    pub(crate) fn path(&self) -> &Path {
        &self.path
    }
}

fn luma(moment: &Moment, frame: u32) -> Vec<u8> {
    let (width, height) = (WIDTH as usize, HEIGHT as usize);
    let code = |lightness: f64| code_of(lightness, moment.exposure);
    let (dark, light, table) = (code(SPOTS[0].2), code(SPOTS[1].2), code(TABLE));
    let (paper, hand) = (code(PAPER), code(HAND));
    let place = |at: f64, by: f64, most: usize| (at + by).clamp(0.0, most as f64) as usize;
    let [left, right] = [LEFT_PATCH, RIGHT_PATCH].map(|at| place(at, moment.shaken.0, width));
    let [from, to] = [SHEET[0], SHEET[1]].map(|at| place(at, moment.shaken.0, width));
    let [top, bottom] = [SHEET[2], SHEET[3]].map(|at| place(at, moment.shaken.1, height));
    let mut plane = vec![table; width * height];
    for (row, line) in plane.chunks_exact_mut(width).enumerate() {
        line[..left].fill(dark);
        line[right..].fill(light);
        if (top..bottom).contains(&row) {
            line[from..to].fill(paper);
        }
        if moment.covered {
            line[left + 20..right - 20].fill(hand);
        }
        // A sensor's noise, one code either way: the low bits of Knuth's multiplicative hash (TAOCP 3, 6.4).
        let mut seed = (row as u32 * 7919 + frame).wrapping_mul(2_654_435_769);
        for luma in line.iter_mut() {
            seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            *luma = (*luma + (seed >> 31) as u8).min(235);
        }
        if row < MARK {
            line[..MARK].fill(if moment.covered { 235 } else { 16 });
        }
    }
    plane
}

/// Limited-range luma of an L* by CIE 15:2018, 8.2.1, and IEC 61966-2-1, worked out with nothing of this project.
fn code_of(lightness: f64, exposure: f64) -> u8 {
    let root = (lightness + 16.0) / 116.0;
    let y = (root.powi(3) * exposure).min(1.0);
    let encoded = if y <= 0.003_130_8 { 12.92 * y } else { 1.055 * y.powf(1.0 / 2.4) - 0.055 };
    // Noise adds half a code in the mean.
    (16.0 + 219.0 * encoded) as u8
}
