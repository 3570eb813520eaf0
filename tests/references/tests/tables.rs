//! A table of paints against Python's csv module, which reads and writes as spreadsheets do (its dialect "excel").

use std::io::Write;
use std::process::{Command, Stdio};
use tonefast_core::{PaintBox, PaintRecord};

const SCRIPT: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/python/table.py");

/// Texts that a spreadsheet would run, quote or break; numbers with more digits than are known.
const PAINTS: &str = r#"{"schema": "tonefast paints", "version": 1, "paints": [
    {"about": {"name": "=1+1", "maker": "+44", "pigments": "-own", "mixedOf": "", "notes": "@sum\r\n\"two\", lines"},
     "strips": [
        {"laid": "washes", "day": "=TODAY()", "paper": "\trough", "paperLightness": 94.53, "steps": [
            {"lightness": 91.13103296063254, "plusMinus": 3.9501, "tint": [-3.2049, 0.333333]},
            {"lightness": 40.5, "plusMinus": 4, "tint": [-12, -40.125]}]},
        {"laid": "layers", "paperLightness": 94, "wetLightness": [70.001, 50], "steps": [
            {"lightness": 75, "plusMinus": 2, "tint": [0, 0]},
            {"lightness": 55, "plusMinus": 2, "tint": [0, 0]}]}]},
    {"about": {"name": "'=an apostrophe of its own", "notes": "\r🌊 é"}}]}"#;

#[test]
fn python_reads_a_table_and_what_it_writes_is_the_same_paints() {
    let paints = PaintBox::read(PAINTS.as_bytes()).expect("paints");
    let mut python = Command::new("python3")
        .arg(SCRIPT)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("python3 is needed for these tests");
    let mut input = python.stdin.take().expect("a pipe");
    input.write_all(paints.csv().as_bytes()).expect("python reads");
    drop(input);
    let output = python.wait_with_output().expect("python ends");
    assert!(output.status.success(), "python says above what it does not take");
    let read = PaintBox::read(&output.stdout).expect("a table");
    let tabled: Vec<_> = paints.paints.iter().map(PaintRecord::tabled).collect();
    assert_eq!(read.paints, tabled);
}
