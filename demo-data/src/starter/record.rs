//! The form in which paints are handed out, in the order in which the app writes its fields.

use serde::Serialize;

#[derive(Serialize)]
pub(super) struct BoxRecord {
    pub(super) schema: &'static str,
    pub(super) version: u32,
    pub(super) paints: Vec<PaintRecord>,
}

#[derive(Serialize)]
pub(super) struct PaintRecord {
    pub(super) about: AboutRecord,
    pub(super) strips: Vec<StripRecord>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct AboutRecord {
    pub(super) name: &'static str,
    pub(super) maker: &'static str,
    pub(super) pigments: &'static str,
    pub(super) mixed_of: &'static str,
    pub(super) notes: &'static str,
    pub(super) transparent: bool,
    pub(super) granulating: bool,
    pub(super) staining: bool,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct StripRecord {
    pub(super) laid: &'static str,
    pub(super) wet: bool,
    pub(super) day: &'static str,
    pub(super) paper: &'static str,
    pub(super) paper_lightness: f64,
    pub(super) steps: Vec<StepRecord>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) wet_lightness: Option<Vec<f64>>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct StepRecord {
    pub(super) lightness: f64,
    pub(super) plus_minus: f64,
    pub(super) tint: [f64; 2],
}
