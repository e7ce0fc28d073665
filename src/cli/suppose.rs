//! `suppose`: what a lost day, a missing person or a cut beat would do.

use super::compare::{Form, Paper, Telling};
use super::report::{self, Effort};
use super::timings::Timings;
use super::{Exit, Trouble, console, project};
use seamster::Compiled;
use seamster::diagnostic::json;
use seamster::diagnostic::text::plain;
use seamster::packet::{self, Document, Packet};
use seamster::revise::{self, Side};
use seamster::suppose::{self, Suppositions, Wrong};
use std::path::PathBuf;

/// Ask what something would do, without editing the sequence
///
/// Each supposition is one argument, and all of them hold together. Told is the same
/// as `compare` tells, between the plan as it is and the plan as it would be: days,
/// calls, passes, papers, the finish, hours, and what would then be wrong. No file
/// is changed, and none written unless `--out` names a folder.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The file that the sequence begins with, or its folder; `-` reads standard input
    file: PathBuf,
    /// What is supposed, each in quotes, such as "lose 2027-05-14"; without any, all that may be is listed
    #[arg(value_name = "SUPPOSITION")]
    suppositions: Vec<String>,
    #[command(flatten)]
    telling: Telling,
    #[command(flatten)]
    effort: Effort,
}

/// Asks.
pub(super) fn run(args: &Args) -> Result<Exit, Trouble> {
    let effort = args.effort.value();
    let project = project::compile(&args.file, effort, &mut Timings::start(false))?;
    let now = &project.compiled;
    if args.suppositions.is_empty() {
        console::print(&plain(&suppose::page(now)))?;
        return Ok(Exit::Clean);
    }
    if now.is_misread() {
        console::tell(&report::text(&now.sources, &now.diagnostics));
        return Err(Trouble::new("the sequence has errors, so there is no plan to suppose anything of")
            .help("mend the findings first"));
    }
    let suppositions = match Suppositions::read(now, &args.suppositions) {
        Ok(suppositions) => suppositions,
        Err(wrong) => return refuse(args, &wrong),
    };
    let then = now.supposing(&suppositions, effort);
    let templates = project.disk.templates()?;
    let papers = |compiled: &Compiled| {
        let packet: Packet = compiled.packet(false);
        packet::render(&packet, &templates)
            .map(|documents| (packet, documents))
            .map_err(|error| Trouble::new(error.to_string()))
    };
    let (old, new) = (papers(now)?, papers(&then)?);
    let mut comparison = revise::compare(&side(now, &old), &side(&then, &new));
    comparison.supposed = suppositions.words();
    let paper = Paper { head: &new.0.head, templates: &templates, folder: project.disk.folder(), of: &then };
    args.telling.tell(&comparison, &paper)?;
    Ok(Exit::Clean)
}

fn side<'a>(compiled: &'a Compiled, (packet, documents): &'a (Packet, Vec<Document>)) -> Side<'a> {
    Side { compiled, packet, documents }
}

/// What is wrong with the suppositions themselves.
fn refuse(args: &Args, wrong: &Wrong) -> Result<Exit, Trouble> {
    if args.telling.format == Form::Json {
        let findings = json::findings(&wrong.sources, &wrong.diagnostics);
        let object = serde_json::json!({ "diagnostics": findings });
        console::print(&format!("{object:#}\n"))?;
    } else {
        console::tell(&report::text(&wrong.sources, &wrong.diagnostics));
    }
    Err(Trouble::new("that cannot be supposed")
        .help("`seamster suppose FILE` alone says what may be supposed"))
}
