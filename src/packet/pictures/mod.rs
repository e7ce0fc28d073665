//! Pictures inside documents.
//!
//! In: the stages' values, looked up. Out: [`Pictures`], by the document they belong to
//! and by their own name. A template writes one with `picture(view.file, "day")`, which
//! is nothing where nothing is drawn: what a picture says also stands in words beside it,
//! so that a document is whole without it.

mod cards;
mod desk;
#[allow(dead_code, reason = "a pen for every picture, of which some are to come")]
pub(crate) mod draw;
pub(crate) mod hand_over;
pub(crate) mod key;
pub(crate) mod letters;
pub(crate) mod scale;
pub(crate) mod screen;
#[cfg(test)]
mod tests;

use crate::packet::index::Index;
use std::collections::BTreeMap;
use std::sync::Arc;

/// A drawing as one `<svg>` element: self-contained, without script, without
/// outside references, every text in it already escaped.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Svg(pub String);

/// A picture as a page shows it: one drawing for paper and wide windows, and where that
/// would become too small to read, another for narrow ones.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// For paper and windows of more than 44 rem; everywhere when it is alone.
    pub wide: Svg,
    /// For narrower windows: at most 328 units wide, so that its text is read on a phone.
    pub narrow: Option<Svg>,
}

impl Picture {
    /// The picture as a `<figure>`.
    pub fn figure(&self) -> String {
        let Svg(wide) = &self.wide;
        match &self.narrow {
            None => format!("<figure class=\"picture\">{wide}</figure>"),
            Some(Svg(narrow)) => format!(
                "<figure class=\"picture\"><div class=\"for-wide\">{wide}</div>\
                 <div class=\"for-narrow\">{narrow}</div></figure>"
            ),
        }
    }
}

/// Every picture of a packet, by the name of its document without ending, then by its own.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Pictures(Arc<BTreeMap<(String, String), Picture>>);

impl Pictures {
    /// Pictures by document and name.
    pub fn new(all: impl IntoIterator<Item = ((String, String), Picture)>) -> Self {
        Self(Arc::new(all.into_iter().collect()))
    }

    /// The picture of a document by its name.
    pub fn get(&self, file: &str, name: &str) -> Option<&Picture> {
        self.0.get(&(file.to_owned(), name.to_owned()))
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

/// Draws every picture of a packet.
pub(crate) fn all(index: &Index<'_>) -> Pictures {
    let named = |file: &str, name: &str, picture| ((file.to_owned(), name.to_owned()), picture);
    let desk = desk::picture(index).map(|picture| named("desk-plan", "desk", picture));
    Pictures::new(cards::all(index).into_iter().chain(desk))
}

/// The identifier of a picture inside a page: of its document, its name and its variant.
pub(crate) fn id(file: &str, name: &str, variant: &str) -> String {
    let mut id = String::from("p");
    for part in [file, name, variant].into_iter().filter(|part| !part.is_empty()) {
        id.push('-');
        id.extend(part.chars().map(|letter| if letter.is_ascii_alphanumeric() { letter } else { '-' }));
    }
    id
}
