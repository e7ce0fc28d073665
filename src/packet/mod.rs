//! Packets: what people are handed.
//!
//! In: everything that the earlier stages know. Out: [`Packet`], the views as
//! plain data, and from it [`Document`]s as bytes in memory. Nothing is written
//! here; the same input gives the same bytes.
//!
//! views (computing, wording, rounding) → templates (layout) → documents

use crate::diagnostic::Diagnostic;
use crate::graph::Work;
use crate::model::Model;
use crate::order::explain::Second;
use crate::order::{Aftermath, Plan};
use crate::recipe::Breakdown;
use crate::rule::Findings;
use crate::source::Sources;
use jiff::civil::Date;
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::fmt::Write;

pub mod cautions;
mod escape;
pub mod exchange;
mod index;
mod names;
mod pages;
pub mod paper;
pub mod pictures;
mod render;
mod spoken;
mod templates;
pub mod views;

#[cfg(test)]
mod tests;

pub(crate) use index::minutes;
pub(crate) use names::Names;
pub(crate) use pages::{Line, Section, Sheet};
pub(crate) use render::Press;
pub use render::{Document, RenderError, render};
pub(crate) use spoken::Spoken;
pub use views::Packet;
pub(crate) use views::shape::count;

/// What a packet is made from.
#[derive(Clone, Copy)]
pub struct Input<'a> {
    /// The files.
    pub sources: &'a Sources,
    /// The sequence.
    pub model: &'a Model,
    /// Its work.
    pub breakdown: &'a Breakdown,
    /// Its dependencies.
    pub work: &'a Work,
    /// Both plans.
    pub plan: &'a Plan,
    /// The next best order of each day of which one is known.
    pub seconds: &'a [Second],
    /// What the rules said.
    pub findings: &'a Findings,
    /// Everything that stands, of every stage, sorted.
    pub diagnostics: &'a [Diagnostic],
    /// What each day that falls to its cover does to the rest, by its date, as far as it was asked.
    pub aftermaths: &'a BTreeMap<Date, Aftermath>,
    /// Whether the sequence has errors and the packet must say so on every page.
    pub draft: bool,
    /// Hash of the text: [`text_hash`].
    pub text_hash: &'a str,
}

/// How a project's own templates are written, and the data that each gets, Markdown.
pub fn template_page() -> String {
    templates::page()
}

/// The text of a built-in template: `plate.html`.
pub fn template(name: &str) -> Option<&'static str> {
    templates::find(name)
}

/// The names of all built-in templates.
pub fn template_names() -> impl Iterator<Item = &'static str> {
    templates::names()
}

/// The JSON Schema (draft 2020-12) of `packet.json`.
pub fn schema() -> String {
    exchange::json::write_schema()
}

/// Makes every view of a packet.
pub fn assemble(input: &Input<'_>) -> Packet {
    views::assemble(input)
}

/// Text as it stands in a page.
pub(crate) fn in_html(text: &str) -> String {
    let mut out = String::new();
    // A string takes everything.
    let _ = escape::html(text, &mut out);
    out
}

/// Text as it stands in a Markdown document.
pub(crate) fn in_markdown(text: &str) -> String {
    let mut out = String::new();
    let _ = escape::markdown(text, &mut out);
    out
}

/// SHA-256 over names and texts of all files, in the order in which they were
/// first used, as hexadecimal digits. Lengths are part of it, so that no two
/// sets of files give the same bytes.
pub fn text_hash(sources: &Sources) -> String {
    let mut hash = Sha256::new();
    for file in sources.files() {
        for part in [&file.name, &file.text] {
            hash.update((part.len() as u64).to_be_bytes());
            hash.update(part.as_bytes());
        }
    }
    hash.finalize().iter().fold(String::new(), |mut text, byte| {
        let _ = write!(text, "{byte:02x}");
        text
    })
}
