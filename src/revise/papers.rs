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
use jiff::civil::DateTime;
use jiff::tz::TimeZone;
use std::collections::{BTreeMap, BTreeSet};

/// Nobody carries these: what programs read, and pages that explain the rules.
const CARRIED_BY_NOBODY: [&str; 2] = ["packet.json", "rules/"];

/// Documents that are void, gone or new.
pub(super) fn papers(old: &Side<'_>, new: &Side<'_>) -> Papers {
    let (before, after) = (by_name(old), by_name(new));
    let (quiet_old, quiet_new) = (quiet(old), quiet(new));
    let (zone_old, zone_new) = (super::plans::zone(old.compiled), super::plans::zone(new.compiled));
    let mut papers = Papers::default();
    for (name, paper) in &before {
        let Some(now) = after.get(name) else {
            papers.gone.push((*name).to_owned());
            continue;
        };
        match changes(paper, (&quiet_old, &zone_old), now, (&quiet_new, &zone_new)) {
            Outcome::Same => {}
            Outcome::Good => papers.good.push((*name).to_owned()),
            Outcome::Void(changes) => papers.void.push(Void { name: (*name).to_owned(), changes }),
        }
    }
    papers.new = after.into_keys().filter(|name| !before.contains_key(name)).map(str::to_owned).collect();
    let shot = of_what_is_shot(old, new);
    let mut done: Vec<String> = Vec::new();
    done.extend(
        papers.gone.extract_if(.., |name| before.get(name.as_str()).is_some_and(|paper| is_past(paper, new))),
    );
    done.extend(papers.gone.extract_if(.., |name| shot.contains(name)));
    done.extend(papers.void.extract_if(.., |paper| shot.contains(&paper.name)).map(|paper| paper.name));
    done.sort();
    papers.done = done;
    papers
}

/// Whether a calendar holds nothing but days that are logged.
fn is_past(paper: &Forms<'_>, new: &Side<'_>) -> bool {
    let Some(bytes) = paper.get("ics") else { return false };
    let zone = super::plans::zone(new.compiled);
    let text = String::from_utf8_lossy(bytes);
    let days: Vec<Option<DateTime>> = text
        .split("BEGIN:VEVENT")
        .skip(1)
        .map(|event| event.lines().find_map(|line| line.strip_prefix("DTSTART")))
        .map(|line| local(line?.split_once(':')?.1.trim(), &zone))
        .collect();
    let logged =
        |day: &Option<DateTime>| day.is_some_and(|day| new.compiled.model.record.day(day.date()).is_some());
    !days.is_empty() && days.iter().all(logged)
}

/// Papers of days that are logged, and cards of what is captured: whoever carried them is
/// done with them.
fn of_what_is_shot(old: &Side<'_>, new: &Side<'_>) -> BTreeSet<String> {
    let record = &new.compiled.model.record;
    let mut names = BTreeSet::new();
    for day in old.compiled.plan.shoot.days.iter().filter(|day| record.day(day.date).is_some()) {
        // A day that goes on keeps its papers.
        if new.compiled.plan.shoot.days.iter().any(|left| left.date == day.date) {
            continue;
        }
        names.extend(["call-sheet", "cards", "log", "phone"].map(|kind| format!("{kind}-{}", day.number)));
    }
    let plates = &new.compiled.breakdown.plates;
    let captured: BTreeSet<&str> = record.taken.iter().map(|id| plates[*id].named.path.as_str()).collect();
    let shot = new.packet.plates.iter().filter(|card| captured.contains(card.path.as_str()));
    names.extend(shot.map(|card| card.file.clone()));
    let of_plate = |link: &str| names.contains(link);
    let screens = new.packet.screens.iter().filter(|card| of_plate(&card.plate.file));
    let screens: Vec<String> = screens.map(|card| card.file.clone()).collect();
    let joins = new
        .compiled
        .model
        .joins
        .values()
        .filter(|join| [join.from, join.to].iter().all(|side| record.taken.contains(side)));
    let paths: BTreeSet<&str> = joins.map(|join| join.named.path.as_str()).collect();
    let joins = new.packet.hand_overs.iter().filter(|card| paths.contains(card.path.as_str()));
    let joins: Vec<String> = joins.map(|card| card.file.clone()).collect();
    names.extend(screens.into_iter().chain(joins));
    names
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
        if !CARRIED_BY_NOBODY.iter().any(|start| path.starts_with(start)) {
            let (name, ending) = path.rsplit_once('.').unwrap_or((path, ""));
            names.entry(name).or_default().insert(ending, bytes);
        }
    }
    names
}

fn changes(
    old: &Forms<'_>,
    quiet_old: (&Quiet, &TimeZone),
    new: &Forms<'_>,
    quiet_new: (&Quiet, &TimeZone),
) -> Outcome {
    let text = |forms: &Forms<'_>, ending: &str, quiet: &Quiet| {
        let bytes = forms.get(ending)?;
        let bytes = if ending == "ics" { unfolded(bytes) } else { bytes.to_vec() };
        Some(quiet.text(&String::from_utf8_lossy(&bytes)))
    };
    // The page speaks for its twins; where there is none, the first form does.
    let ending = if new.contains_key("html") { Some("html") } else { new.keys().next().copied() };
    let Some(ending) = ending else { return Outcome::Same };
    let (before, after) = (text(old, ending, quiet_old.0), text(new, ending, quiet_new.0));
    if before == after {
        return Outcome::Same;
    }
    let (before, after) = (before.unwrap_or_default(), after.unwrap_or_default());
    let read = |text: &str, zone: &TimeZone| match ending {
        "html" => said(text, &Quiet::default()),
        "ics" => dates(text, zone),
        _ => Vec::new(),
    };
    let changes = apart(&read(&before, quiet_old.1), &read(&after, quiet_new.1)).changes;
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
fn dates(text: &str, zone: &TimeZone) -> Vec<Line> {
    let mut dates = Vec::new();
    for event in text.split("BEGIN:VEVENT").skip(1) {
        let value = |key: &str| {
            let line = event.lines().find(|line| line.split([':', ';']).next() == Some(key))?;
            line.split_once(':').map(|(_, value)| value.replace("\\,", ",").replace("\\;", ";"))
        };
        let when = [value("DTSTART"), value("DTEND")]
            .map(|stamp| stamp.as_deref().and_then(|stamp| local(stamp, zone)));
        let when = match when {
            [Some(from), Some(to)] if from.date() == to.date() => {
                Some(format!("{} to {}", spoken(from), to.strftime("%H:%M")))
            }
            [Some(from), Some(to)] => Some(format!("{} to {}", spoken(from), spoken(to))),
            [from, to] => from.or(to).map(spoken),
        };
        dates.push(Line {
            at: dates.len(),
            text: when.into_iter().chain(value("LOCATION")).collect::<Vec<_>>().join(", "),
            about: value("SUMMARY").unwrap_or_default(),
            ..Line::default()
        });
    }
    dates
}

/// A date of a calendar as clocks on location show it (RFC 5545, §3.3.5: `Z` is UTC, all
/// else is local).
fn local(stamp: &str, zone: &TimeZone) -> Option<DateTime> {
    match stamp.strip_suffix('Z') {
        Some(utc) => {
            let utc: DateTime = utc.parse().ok()?;
            Some(zone.to_datetime(TimeZone::UTC.to_timestamp(utc).ok()?))
        }
        None => stamp.parse().ok(),
    }
}

/// `Fri 14 May, 06:30`.
fn spoken(at: DateTime) -> String {
    at.strftime("%a %-d %b, %H:%M").to_string()
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
        let zone = TimeZone::get("Europe/Lisbon").expect("it is known");
        let text = "BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\nDTSTAMP:1\r\nDTSTART;TZID=Europe/Lisbon:20270514T060200\r\nSUMMARY:Call\\, Mei\r\nEND:VEVENT\r\n";
        let told: Vec<String> =
            dates(text, &zone).iter().map(|one| format!("{}: {}", one.what(), one.text)).collect();
        assert_eq!(told, ["Call, Mei: Fri 14 May, 06:02"]);
        // Lisbon is an hour ahead of UTC in May; what begins and ends on one day says the day once.
        let utc = "BEGIN:VEVENT\r\nDTSTART:20270514T112900Z\r\nDTEND:20270514T123000Z\r\nEND:VEVENT\r\n";
        assert_eq!(dates(utc, &zone)[0].text, "Fri 14 May, 12:29 to 13:30");
    }

    #[test]
    fn other_reasons_leave_a_page_good() {
        let page = |tilt: &str, why: &str| format!("<main><p>{tilt}</p><p class=\"how\">{why}</p></main>");
        let of = |old: &str, new: &str| {
            let (old, new) =
                (Forms::from([("html", old.as_bytes())]), Forms::from([("html", new.as_bytes())]));
            let quiet = (&Quiet::default(), &TimeZone::UTC);
            changes(&old, quiet, &new, quiet)
        };
        assert!(matches!(of(&page("5°", "so"), &page("5°", "so")), Outcome::Same));
        assert!(matches!(of(&page("5°", "so"), &page("5°", "else")), Outcome::Good));
        let Outcome::Void(changes) = of(&page("5°", "so"), &page("9°", "so")) else { unreachable!() };
        assert_eq!(changes.len(), 1);
    }
}
