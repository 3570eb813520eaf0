//! Embedded ICC profiles, taken to linear light.
