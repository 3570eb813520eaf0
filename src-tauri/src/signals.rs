//! The system asks the program to end, as it does when the painter's session ends.

use crate::worker::caught;
use signal_hook::consts::{SIGHUP, SIGINT, SIGTERM};
use signal_hook::flag::register_conditional_default;
use signal_hook::iterator::Signals;
use signal_hook::low_level::emulate_default_handler;
use std::io;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;

/// By what a system asks.
const ENDS: [i32; 3] = [SIGTERM, SIGINT, SIGHUP];

/// Has something done before the program ends. A second signal meanwhile ends it at once.
///
/// # Errors
/// Where the system lets no signal be heard: it then ends the program as it always does.
pub(crate) fn before_end(deed: impl FnOnce() + Send + 'static) -> io::Result<()> {
    let ending = Arc::new(AtomicBool::new(false));
    for signal in ENDS {
        register_conditional_default(signal, Arc::clone(&ending))?;
    }
    let mut signals = Signals::new(ENDS)?;
    thread::Builder::new().name("signals".to_owned()).spawn(move || {
        let Some(signal) = signals.forever().next() else { return };
        ending.store(true, Ordering::SeqCst);
        drop(caught(|| {
            deed();
            Ok(())
        }));
        // Whoever started the program sees what ended it.
        drop(emulate_default_handler(signal));
        std::process::exit(128 + signal);
    })?;
    Ok(())
}
