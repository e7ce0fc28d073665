//! The command: what is typed, read and written. Everything between reading and
//! writing is the library.

#![allow(
    clippy::disallowed_methods,
    reason = "files, the clock and the environment belong to the command, which is this end of the house"
)]

mod cli;

use std::process::ExitCode;

fn main() -> ExitCode {
    cli::run()
}
