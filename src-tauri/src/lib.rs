//! The shell: a window, its files, and commands that hand everything on to core.
//!
//! The page holds no path and no pixel of a file: it opens *offers* that the shell made (a picked, dropped or named
//! file), and fetches what it shows through the `picture` scheme.

#![allow(
    clippy::needless_pass_by_value,
    reason = "Tauri hands commands and handlers what they take by value"
)]

#[cfg(desktop)]
mod again;
mod camera;
mod clipboard;
#[cfg(test)]
mod demo_truths;
mod doors;
mod drawing;
mod drop;
mod error;
mod files;
mod light;
mod live;
mod log;
#[cfg(test)]
mod page_types;
mod paint;
mod parcel;
mod photo;
mod picture;
mod reading;
mod session;
#[cfg(unix)]
mod signals;
mod snapshot;
mod state;
mod strip;
mod studio;
mod thumbnails;
#[cfg(feature = "windowless")]
#[doc(hidden)]
pub mod windowless;
mod worker;

use state::Shell;
use std::path::PathBuf;
use std::sync::Arc;
use studio::Places;
use tauri::path::PathResolver;
use tauri::webview::NewWindowResponse;
use tauri::{Manager, WebviewUrl, WebviewWindowBuilder, Wry};

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
    let app = tauri::Builder::default();
    // First, so that a second instance ends before it opens anything. Without a session bus it goes on, and finds the
    // studio locked.
    #[cfg(desktop)]
    let app = app.plugin(tauri_plugin_single_instance::init(again::on_second_start));
    app.plugin(tauri_plugin_dialog::init())
        .manage(shell)
        .manage(studio::Closing::default())
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
            reading::bands_alone,
            reading::read_spot,
            reading::compare_spots,
            live::begin_live,
            live::read_live,
            live::set_live_bands,
            studio::studio_state,
            studio::set_studio_aside,
            studio::list_set_aside,
            studio::bring_studio_back,
            studio::restore_backup,
            studio::settings,
            studio::keep_setting,
            session::list_sessions,
            session::begin_session,
            session::describe_session,
            session::duplicate_session,
            session::search_kept,
            session::delete_kept,
            session::bring_back,
            session::list_deleted,
            snapshot::keep_snapshot,
            studio::keep_waiting,
            studio::close_window,
            snapshot::list_snapshots,
            snapshot::describe_snapshot,
            snapshot::move_snapshot,
            snapshot::duplicate_snapshot,
            snapshot::open_snapshot,
            snapshot::compare_snapshots,
            drawing::list_undrawn,
            drawing::draw_again,
            drawing::picture_of,
            parcel::hand_out,
            parcel::print_handout,
            parcel::back_up,
            parcel::choose_parcel,
            parcel::bring_in,
            paint::list_paints,
            paint::describe_paint,
            paint::stand_ins,
            paint::paints_in_bands,
            paint::run_together,
            paint::pair_grid,
            paint::judge_dab,
            paint::hand_out_paints,
            paint::choose_paints,
            paint::take_in_paints,
            paint::take_starter_paints,
            paint::print_paints,
            strip::find_strips,
            strip::mark_strip,
            strip::find_swatch,
            strip::cut_swatch,
            strip::keep_strip,
            strip::open_strip,
            log::versions,
            log::show_log,
        ])
        .setup(|app| {
            log::begin(&app.path().app_log_dir()?);
            let door = Arc::clone(&app.state::<Shell>().studio);
            door.lies(places(app.path())?);
            #[cfg(unix)]
            if let Err(error) = signals::before_end(move || drop(door.leave())) {
                tracing::error!(kind = %error.kind(), "signals are not heard");
            }
            let window = WebviewWindowBuilder::new(app, "main", WebviewUrl::default())
                .title("Tonefast")
                .inner_size(1280.0, 800.0)
                .min_inner_size(320.0, 320.0)
                .on_permission_request(camera::permit)
                .on_navigation(doors::may_go)
                .on_new_window(|_, _| NewWindowResponse::Deny)
                .on_page_load(doors::on_page_load)
                .build()?;
            #[cfg(target_os = "linux")]
            camera::stand_in(&window)?;
            #[cfg(target_os = "linux")]
            doors::without_menu(&window)?;
            let handle = app.handle().clone();
            drawing::begin(&handle);
            window.on_window_event(move |event| {
                studio::on_window_event(event, &handle);
                drop::on_window_event(event, &handle.state::<Shell>(), &handle);
            });
            Ok(())
        })
        .run(tauri::generate_context!())
        .expect("the window could not be opened");
}

/// Where things lie: the studio in the system's place for a program's data, and what the painter is to find among her
/// own pictures and papers.
fn places(paths: &PathResolver<Wry>) -> Result<Places, tauri::Error> {
    let hers = |folder: Result<PathBuf, tauri::Error>, usual: &str| match folder {
        Ok(folder) => Ok(folder),
        // A home that nobody set up for a desktop knows no folders but itself.
        Err(_) => paths.home_dir().map(|home| home.join(usual)),
    };
    Ok(Places {
        studio: paths.app_data_dir()?.join("studio"),
        pictures: hers(paths.picture_dir(), "Pictures")?.join("Tonefast"),
        papers: hers(paths.document_dir(), "Documents")?.join("Tonefast"),
        waiting: paths.app_cache_dir()?.join("waiting"),
    })
}
