//! Settings of a backup, as they mean something on another machine.

use serde_json::Value;
use uuid::Uuid;

/// The setting that names the session which is kept into.
const SESSION: &str = "session";

/// The page's setting, and in it the paint that a test dab was meant for last.
const PAGE: &str = "check";
const PAINT: &str = "/dab/paint";

/// A setting as it is taken over. Backups of older versions refer to rows by their number, which another database gives
/// to other rows: such a reference is dropped, since nothing says which row it was.
pub(super) fn taken_over(name: &str, value: &str) -> String {
    match name {
        SESSION if Uuid::parse_str(value).is_err() => String::new(),
        PAGE => without_numbered_paint(value).unwrap_or_else(|| value.to_owned()),
        _ => value.to_owned(),
    }
}

/// None where it names no paint by a number.
fn without_numbered_paint(value: &str) -> Option<String> {
    let mut settings: Value = serde_json::from_str(value).ok()?;
    let paint = settings.pointer_mut(PAINT).filter(|paint| paint.is_number())?;
    *paint = Value::Null;
    Some(settings.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_row_named_by_its_number_is_dropped_and_one_named_by_its_uuid_stays() {
        let uuid = "01a0c450-6c00-7845-9156-8c3041508664";
        let page = |paint: &str| format!(r#"{{"dab":{{"paint":{paint},"step":5}},"sun":true}}"#);
        for (name, value, taken) in [
            ("session", "3", ""),
            ("session", uuid, uuid),
            ("session", "", ""),
            ("check", &page("7"), &page("null")),
            ("check", &page(&format!("\"{uuid}\"")), &page(&format!("\"{uuid}\""))),
            ("check", "no JSON", "no JSON"),
            ("sun", "3", "3"),
        ] {
            assert_eq!(taken_over(name, value), taken, "{name} {value}");
        }
    }
}
