//! `compare`: what is different between two versions, and what that does.

use super::report;
use super::timings::Timings;
use super::{Exit, Trouble, console, project};
use seamster::Compiled;
use seamster::diagnostic::text::plain;
use seamster::packet::{self, Document, Packet};
use seamster::revise::{self, Comparison, Side};
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
/// written, and nothing is checked out.
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
}

/// Compares.
pub(super) fn run(args: &Args) -> Result<Exit, Trouble> {
    let (old, new) = match &args.new {
        Some(new) => (Version::on_disk(&args.old)?, Version::on_disk(new)?),
        None => {
            let old = Version::at(&args.old, args.since.as_deref().unwrap_or("HEAD"))?;
            let new = match &args.until {
                Some(until) => Version::at(&args.old, until)?,
                None => Version::on_disk(&args.old)?,
            };
            (old, new)
        }
    };
    if old.compiled.has_errors() {
        return Err(refuse(&old, "old"));
    }
    if new.compiled.has_errors() {
        return Err(refuse(&new, "new"));
    }
    let comparison = compare(&old, &new)?;
    console::print(&plain(&revise::text(&comparison)))?;
    Ok(Exit::Clean)
}

/// One version, compiled.
struct Version {
    /// As it was typed.
    name: String,
    compiled: Compiled,
    /// The project's own templates.
    templates: Vec<(String, String)>,
}

impl Version {
    /// A file, or the one sequence in a folder.
    fn on_disk(path: &Path) -> Result<Self, Trouble> {
        let file = folder::first_file(path)?;
        let project = project::compile(&file, &mut Timings::start(false))?;
        let templates = project.disk.templates()?;
        Ok(Self { name: console::shown(&file), compiled: project.compiled, templates })
    }

    /// A file as it was in a revision.
    fn at(path: &Path, revision: &str) -> Result<Self, Trouble> {
        let mut reader = Revision::open(path, revision)?;
        let name = format!("{} at {}", console::shown(path), plain(revision));
        let root = reader.root().to_owned();
        let loaded = seamster::load(&mut reader, &root)
            .map_err(|why| Trouble::new(format!("'{name}' cannot be read: {why}")))?;
        let templates = reader.templates()?;
        Ok(Self { name, compiled: seamster::compile(loaded, &mut |_| {}), templates })
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
fn refuse(version: &Version, which: &str) -> Trouble {
    let compiled = &version.compiled;
    console::tell(&report::text(&compiled.sources, &compiled.diagnostics));
    let message =
        format!("the {which} version, '{}', has errors, so there is nothing to compare", version.name);
    Trouble::new(message).help("mend the findings above, or compare with another version")
}

fn compare(old: &Version, new: &Version) -> Result<Comparison, Trouble> {
    let (old_papers, new_papers) = (old.papers()?, new.papers()?);
    Ok(revise::compare(&side(old, &old_papers), &side(new, &new_papers)))
}

fn side<'a>(version: &'a Version, (packet, documents): &'a (Packet, Vec<Document>)) -> Side<'a> {
    Side { compiled: &version.compiled, packet, documents }
}
