//! Which papers are void.
//!
//! In: the documents of both packets. Out: [`Papers`]. A page is void when it says
//! something else to act on, and then what that is stands beside it; other reasons
//! for the same, and pictures of it, leave it good. A file for a program is void when
//! anything in it is different. The version of the text and the numbers of its lines,
//! which every edit moves, count for nothing.

use super::apart::apart;
use super::marks::said;
use super::quiet::Quiet;
use super::reading::Line;
use super::{Difference, Papers, Side, Void};
use crate::packet::{self, Document};
use std::collections::BTreeMap;

/// Nobody carries it.
const FOR_PROGRAMS: &str = "packet.json";

/// Documents that are void, gone or new.
pub(super) fn papers(old: &Side<'_>, new: &Side<'_>) -> Papers {
    let (before, after) = (by_name(old), by_name(new));
    let (quiet_old, quiet_new) = (quiet(old), quiet(new));
    let mut papers = Papers::default();
    for (name, paper) in &before {
        let Some(now) = after.get(name) else {
            papers.gone.push((*name).to_owned());
            continue;
        };
        match changes(paper, &quiet_old, now, &quiet_new) {
            Outcome::Same => {}
            Outcome::Good => papers.good.push((*name).to_owned()),
            Outcome::Void(changes) => papers.void.push(Void { name: (*name).to_owned(), changes }),
        }
    }
    papers.new = after.into_keys().filter(|name| !before.contains_key(name)).map(str::to_owned).collect();
    papers
}

/// What becomes of a paper.
enum Outcome {
    Same,
    /// Its words differ, and nothing to act on does.
    Good,
    Void(Vec<Difference>),
}

/// The forms of one document by their endings.
type Forms<'a> = BTreeMap<&'a str, &'a [u8]>;

fn by_name<'a>(side: &Side<'a>) -> BTreeMap<&'a str, Forms<'a>> {
    let mut names: BTreeMap<&str, Forms<'_>> = BTreeMap::new();
    for Document { path, bytes } in side.documents {
        if path != FOR_PROGRAMS {
            let (name, ending) = path.rsplit_once('.').unwrap_or((path, ""));
            names.entry(name).or_default().insert(ending, bytes);
        }
    }
    names
}

fn changes(old: &Forms<'_>, quiet_old: &Quiet, new: &Forms<'_>, quiet_new: &Quiet) -> Outcome {
    let text = |forms: &Forms<'_>, ending: &str, quiet: &Quiet| {
        let bytes = forms.get(ending)?;
        let bytes = if ending == "ics" { unfolded(bytes) } else { bytes.to_vec() };
        Some(quiet.text(&String::from_utf8_lossy(&bytes)))
    };
    // The page speaks for its twins; where there is none, the first form does.
    let ending = if new.contains_key("html") { Some("html") } else { new.keys().next().copied() };
    let Some(ending) = ending else { return Outcome::Same };
    let (before, after) = (text(old, ending, quiet_old), text(new, ending, quiet_new));
    if before == after {
        return Outcome::Same;
    }
    let (before, after) = (before.unwrap_or_default(), after.unwrap_or_default());
    let read = |text: &str| match ending {
        "html" => said(text, &Quiet::default()),
        "ics" => dates(text),
        _ => Vec::new(),
    };
    let changes = apart(&read(&before), &read(&after)).changes;
    match (changes.is_empty(), ending) {
        (true, "html" | "ics") => Outcome::Good,
        _ => Outcome::Void(changes),
    }
}

/// What is left out of a comparison of documents.
fn quiet(side: &Side<'_>) -> Quiet {
    let mut files: Vec<String> = Vec::new();
    for file in side.compiled.sources.files() {
        files.extend([file.name.clone(), packet::in_html(&file.name), packet::in_markdown(&file.name)]);
    }
    Quiet::new(std::slice::from_ref(&side.packet.head.version), &files)
}

/// The dates of a calendar: what, when and where.
fn dates(text: &str) -> Vec<Line> {
    let mut dates = Vec::new();
    for event in text.split("BEGIN:VEVENT").skip(1) {
        let value = |key: &str| {
            let line = event.lines().find(|line| line.split([':', ';']).next() == Some(key))?;
            line.split_once(':').map(|(_, value)| value.replace("\\,", ",").replace("\\;", ";"))
        };
        let told = [value("DTSTART"), value("DTEND"), value("LOCATION")];
        dates.push(Line {
            at: dates.len(),
            text: told.into_iter().flatten().collect::<Vec<_>>().join(", "),
            about: value("SUMMARY").unwrap_or_default(),
            ..Line::default()
        });
    }
    dates
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_folded_line_is_made_whole() {
        assert_eq!(unfolded(b"TEXT:ab\r\n cd\r\nEND:x\r\n"), b"TEXT:abcd\r\nEND:x\r\n");
    }

    #[test]
    fn a_date_is_what_when_and_where() {
        let text = "BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\nDTSTAMP:1\r\nDTSTART;TZID=Europe/Lisbon:20270514T060200\r\nSUMMARY:Call\\, Mei\r\nEND:VEVENT\r\n";
        let told: Vec<String> =
            dates(text).iter().map(|one| format!("{}: {}", one.what(), one.text)).collect();
        assert_eq!(told, ["Call, Mei: 20270514T060200"]);
    }

    #[test]
    fn other_reasons_leave_a_page_good() {
        let page = |tilt: &str, why: &str| format!("<main><p>{tilt}</p><p class=\"how\">{why}</p></main>");
        let of = |old: &str, new: &str| {
            let (old, new) =
                (Forms::from([("html", old.as_bytes())]), Forms::from([("html", new.as_bytes())]));
            changes(&old, &Quiet::default(), &new, &Quiet::default())
        };
        assert!(matches!(of(&page("5°", "so"), &page("5°", "so")), Outcome::Same));
        assert!(matches!(of(&page("5°", "so"), &page("5°", "else")), Outcome::Good));
        let Outcome::Void(changes) = of(&page("5°", "so"), &page("9°", "so")) else { unreachable!() };
        assert_eq!(changes.len(), 1);
    }
}
