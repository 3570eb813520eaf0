//! What the tests here share: fixtures fetched from registries, pinned by version and hash; pictures opened by
//! independent programs; mixtures of paint as they were measured; seeded damage.
//!
//! Nothing fetched is committed. A fetch that fails fails the test: a check is never passed over in silence.

mod charts;
mod colorimetry;
mod damage;
mod fixtures;
mod littlecms;
mod mixtures;
mod observer;
mod upright;

pub use charts::{
    Answer, Chart, ChartError, ChartPatch, Difference, Group, Judged, Left, Way, coverage, median, score,
};
pub use colorimetry::lightness;
pub use damage::Damage;
pub use fixtures::Fixtures;
pub use littlecms::{Device, luminances};
pub use mixtures::{Measured, MeasuredMixture, MeasuredPaint, measured_paints, mixtures_to_build_on};
pub use observer::Observer;
pub use upright::{Upright, upright};
