//! `fmt`: files in the one canonical layout.

use super::console::{reason, shown};
use super::reader::{STANDARD_INPUT, regular, standard_input};
use super::{Exit, Trouble, console, report};
use seamster::diagnostic::Diagnostic;
use seamster::source::Sources;
use seamster::syntax;
use std::ffi::OsString;
use std::fs;
use std::path::{Path, PathBuf};

/// Put files into the one canonical layout
///
/// Comments and meaning stay as they are. A file with a malformed line is left
/// untouched, and the line is told. Files are replaced whole, never in part.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The files; `-` reads standard input and writes to standard output
    #[arg(required = true, value_name = "FILE")]
    files: Vec<PathBuf>,
    /// Write nothing; name the files that would change, and exit with 1 if there are any
    #[arg(long)]
    check: bool,
}

/// What formatting a text gives.
enum Formatted {
    /// The text in its layout.
    Text(String),
    /// The text has lines of the wrong shape.
    Broken(Sources, Vec<Diagnostic>),
}

/// Formats every file; a broken one does not keep the others from it.
pub(super) fn run(args: &Args) -> Result<Exit, Trouble> {
    let mut exit = Exit::Clean;
    let mut first: Option<Trouble> = None;
    for file in &args.files {
        let result = if file == Path::new("-") { stream(args.check) } else { in_place(file, args.check) };
        match result {
            Ok(Exit::Clean) => {}
            Ok(Exit::Errors) => exit = Exit::Errors,
            Err(trouble) => {
                if let Some(earlier) = first.replace(trouble) {
                    console::complain(&earlier);
                }
            }
        }
    }
    first.map_or(Ok(exit), Err)
}

fn stream(check: bool) -> Result<Exit, Trouble> {
    let bytes = standard_input()?;
    let text = decode(STANDARD_INPUT, bytes)?;
    match format(STANDARD_INPUT, &text)? {
        Formatted::Broken(sources, diagnostics) => broken(&sources, &diagnostics),
        Formatted::Text(formatted) if check => changed(STANDARD_INPUT, formatted != text),
        Formatted::Text(formatted) => console::print(&formatted).map(|()| Exit::Clean),
    }
}

fn in_place(file: &Path, check: bool) -> Result<Exit, Trouble> {
    let name = shown(file);
    let failed = |why: String| Trouble::new(format!("'{name}' cannot be formatted: {why}"));
    let real = file.canonicalize().map_err(|error| failed(reason(&error)))?;
    let text = decode(&name, regular(&real).map_err(failed)?)?;
    match format(&name, &text)? {
        Formatted::Broken(sources, diagnostics) => broken(&sources, &diagnostics),
        Formatted::Text(formatted) if check => changed(&name, formatted != text),
        Formatted::Text(formatted) if formatted == text => Ok(Exit::Clean),
        Formatted::Text(formatted) => {
            replace(&real, &formatted).map_err(|error| failed(reason(&error)))?;
            console::tell(&format!("formatted {name}\n"));
            Ok(Exit::Clean)
        }
    }
}

fn changed(name: &str, changed: bool) -> Result<Exit, Trouble> {
    if !changed {
        return Ok(Exit::Clean);
    }
    console::print(&format!("{name} would change\n"))?;
    Ok(Exit::Errors)
}

fn broken(sources: &Sources, diagnostics: &[Diagnostic]) -> Result<Exit, Trouble> {
    console::tell(&report::text(sources, diagnostics));
    Ok(Exit::Errors)
}

fn decode(name: &str, bytes: Vec<u8>) -> Result<String, Trouble> {
    match String::from_utf8(bytes) {
        Ok(text) if !text.contains('\0') => Ok(text),
        _ => Err(Trouble::new(format!("'{name}' cannot be formatted: it is not UTF-8 text"))
            .help("save it as UTF-8")),
    }
}

/// The canonical layout, read once more to be sure that it is a text of the
/// same layout before anything is replaced by it.
fn format(name: &str, text: &str) -> Result<Formatted, Trouble> {
    let once = layout(name, text.strip_prefix('\u{feff}').unwrap_or(text));
    let Formatted::Text(formatted) = once else { return Ok(once) };
    match layout(name, &formatted) {
        Formatted::Text(again) if again == formatted => Ok(Formatted::Text(formatted)),
        _ => Err(Trouble::new(format!("'{name}' cannot be formatted: its layout does not settle"))
            .help("the file is untouched; please report it together with the file")),
    }
}

fn layout(name: &str, text: &str) -> Formatted {
    let mut sources = Sources::default();
    let file = sources.add(name, text);
    let mut diagnostics = Vec::new();
    let tree = syntax::parse(&sources, file, &mut diagnostics);
    if diagnostics.is_empty() {
        Formatted::Text(syntax::format(&sources, &tree))
    } else {
        Formatted::Broken(sources, diagnostics)
    }
}

/// Replaces a file by another that is written beside it first.
fn replace(file: &Path, text: &str) -> std::io::Result<()> {
    let mut name = OsString::from(".");
    name.push(file.file_name().unwrap_or_default());
    name.push(format!(".seamster-{}", std::process::id()));
    let fresh = file.with_file_name(name);
    if fs::metadata(file)?.permissions().readonly() {
        return Err(std::io::ErrorKind::PermissionDenied.into());
    }
    let written = fs::write(&fresh, text)
        .and_then(|()| fs::set_permissions(&fresh, fs::metadata(file)?.permissions()))
        .and_then(|()| fs::rename(&fresh, file));
    if written.is_err() {
        // The copy is ours; the file itself is as it was.
        let _ = fs::remove_file(&fresh);
    }
    written
}
