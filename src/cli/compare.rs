//! `compare`: what is different between two versions, and what that does.

use super::report::{self, Effort};
use super::timings::Timings;
use super::{Exit, Trouble, console, project};
use clap::ValueEnum;
use seamster::Compiled;
use seamster::diagnostic::nearest::nearest;
use seamster::diagnostic::text::plain;
use seamster::order;
use seamster::packet::views::Head;
use seamster::packet::{self, Document, Packet, RenderError};
use seamster::revise::{self, Comparison, Page, Side};
use std::path::{Path, PathBuf};

mod folder;
mod revision;

use revision::Revision;

/// Say what is different between two versions of a sequence, and what that does
///
/// Told are: beats, plates, references, effects, passes and joins that are new,
/// gone, changed or renamed; which day moves, whose call changes, which papers are
/// void, which passes start over, what the finish date does and what it costs in
/// hours. The two versions are files, or folders in which a sequence lies, or with
/// `--since` one file as it is now and as it was in a revision of git. Nothing is
/// checked out, and nothing written, unless `--out` names a folder.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The old version: a file or folder; with `--since`, the file or folder itself
    old: PathBuf,
    /// The new version: a file or folder
    #[arg(required_unless_present = "since", conflicts_with = "since")]
    new: Option<PathBuf>,
    /// Compare with a revision of git: `HEAD`, a tag, a branch
    #[arg(long, value_name = "REV")]
    since: Option<String>,
    /// Take the new version from a revision of git as well
    #[arg(long, value_name = "REV", requires = "since")]
    until: Option<String>,
    /// How it is told
    #[arg(long, value_enum, default_value = "text")]
    format: Form,
    /// Only what is different for one person, by path or name
    #[arg(long = "for", value_name = "PERSON")]
    whom: Option<String>,
    /// Write it into a folder instead: a page of everything, and one for each person
    #[arg(long, value_name = "DIR", conflicts_with_all = ["format", "whom"])]
    out: Option<PathBuf>,
    #[command(flatten)]
    effort: Effort,
}

/// How a comparison is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Form {
    /// For people, on a terminal.
    Text,
    /// For people, to be sent on.
    Markdown,
    /// One page for the phone and for paper.
    Html,
    /// One object, for other programs.
    Json,
}

/// Compares.
pub(super) fn run(args: &Args) -> Result<Exit, Trouble> {
    let (old, new) = versions(args)?;
    for (which, version) in [("old", &old), ("new", &new)] {
        if version.compiled.has_errors() {
            return refuse(args, version, which);
        }
    }
    let (old_papers, new_papers) = (old.papers()?, new.papers()?);
    let comparison = revise::compare(&side(&old, &old_papers), &side(&new, &new_papers));
    let head = &new_papers.0.head;
    match &args.out {
        Some(out) => write(out, &comparison, &new, head)?,
        None => console::print(&told(args, &comparison, &new, head)?)?,
    }
    Ok(Exit::Clean)
}

fn versions(args: &Args) -> Result<(Version, Version), Trouble> {
    let effort = args.effort.value();
    let on_disk = |path: &Path| Version::on_disk(path, effort);
    let Some(since) = &args.since else {
        let new = args.new.as_deref().unwrap_or(&args.old);
        return Ok((on_disk(&args.old)?, on_disk(new)?));
    };
    let old = Version::at(&args.old, since, effort)?;
    let new = match &args.until {
        Some(until) => Version::at(&args.old, until, effort)?,
        None => on_disk(&args.old)?,
    };
    Ok((old, new))
}

/// One version, compiled.
struct Version {
    /// As it was typed.
    name: String,
    compiled: Compiled,
    /// The folder that it lies in now.
    folder: PathBuf,
    /// The project's own templates.
    templates: Vec<(String, String)>,
}

impl Version {
    /// A file, or the one sequence in a folder.
    fn on_disk(path: &Path, effort: order::Effort) -> Result<Self, Trouble> {
        let file = folder::first_file(path)?;
        let project = project::compile(&file, effort, &mut Timings::start(false))?;
        let templates = project.disk.templates()?;
        let folder = project.disk.folder().to_owned();
        Ok(Self { name: console::shown(&file), compiled: project.compiled, folder, templates })
    }

    /// A file as it was in a revision.
    fn at(path: &Path, revision: &str, effort: order::Effort) -> Result<Self, Trouble> {
        let mut reader = Revision::open(path, revision)?;
        let name = format!("{} at {}", console::shown(path), plain(revision));
        let root = reader.root().to_owned();
        let loaded = seamster::load(&mut reader, &root)
            .map_err(|why| Trouble::new(format!("'{name}' cannot be read: {why}")))?;
        let templates = reader.templates()?;
        let folder = reader.folder().to_owned();
        Ok(Self { name, compiled: seamster::compile_with(loaded, effort, &mut |_| {}), folder, templates })
    }

    /// The packet and its documents.
    fn papers(&self) -> Result<(Packet, Vec<Document>), Trouble> {
        let packet = self.compiled.packet(false);
        let documents = packet::render(&packet, &self.templates)
            .map_err(|error| Trouble::new(format!("{}: {error}", self.name)))?;
        Ok((packet, documents))
    }
}

/// A version with errors has no plan to compare with; its findings are told.
fn refuse(args: &Args, version: &Version, which: &str) -> Result<Exit, Trouble> {
    let compiled = &version.compiled;
    let message =
        format!("the {which} version, '{}', has errors, so there is nothing to compare", version.name);
    if args.format == Form::Json {
        console::print(&report::object(compiled, None, Some(&message)))?;
    } else {
        console::tell(&report::text(&compiled.sources, &compiled.diagnostics));
    }
    Err(Trouble::new(message).help("mend the findings, or compare with another version"))
}

fn side<'a>(version: &'a Version, (packet, documents): &'a (Packet, Vec<Document>)) -> Side<'a> {
    Side { compiled: &version.compiled, packet, documents }
}

/// The page of whoever was asked for; `None` where nobody was.
fn page(args: &Args, comparison: &Comparison) -> Result<Option<Page>, Trouble> {
    let Some(whom) = &args.whom else { return Ok(None) };
    comparison.page(whom).map(Some).ok_or_else(|| {
        let touched = comparison.people.iter().map(|page| page.name.as_str());
        let names: Vec<&str> =
            touched.chain(comparison.untouched.iter().map(|one| one.name.as_str())).collect();
        let trouble = Trouble::new(format!("nobody is called '{whom}'"));
        trouble.help(match nearest(whom, names.iter().copied()) {
            Some(near) => format!("did you mean '{near}'?"),
            None => format!("there are: {}", names.join("; ")),
        })
    })
}

fn told(args: &Args, comparison: &Comparison, new: &Version, head: &Head) -> Result<String, Trouble> {
    let page = page(args, comparison)?;
    let page = page.as_ref();
    let ending = match args.format {
        Form::Text => return Ok(plain(&revise::text(comparison, page)).into_owned()),
        Form::Json => {
            return Ok(page.map_or_else(|| revise::json(comparison), revise::json));
        }
        Form::Markdown => "md",
        Form::Html => "html",
    };
    let documents = revise::alone(comparison, page, head, &new.templates).map_err(wrong_template)?;
    let found = documents.into_iter().find(|document| document.path.ends_with(ending));
    let text = found.and_then(|document| String::from_utf8(document.bytes).ok());
    text.ok_or_else(|| Trouble::new("no page was made"))
}

fn wrong_template(error: RenderError) -> Trouble {
    Trouble::new(error.to_string()).help("mend or remove the file in 'templates/' beside the new version")
}

fn write(out: &Path, comparison: &Comparison, new: &Version, head: &Head) -> Result<(), Trouble> {
    let documents = revise::documents(comparison, head, &new.templates).map_err(wrong_template)?;
    let label = super::folder::Label {
        sequence: new.compiled.model.sequence.named.path.clone(),
        text: new.compiled.text_hash(),
    };
    super::folder::write(out, &new.folder, &label, &documents)?;
    let (count, out) = (documents.len(), console::shown(out));
    console::print(&format!("wrote the comparison into '{out}': {count} documents; open index.html\n"))
}
