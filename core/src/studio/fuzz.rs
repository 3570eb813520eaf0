//! Doors for the fuzz targets: whatever comes in from a file, as text or as bytes, is refused or understood.

use super::parcel::doors;
use super::seen::Seen;

/// A snapshot's record.
pub fn snapshot_record(text: &str) {
    if let Ok(seen) = Seen::from_json(text)
        && seen.check().is_ok()
    {
        seen.to_json().expect("what is in range can be written");
    }
}

/// A setting of a backup.
pub fn setting(name: &str, value: &str) {
    doors::fuzz_setting(name, value);
}

/// A whole parcel.
pub fn parcel(bytes: &[u8]) {
    doors::fuzz_parcel(bytes);
}

/// A parcel's record, in a parcel that holds nothing else.
pub fn parcel_record(text: &str) {
    doors::fuzz_record(text);
}
