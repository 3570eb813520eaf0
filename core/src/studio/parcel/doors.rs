//! Doors for the fuzz targets.

use super::{RECORD, checked::Checked, settings};
use std::io::{Cursor, Write};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

pub(in crate::studio) fn fuzz_setting(name: &str, value: &str) {
    let taken = settings::taken_over(name, value);
    assert_eq!(settings::taken_over(name, &taken), taken, "what was taken over is taken over as it is");
}

pub(in crate::studio) fn fuzz_parcel(bytes: &[u8]) {
    drop(Checked::of(Cursor::new(bytes), |_| Ok(())));
}

pub(in crate::studio) fn fuzz_record(text: &str) {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    let options = SimpleFileOptions::default().compression_method(CompressionMethod::Stored);
    zip.start_file(RECORD, options).expect("memory has room");
    zip.write_all(text.as_bytes()).expect("memory has room");
    fuzz_parcel(zip.finish().expect("memory has room").get_ref());
}
