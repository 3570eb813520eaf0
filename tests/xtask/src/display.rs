use std::env;

/// Whether a window can be shown here. An empty variable counts as none, as it does for X and Wayland.
pub(crate) fn is_there() -> bool {
    ["DISPLAY", "WAYLAND_DISPLAY"].iter().any(|name| env::var_os(name).is_some_and(|value| !value.is_empty()))
}
