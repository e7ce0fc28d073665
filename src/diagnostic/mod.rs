//! The one value for everything that Seamster has to say about a sequence.
//!
//! A [`Diagnostic`] is made by any stage and rendered in one place: as text
//! ([`text`]), as JSON ([`json`]), later in an editor. Codes are never reused.

use crate::source::Span;
use serde::{Deserialize, Serialize};

pub mod codes;
pub mod json;
pub mod nearest;
pub mod text;

/// How much a finding matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Worth knowing; fails nothing.
    Note,
    /// Likely to hurt on the day or at the desk; fails under `--strict`.
    Warning,
    /// Cannot work as written; no packet is written.
    Error,
}

impl Severity {
    /// The word people read.
    pub fn word(self) -> &'static str {
        match self {
            Severity::Note => "note",
            Severity::Warning => "warning",
            Severity::Error => "error",
        }
    }
}

/// A stable identity: `id` such as `J01`, `name` such as `join-offset`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct Code {
    /// Family letter and number; never given to another rule.
    pub id: &'static str,
    /// Kebab-case name, used in `accept` and `explain`.
    pub name: &'static str,
    /// Severity unless the sequence says otherwise.
    pub severity: Severity,
}

/// A second place that a diagnostic speaks of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Label {
    /// Where.
    pub span: Span,
    /// What it has to do with the finding.
    pub text: String,
}

/// Words to write instead of those at a span.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Patch {
    /// The words to replace.
    pub span: Span,
    /// The words to write.
    pub text: String,
}

/// One finding. Messages are lower case, one sentence, and name the thing; the
/// mend goes in `help`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Diagnostic {
    /// Which rule.
    pub code: Code,
    /// How much it matters here, after the sequence's own settings.
    pub severity: Severity,
    /// What is wrong.
    pub message: String,
    /// The words at fault; `None` only for what has no place in any file.
    pub span: Option<Span>,
    /// What the words at fault should have been, shown under them.
    pub label: String,
    /// Other places that matter.
    pub others: Vec<Label>,
    /// How to mend it.
    pub help: Option<String>,
    /// The mend as an edit.
    pub patch: Option<Patch>,
    /// Computed facts, one sentence each.
    pub notes: Vec<String>,
}

impl Diagnostic {
    /// A finding with the code's own severity.
    pub fn new(code: Code, span: impl Into<Option<Span>>, message: impl Into<String>) -> Self {
        Self {
            code,
            severity: code.severity,
            message: message.into(),
            span: span.into(),
            label: String::new(),
            others: Vec::new(),
            help: None,
            patch: None,
            notes: Vec::new(),
        }
    }

    /// Says what was expected at the words at fault.
    pub fn label(mut self, text: impl Into<String>) -> Self {
        self.label = text.into();
        self
    }

    /// Points at a second place.
    pub fn other(mut self, span: Span, text: impl Into<String>) -> Self {
        self.others.push(Label { span, text: text.into() });
        self
    }

    /// Says how to mend it.
    pub fn help(mut self, text: impl Into<String>) -> Self {
        self.help = Some(text.into());
        self
    }

    /// Offers the mend as an edit.
    pub fn patch(mut self, span: Span, text: impl Into<String>) -> Self {
        self.patch = Some(Patch { span, text: text.into() });
        self
    }

    /// Adds a computed fact.
    pub fn note(mut self, text: impl Into<String>) -> Self {
        self.notes.push(text.into());
        self
    }
}

/// The most findings that reading the text reports; a file of nonsense has no more to teach.
pub const MOST: usize = 10_000;

/// Sorts by file, span and code, and drops exact repeats.
pub fn sort(diagnostics: &mut Vec<Diagnostic>) {
    diagnostics.sort_by(|a, b| (a.span, a.code.id, &a.message).cmp(&(b.span, b.code.id, &b.message)));
    diagnostics.dedup();
}
