//! The shell: a window, its files, and commands that hand everything on to core.
//!
//! The page holds no path and no pixel of a file: it opens *offers* that the shell made (a picked, dropped or named
//! file), and fetches what it shows through the `picture` scheme.

#![allow(
    clippy::needless_pass_by_value,
    reason = "Tauri hands commands and handlers what they take by value"
)]

mod camera;
mod clipboard;
#[cfg(test)]
mod demo_truths;
mod drop;
mod error;
mod files;
mod light;
mod live;
#[cfg(test)]
mod page_types;
mod photo;
mod picture;
mod reading;
mod state;
#[cfg(feature = "windowless")]
#[doc(hidden)]
pub mod windowless;

use state::Shell;
use tauri::{Manager, WebviewUrl, WebviewWindowBuilder};

/// Opens the window and runs until it is closed.
///
/// # Panics
/// If no window can be opened: there is then nobody to tell but the terminal.
#[cfg_attr(mobile, tauri::mobile_entry_point)]
pub fn run() {
    let shell = Shell::default();
    if let Some(path) = std::env::args_os().nth(1) {
        shell.offer_at_start(path.into());
    }
    tauri::Builder::default()
        .plugin(tauri_plugin_dialog::init())
        .manage(shell)
        .register_asynchronous_uri_scheme_protocol(picture::SCHEME, picture::answer)
        .invoke_handler(tauri::generate_handler![
            files::choose_photo,
            files::waiting_offer,
            clipboard::pasted_offer,
            photo::open_offer,
            photo::open_sent,
            photo::open_demo,
            photo::progress_of,
            photo::cancel_open,
            photo::turn_photo,
            photo::close_photo,
            light::set_light,
            light::usual_tone,
            reading::set_bands,
            reading::read_spot,
            reading::compare_spots,
            live::begin_live,
            live::read_live,
            live::set_live_bands,
        ])
        .setup(|app| {
            let window = WebviewWindowBuilder::new(app, "main", WebviewUrl::default())
                .title("Tonefast")
                .inner_size(1280.0, 800.0)
                .min_inner_size(320.0, 320.0)
                .on_permission_request(camera::permit)
                .build()?;
            #[cfg(target_os = "linux")]
            camera::stand_in(&window)?;
            let handle = app.handle().clone();
            window.on_window_event(move |event| {
                drop::on_window_event(event, &handle.state::<Shell>(), &handle);
            });
            Ok(())
        })
        .run(tauri::generate_context!())
        .expect("the window could not be opened");
}
