//! Which papers are void.
//!
//! In: the documents of both packets. Out: [`Papers`]. A document is void when
//! it says something else; the version of the text and the numbers of its lines,
//! which every edit moves, say nothing to whoever carries the paper.

use super::{Papers, Side};
use crate::packet::{self, Document};
use std::collections::BTreeMap;

/// Nobody carries it.
const FOR_PROGRAMS: &str = "packet.json";

/// Documents that are void, gone or new.
pub(super) fn papers(old: &Side<'_>, new: &Side<'_>) -> Papers {
    let (before, after) = (by_name(old), by_name(new));
    let mut papers = Papers::default();
    for (name, text) in &before {
        match after.get(name) {
            None => papers.gone.push(name.clone()),
            Some(now) if now != text => papers.void.push(name.clone()),
            Some(_) => {}
        }
    }
    papers.new = after.into_keys().filter(|name| !before.contains_key(name)).collect();
    papers
}

/// What each document says, its HTML, Markdown and tables together.
fn by_name(side: &Side<'_>) -> BTreeMap<String, Vec<String>> {
    let marks = Marks::of(side);
    let mut names: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for Document { path, bytes } in side.documents {
        if path == FOR_PROGRAMS {
            continue;
        }
        let name = path.rsplit_once('.').map_or(path.as_str(), |(name, _)| name);
        let text = if path.ends_with(".ics") { unfolded(bytes) } else { bytes.clone() };
        let text = marks.without(&String::from_utf8_lossy(&text));
        names.entry(name.to_owned()).or_default().push(text);
    }
    names
}

/// What is left out of a comparison of documents.
struct Marks {
    version: String,
    /// Names of the files, as they stand in documents; the longest first.
    files: Vec<String>,
}

impl Marks {
    fn of(side: &Side<'_>) -> Self {
        let sources = &side.compiled.sources;
        let mut files: Vec<String> = Vec::new();
        for file in sources.files() {
            files.extend([file.name.clone(), packet::in_html(&file.name), packet::in_markdown(&file.name)]);
        }
        files.sort_by(|a, b| b.len().cmp(&a.len()).then_with(|| a.cmp(b)));
        files.dedup();
        Self { version: side.packet.head.version.clone(), files }
    }

    fn without(&self, text: &str) -> String {
        let mut text = text.replace(&self.version, "");
        for file in &self.files {
            text = without_lines(&text, file);
        }
        text
    }
}

/// A calendar with its long lines whole again (RFC 5545, §3.1), so that a version
/// which a fold has cut in two is found.
fn unfolded(bytes: &[u8]) -> Vec<u8> {
    let mut out: Vec<u8> = Vec::with_capacity(bytes.len());
    let mut rest = bytes;
    loop {
        rest = match rest {
            [] => return out,
            [b'\r', b'\n', b' ' | b'\t', after @ ..] => after,
            [first, after @ ..] => {
                out.push(*first);
                after
            }
        };
    }
}

/// Takes `name:12` out, wherever it stands.
fn without_lines(text: &str, name: &str) -> String {
    let place = format!("{name}:");
    let mut parts = text.split(place.as_str());
    let mut out = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        let rest = part.trim_start_matches(|letter: char| letter.is_ascii_digit());
        if rest.len() == part.len() {
            out.push_str(&place);
        }
        out.push_str(rest);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_folded_line_is_made_whole() {
        assert_eq!(unfolded(b"TEXT:ab\r\n cd\r\nEND:x\r\n"), b"TEXT:abcd\r\nEND:x\r\n");
    }

    #[test]
    fn only_places_are_taken_out() {
        assert_eq!(without_lines("see a.seam:12, and a.seam: no", "a.seam"), "see , and a.seam: no");
        assert_eq!(without_lines("nothing", "a.seam"), "nothing");
    }
}
