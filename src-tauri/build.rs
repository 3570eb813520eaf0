//! Embeds the page and names the commands that the window may call.

const COMMANDS: &[&str] = &[
    "choose_photo",
    "waiting_offer",
    "pasted_offer",
    "open_offer",
    "open_sent",
    "open_demo",
    "progress_of",
    "cancel_open",
    "turn_photo",
    "close_photo",
    "set_light",
    "usual_tone",
    "set_bands",
    "read_spot",
    "compare_spots",
    "begin_live",
    "read_live",
    "set_live_bands",
];

fn main() {
    let manifest = tauri_build::AppManifest::new().commands(COMMANDS);
    if let Err(error) = tauri_build::try_build(tauri_build::Attributes::new().app_manifest(manifest)) {
        println!("cargo::error={error:#}");
        std::process::exit(1);
    }
}
