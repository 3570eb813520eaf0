//! Drives the real app in its real window.
