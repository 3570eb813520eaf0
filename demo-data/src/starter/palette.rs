//! The invented paints.
//!
//! Absorption and scattering of most are rows of the table in C. J. Curtis et al., *Computer-Generated Watercolor*
//! (SIGGRAPH 1997); those of the violet and the ochre are made up, and the grey is a mixture of two.

use super::PAPER;
use crate::layer::Layer;
use crate::tone::lab;

/// Light that the surface of paint or paper throws back before it has met any pigment: the darkest bands of measured
/// watercolours show .03 to .04 of the light (Chen et al. 2019, arXiv:1904.00275). So no paint is as vivid as its
/// layer alone.
const SURFACE: f64 = 0.03;

/// A paint that nobody makes.
pub(crate) struct InventedPaint {
    pub(crate) name: &'static str,
    /// Colour Index names, on two of them only, so that a caution, a low hazard and "not known" are all seen.
    pub(crate) pigments: &'static str,
    pub(crate) mixed_of: &'static str,
    pub(crate) layer: Layer,
    /// L* of the lightest and of the darkest step that is meant.
    pub(crate) reach: (f64, f64),
    /// How much it settles into the paper's tooth: 0 for not at all, to 1.
    pub(crate) granulation: f32,
    pub(crate) transparent: bool,
    pub(crate) staining: bool,
    pub(super) strips: &'static [Strip],
}

impl InventedPaint {
    /// Linear reflectance of `thickness` of it on the paper.
    pub(crate) fn shown(&self, thickness: f64) -> [f64; 3] {
        let inner = self.layer.over((PAPER - SURFACE) / (1.0 - SURFACE), thickness);
        inner.map(|inner| SURFACE + (1.0 - SURFACE) * inner)
    }

    /// The thickness at which it has the tone `lightness`; as thick as paint gets, if it can't be so dark.
    pub(crate) fn thickness_for(&self, lightness: f64) -> f64 {
        const THICKEST: f64 = 24.0;
        const HALVINGS: usize = 40;
        let (mut thin, mut thick) = (0.0, THICKEST);
        for _ in 0..HALVINGS {
            let middle = 0.5 * (thin + thick);
            if lab(self.shown(middle))[0] > lightness { thin = middle } else { thick = middle }
        }
        0.5 * (thin + thick)
    }
}

/// A strip that was painted of it.
pub(super) struct Strip {
    pub(super) day: &'static str,
    pub(super) laid: Laid,
    /// Where it was read wet, too: by how much the masstone dried lighter, L*.
    pub(super) dries_lighter: Option<f64>,
}

#[derive(Clone, Copy)]
pub(super) enum Laid {
    Washes { unevenness: f64 },
    Layers { count: usize, lightness: f64 },
}

/// A careful hand's and a hasty one's, in even gaps.
const CAREFUL: Laid = Laid::Washes { unevenness: 0.10 };
const HASTY: Laid = Laid::Washes { unevenness: 0.42 };

const FIRST: Strip = Strip { day: "2026-05-02", laid: CAREFUL, dries_lighter: None };
const AGAIN: Strip = Strip { day: "2026-06-14", laid: CAREFUL, dries_lighter: None };
const IN_HASTE: Strip = Strip { day: "2026-05-02", laid: HASTY, dries_lighter: None };
const WET_AND_DRY: Strip = Strip { day: "2026-06-14", laid: CAREFUL, dries_lighter: Some(3.2) };
const LAYERS: Strip =
    Strip { day: "2026-06-14", laid: Laid::Layers { count: 5, lightness: 81.0 }, dries_lighter: None };

const fn layer(absorption: [f64; 3], scattering: [f64; 3]) -> Layer {
    Layer { absorption, scattering }
}

const BLUE: Layer = layer([0.86, 0.86, 0.06], [0.005, 0.005, 0.09]);
const ROSE: Layer = layer([0.22, 1.47, 0.57], [0.05, 0.003, 0.03]);
const GREEN: Layer = layer([1.62, 0.61, 1.64], [0.01, 0.012, 0.003]);

/// What most of them are.
const PLAIN: InventedPaint = InventedPaint {
    name: "",
    pigments: "",
    mixed_of: "",
    layer: BLUE,
    reach: (91.0, 30.0),
    granulation: 0.0,
    transparent: false,
    staining: false,
    strips: &[FIRST],
};

/// All of them, round the circle of hues, then what has little hue.
pub(crate) const PAINTS: [InventedPaint; 11] = [
    InventedPaint {
        name: "Demo yellow",
        pigments: "PY35",
        layer: layer([0.10, 0.36, 3.45], [0.97, 0.65, 0.007]),
        reach: (92.5, 77.0),
        strips: &[FIRST, AGAIN],
        ..PLAIN
    },
    InventedPaint {
        name: "Demo orange",
        layer: layer([0.13, 0.81, 3.45], [0.005, 0.009, 0.007]),
        reach: (91.5, 60.0),
        transparent: true,
        ..PLAIN
    },
    InventedPaint {
        name: "Demo red",
        layer: layer([0.14, 1.08, 1.68], [0.77, 0.015, 0.018]),
        reach: (91.0, 44.0),
        strips: &[IN_HASTE],
        ..PLAIN
    },
    InventedPaint {
        name: "Demo rose",
        layer: ROSE,
        reach: (92.0, 35.0),
        transparent: true,
        staining: true,
        strips: &[FIRST, AGAIN],
        ..PLAIN
    },
    InventedPaint {
        name: "Demo violet",
        layer: layer([0.92, 1.62, 0.38], [0.006, 0.004, 0.03]),
        reach: (91.0, 24.5),
        transparent: true,
        staining: true,
        ..PLAIN
    },
    InventedPaint {
        name: "Demo blue",
        pigments: "PB29",
        layer: BLUE,
        reach: (91.0, 28.0),
        granulation: 0.8,
        transparent: true,
        strips: &[FIRST, WET_AND_DRY],
        ..PLAIN
    },
    InventedPaint {
        name: "Demo sky",
        layer: layer([1.52, 0.32, 0.25], [0.06, 0.26, 0.40]),
        reach: (92.0, 54.0),
        granulation: 1.0,
        ..PLAIN
    },
    InventedPaint {
        name: "Demo green",
        layer: GREEN,
        reach: (91.0, 27.0),
        transparent: true,
        staining: true,
        strips: &[FIRST, LAYERS],
        ..PLAIN
    },
    InventedPaint {
        name: "Demo ochre",
        layer: layer([0.22, 0.66, 1.95], [0.20, 0.12, 0.02]),
        reach: (92.0, 47.0),
        granulation: 0.5,
        ..PLAIN
    },
    InventedPaint {
        name: "Demo earth",
        layer: layer([0.74, 1.54, 2.10], [0.09, 0.09, 0.004]),
        reach: (90.5, 27.0),
        granulation: 0.6,
        transparent: true,
        strips: &[FIRST, AGAIN],
        ..PLAIN
    },
    InventedPaint {
        name: "Demo grey",
        mixed_of: "Demo green + Demo rose",
        layer: GREEN.mixed(&ROSE, 0.45),
        reach: (91.0, 25.0),
        transparent: true,
        ..PLAIN
    },
];
