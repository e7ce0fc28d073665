//! Diagnostics as JSON.
//!
//! In: diagnostics and the files that they speak of. Out: one value for each,
//! with the keys that other programs may count on. Lines and columns count from
//! 1, columns in characters; what has no place in any file has `null` there.

use super::{Diagnostic, Severity};
use crate::source::{Sources, Span};
use serde::Serialize;

/// One finding as other programs read it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Finding<'a> {
    /// `J01`.
    pub code: &'static str,
    /// `join-offset`.
    pub rule: &'static str,
    /// `error`, `warning` or `note`.
    pub severity: Severity,
    /// What is wrong.
    pub message: &'a str,
    /// The words at fault.
    #[serde(flatten)]
    pub place: Place<'a>,
    /// What was expected there.
    pub label: Option<&'a str>,
    /// How to mend it.
    pub help: Option<&'a str>,
    /// Computed facts.
    pub notes: &'a [String],
    /// Other places that matter.
    pub others: Vec<Other<'a>>,
    /// The mend as an edit.
    pub edit: Option<Edit<'a>>,
}

/// A place in a file; every key is `null` where there is none.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
pub struct Place<'a> {
    /// Path below the project's root.
    pub file: Option<&'a str>,
    /// First line, from 1.
    pub line: Option<usize>,
    /// First column in characters, from 1.
    pub column: Option<usize>,
    /// Line of the end.
    pub end_line: Option<usize>,
    /// Column of the end, which is the first that no longer belongs to it.
    pub end_column: Option<usize>,
}

/// A second place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Other<'a> {
    /// Where.
    #[serde(flatten)]
    pub place: Place<'a>,
    /// What it has to do with the finding.
    pub text: &'a str,
}

/// Words to write instead of those at a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Edit<'a> {
    /// The words to replace.
    #[serde(flatten)]
    pub place: Place<'a>,
    /// The words to write.
    pub text: &'a str,
}

/// The findings, in their order.
pub fn findings<'a>(sources: &'a Sources, diagnostics: &'a [Diagnostic]) -> Vec<Finding<'a>> {
    diagnostics
        .iter()
        .map(|diagnostic| Finding {
            code: diagnostic.code.id,
            rule: diagnostic.code.name,
            severity: diagnostic.severity,
            message: &diagnostic.message,
            place: diagnostic.span.map(|span| place(sources, span)).unwrap_or_default(),
            label: Some(diagnostic.label.as_str()).filter(|label| !label.is_empty()),
            help: diagnostic.help.as_deref(),
            notes: &diagnostic.notes,
            others: diagnostic
                .others
                .iter()
                .map(|other| Other { place: place(sources, other.span), text: &other.text })
                .collect(),
            edit: diagnostic
                .patch
                .as_ref()
                .map(|patch| Edit { place: place(sources, patch.span), text: &patch.text }),
        })
        .collect()
}

fn place(sources: &Sources, span: Span) -> Place<'_> {
    let start = sources.position(span);
    let end = sources.position(Span { start: span.end, ..span });
    Place {
        file: Some(&sources.file(span.file).name),
        line: Some(start.line),
        column: Some(start.column),
        end_line: Some(end.line),
        end_column: Some(end.column),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostic::codes;

    #[test]
    fn every_key_is_there_whether_or_not_there_is_a_place() {
        let mut sources = Sources::default();
        let file = sources.add("a.seam", "é\nprop é x\n");
        let at = Span { file, start: 3, end: 10 };
        let found = [
            Diagnostic::new(codes::LINE, at, "odd").help("mend").patch(at, "prop e"),
            Diagnostic::new(codes::FILE, None, "no file"),
        ];
        let json = serde_json::to_value(findings(&sources, &found)).unwrap();
        assert_eq!(json[0]["line"], 2);
        assert_eq!(json[0]["column"], 1);
        assert_eq!(json[0]["end_column"], 7);
        assert_eq!(json[0]["edit"]["text"], "prop e");
        for key in ["code", "rule", "severity", "message", "file", "line", "column", "help"] {
            assert!(json[1].get(key).is_some(), "{key}");
        }
        assert_eq!(json[1]["file"], serde_json::Value::Null);
    }
}
