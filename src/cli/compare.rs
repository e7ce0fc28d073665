//! `compare`: what is different between two versions, and what that does.

use super::first_file::first_file;
use super::report::{self, Effort};
use super::timings::Timings;
use super::{Exit, Trouble, console, project};
use seamster::Compiled;
use seamster::diagnostic::text::plain;
use seamster::order;
use seamster::packet::{self, Document, Packet};
use seamster::revise::{self, Side};
use std::path::{Path, PathBuf};

mod revision;
mod telling;

use revision::Revision;
pub(super) use telling::{Form, Paper, Telling};

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
    #[command(flatten)]
    telling: Telling,
    #[command(flatten)]
    effort: Effort,
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
    let page =
        Paper { head: &new_papers.0.head, templates: &new.templates, folder: &new.folder, of: &new.compiled };
    args.telling.tell(&comparison, &page)?;
    Ok(Exit::Clean)
}

fn versions(args: &Args) -> Result<(Version, Version), Trouble> {
    let effort = args.effort.value();
    let on_disk = |path: &Path| Version::on_disk(path, effort);
    let Some(since) = &args.since else {
        let new = args.new.as_deref().unwrap_or(&args.old);
        let of_git = "versions that lie in git: `seamster compare FILE --since REV`, and `--until REV`";
        return Ok((on_disk(&args.old).map_err(|trouble| trouble.help_else(of_git))?, on_disk(new)?));
    };
    let old = Version::at(&args.old, since, effort)?;
    let new = match &args.until {
        Some(until) => Version::at(&args.old, until, effort)?,
        None => on_disk(&args.old)?,
    };
    Ok((old, new))
}

/// One version, compiled.
pub(super) struct Version {
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
        let file = first_file(path)?;
        let project = project::compile(&file, effort, &mut Timings::start(false))?;
        let templates = project.disk.templates()?;
        let folder = project.disk.folder().to_owned();
        Ok(Self { name: console::shown(&file), compiled: project.compiled, folder, templates })
    }

    /// A file as it was in a revision.
    pub(super) fn at(path: &Path, revision: &str, effort: order::Effort) -> Result<Self, Trouble> {
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
    pub(super) fn papers(&self) -> Result<(Packet, Vec<Document>), Trouble> {
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
    if args.telling.format == Form::Json {
        console::print(&report::object(compiled, None, Some(&message)))?;
    } else {
        console::tell(&report::text(&compiled.sources, &compiled.diagnostics));
    }
    Err(Trouble::new(message).help("mend the findings, or compare with another version"))
}

fn side<'a>(version: &'a Version, (packet, documents): &'a (Packet, Vec<Document>)) -> Side<'a> {
    Side { compiled: &version.compiled, packet, documents }
}
