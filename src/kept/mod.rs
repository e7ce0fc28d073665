//! The plan file: the plan of a sequence, kept beside it, and what people have
//! pinned in it.
//!
//! In: the text of the file, the model and its breakdown. Out: the model's
//! [`Kept`](crate::model::Kept), from which the planner starts. What cannot be
//! used is told; nothing of a file that is wrong as a whole is used. And the
//! other way: from a plan to the text of its file, in which whatever people
//! wrote stays as it was.
//!
//! ```text
//! read (shape) → place (names, days)      write (plan → text)
//! ```

mod place;
mod read;
mod renamed;
mod write;

pub use write::{renewed, rest};

use crate::diagnostic::Diagnostic;
use crate::model::Model;
use crate::recipe::Breakdown;
use crate::source::{FileId, Sources};

/// How plan files are written, Markdown.
pub const FORMAT_PAGE: &str = include_str!("format.md");
/// The version of the schema that is read and written.
pub const VERSION: u32 = 1;
/// How the name of every plan file ends.
pub const ENDING: &str = ".plan.yaml";

/// The name of the plan file of a sequence, by the name of its first file.
pub fn file_name(first: &str) -> String {
    format!("{}{ENDING}", first.strip_suffix(".seam").unwrap_or(first))
}

/// Fills the model's kept plan from its file.
pub fn kept(
    sources: &Sources,
    file: FileId,
    (model, breakdown): (&mut Model, &Breakdown),
    diagnostics: &mut Vec<Diagnostic>,
) {
    let text = sources.file(file).text.as_str();
    let whole = read::read(text, &model.sequence.named.path);
    let words = read::Words::new(text, file);
    match whole {
        Ok(written) => {
            let kept = place::Place::new(words, model, breakdown).place(&written, diagnostics);
            model.kept = kept;
        }
        Err((code, problem)) => {
            let mut found = Diagnostic::new(code, words.span(problem.range), problem.message);
            found.help = problem.help;
            diagnostics.push(found);
        }
    }
}
