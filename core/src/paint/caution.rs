//! What is known to be harmful in a paint, from the Colour Index names of its pigments.

mod table;
#[cfg(test)]
mod tests;

use super::pigment::Pigment;

/// What the pigments of a paint call for. Beside any of them stand [`USUAL_CARE`] and [`SAFETY_SHEET`]: the table knows
/// pigments, not what a maker mixed in, and not every pigment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Caution {
    /// Something in it is known to be harmful.
    Toxic {
        /// Each pigment with each of its hazards, in the order of the paint.
        which: Vec<(Pigment, Hazard)>,
        /// Pigments beside them of which nothing is known here.
        not_known: Vec<Pigment>,
    },
    /// Nothing harmful is known, and not of all pigments is there anything known.
    NotKnown {
        /// Those pigments; empty for a paint that names none.
        which: Vec<Pigment>,
    },
    /// Of every pigment a source holds that its hazard is low. No promise of safety.
    NoneKnown {
        /// The pigments.
        which: Vec<Pigment>,
    },
}

/// What makes a pigment harmful.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Hazard {
    /// Compounds of antimony.
    Antimony,
    /// Compounds of arsenic.
    Arsenic,
    /// An azo dye that gave cancer to animals.
    Azo,
    /// Compounds of barium that acid dissolves; not the sulphate.
    Barium,
    /// Compounds of cadmium.
    Cadmium,
    /// Chromates; not chromium(III) oxide.
    ChromiumSix,
    /// Compounds of cobalt.
    Cobalt,
    /// Compounds of copper that acid dissolves; not phthalocyanines.
    Copper,
    /// Nothing that dissolves: fine dust of it, breathed.
    Dust,
    /// Compounds of lead.
    Lead,
    /// Compounds of manganese.
    Manganese,
    /// Compounds of mercury.
    Mercury,
    /// Compounds of nickel.
    Nickel,
    /// Zinc oxide: harmful to what lives in water.
    Zinc,
}

/// What is known of one pigment, and from where.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PigmentRecord {
    /// Its Colour Index generic name.
    pub name: &'static str,
    /// Its Colour Index constitution numbers; empty where they are not sure.
    pub constitution: &'static [&'static str],
    /// What it is made of.
    pub holds: &'static str,
    /// What makes it harmful; empty where a source holds its hazard low.
    pub hazards: &'static [Hazard],
    /// Where that is said, one or more; "from memory" stands beside what was not read for this table.
    pub sources: &'static [&'static str],
}

/// The usual care with paints, a sentence each (common practice).
pub const USUAL_CARE: [&str; 4] = [
    "Keep the brush out of your mouth.",
    "Don't eat or drink beside your paints.",
    "Don't sand or spray them.",
    "Wash your hands afterwards.",
];

/// What goes before anything said here.
pub const SAFETY_SHEET: &str =
    "The maker's safety sheet decides. That no caution stands here is no promise of safety.";

impl Caution {
    /// Of the pigments of one paint, or of several mixed. A form after a colon that is not in the table itself is warned
    /// of like its base (PY34:1 like PY34), but a low hazard of the base says nothing of it.
    #[must_use]
    pub fn of(pigments: &[Pigment]) -> Self {
        let (mut which, mut known, mut not_known) = (vec![], vec![], vec![]);
        for &pigment in pigments {
            match PigmentRecord::of(pigment) {
                None => push_once(&mut not_known, pigment),
                Some(record) => {
                    push_once(&mut known, pigment);
                    record.hazards.iter().for_each(|&hazard| push_once(&mut which, (pigment, hazard)));
                }
            }
        }
        if !which.is_empty() {
            Self::Toxic { which, not_known }
        } else if !not_known.is_empty() || known.is_empty() {
            Self::NotKnown { which: not_known }
        } else {
            Self::NoneKnown { which: known }
        }
    }

    /// In plain sentences, to stand before [`USUAL_CARE`] and [`SAFETY_SHEET`].
    #[must_use]
    pub fn says(&self) -> String {
        match self {
            Self::Toxic { which, not_known } => {
                let each =
                    which.iter().map(|&(pigment, hazard)| format!("{} {}.", made(pigment), hazard.words()));
                each.chain(not_known_words(not_known)).collect::<Vec<_>>().join(" ")
            }
            Self::NotKnown { which } => not_known_words(which)
                .unwrap_or_else(|| "Add the pigment code on the tube (PB29) to see cautions.".to_owned()),
            Self::NoneKnown { which } => {
                let each: Vec<_> = which.iter().map(|&pigment| made(pigment)).collect();
                format!("No caution is listed for {}. That is no promise of safety.", each.join(", "))
            }
        }
    }
}

impl Hazard {
    /// What it does, after the name of a pigment: "holds cadmium, which is toxic and can cause cancer".
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Antimony => "holds antimony, which is harmful if swallowed or breathed",
            Self::Arsenic => "holds arsenic, which is poisonous and causes cancer",
            Self::Azo => "holds a dye that has caused cancer in animals",
            Self::Barium => "holds barium, which is harmful if swallowed or breathed",
            Self::Cadmium => "holds cadmium, which is toxic and can cause cancer",
            Self::ChromiumSix => "holds chromium(VI), which is toxic and can cause cancer",
            Self::Cobalt => "holds cobalt, which can harm skin and lungs",
            Self::Copper => "holds copper, which is harmful if swallowed or breathed",
            Self::Dust => "may harm the lungs when breathed as dust",
            Self::Lead => "holds lead, which is toxic and can harm an unborn child",
            Self::Manganese => "holds manganese, which is harmful if swallowed or breathed",
            Self::Mercury => "holds mercury, which is toxic",
            Self::Nickel => "holds nickel, which can cause allergy and, breathed, cancer",
            Self::Zinc => "holds zinc, which is very toxic to what lives in water",
        }
    }
}

impl PigmentRecord {
    /// Of a pigment, where the table has it, or warns of its base.
    #[must_use]
    pub fn of(pigment: Pigment) -> Option<&'static Self> {
        let of = |pigment: Pigment| {
            let name = pigment.to_string();
            table::all().find(|record| record.name == name)
        };
        of(pigment).or_else(|| of(pigment.base()).filter(|base| !base.hazards.is_empty()))
    }

    /// The whole table, hazards first.
    pub fn all() -> impl Iterator<Item = &'static Self> {
        table::all()
    }
}

fn push_once<T: PartialEq>(list: &mut Vec<T>, item: T) {
    if !list.contains(&item) {
        list.push(item);
    }
}

/// A pigment's name and what it is made of.
fn made(pigment: Pigment) -> String {
    let holds = PigmentRecord::of(pigment).map(|record| format!(" ({})", record.holds));
    format!("{pigment}{}", holds.unwrap_or_default())
}

fn not_known_words(pigments: &[Pigment]) -> Option<String> {
    let names: Vec<_> = pigments.iter().map(Pigment::to_string).collect();
    (!names.is_empty()).then(|| format!("Not known: {}.", names.join(", ")))
}
