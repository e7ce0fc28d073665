//! Declared names and who uses them.

use crate::diagnostic::nearest::nearest;
use crate::diagnostic::{Diagnostic, codes};
use crate::model::arena::Id;
use crate::source::{Span, Spanned};
use std::collections::BTreeMap;

/// Names by kind and path.
#[derive(Default)]
pub(super) struct Names {
    entries: BTreeMap<(&'static str, String), Entry>,
}

struct Entry {
    span: Span,
    /// Its place in its arena; `None` when it was declared but is not whole.
    index: Option<usize>,
    used: bool,
}

impl Names {
    /// Declares a name; reports a second one of the same kind and one that is not a plain word.
    /// `false` when the part must be left out.
    pub(super) fn declare(
        &mut self,
        kind: &'static str,
        path: &str,
        span: Span,
        diagnostics: &mut Vec<Diagnostic>,
    ) -> bool {
        let word = path.rsplit('.').next().unwrap_or(path);
        let plain =
            word.chars().all(|char| char.is_ascii_lowercase() || char.is_ascii_digit() || char == '_');
        if !plain {
            let mended: String = word
                .chars()
                .map(|char| if char.is_ascii_alphanumeric() { char.to_ascii_lowercase() } else { '_' })
                .collect();
            diagnostics.push(
                Diagnostic::new(codes::VALUE, span, format!("'{word}' is not a plain name"))
                    .label("expected small letters a to z, digits and '_'")
                    .help(format!(
                        "write '{mended}', and what people should read as a quoted title after it"
                    )),
            );
        }
        if let Some(first) = self.entries.get(&(kind, path.to_owned())) {
            diagnostics.push(
                Diagnostic::new(codes::DUPLICATE, span, format!("there are two of the {kind} '{path}'"))
                    .label("declared again")
                    .other(first.span, "first declared here")
                    .help("give one of them another name"),
            );
            return false;
        }
        self.entries.insert((kind, path.to_owned()), Entry { span, index: None, used: false });
        true
    }

    /// Says that a declared name is whole and where it is.
    pub(super) fn settle(&mut self, kind: &'static str, path: &str, id: impl Id) {
        if let Some(entry) = self.entries.get_mut(&(kind, path.to_owned())) {
            entry.index = Some(id.index());
        }
    }

    /// Whether there is such a name.
    pub(super) fn has(&self, kind: &'static str, path: &str) -> bool {
        self.entries.contains_key(&(kind, path.to_owned()))
    }

    /// Every path of that kind, in order.
    pub(super) fn of<'n>(&'n self, kind: &'n str) -> impl Iterator<Item = &'n str> {
        self.entries.keys().filter(move |(one, _)| *one == kind).map(|(_, path)| path.as_str())
    }

    /// What a name means; reports one that nothing has.
    pub(super) fn find<I: Id>(
        &mut self,
        kind: &'static str,
        name: &Spanned<String>,
        diagnostics: &mut Vec<Diagnostic>,
    ) -> Option<I> {
        if let Some(entry) = self.entries.get_mut(&(kind, name.value.clone())) {
            entry.used = true;
            return entry.index.map(I::from_index);
        }
        diagnostics.push(self.unknown(kind, name));
        None
    }

    /// The plate, effect or asset meant by a name in a beat: its own first, then by full path,
    /// then by its last word where only one has it.
    pub(super) fn path_in(&self, kind: &'static str, beat: Option<&str>, name: &str) -> Option<String> {
        if let Some(beat) = beat {
            let own = format!("{beat}.{name}");
            if self.has(kind, &own) {
                return Some(own);
            }
        }
        if self.has(kind, name) {
            return Some(name.to_owned());
        }
        let ending = format!(".{name}");
        let mut found = self.entries.keys().filter(|(one, path)| *one == kind && path.ends_with(&ending));
        match (found.next(), found.next()) {
            (Some((_, path)), None) => Some(path.clone()),
            _ => None,
        }
    }

    /// The report for a name that nothing has.
    pub(super) fn unknown(&self, kind: &'static str, name: &Spanned<String>) -> Diagnostic {
        let paths: Vec<&str> =
            self.entries.keys().filter(|(one, _)| *one == kind).map(|(_, path)| path.as_str()).collect();
        let lasts = paths.iter().map(|path| path.rsplit('.').next().unwrap_or(path));
        let near = nearest(&name.value, paths.iter().copied().chain(lasts));
        let wrong =
            Diagnostic::new(codes::UNKNOWN_NAME, name.span, format!("no {kind} is called '{}'", name.value))
                .label(format!("not a {kind}"));
        match near {
            Some(near) => wrong.help(format!("did you mean '{near}'?")).patch(name.span, near),
            None if paths.is_empty() => {
                wrong.help(format!("no {kind} is declared; add one, or `use` its file"))
            }
            None => wrong
                .help(format!("known: {}", paths.iter().take(12).copied().collect::<Vec<_>>().join(", "))),
        }
    }

    /// Declared names that nothing used, of the kinds where that is worth a word.
    pub(super) fn unused(&self) -> Vec<(String, String, Span)> {
        const WORTH: &[&str] = &["mark", "asset", "prop", "look", "screen", "place"];
        let mut unused: Vec<(String, String, Span)> = self
            .entries
            .iter()
            .filter(|((kind, _), entry)| !entry.used && entry.index.is_some() && WORTH.contains(kind))
            .map(|((kind, path), entry)| ((*kind).to_owned(), path.clone(), entry.span))
            .collect();
        unused.sort_by_key(|(_, _, span)| *span);
        unused
    }
}
