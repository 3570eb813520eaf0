//! Starts the shell.
#![cfg_attr(not(debug_assertions), windows_subsystem = "windows")]

fn main() {
    tonefast_app::run();
}
