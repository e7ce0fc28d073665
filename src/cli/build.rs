//! `build`: writes the packet, whole or not at all.

use super::earlier::Earlier;
use super::project::Project;
use super::report::{self, Choices, Format, Written};
use super::timings::Timings;
use super::{Exit, Trouble, console, folder, keep, pdf, project};
use seamster::diagnostic::text::plain;
use seamster::packet::{self, Document, RenderError};
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
    /// The file that the sequence begins with, or its folder; `-` reads standard input
    #[arg(default_value = ".", hide_default_value = true)]
    file: PathBuf,
    /// The folder to write the packet into
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// Write a packet in spite of errors; every page then says that it is a draft
    #[arg(long)]
    draft: bool,
    /// What people call this revision; every page then says so
    #[arg(long, value_name = "LABEL")]
    revision: Option<String>,
    /// Mark on each page what changed since an earlier packet: its folder, or a revision of git
    #[arg(long, value_name = "PACKET_OR_REV")]
    since: Option<String>,
    /// Keep the plan beside the sequence, in `NAME.plan.yaml`; the next build starts from it
    #[arg(long)]
    keep: bool,
    /// Make the plan as if none had been kept; pins still hold
    #[arg(long)]
    afresh: bool,
    #[command(flatten)]
    pdf: pdf::Args,
    #[command(flatten)]
    choices: Choices,
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
    match written?.and_then(|made| made.without_pdf) {
        Some(trouble) => Err(trouble),
        None => Ok(args.choices.exit(&project.compiled.diagnostics)),
    }
}

/// What was written.
struct Made {
    documents: Vec<Document>,
    /// The plan file, where the plan was kept.
    kept: Option<String>,
    /// Why there are no PDFs among them, where they were asked for.
    without_pdf: Option<Trouble>,
}

/// Renders every document in memory, then writes the folder and the plan.
fn write(args: &Args, project: &Project, timings: &mut Timings) -> Result<Made, Trouble> {
    let compiled = &project.compiled;
    let draft = is_draft(args, project);
    let keeping = if args.keep && !draft { Some(keep::prepare(project)?) } else { None };
    let templates = project.disk.templates()?;
    let mut packet = compiled.packet(draft);
    packet.head.label =
        args.revision.as_deref().map(|label| plain(label).trim().to_owned()).unwrap_or_default();
    let mut documents = packet::render(&packet, &templates).map_err(wrong_template)?;
    if let Some(since) = &args.since {
        let earlier = Earlier::find(&args.file, since, args.choices.effort.value())?;
        documents = earlier.mark(documents, &packet.head, &compiled.sources);
    }
    timings.stage("packet");
    let mut without_pdf = None;
    if args.pdf.pdf {
        match pdf::print(&args.pdf, &packet::paper::pages(&packet, &documents)) {
            Ok(printed) => documents.extend(printed),
            Err(trouble) => without_pdf = Some(trouble),
        }
        documents.sort_by(|a, b| a.path.cmp(&b.path));
        timings.stage("pdf");
    }
    let label =
        folder::Label { sequence: compiled.model.sequence.named.path.clone(), text: compiled.text_hash() };
    folder::write(&args.out, project.disk.folder(), &label, &documents)?;
    if let Some(keeping) = &keeping {
        keeping.write()?;
    }
    timings.stage("write");
    Ok(Made { documents, kept: keeping.map(|keeping| keeping.name()), without_pdf })
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

fn tell(args: &Args, project: &Project, written: &Result<Option<Made>, Trouble>) -> String {
    let compiled = &project.compiled;
    let draft = is_draft(args, project);
    let folder = console::shown(&args.out);
    if args.choices.format == Format::Json {
        let (made, trouble) = match written {
            Ok(Some(made)) => (Some(made), made.without_pdf.as_ref().map(|trouble| trouble.message.as_str())),
            Ok(None) => (None, Some("nothing was written: the findings stand against it")),
            Err(trouble) => (None, Some(trouble.message.as_str())),
        };
        let written = made.map(|made| Written {
            folder,
            draft,
            documents: made.documents.iter().map(|one| one.path.clone()).collect(),
            kept: made.kept.clone(),
            moved: keep::moved(compiled),
        });
        return report::object(compiled, written, trouble);
    }
    let mut text = report::text(&compiled.sources, &compiled.diagnostics);
    match written {
        Ok(Some(made)) => {
            let kind = if draft { "draft" } else { "packet" };
            text.push_str(&format!(
                "wrote the {kind} '{}' into '{folder}': {} documents; open index.html\n",
                seamster::diagnostic::text::plain(compiled.model.sequence.named.label()),
                made.documents.len()
            ));
            text.push_str(&keep::told(project, args.keep, made.kept.as_deref()));
        }
        Ok(None) => text.push_str("nothing was written; `--draft` writes a packet in spite of this\n"),
        Err(_) => text.push_str("nothing was written\n"),
    }
    text
}
