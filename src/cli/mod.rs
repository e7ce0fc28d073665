//! What is typed, taken apart and handed to one file a command.
//!
//! In: the arguments. Out: an exit code: 0 when no error was found, 1 when the
//! sequence has errors, 2 for usage or input and output trouble.

mod build;
mod check;
mod compare;
mod console;
mod earlier;
mod explain;
mod first_file;
mod fmt;
mod folder;
mod keep;
mod log;
mod new;
mod pdf;
mod project;
mod reader;
mod recipes;
mod reckon;
mod report;
mod suppose;
mod survey;
mod timings;
mod why;

use clap::{CommandFactory, FromArgMatches, Parser, Subcommand};
use std::process::ExitCode;

/// Compiles an effects-heavy film sequence, written as text.
///
/// A sequence is written in `.seam` files: beats, places, rigs, effects, joins.
/// Seamster works out everything that must be captured and how exactly, in which
/// order it is shot and worked on at the desk, and what contradicts what; and
/// writes a packet: call sheets, cards, lists and notes for the people who carry
/// it out.
#[derive(Parser)]
#[command(name = "seamster", version, after_help = FIRST_STEPS, after_long_help = FIRST_STEPS)]
struct Cli {
    #[command(subcommand)]
    command: Command,
}

const FIRST_STEPS: &str = "\
First steps:
  seamster new my-film                                 write a small sequence to begin with
  seamster check my-film/my-film.seam                  say what is wrong with it
  seamster build my-film/my-film.seam --out packet     write the packet; open packet/index.html
  seamster explain join-offset                         explain a rule, a statement or a recipe
  seamster reckon fall --height 2m                     answer a question on location, without a sequence

Exit codes: 0 no error found; 1 the sequence has errors; 2 usage, or trouble with files.
Colour is used on a terminal only, and never when NO_COLOR is set.";

#[derive(Subcommand)]
enum Command {
    New(new::Args),
    Check(check::Args),
    Build(build::Args),
    Fmt(fmt::Args),
    Why(why::Args),
    Log(log::Args),
    Compare(compare::Args),
    Suppose(suppose::Args),
    Explain(explain::Args),
    Recipes(recipes::Args),
    Reckon(reckon::Args),
}

/// How a command ended, where nothing kept it from its work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Exit {
    /// No error was found.
    Clean,
    /// The sequence has errors.
    Errors,
}

/// What kept a command from its work: usage, or files that cannot be read or written.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Trouble {
    /// One sentence.
    message: String,
    /// What to do about it.
    help: Option<String>,
}

impl Trouble {
    fn new(message: impl Into<String>) -> Self {
        Self { message: message.into(), help: None }
    }

    fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }

    /// Help for where there is none yet.
    fn help_else(mut self, help: &str) -> Self {
        self.help.get_or_insert_with(|| help.to_owned());
        self
    }
}

/// Runs the command that was typed.
pub(crate) fn run() -> ExitCode {
    let command = Cli::command().mut_subcommand("reckon", reckon::with_signs);
    let parsed = command.try_get_matches().and_then(|matches| Cli::from_arg_matches(&matches));
    let cli = match parsed {
        Ok(cli) => cli,
        Err(error) => {
            // Help and version go to standard output; nothing can be done where that fails.
            let _ = error.print();
            return ExitCode::from(if error.use_stderr() { 2 } else { 0 });
        }
    };
    let result = match cli.command {
        Command::New(args) => new::run(&args),
        Command::Check(args) => check::run(&args),
        Command::Build(args) => build::run(&args),
        Command::Fmt(args) => fmt::run(&args),
        Command::Why(args) => why::run(&args),
        Command::Log(args) => log::run(&args),
        Command::Compare(args) => compare::run(&args),
        Command::Suppose(args) => suppose::run(&args),
        Command::Explain(args) => explain::run(&args),
        Command::Recipes(args) => recipes::run(&args),
        Command::Reckon(args) => reckon::run(&args),
    };
    match result {
        Ok(Exit::Clean) => ExitCode::SUCCESS,
        Ok(Exit::Errors) => ExitCode::from(1),
        Err(trouble) => {
            console::complain(&trouble);
            ExitCode::from(2)
        }
    }
}
