//! HEIC, behind one seam: without the feature `heic` it is an honest error.

#[cfg(feature = "heic")]
pub(super) use decoder::decode;

#[cfg(feature = "heic")]
mod decoder;
#[cfg(feature = "heic")]
mod work;

/// Says that this build cannot.
#[cfg(not(feature = "heic"))]
pub(super) fn decode(
    _bytes: &[u8],
    _limits: &super::Limits,
    _progress: &crate::photo::Progress,
) -> Result<crate::photo::stored::Stored, crate::photo::OpenError> {
    let what = "HEVC, which this build leaves out".to_owned();
    Err(crate::photo::OpenError::Unsupported { format: super::Kind::Heic.name(), what })
}
