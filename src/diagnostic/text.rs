//! Diagnostics as text for a terminal.
