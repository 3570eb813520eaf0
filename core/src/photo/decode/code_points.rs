//! Colours by code points (ITU-T H.273): in PNG's cICP, in HEIC's nclx.

use crate::lightness::srgb_decode;
use crate::photo::OpenError;
use crate::photo::encoding::Depth;
use crate::photo::primaries::{D65, Primaries};
use crate::photo::stored::Encoding;

/// Primaries and transfer, as numbered in ITU-T H.273.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct CodePoints {
    pub(super) primaries: u16,
    pub(super) transfer: u16,
}

impl CodePoints {
    /// Refuses what has no white of its own to measure against.
    ///
    /// # Errors
    /// [`OpenError::Unsupported`] for PQ and HLG.
    pub(super) fn refuse_high_dynamic_range(self, format: &'static str) -> Result<(), OpenError> {
        let name = match self.transfer {
            16 => "PQ",
            18 => "HLG",
            _ => return Ok(()),
        };
        Err(OpenError::Unsupported { format, what: format!("{name}, light meant for very bright screens") })
    }

    /// The encoding, and a name for it unless it is sRGB.
    ///
    /// # Errors
    /// Why not, where the numbers are unknown; unspecified ones mean sRGB's.
    pub(super) fn encoding(self, depth: Depth) -> Result<(Encoding, Option<String>), String> {
        let (primaries, primaries_name) = primaries(self.primaries)
            .ok_or_else(|| format!("its primaries, {}, are unknown", self.primaries))?;
        let (transfer, transfer_name) =
            transfer(self.transfer).ok_or_else(|| format!("its transfer, {}, is unknown", self.transfer))?;
        let encoding =
            Encoding::from_primaries(&primaries, transfer, depth).ok_or("its primaries make no sense")?;
        let known = (primaries_name, transfer_name);
        let name = match known {
            ("BT.709", "sRGB") => None,
            ("Display P3", "sRGB") => Some("Display P3".to_owned()),
            _ => Some(format!("{primaries_name} colours, {transfer_name} curve")),
        };
        Ok((encoding, name))
    }
}

/// H.273, table 2. 8 (film) and 10 (XYZ itself) are not for photographs.
fn primaries(code: u16) -> Option<(Primaries, &'static str)> {
    const ILLUMINANT_C: [f64; 2] = [0.310, 0.316];
    const SMPTE_C: Primaries =
        Primaries { red: [0.630, 0.340], green: [0.310, 0.595], blue: [0.155, 0.070], white: D65 };
    Some(match code {
        1 | 2 => (Primaries::BT709, "BT.709"),
        4 => {
            let (red, green, blue) = ([0.67, 0.33], [0.21, 0.71], [0.14, 0.08]);
            (Primaries { red, green, blue, white: ILLUMINANT_C }, "BT.470 M")
        }
        5 => {
            let (red, green, blue) = ([0.64, 0.33], [0.29, 0.60], [0.15, 0.06]);
            (Primaries { red, green, blue, white: D65 }, "BT.470 BG")
        }
        6 | 7 => (SMPTE_C, "SMPTE 170M"),
        9 => (Primaries::BT2020, "BT.2020"),
        11 => (Primaries { white: [0.314, 0.351], ..Primaries::P3_D65 }, "DCI-P3"),
        12 => (Primaries::P3_D65, "Display P3"),
        22 => {
            let (red, green, blue) = ([0.630, 0.340], [0.295, 0.605], [0.155, 0.077]);
            (Primaries { red, green, blue, white: D65 }, "EBU 3213")
        }
        _ => return None,
    })
}

/// From encoded to linear, both 0–1.
type Transfer = fn(f64) -> f64;

/// H.273, table 3, the inverse of its functions.
fn transfer(code: u16) -> Option<(Transfer, &'static str)> {
    Some(match code {
        1 | 6 | 11 | 14 | 15 => (bt709 as Transfer, "BT.709"),
        4 => (|v| libm::pow(v, 2.2), "gamma 2.2"),
        5 => (|v| libm::pow(v, 2.8), "gamma 2.8"),
        7 => (smpte240, "SMPTE 240M"),
        8 => (|v| v, "linear"),
        2 | 13 => (srgb_decode, "sRGB"),
        _ => return None,
    })
}

/// The constants of ITU-R BT.2020-2 at their full length, which make the two branches meet.
fn bt709(encoded: f64) -> f64 {
    const ALPHA: f64 = 1.099_296_826_809_44;
    const BETA: f64 = 0.018_053_968_510_807;
    if encoded < 4.5 * BETA { encoded / 4.5 } else { libm::pow((encoded + ALPHA - 1.0) / ALPHA, 1.0 / 0.45) }
}

fn smpte240(encoded: f64) -> f64 {
    const ALPHA: f64 = 1.1115;
    const BETA: f64 = 0.0228;
    if encoded < 4.0 * BETA { encoded / 4.0 } else { libm::pow((encoded + ALPHA - 1.0) / ALPHA, 1.0 / 0.45) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(primaries: u16, transfer: u16) -> Result<(Encoding, Option<String>), String> {
        CodePoints { primaries, transfer }.encoding(Depth::Eight)
    }

    /// Y rows: BT.2020-2 table 4; P3 by colour-science 0.4.7. Transfers: the formulas of H.273 at code 128 by hand.
    #[test]
    fn code_points_mean_what_the_standard_says() {
        let (p3, name) = of(12, 13).unwrap();
        assert_eq!(name.as_deref(), Some("Display P3"));
        assert!((p3.y_row[0] - 0.228_975).abs() < 1e-5);
        let (bt2020, name) = of(9, 1).unwrap();
        assert_eq!(name.as_deref(), Some("BT.2020 colours, BT.709 curve"));
        assert!((bt2020.y_row[1] - 0.6780).abs() < 1e-4);
        // ((128/255 + .0993) / 1.0993)^(1/.45) = .2616
        assert!((bt2020.linear_from_code[0][128] - 0.2616).abs() < 1e-4);
        let (linear, _) = of(1, 8).unwrap();
        assert!((linear.linear_from_code[0][51] - 0.2).abs() < 1e-6);
        assert_eq!(of(1, 13).unwrap().1, None);
        assert_eq!(of(2, 2).unwrap().1, None);
    }

    #[test]
    fn every_known_pair_rises_to_white() {
        for primaries in 0..=30 {
            for transfer in 0..=20 {
                if let Ok((encoding, _)) = of(primaries, transfer) {
                    assert!((encoding.linear_from_code[0][255] - 1.0).abs() < 1e-3, "{transfer}");
                    assert!((encoding.y_row.iter().sum::<f32>() - 1.0).abs() < 1e-5, "{primaries}");
                }
            }
        }
        assert!(of(3, 13).is_err() && of(1, 3).is_err() && of(1, 16).is_err());
    }

    #[test]
    fn light_for_very_bright_screens_is_refused_in_words() {
        for (transfer, word) in [(16, "PQ"), (18, "HLG")] {
            let error = CodePoints { primaries: 9, transfer }.refuse_high_dynamic_range("PNG").unwrap_err();
            assert!(error.to_string().contains(word));
        }
        assert!(CodePoints { primaries: 9, transfer: 1 }.refuse_high_dynamic_range("PNG").is_ok());
    }
}
