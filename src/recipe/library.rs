//! The recipes that can be called: the built-in ones and the project's own.
//!
//! In: recipe files. Out: a [`Library`] in which every recipe has been checked;
//! a file with mistakes is reported and left out.

use super::check;
use super::read::{self, Problem};
use super::schema::{Kind, Recipe};
use crate::diagnostic::nearest::nearest;
use crate::diagnostic::{Diagnostic, Severity, codes};
use crate::source::{FileId, Sources, Span};
use std::ops::Range;

macro_rules! builtin {
    ($($name:literal),* $(,)?) => {
        /// The built-in files: name and text, sorted by name.
        const BUILTIN: &[(&str, &str)] =
            &[$(($name, include_str!(concat!("builtin/", $name, ".yaml")))),*];
    };
}

builtin![
    "assembly",
    "carried_objects",
    "delivery",
    "dissolve",
    "fall",
    "freeze",
    "grade",
    "hidden_object",
    "ingest",
    "keyed_hands",
    "light_effect",
    "match",
    "mirror_view",
    "projected_texture",
    "pulled_body",
    "retime",
    "reverse",
    "rig_removal",
    "scale_trick",
    "sound",
    "split_takes",
    "stitch",
    "swap_surface",
    "take_away",
    "tracked_insert",
    "vanish",
    "whip",
    "wipe",
];

/// A recipe and where it comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// What it says.
    pub recipe: Recipe,
    /// The project's own file; `None` for a built-in one.
    pub file: Option<FileId>,
}

/// Every recipe that can be called, sorted by name.
#[derive(Debug, Clone, PartialEq)]
pub struct Library {
    entries: Vec<Entry>,
}

impl Library {
    /// The built-in recipes.
    pub fn builtin() -> Self {
        let mut entries: Vec<Entry> = BUILTIN
            .iter()
            .filter_map(|(_, text)| read::read(text).ok())
            .map(|recipe| Entry { recipe, file: None })
            .collect();
        entries.sort_by(|a, b| a.recipe.recipe.cmp(&b.recipe.recipe));
        Self { entries }
    }

    /// The built-in recipes and the project's own, which win over built-in ones
    /// of the same name (a note says so). `files` are those of `sources` that
    /// hold recipes.
    pub fn with_project(sources: &Sources, files: &[FileId]) -> (Self, Vec<Diagnostic>) {
        let mut library = Self::builtin();
        let mut diagnostics = Vec::new();
        for &file in files {
            let text = sources.file(file).text.as_str();
            let recipe = match read::read(text) {
                Ok(recipe) => recipe,
                Err(problem) => {
                    diagnostics.push(report(file, problem));
                    continue;
                }
            };
            let problems = check::check(&recipe, text);
            if problems.is_empty() {
                library.add(Entry { recipe, file: Some(file) }, text, &mut diagnostics);
            } else {
                diagnostics.extend(problems.into_iter().map(|problem| report(file, problem)));
            }
        }
        (library, diagnostics)
    }

    fn add(&mut self, entry: Entry, text: &str, diagnostics: &mut Vec<Diagnostic>) {
        let name = entry.recipe.recipe.clone();
        let file = entry.file.unwrap_or(FileId(0));
        let span = span(file, read::locate(text, "recipe", &name, &[]));
        match self.entries.binary_search_by(|one| one.recipe.recipe.as_str().cmp(&name)) {
            Err(at) => self.entries.insert(at, entry),
            Ok(at) => {
                let Some(old) = self.entries.get_mut(at) else { return };
                if old.file.is_some() {
                    diagnostics.push(
                        Diagnostic::new(
                            codes::RECIPE,
                            span,
                            format!("a second file holds a recipe '{name}'"),
                        )
                        .help("rename one of them"),
                    );
                    return;
                }
                let mut note = Diagnostic::new(
                    codes::RECIPE,
                    span,
                    format!("the project's own recipe '{name}' stands in place of the built-in one"),
                );
                note.severity = Severity::Note;
                diagnostics.push(note);
                *old = entry;
            }
        }
    }

    /// The recipe of that name.
    pub fn find(&self, name: &str) -> Option<&Recipe> {
        let at = self.entries.binary_search_by(|entry| entry.recipe.recipe.as_str().cmp(name)).ok()?;
        self.entries.get(at).map(|entry| &entry.recipe)
    }

    /// The recipe of that name, if it is called in that way.
    pub fn find_kind(&self, name: &str, kind: Kind) -> Option<&Recipe> {
        self.find(name).filter(|recipe| recipe.kind == kind)
    }

    /// The recipe for effects whose name is nearest to a misspelt one.
    pub fn nearest(&self, name: &str) -> Option<&str> {
        nearest(name, self.effects().map(|recipe| recipe.recipe.as_str()))
    }

    /// Recipes for effects, by name.
    pub fn effects(&self) -> impl Iterator<Item = &Recipe> {
        self.entries.iter().map(|entry| &entry.recipe).filter(|recipe| recipe.kind == Kind::Effect)
    }

    /// Every recipe with its origin, by name.
    pub fn entries(&self) -> &[Entry] {
        &self.entries
    }
}

fn span(file: FileId, range: Range<usize>) -> Span {
    let place = |at: usize| u32::try_from(at).unwrap_or(u32::MAX);
    Span { file, start: place(range.start), end: place(range.end) }
}

fn report(file: FileId, problem: Problem) -> Diagnostic {
    let mut diagnostic = Diagnostic::new(codes::RECIPE, span(file, problem.range), problem.message);
    diagnostic.help = problem.help;
    diagnostic
}

#[cfg(test)]
mod tests;
