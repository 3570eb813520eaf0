//! Invented pictures for the demo.
