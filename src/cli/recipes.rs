//! `recipes`: which effects and joins there are, and what each takes.

use super::{Exit, Trouble, console, project, report};
use seamster::diagnostic::nearest::nearest;
use seamster::diagnostic::text::plain;
use seamster::recipe::{self, Library};
use seamster::source::Sources;
use std::path::{Path, PathBuf};

/// List the recipes, or show what one takes
///
/// With a file, the recipes in `recipes/` beside it are there as well.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The recipe to show; without it all are listed
    name: Option<String>,
    /// The file that a sequence begins with
    file: Option<PathBuf>,
}

/// Lists or shows.
pub(super) fn run(args: &Args) -> Result<Exit, Trouble> {
    let (name, file) = named(args);
    let (library, sources, exit) = match file {
        None => (Library::builtin(), Sources::default(), Exit::Clean),
        Some(file) => of_project(file)?,
    };
    let text = match name {
        None => list(&library, &sources),
        Some(name) => {
            let found = library.find(name).ok_or_else(|| unknown(name, &library))?;
            plain(&recipe::page(found)).into_owned()
        }
    };
    console::print(&text)?;
    Ok(exit)
}

/// `recipes FILE.seam` means the file.
fn named(args: &Args) -> (Option<&str>, Option<&Path>) {
    let name = args.name.as_deref();
    match (name, &args.file) {
        (Some(only), None) if only.ends_with(".seam") => (None, Some(Path::new(only))),
        (name, file) => (name, file.as_deref()),
    }
}

/// The recipes of a project; what is wrong with them is told.
fn of_project(file: &Path) -> Result<(Library, Sources, Exit), Trouble> {
    let (_, loaded) = project::load(file)?;
    let (library, diagnostics) = Library::with_project(&loaded.sources, &loaded.recipes);
    console::tell(&report::text(&loaded.sources, &diagnostics));
    let exit = if seamster::rule::has_errors(&diagnostics) { Exit::Errors } else { Exit::Clean };
    Ok((library, loaded.sources, exit))
}

fn list(library: &Library, sources: &Sources) -> String {
    let mut text = String::new();
    let mut entries: Vec<_> = library.entries().iter().collect();
    entries.sort_by_key(|entry| entry.recipe.kind);
    let mut last = None;
    for entry in entries {
        let recipe = &entry.recipe;
        if last.replace(recipe.kind) != Some(recipe.kind) {
            let gap = if text.is_empty() { "" } else { "\n" };
            text.push_str(&format!("{gap}for {}\n", recipe.kind.word()));
        }
        let own = entry.file.map(|file| format!(" ({})", sources.file(file).name)).unwrap_or_default();
        text.push_str(&format!("  {:<18} {}{own}\n", recipe.recipe, recipe.title));
    }
    text.push_str("\n`seamster recipes NAME` shows what one takes.\n");
    plain(&text).into_owned()
}

fn unknown(name: &str, library: &Library) -> Trouble {
    let names = library.entries().iter().map(|entry| entry.recipe.recipe.as_str());
    let trouble = Trouble::new(format!("no recipe is called '{}'", plain(name)));
    trouble.help(match nearest(name, names) {
        Some(near) => format!("did you mean '{near}'?"),
        None => "`seamster recipes` lists them all".into(),
    })
}
