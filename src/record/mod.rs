//! What was really captured: day logs, read, put together, and laid over what was
//! planned.
//!
//! In: the trees of the logs, the model and its breakdown. Out: the model's
//! [`Record`](crate::model::Record), and plates that hold what was measured in
//! place of what was planned. What cannot be used is reported and kept aside, and
//! the rest counts: no mistake in a log is an error, since a shot plate stays shot.
//! Several people's logs of one day are one record.
//!
//! ```text
//! read → place (days, plates) → merge (takes, numbers) → owed (what is left to shoot) → apply
//! ```

mod apply;
mod merge;
mod owed;
mod place;
mod read;
mod skeleton;

pub(crate) use owed::falls_with;
pub use skeleton::skeleton;

use crate::diagnostic::{Diagnostic, Severity, codes};
use crate::model::Model;
use crate::recipe::Breakdown;
use crate::schema;
use crate::source::{FileId, Sources, Span};
use crate::syntax::Tree;
use jiff::tz::TimeZone;

/// How logs are written, Markdown.
pub const FORMAT_PAGE: &str = include_str!("format.md");

/// Fills the model's record from its logs, and lays what was measured over what
/// was planned.
pub fn record(
    sources: &Sources,
    logs: &[Tree],
    (model, breakdown): (&mut Model, &mut Breakdown),
    diagnostics: &mut Vec<Diagnostic>,
) {
    if logs.is_empty() {
        return;
    }
    let mut read = Vec::new();
    for tree in logs {
        let known = diagnostics.len();
        let facts = schema::check_logs(tree.statements(), diagnostics);
        let told = diagnostics.len() > known || diagnostics.iter().any(|one| is_in(&[tree.file], &one.span));
        if facts.is_empty() && !told {
            diagnostics.push(empty(tree.file));
        }
        read.extend(facts.iter().map(read::read));
    }
    let zone = TimeZone::get(&model.sequence.zone).unwrap_or(TimeZone::UTC);
    let desk = place::Desk { sources, model, breakdown, zone: &zone };
    let placed = desk.place(read, diagnostics);
    let mut record = merge::merge(&desk, placed, diagnostics);
    owed::settle(breakdown, &mut record, diagnostics);
    model.record = record;
    apply::apply(model, breakdown);
    let files: Vec<FileId> = logs.iter().map(|tree| tree.file).collect();
    soften(&files, diagnostics);
}

/// Mistakes in logs keep nobody from building: they are warnings.
fn soften(files: &[FileId], diagnostics: &mut [Diagnostic]) {
    for found in diagnostics.iter_mut().filter(|found| is_in(files, &found.span)) {
        found.severity = found.severity.min(Severity::Warning);
    }
}

fn is_in(files: &[FileId], span: &Option<Span>) -> bool {
    span.is_some_and(|span| files.contains(&span.file))
}

/// A log that was begun and never written, or lost: somebody may think that it counts.
fn empty(file: FileId) -> Diagnostic {
    Diagnostic::new(codes::LOG_EMPTY, Span { file, start: 0, end: 0 }, "this log says nothing")
        .label("a log begins here, with 'log SEQUENCE {'")
        .help("begin one with `seamster log FILE DAY`, fill it in and put it here; or remove the file")
}

/// The words of a span on one line.
fn words(sources: &Sources, span: Span) -> String {
    let text = sources.file(span.file).text.get(span.start as usize..span.end as usize).unwrap_or("");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
