//! The division with the least squared error, exactly.
//!
//! One-dimensional least-squares clusters are ranges, so the best k + 1 ranges of the first j tones extend the best k
//! of some shorter start (Fisher 1958, "On grouping for maximum homogeneity"). The best place to split moves only
//! upwards with j, which halves the search at each level: k n log n instead of k n².

use crate::Histogram;
use crate::lightness::LIGHTNESS_FROM_CODE;

/// Mean L* of each of at most `count` ranges, from light to dark, that leave the least squared error.
pub(super) fn least_squares(count: usize, histogram: &Histogram) -> Vec<f64> {
    let tones = Tones::new(histogram);
    let count = count.min(tones.len());
    if count == 0 {
        return Vec::new();
    }
    let mut errors: Vec<f64> = (0..=tones.len()).map(|end| tones.error(0, end)).collect();
    let mut splits = Vec::new();
    for ranges in 1..count {
        let mut layer = Layer {
            ranges,
            tones: &tones,
            before: &errors,
            errors: vec![0.0; tones.len() + 1],
            splits: vec![0; tones.len() + 1],
        };
        layer.solve(ranges + 1, tones.len(), ranges, tones.len() - 1);
        splits.push(layer.splits);
        errors = layer.errors;
    }
    let mut means = Vec::with_capacity(count);
    let mut end = tones.len();
    for split in splits.iter().rev() {
        means.push(tones.mean(split[end], end));
        end = split[end];
    }
    means.push(tones.mean(0, end));
    means
}

/// Running sums over the tones that occur, from dark to light.
struct Tones {
    counts: Vec<f64>,
    sums: Vec<f64>,
    squares: Vec<f64>,
}

/// The best splits for one more range than `before` holds.
struct Layer<'a> {
    ranges: usize,
    tones: &'a Tones,
    before: &'a [f64],
    errors: Vec<f64>,
    splits: Vec<usize>,
}

impl Tones {
    fn new(histogram: &Histogram) -> Self {
        let (mut counts, mut sums, mut squares) = (vec![0.0], vec![0.0], vec![0.0]);
        let (mut count, mut sum, mut square) = (0.0, 0.0, 0.0);
        for (&pixels, &lightness) in histogram.counts().iter().zip(LIGHTNESS_FROM_CODE.iter()) {
            if pixels > 0 {
                let (pixels, lightness) = (f64::from(pixels), f64::from(lightness));
                count += pixels;
                sum += pixels * lightness;
                square += pixels * lightness * lightness;
                counts.push(count);
                sums.push(sum);
                squares.push(square);
            }
        }
        Self { counts, sums, squares }
    }

    fn len(&self) -> usize {
        self.counts.len() - 1
    }

    fn mean(&self, from: usize, to: usize) -> f64 {
        (self.sums[to] - self.sums[from]) / (self.counts[to] - self.counts[from])
    }

    /// Squared error of the tones `from..to` about their mean.
    fn error(&self, from: usize, to: usize) -> f64 {
        if from == to {
            return 0.0;
        }
        let sum = self.sums[to] - self.sums[from];
        self.squares[to] - self.squares[from] - sum * sum / (self.counts[to] - self.counts[from])
    }
}

impl Layer<'_> {
    /// Solves for every end in `first..=last`, whose best splits lie in `low..=high`.
    fn solve(&mut self, first: usize, last: usize, low: usize, high: usize) {
        if first > last {
            return;
        }
        let end = first.midpoint(last);
        let (mut best, mut at) = (f64::INFINITY, low);
        for split in low..=high.min(end - 1) {
            let error = self.before[split] + self.tones.error(split, end);
            if error < best {
                (best, at) = (error, split);
            }
        }
        self.errors[end] = best;
        self.splits[end] = at;
        self.solve(first, end - 1, low, at.max(self.ranges));
        self.solve(end + 1, last, at, high);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn histogram(pixels: &[(usize, u32)]) -> Histogram {
        let mut counts = vec![0; 65_536];
        for &(code, count) in pixels {
            counts[code] += count;
        }
        Histogram::new(counts)
    }

    /// Every division of a few tones, tried one by one, against the quick way.
    #[test]
    fn no_other_division_leaves_less_error() {
        let mut state = 7u64;
        let mut next = |below: u64| {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (state >> 33) % below
        };
        for round in 0..60 {
            let pixels: Vec<(usize, u32)> =
                (0..10).map(|_| (next(65_536) as usize, 1 + next(50) as u32)).collect();
            let histogram = histogram(&pixels);
            let tones = Tones::new(&histogram);
            for count in 2..=4 {
                let means = least_squares(count, &histogram);
                let best = cheapest(&tones, 0, count);
                let ours = error_of(&tones, &means);
                assert!(
                    (ours - best).abs() < 1e-6 * best.max(1.0),
                    "round {round}, {count}: {ours} against {best}"
                );
            }
        }
    }

    #[test]
    fn as_many_as_there_are_tones_and_no_more() {
        let two = histogram(&[(1000, 5), (60_000, 9)]);
        assert_eq!(least_squares(5, &two).len(), 2);
        assert!(least_squares(5, &histogram(&[])).is_empty());
    }

    fn cheapest(tones: &Tones, from: usize, ranges: usize) -> f64 {
        if ranges == 1 {
            return tones.error(from, tones.len());
        }
        (from + 1..=tones.len() - (ranges - 1))
            .map(|split| tones.error(from, split) + cheapest(tones, split, ranges - 1))
            .fold(f64::INFINITY, f64::min)
    }

    /// Error when every tone goes to its nearest mean.
    fn error_of(tones: &Tones, means: &[f64]) -> f64 {
        (0..tones.len())
            .map(|at| {
                let (count, tone) = (tones.counts[at + 1] - tones.counts[at], tones.mean(at, at + 1));
                means.iter().map(|mean| count * (tone - mean) * (tone - mean)).fold(f64::INFINITY, f64::min)
            })
            .sum()
    }
}
