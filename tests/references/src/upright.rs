//! Pictures set upright and decoded by Pillow and libheif.

use crate::{Device, Fixtures, luminances};
use std::fs;
use std::path::Path;
use std::process::Command;

/// A picture as the reference sees it.
pub struct Upright {
    /// Columns once upright.
    pub width: u32,
    /// Rows once upright.
    pub height: u32,
    /// Interleaved RGB and opacity, 8 bits, in the file's own encoding.
    pub rgba: Vec<u8>,
    /// The embedded profile.
    pub icc: Option<Vec<u8>>,
}

impl Upright {
    /// Luminance of every pixel through its own profile, what is transparent over paper white.
    #[must_use]
    pub fn luminances(&self) -> Vec<f64> {
        let pixels = self.rgba.as_chunks::<4>().0;
        let colours: Vec<f64> =
            pixels.iter().flat_map(|&[r, g, b, _]| [r, g, b].map(|value| f64::from(value) / 255.0)).collect();
        let shown = luminances(self.icc.as_deref(), Device::Rgb, &colours);
        shown
            .into_iter()
            .zip(pixels)
            .map(|(y, pixel)| {
                let opacity = f64::from(pixel[3]) / 255.0;
                y * opacity + 1.0 - opacity
            })
            .collect()
    }
}

/// Has the reference decode `path` and set it upright.
///
/// # Panics
/// Where the reference is not to be had or fails on the file.
#[must_use]
pub fn upright(fixtures: &Fixtures, path: &Path) -> Upright {
    const SCRIPT: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/python/upright.py");
    let name = path.file_name().expect("a fixture has a name").to_string_lossy().into_owned();
    let folder = fixtures.scratch(&name);
    let output = Command::new("python3")
        .arg(SCRIPT)
        .arg(path)
        .arg(&folder)
        .env("PYTHONPATH", fixtures.python_path())
        .output()
        .expect("python3 is needed for these tests");
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "the reference failed on {name}: {said}");
    let size = String::from_utf8_lossy(&output.stdout);
    let mut numbers = size.split_whitespace().map(|number| number.parse().expect("a size in pixels"));
    let mut next = || numbers.next().expect("a width and a height");
    let (width, height) = (next(), next());
    let rgba = fs::read(folder.join("rgba")).expect("the reference wrote its pixels");
    assert_eq!(rgba.len(), width as usize * height as usize * 4, "{name}");
    let icc = fs::read(folder.join("icc")).ok();
    fs::remove_dir_all(&folder).expect("the build's own folder can be cleared");
    Upright { width, height, rgba, icc }
}
