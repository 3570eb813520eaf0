//! JPEGs whose channels come one by one, each in a scan of its own (ITU-T T.81, A.2.2): rare, but some encoders write
//! them when they tune their codes. The quick decoder garbles them where colour is stored at half size.

use super::FORMAT;
use crate::photo::OpenError;
use jpeg_decoder::{Decoder, Error, PixelFormat};

/// `count` interleaved samples a pixel, for a picture of this size; inks come as amounts.
pub(super) fn decode(bytes: &[u8], size: (u32, u32), count: usize) -> Result<Vec<u8>, OpenError> {
    let mut decoder = Decoder::new(bytes);
    let samples = decoder.decode().map_err(broken)?;
    let format = decoder.info().map(|info| info.pixel_format);
    let samples = match (format, count) {
        (Some(PixelFormat::RGB24), 3) | (Some(PixelFormat::CMYK32), 4) => samples,
        (Some(PixelFormat::L8), 3) => samples.into_iter().flat_map(|grey| [grey; 3]).collect(),
        _ => {
            return Err(OpenError::Unsupported {
                format: FORMAT,
                what: "channels of unequal depth".to_owned(),
            });
        }
    };
    if samples.len() == size.0 as usize * size.1 as usize * count {
        Ok(samples)
    } else {
        Err(OpenError::Broken { format: FORMAT, detail: "its size is told in two ways".to_owned() })
    }
}

fn broken(error: Error) -> OpenError {
    match error {
        Error::Unsupported(what) => OpenError::Unsupported { format: FORMAT, what: format!("{what:?}") },
        other => OpenError::Broken { format: FORMAT, detail: other.to_string() },
    }
}
