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
    "studio_state",
    "set_studio_aside",
    "settings",
    "keep_setting",
    "list_sessions",
    "begin_session",
    "describe_session",
    "duplicate_session",
    "search_kept",
    "delete_kept",
    "bring_back",
    "list_deleted",
    "keep_snapshot",
    "keep_waiting",
    "list_snapshots",
    "describe_snapshot",
    "move_snapshot",
    "duplicate_snapshot",
    "open_snapshot",
    "compare_snapshots",
    "list_undrawn",
    "draw_again",
    "picture_of",
    "hand_out",
    "print_handout",
    "back_up",
    "choose_parcel",
    "bring_in",
];

fn main() {
    let manifest = tauri_build::AppManifest::new().commands(COMMANDS);
    if let Err(error) = tauri_build::try_build(tauri_build::Attributes::new().app_manifest(manifest)) {
        println!("cargo::error={error:#}");
        std::process::exit(1);
    }
}
