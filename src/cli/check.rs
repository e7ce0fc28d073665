//! `check`: says what is wrong, and writes nothing.

use super::report::{self, Choices, Format};
use super::timings::Timings;
use super::{Exit, Trouble, console, project};
use std::path::PathBuf;

/// Say what is wrong with a sequence, and write nothing
///
/// Everything is worked out as for a packet, and every finding is told: with its
/// file, line and column, the words at fault, what was expected and how to mend it.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The file that the sequence begins with, or its folder; `-` reads standard input
    #[arg(default_value = ".", hide_default_value = true)]
    file: PathBuf,
    #[command(flatten)]
    choices: Choices,
}

/// Checks.
pub(super) fn run(args: &Args) -> Result<Exit, Trouble> {
    let mut timings = Timings::start(args.choices.timings);
    let compiled = match project::compile(&args.file, args.choices.effort.value(), &mut timings) {
        Ok(project) => project.compiled,
        Err(trouble) => return report::refuse(&args.choices, trouble),
    };
    let told = match args.choices.format {
        Format::Json => report::object(&compiled, None, None),
        Format::Text if compiled.diagnostics.is_empty() => "nothing found\n".into(),
        Format::Text => report::text(&compiled.sources, &compiled.diagnostics),
    };
    timings.stage("report");
    console::print(&told)?;
    timings.tell();
    Ok(args.choices.exit(&compiled.diagnostics))
}
