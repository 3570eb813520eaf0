//! The table of pigments.
//!
//! Read for it, in excerpts:
//!
//! * Annex VI part 1 of Regulation (EC) 1272/2008 (numbering, check digit), the names of its group entries for cadmium
//!   and mercury (ECHA), and of 082-009-00-X; its rows in public data: 051-003-00-9 (consolidated text of 1 July 2026),
//!   024-007-00-3, 024-017-00-8 and 082-001-00-6 (23rd adaptation), 056-002-00-7. Other index numbers as given by the
//!   International Chemical Safety Cards 0175 (025-001-00-3) and 0404 (048-010-00-4), the dossier on diantimony trioxide
//!   for Annex II of RoHS (051-005-00-X), a chemical dictionary (024-008-00-9, 024-009-00-4, 080-002-00-6) and an
//!   encyclopaedia (030-013-00-7, 082-004-00-2).
//! * REACH Annex XVII: entries 16 and 17 as quoted in a request to ECHA, entry 23 by Regulation (EU) 2016/217.
//! * The categories of 40 CFR 372.65(c), in public data; the Federal Register of 11 April 1995 (60 FR 18361);
//!   21 CFR 73.2250, 73.2496 and 73.2725, and the FDA's table of colours for cosmetics (2019), whose first rows give
//!   73.2087, 73.2298, 73.2299, 73.2326 and 73.2327.
//! * The summaries of IARC Monographs 87, 93, 100C and 131; OECD SIDS on C.I. Pigment Brown 24; Japan's tests of
//!   Pigment Yellow 53; safety card 1607; ECHA's dossier of Pigment Green 50; Canada's assessments of Pigment Red 3 and
//!   104 and of monoazo pigments, and its list of toxic pigments in a guide of 2015.
//! * Gettens & Stout, Painting Materials (the table of physical properties, which gives compositions); Wehlte, as quoted;
//!   the Museum of Fine Arts Boston's encyclopaedia on cobalt pigments; the appendix on colorants in J. Cosmet. Sci. 72
//!   (CI 69800).
//!
//! Constitution numbers read: those of PY31, PY34 (77603), PY37, PY53, PR3, PR49:1, PR108, PB15, PB28, PB60, PB72, PBk7,
//! PBk9, PBr24, PW1, PW4 and PW11. The others, and everything marked so, are from memory. Tests check their forms.

use super::Hazard::{
    self, Antimony, Arsenic, Azo, Barium, Cadmium, ChromiumSix, Cobalt, Copper, Dust, Lead, Manganese,
    Mercury, Nickel, Zinc,
};
use super::PigmentRecord;

type Words = &'static [&'static str];

/// The hazardous first, then those of low hazard.
pub(super) fn all() -> impl Iterator<Item = &'static PigmentRecord> {
    HARMFUL.iter().chain(&LOW)
}

const GETTENS: &str = "Gettens & Stout, Painting Materials: composition";

const IARC_CADMIUM: &str = "IARC Monographs 100C (2012): cadmium and its compounds, Group 1";
const CADMIUM: Words = &[
    IARC_CADMIUM,
    "CLP Annex VI: the group entry 048-001-00-5 for cadmium compounds excepts this one",
    "REACH Annex XVII entry 23, by (EU) 2016/217: no cadmium in paints of headings 3208 and 3209; artists' colours are 3213 (from memory)",
];
const CADMIUM_SULPHIDE: Words = &[IARC_CADMIUM, "CLP Annex VI 048-010-00-4: cadmium sulphide", GETTENS];

const IARC_COBALT: &str =
    "IARC Monographs 131 (2023): soluble cobalt(II) salts 2A, other cobalt(II) compounds Group 3";
const COBALT: Words = &[
    IARC_COBALT,
    "Museum of Fine Arts Boston, encyclopaedia of materials: cobalt pigments moderately toxic, allergies of the skin",
    "40 CFR 372.65(c): cobalt compounds",
];

const CANADA: &str =
    "Health Canada, as in a guide of 2015: among the pigments that are very toxic or may cause cancer";
const OLD_VIOLET: Words = &[
    IARC_COBALT,
    CANADA,
    "Wehlte, The Materials and Techniques of Painting (1975), as quoted: cobalt violet with arsenic is labelled poison",
    "40 CFR 372.65(c): cobalt compounds",
];

const IARC_LEAD: &str = "IARC Monographs 87 (2006): inorganic lead compounds, Group 2A";
const CLP_LEAD: &str = "CLP Annex VI 082-001-00-6: lead compounds";
const IARC_CHROMIUM: &str = "IARC Monographs 100C (2012): chromium(VI) compounds, Group 1";
const CLP_CHROMIUM: &str = "CLP Annex VI 024-017-00-8: chromium(VI) compounds";
const LEAD: Words = &[IARC_LEAD, CLP_LEAD, GETTENS];
const LEAD_CHROMATE: Words = &[IARC_LEAD, IARC_CHROMIUM, CLP_LEAD, CLP_CHROMIUM];

const IARC_NICKEL: &str = "IARC Monographs 100C (2012): nickel compounds, Group 1";
const NICKEL: Words = &[IARC_NICKEL, "40 CFR 372.65(c): nickel compounds"];

const IARC_ANTIMONY: &str = "IARC Monographs 131 (2023): trivalent antimony 2A, pentavalent Group 3";
const CLP_ANTIMONY: &str =
    "CLP Annex VI 051-003-00-9: antimony compounds, but the sulphides, tetroxide and pentoxide";

const IARC_ARSENIC: &str = "IARC Monographs 100C (2012): arsenic and its inorganic compounds, Group 1";
const ARSENIC: Words = &[IARC_ARSENIC, "CLP Annex VI 033-002-00-5: arsenic compounds (from memory)", GETTENS];

const MERCURY: Words = &[
    "40 CFR 372.65(c): mercury compounds",
    "CLP Annex VI 080-002-00-6: inorganic mercury compounds, which excepts the sulphide",
    GETTENS,
];
const CADMIUM_MERCURY: Words = &[IARC_CADMIUM, "40 CFR 372.65(c): mercury compounds"];

const MANGANESE: Words = &["40 CFR 372.65(c): manganese compounds", GETTENS];
const MANGANESE_OXIDE: Words = &["CLP Annex VI 025-001-00-3: manganese dioxide", GETTENS];
const BARIUM: &str = "CLP Annex VI 056-002-00-7: barium salts";
const COPPER: Words = &["40 CFR 372.65(c): copper compounds, but for phthalocyanines", GETTENS];
const MALACHITE: Words = &[
    "CLP Annex VI 029-020-00-8: copper carbonate with copper hydroxide, 1:1 (number from memory)",
    "40 CFR 372.65(c): copper compounds, but for phthalocyanines",
    GETTENS,
];
const DUST: Words = &["IARC Monographs 93 (2010): possibly carcinogenic when inhaled, Group 2B"];

const IN_COSMETICS: &str = "Regulation (EC) 1223/2009 Annex IV: in all cosmetic products (from memory)";
const COSMETICS: Words = &[IN_COSMETICS];
const ULTRAMARINE: Words =
    &["21 CFR 73.2725: ultramarines of all hues, in cosmetics put on the skin", IN_COSMETICS];
const IRON_OXIDE: Words = &["21 CFR 73.2250: synthetic iron oxides, in cosmetics generally", IN_COSMETICS];
const BARYTES: Words = &["40 CFR 372.65(c): struck off the toxic barium compounds", IN_COSMETICS];
const PHTHALOCYANINE: Words = &[
    "60 FR 18361 (1995): copper phthalocyanines with hydrogen, chlorine or bromine struck off the toxic copper compounds",
];

/// One row.
const fn row(
    name: &'static str,
    constitution: Words,
    holds: &'static str,
    hazards: &'static [Hazard],
    sources: Words,
) -> PigmentRecord {
    PigmentRecord { name, constitution, holds, hazards, sources }
}

#[rustfmt::skip] // a row a line
const HARMFUL: [PigmentRecord; 85] = [
    row("PY35", &["77205"], "cadmium zinc sulphide", &[Cadmium], CADMIUM),
    row("PY35:1", &["77205:1"], "cadmium zinc sulphide, barium sulphate", &[Cadmium], CADMIUM),
    row("PY37", &["77199"], "cadmium sulphide", &[Cadmium], CADMIUM_SULPHIDE),
    row("PY37:1", &["77199:1"], "cadmium sulphide, barium sulphate", &[Cadmium], CADMIUM_SULPHIDE),
    row("PO20", &["77196", "77202"], "cadmium sulphoselenide", &[Cadmium], CADMIUM),
    row("PO20:1", &["77202:1"], "cadmium sulphoselenide, barium sulphate", &[Cadmium], CADMIUM),
    row("PR108", &["77196", "77202"], "cadmium sulphoselenide", &[Cadmium], CADMIUM),
    row("PR108:1", &["77202:1"], "cadmium sulphoselenide, barium sulphate", &[Cadmium], CADMIUM),
    row("PO23", &["77201"], "cadmium mercury sulphide", &[Cadmium, Mercury], CADMIUM_MERCURY),
    row("PO23:1", &["77201:1"], "cadmium mercury sulphide, barium sulphate", &[Cadmium, Mercury], CADMIUM_MERCURY),
    row("PR113", &["77201"], "cadmium mercury sulphide", &[Cadmium, Mercury], CADMIUM_MERCURY),
    row("PR113:1", &["77201:1"], "cadmium mercury sulphide, barium sulphate", &[Cadmium, Mercury], CADMIUM_MERCURY),
    row("PR106", &["77766"], "mercury sulphide", &[Mercury], MERCURY),

    row("PB28", &["77346"], "cobalt aluminate", &[Cobalt], COBALT),
    row("PB32", &["77365"], "glass with cobalt", &[Cobalt], COBALT),
    row("PB35", &["77368"], "cobalt stannate", &[Cobalt], COBALT),
    row("PB36", &["77343"], "cobalt aluminium chromite", &[Cobalt], COBALT),
    row("PB36:1", &["77343:1"], "zinc cobalt aluminium chromite", &[Cobalt], COBALT),
    row("PB72", &["77347"], "cobalt zinc aluminate", &[Cobalt], COBALT),
    row("PB73", &["77364"], "cobalt silicate", &[Cobalt], COBALT),
    row("PB74", &["77366"], "cobalt zinc silicate", &[Cobalt], COBALT),
    row("PG19", &["77335"], "cobalt zinc oxide", &[Cobalt], COBALT),
    row("PG26", &["77344"], "cobalt chromite", &[Cobalt], COBALT),
    row("PG50", &["77377"], "cobalt titanate, often with nickel", &[Cobalt, Nickel], &[IARC_COBALT, IARC_NICKEL, "ECHA, dossier of Pigment Green 50: a titanate of cobalt, nickel and zinc"]),
    row("PV14", &["77360"], "cobalt phosphate; in old paint perhaps cobalt arsenate", &[Cobalt], OLD_VIOLET),
    row("PV47", &["77363"], "cobalt lithium phosphate", &[Cobalt], COBALT),
    row("PV48", &["77352"], "cobalt magnesium borate", &[Cobalt], COBALT),
    row("PV49", &["77362"], "cobalt ammonium phosphate", &[Cobalt], COBALT),
    row("PY40", &["77357"], "potassium cobaltinitrite", &[Cobalt], COBALT),
    row("PBk13", &["77322"], "cobalt oxide", &[Cobalt], COBALT),
    row("PBk25", &["77332"], "cobalt nickel oxide", &[Cobalt, Nickel], &[IARC_COBALT, IARC_NICKEL]),
    row("PBk27", &["77502"], "iron cobalt chromite", &[Cobalt], COBALT),
    row("PBk29", &["77498"], "iron cobalt oxide", &[Cobalt], COBALT),

    row("PW1", &["77597"], "basic lead carbonate", &[Lead], &[IARC_LEAD, CLP_LEAD, GETTENS, "REACH Annex XVII entry 16: lead carbonates in paints"]),
    row("PW2", &["77633"], "basic lead sulphate", &[Lead], &[IARC_LEAD, CLP_LEAD, "REACH Annex XVII entry 17: lead sulphates in paints"]),
    row("PY34", &["77600", "77603"], "lead chromate, lead sulphate", &[Lead, ChromiumSix], &["CLP Annex VI 082-009-00-X: lead sulfochromate yellow", IARC_LEAD, IARC_CHROMIUM]),
    row("PY41", &["77588", "77589"], "lead antimonate", &[Lead, Antimony], &[IARC_LEAD, CLP_LEAD, CLP_ANTIMONY, GETTENS]),
    row("PY46", &["77577"], "lead monoxide", &[Lead], LEAD),
    row("PO21", &["77601"], "basic lead chromate", &[Lead, ChromiumSix], LEAD_CHROMATE),
    row("PR103", &["77601"], "basic lead chromate", &[Lead, ChromiumSix], LEAD_CHROMATE),
    row("PR104", &["77605"], "lead chromate, molybdate and sulphate", &[Lead, ChromiumSix], &["Health Canada, final screening assessment of C.I. Pigment Red 104 (2009): cancer in animals, harm to the unborn", "CLP Annex VI 082-010-00-5: lead chromate molybdate sulphate red (number from memory)", IARC_LEAD, IARC_CHROMIUM]),
    row("PR105", &["77578"], "lead tetroxide", &[Lead], LEAD),
    row("PG15", &[], "lead chromate and iron blue", &[Lead, ChromiumSix], &[GETTENS, IARC_LEAD, IARC_CHROMIUM, "CLP Annex VI 082-004-00-2: lead chromate"]),
    row("PY31", &["77103"], "barium chromate", &[ChromiumSix, Barium], &["International Chemical Safety Card 1607: barium chromate may cause cancer", IARC_CHROMIUM, BARIUM, GETTENS]),
    row("PY32", &["77839"], "strontium chromate", &[ChromiumSix], &[IARC_CHROMIUM, "CLP Annex VI 024-009-00-4: strontium chromate", GETTENS]),
    row("PY33", &["77223"], "calcium chromate", &[ChromiumSix], &[IARC_CHROMIUM, "CLP Annex VI 024-008-00-9: calcium chromate"]),
    row("PY36", &["77955"], "zinc potassium chromate", &[ChromiumSix], &[IARC_CHROMIUM, "CLP Annex VI 024-007-00-3: zinc chromates, zinc potassium chromate among them", GETTENS]),
    row("PY36:1", &[], "basic zinc chromate", &[ChromiumSix], &[IARC_CHROMIUM, "CLP Annex VI 024-007-00-3: zinc chromates, zinc potassium chromate among them"]),

    row("PY53", &["77788"], "titanium oxide with nickel and antimony", &[Nickel, Antimony], &[IARC_NICKEL, CLP_ANTIMONY, "National Institute of Health Sciences, Japan, tests of Pigment Yellow 53: no harm to rats by mouth up to 1000 mg/kg a day"]),
    row("PY157", &["77900"], "nickel barium titanate", &[Nickel], NICKEL),
    row("PY161", &["77895"], "titanium oxide with nickel and niobium", &[Nickel], NICKEL),
    row("PY189", &["77902"], "titanium oxide with nickel and tungsten", &[Nickel], NICKEL),
    row("PY150", &["12764"], "nickel azo complex", &[Nickel], NICKEL),
    row("PY153", &["48545"], "nickel dioxime complex", &[Nickel], NICKEL),
    row("PG10", &["12775"], "nickel azo complex", &[Nickel], NICKEL),
    row("PO65", &["48053"], "nickel azomethine complex", &[Nickel], NICKEL),
    row("PO68", &["486150"], "nickel azomethine complex", &[Nickel], NICKEL),
    row("PR257", &["562700"], "nickel isoindolinone complex", &[Nickel], NICKEL),
    row("PBk30", &["77504"], "nickel iron chromite", &[Nickel], NICKEL),

    row("PBr24", &["77310"], "titanium oxide with chromium(III) and antimony", &[Antimony], &[CLP_ANTIMONY, "OECD SIDS (2002): next to nothing is taken up from it by mouth"]),
    row("PBk23", &["77865"], "tin antimony oxide", &[Antimony], &[IARC_ANTIMONY, CLP_ANTIMONY]),
    row("PR107", &["77060"], "antimony sulphide", &[Antimony], &[IARC_ANTIMONY, GETTENS]),
    row("PW11", &["77052"], "antimony trioxide", &[Antimony], &[IARC_ANTIMONY, "CLP Annex VI 051-005-00-X: diantimony trioxide", GETTENS]),
    row("PY164", &["77899"], "titanium oxide with manganese and antimony", &[Manganese, Antimony], &[CLP_ANTIMONY, "40 CFR 372.65(c): manganese compounds"]),

    row("PY39", &["77085", "77086"], "arsenic sulphide", &[Arsenic], ARSENIC),
    row("PG21", &["77410"], "copper acetoarsenite", &[Arsenic, Copper], ARSENIC),
    row("PG22", &["77412"], "copper arsenite", &[Arsenic, Copper], &[IARC_ARSENIC, "CLP Annex VI 033-002-00-5: arsenic compounds (from memory)"]),

    row("PV16", &["77742"], "manganese ammonium pyrophosphate", &[Manganese], MANGANESE),
    row("PB33", &["77112"], "barium manganate, barium sulphate", &[Manganese, Barium], &["40 CFR 372.65(c): manganese compounds", BARIUM, GETTENS]),
    row("PBk14", &["77728"], "manganese dioxide", &[Manganese], &["CLP Annex VI 025-001-00-3: manganese dioxide"]),
    row("PBk26", &["77494"], "manganese iron oxide", &[Manganese], &["40 CFR 372.65(c): manganese compounds"]),
    row("PBr8", &["77727", "77730"], "manganese oxide", &[Manganese], &["40 CFR 372.65(c): manganese compounds"]),
    row("PBr7", &["77491", "77492", "77499"], "natural iron oxide, in umbers with manganese oxide", &[Manganese], MANGANESE_OXIDE),

    row("PB30", &["77420"], "basic copper carbonate", &[Copper], COPPER),
    row("PG39", &["77420"], "basic copper carbonate", &[Copper], MALACHITE),
    row("PG20", &["77408"], "basic copper acetate", &[Copper], COPPER),
    row("PB31", &["77437"], "calcium copper silicate", &[Copper], COPPER),

    row("PR3", &["12120"], "nitro azo dye", &[Azo], &["Health Canada, performance measurement evaluation of Pigment Red 3: cancer in animals, kept out of cosmetics"]),
    row("PR49:1", &["15630:1"], "barium salt of an azo acid", &[Barium], &[CANADA, "Environment Canada, screening assessment of monoazo pigments (2016): its number; that it is the lithol red of the list is from memory"]),

    row("PW4", &["77947"], "zinc oxide", &[Zinc], &["CLP Annex VI 030-013-00-7: zinc oxide", GETTENS]),
    row("PW6", &["77891"], "titanium dioxide", &[Dust], DUST),
    row("PW6:1", &[], "titanium dioxide", &[Dust], DUST),
    row("PBk6", &["77266"], "carbon", &[Dust], DUST),
    row("PBk7", &["77266"], "carbon", &[Dust], DUST),
    row("PBk6:1", &[], "carbon", &[Dust], DUST),
];

#[rustfmt::skip] // a row a line
const LOW: [PigmentRecord; 30] = [
    row("PB15", &["74160"], "copper phthalocyanine", &[], PHTHALOCYANINE),
    row("PB15:1", &["74160"], "copper phthalocyanine", &[], PHTHALOCYANINE),
    row("PB15:2", &["74160"], "copper phthalocyanine", &[], PHTHALOCYANINE),
    row("PB15:3", &["74160"], "copper phthalocyanine", &[], PHTHALOCYANINE),
    row("PB15:4", &["74160"], "copper phthalocyanine", &[], PHTHALOCYANINE),
    row("PB15:5", &["74160"], "copper phthalocyanine", &[], PHTHALOCYANINE),
    row("PB15:6", &["74160"], "copper phthalocyanine", &[], PHTHALOCYANINE),
    row("PG7", &["74260"], "chlorinated copper phthalocyanine", &[], PHTHALOCYANINE),
    row("PG36", &["74265"], "brominated copper phthalocyanine", &[], PHTHALOCYANINE),
    row("PB60", &["69800"], "indanthrone", &[], &["Regulation (EC) 1223/2009 Annex IV, as in J. Cosmet. Sci. 72: listed without a restriction"]),
    row("PB29", &["77007"], "ultramarine, a sulphurous silicate", &[], ULTRAMARINE),
    row("PV15", &["77007"], "ultramarine, a sulphurous silicate", &[], ULTRAMARINE),
    row("PR259", &["77007"], "ultramarine, a sulphurous silicate", &[], ULTRAMARINE),
    row("PG24", &["77007"], "ultramarine, a sulphurous silicate", &[], ULTRAMARINE),
    row("PB27", &["77510"], "iron ferrocyanide; strong acid or heat frees cyanide from it", &[], &["21 CFR 73.2298 and 73.2299: in cosmetics put on the skin, not in lipstick", IN_COSMETICS]),
    row("PR101", &["77491"], "iron oxide", &[], IRON_OXIDE),
    row("PR102", &["77491"], "natural iron oxide", &[], COSMETICS),
    row("PY42", &["77492"], "hydrated iron oxide", &[], IRON_OXIDE),
    row("PY43", &["77492"], "natural hydrated iron oxide", &[], COSMETICS),
    row("PBr6", &["77491", "77492", "77499"], "iron oxides", &[], IRON_OXIDE),
    row("PBk11", &["77499"], "iron oxide", &[], IRON_OXIDE),
    row("PG17", &["77288"], "chromium(III) oxide; harmful where chromium(VI) is left in it", &[], &["21 CFR 73.2327: chromium oxide greens in cosmetics put on the skin, not in lipstick", "Regulation (EC) 1223/2009 Annex IV: in all cosmetic products, free from chromate (from memory)"]),
    row("PG18", &["77289"], "hydrated chromium(III) oxide; harmful where chromium(VI) is left in it", &[], &["21 CFR 73.2326: chromium hydroxide green in cosmetics put on the skin, not in lipstick", "Regulation (EC) 1223/2009 Annex IV: in all cosmetic products, free from chromate (from memory)"]),
    row("PBk9", &["77267"], "charred bone", &[], &["21 CFR 74.2053: bone black in cosmetics", IN_COSMETICS]),
    row("PW18", &["77220"], "calcium carbonate", &[], COSMETICS),
    row("PW19", &["77004"], "clay", &[], COSMETICS),
    row("PW20", &["77019"], "mica", &[], &["21 CFR 73.2496: mica in cosmetics generally", IN_COSMETICS]),
    row("PW21", &["77120"], "barium sulphate, which does not dissolve", &[], BARYTES),
    row("PW22", &["77120"], "barium sulphate, which does not dissolve", &[], BARYTES),
    row("NR4", &["75470"], "carmine, from insects; a few are allergic to it", &[], &["21 CFR 73.2087: carmine in cosmetics generally", IN_COSMETICS]),
];
