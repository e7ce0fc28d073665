//! `build`: writes the packet, whole or not at all.

use super::project::Project;
use super::report::{self, Choices, Format, Moved, Written};
use super::timings::Timings;
use super::{Exit, Trouble, console, folder, keep, project};
use seamster::packet::{Document, RenderError};
use seamster::{Compiled, order};
use std::path::PathBuf;

/// Write the packet: everything that people are handed
///
/// The folder is written whole or not at all, and the same text gives the same
/// bytes. A folder that Seamster has written before is replaced; any other
/// folder, and one in which somebody has changed something, is left alone.
/// A sequence with errors gives no packet unless `--draft` asks for one.
///
/// Where a plan was kept, the new plan starts from it: what still holds stays
/// where it is. `seamster explain --plan-file` says more.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The file that the sequence begins with; `-` reads standard input
    file: PathBuf,
    /// The folder to write the packet into
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// Write a packet in spite of errors; every page then says that it is a draft
    #[arg(long)]
    draft: bool,
    /// Keep the plan beside the sequence, in `NAME.plan.yaml`; the next build starts from it
    #[arg(long)]
    keep: bool,
    /// Make the plan as if none had been kept; pins still hold
    #[arg(long)]
    afresh: bool,
    #[command(flatten)]
    choices: Choices,
}

/// What was written.
struct Done {
    documents: Vec<Document>,
    /// The plan file, where the plan was kept.
    kept: Option<String>,
}

/// Builds.
pub(super) fn run(args: &Args) -> Result<Exit, Trouble> {
    let mut timings = Timings::start(args.choices.timings);
    let effort = args.choices.effort.value();
    let mut project = match project::compile_with(&args.file, effort, args.afresh, &mut timings) {
        Ok(project) => project,
        Err(trouble) => return report::refuse(&args.choices, trouble),
    };
    let fails = args.choices.fails(&project.compiled.diagnostics);
    project.compiled.keeps |= args.keep && !fails;
    let written = if fails && !args.draft { Ok(None) } else { write(args, &project, &mut timings).map(Some) };
    let told = tell(args, &project, &written);
    timings.stage("report");
    console::print(&told)?;
    timings.tell();
    written.map(|_| args.choices.exit(&project.compiled.diagnostics))
}

/// Renders every document in memory, then writes the folder and the plan.
fn write(args: &Args, project: &Project, timings: &mut Timings) -> Result<Done, Trouble> {
    let compiled = &project.compiled;
    let draft = is_draft(args, project);
    let keeping = if args.keep && !draft { Some(keep::prepare(project)?) } else { None };
    let templates = project.disk.templates()?;
    let documents = compiled.documents(draft, &templates).map_err(wrong_template)?;
    timings.stage("packet");
    let label =
        folder::Label { sequence: compiled.model.sequence.named.path.clone(), text: compiled.text_hash() };
    folder::write(&args.out, project.disk.folder(), &label, &documents)?;
    if let Some(keeping) = &keeping {
        keeping.write()?;
    }
    timings.stage("write");
    Ok(Done { documents, kept: keeping.map(|keeping| keeping.name()) })
}

fn is_draft(args: &Args, project: &Project) -> bool {
    args.choices.fails(&project.compiled.diagnostics)
}

fn wrong_template(error: RenderError) -> Trouble {
    let trouble = Trouble::new(error.to_string());
    match error.help {
        Some(help) => trouble.help(help),
        None => trouble.help("mend or remove the file in 'templates/' beside the sequence"),
    }
}

fn tell(args: &Args, project: &Project, written: &Result<Option<Done>, Trouble>) -> String {
    let compiled = &project.compiled;
    let draft = is_draft(args, project);
    let folder = console::shown(&args.out);
    if args.choices.format == Format::Json {
        let (done, trouble) = match written {
            Ok(Some(done)) => (Some(done), None),
            Ok(None) => (None, Some("nothing was written: the findings stand against it")),
            Err(trouble) => (None, Some(trouble.message.as_str())),
        };
        let written = done.map(|done| Written {
            folder,
            draft,
            documents: done.documents.iter().map(|one| one.path.clone()).collect(),
            kept: done.kept.clone(),
            moved: moved(compiled),
        });
        return report::object(compiled, written, trouble);
    }
    let mut text = report::text(&compiled.sources, &compiled.diagnostics);
    match written {
        Ok(Some(done)) => {
            let kind = if draft { "draft" } else { "packet" };
            text.push_str(&format!(
                "wrote the {kind} '{}' into '{folder}': {} documents; open index.html\n",
                seamster::diagnostic::text::plain(compiled.model.sequence.named.label()),
                done.documents.len()
            ));
            text.push_str(&plan(args, project, done));
        }
        Ok(None) => text.push_str("nothing was written; `--draft` writes a packet in spite of this\n"),
        Err(_) => text.push_str("nothing was written\n"),
    }
    text
}

/// What moved of the kept plan, and whether this one is kept.
fn plan(args: &Args, project: &Project, done: &Done) -> String {
    let mut text = String::new();
    if let Some(moved) = moved(&project.compiled) {
        let of = |moved: usize, all: usize, what: &str| match moved {
            0 => format!("all {all} {what} stay"),
            moved => format!("{moved} of {all} {what} move"),
        };
        text.push_str(&format!(
            "of the plan that was kept, {} and {}\n",
            of(moved.moved_setups, moved.setups, "set-ups"),
            of(moved.moved_passes, moved.passes, "passes")
        ));
    }
    match &done.kept {
        Some(file) => text.push_str(&format!("kept the plan in '{file}'\n")),
        None if args.keep => text.push_str("the plan was not kept: the findings stand against it\n"),
        None if project.compiled.keeps && keep::prepare(project).is_ok_and(|keeping| !keeping.is_same()) => {
            text.push_str("the plan is not the one that was kept; `--keep` keeps it\n");
        }
        None => {}
    }
    text
}

fn moved(compiled: &Compiled) -> Option<Moved> {
    let Compiled { model, breakdown, plan, .. } = compiled;
    if !model.kept.is_plan() {
        return None;
    }
    let moved = order::moved(&model.kept, breakdown, model, plan);
    Some(Moved {
        setups: moved.setups.len(),
        moved_setups: moved.moved_setups.len(),
        passes: moved.passes.len(),
        moved_passes: moved.moved_passes.len(),
    })
}
