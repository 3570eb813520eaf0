//! The turn in EXIF and in XMP.

#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| tonefast_core::fuzz::orientation(bytes));
