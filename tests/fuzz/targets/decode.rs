//! Whole files of every kind. A decoder's panic is caught in core and no finding; one of core's own ends the run.

#![no_main]

use libfuzzer_sys::fuzz_target;
use std::sync::Once;

static QUIET: Once = Once::new();

fuzz_target!(|bytes: &[u8]| {
    // The fuzzer's hook would end the run at a panic that core catches; what is not caught still ends it.
    QUIET.call_once(|| std::panic::set_hook(Box::new(|_| ())));
    tonefast_core::fuzz::decode(bytes);
});
