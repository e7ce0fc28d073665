//! What a command found, told as text or as one JSON object.

use super::{Exit, Trouble, console};
use clap::ValueEnum;
use seamster::Compiled;
use seamster::diagnostic::{Diagnostic, Severity, json, text};
use seamster::source::Sources;
use serde::Serialize;

/// Columns that a finding may take; longer lines of a file are cut.
const WIDTH: usize = 120;

/// How findings are told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Format {
    /// For people.
    Text,
    /// One object, for other programs.
    Json,
}

/// How hard the planners try.
#[derive(Debug, clap::Args)]
pub(super) struct Effort {
    /// Let the planners work so many times as long for a better plan; the plan stays the same on every machine
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=1000))]
    effort: u32,
}

impl Effort {
    /// As the planners take it.
    pub(super) fn value(&self) -> seamster::order::Effort {
        seamster::order::Effort(self.effort)
    }
}

/// Choices that every command with findings shares.
#[derive(Debug, clap::Args)]
pub(super) struct Choices {
    /// How findings are told: as text, or as one JSON object with `diagnostics`
    #[arg(long, value_enum, default_value = "text")]
    pub(super) format: Format,
    /// Let warnings fail as errors do
    #[arg(long)]
    pub(super) strict: bool,
    /// Print how long each stage took, and how much memory was used
    #[arg(long)]
    pub(super) timings: bool,
    #[command(flatten)]
    pub(super) effort: Effort,
}

impl Choices {
    /// Whether these findings fail the command.
    pub(super) fn fails(&self, diagnostics: &[Diagnostic]) -> bool {
        let least = if self.strict { Severity::Warning } else { Severity::Error };
        diagnostics.iter().any(|diagnostic| diagnostic.severity >= least)
    }

    /// The exit that these findings lead to.
    pub(super) fn exit(&self, diagnostics: &[Diagnostic]) -> Exit {
        if self.fails(diagnostics) { Exit::Errors } else { Exit::Clean }
    }
}

/// The one object.
#[derive(Serialize)]
struct Object<'a> {
    /// Name of the sequence; `null` where it has none.
    sequence: Option<&'a str>,
    /// Hash of its text, as packets show it.
    text: Option<String>,
    errors: usize,
    warnings: usize,
    notes: usize,
    diagnostics: Vec<json::Finding<'a>>,
    /// The folder and its documents, where a packet was written.
    written: Option<Written>,
    /// What kept the command from its work.
    trouble: Option<&'a str>,
}

/// A packet that was written.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Written {
    /// Where, as it was typed.
    pub(super) folder: String,
    /// Whether it is a draft.
    pub(super) draft: bool,
    /// Paths of its documents.
    pub(super) documents: Vec<String>,
    /// The plan file, where the plan was kept.
    pub(super) kept: Option<String>,
    /// What moved of the plan that was kept before.
    pub(super) moved: Option<Moved>,
}

/// How much moved of a kept plan.
#[derive(Debug, Clone, Copy, Serialize)]
pub(super) struct Moved {
    /// Set-ups of both plans.
    pub(super) setups: usize,
    /// Those that moved.
    pub(super) moved_setups: usize,
    /// Passes of both plans.
    pub(super) passes: usize,
    /// Those that moved.
    pub(super) moved_passes: usize,
}

/// The findings as text, then how many there are.
pub(super) fn text(sources: &Sources, diagnostics: &[Diagnostic]) -> String {
    let mut text = text::render(sources, diagnostics, WIDTH);
    let summary = text::summary(diagnostics);
    if !summary.is_empty() {
        text.push_str(&summary);
        text.push('\n');
    }
    text
}

/// The findings, and what was written, as one object.
pub(super) fn object(compiled: &Compiled, written: Option<Written>, trouble: Option<&str>) -> String {
    let name = compiled.model.sequence.named.path.as_str();
    let count = |severity| compiled.diagnostics.iter().filter(|one| one.severity == severity).count();
    lines(&Object {
        sequence: Some(name).filter(|name| !name.is_empty()),
        text: Some(compiled.text_hash()),
        errors: count(Severity::Error),
        warnings: count(Severity::Warning),
        notes: count(Severity::Note),
        diagnostics: json::findings(&compiled.sources, &compiled.diagnostics),
        written,
        trouble,
    })
}

/// Where JSON was asked for, even trouble with the first file is told as an
/// object, besides the sentence on standard error.
///
/// # Errors
/// The trouble itself, always.
pub(super) fn refuse<T>(choices: &Choices, trouble: Trouble) -> Result<T, Trouble> {
    if choices.format == Format::Json {
        let object = Object {
            sequence: None,
            text: None,
            errors: 0,
            warnings: 0,
            notes: 0,
            diagnostics: Vec::new(),
            written: None,
            trouble: Some(&trouble.message),
        };
        console::print(&lines(&object))?;
    }
    Err(trouble)
}

fn lines(object: &Object<'_>) -> String {
    let mut text = serde_json::to_string_pretty(object).expect("texts and numbers are always JSON");
    text.push('\n');
    text
}
