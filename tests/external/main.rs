//! Seamster's answers, held against independent general-purpose libraries over
//! thousands of random inputs.
//!
//! Each subject has a file here that makes inputs and asks Seamster, and a script
//! of the same name that asks the other library. What a packet holds for other
//! programs (`exchange`) is opened by one script a format. `tests/run` makes the Python
//! environment that the scripts need.

#![allow(
    clippy::indexing_slicing,
    clippy::panic,
    clippy::unwrap_used,
    reason = "a test may fail by any of these"
)]
#![allow(clippy::print_stdout, reason = "tests tell how far answers are apart at most")]

mod civil;
mod exchange;
mod film;
mod flicker;
mod focus;
mod ground;
mod labels;
mod motion;
mod optics;
mod pages;
mod power;
#[path = "../project/mod.rs"]
mod project;
mod random;
mod retime;
mod screens;
mod script;
mod seen;
mod sun;
