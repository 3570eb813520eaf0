//! Turns planes of pixels upright.

use crate::photo::Orientation;
use rayon::prelude::*;

/// Turns interleaved RGB samples of a picture of this size as stored.
pub(super) fn turn_rgb<T: Copy + Default + Send + Sync>(
    samples: &[T],
    size: (u32, u32),
    orientation: Orientation,
) -> Vec<T> {
    let mut out = vec![T::default(); samples.len()];
    turn_into(samples.as_chunks::<3>().0, out.as_chunks_mut::<3>().0, size, orientation);
    out
}

/// Turns one value a pixel.
pub(super) fn turn<T: Copy + Default + Send + Sync>(
    pixels: &[T],
    size: (u32, u32),
    orientation: Orientation,
) -> Vec<T> {
    let mut out = vec![T::default(); pixels.len()];
    turn_into(pixels, &mut out, size, orientation);
    out
}

/// Side of the square blocks in which a picture is turned: 64 rows of 64 pixels fit the first cache.
const BLOCK: usize = 64;

fn turn_into<T: Copy + Send + Sync>(pixels: &[T], out: &mut [T], size: (u32, u32), orientation: Orientation) {
    let width = size.0 as usize;
    let across = orientation.upright_size(size.0, size.1).0 as usize;
    // Along an upright row, the stored place moves by a fixed step.
    let place = |x: usize, y: usize| {
        let (column, row) = orientation.stored_from_upright(x as u32, y as u32, size.0, size.1);
        (row as usize * width + column as usize) as isize
    };
    let step = if across > 1 { place(1, 0) - place(0, 0) } else { 0 };
    out.par_chunks_mut(across * BLOCK).enumerate().for_each(|(part, out)| {
        for left in (0..across).step_by(BLOCK) {
            let right = (left + BLOCK).min(across);
            for (row, out) in out.chunks_exact_mut(across).enumerate() {
                let from = place(left, part * BLOCK + row);
                turn_row(pixels, &mut out[left..right], from, step);
            }
        }
    });
}

/// Fetches `out` from every `step`th pixel, from the place `from` on.
fn turn_row<T: Copy>(pixels: &[T], out: &mut [T], from: isize, step: isize) {
    let (from, stride) = (from as usize, step.unsigned_abs().max(1));
    if step < 0 {
        let first = from - stride * (out.len() - 1);
        for (out, &pixel) in out.iter_mut().rev().zip(pixels[first..=from].iter().step_by(stride)) {
            *out = pixel;
        }
    } else {
        for (out, &pixel) in out.iter_mut().zip(pixels[from..].iter().step_by(stride)) {
            *out = pixel;
        }
    }
}
