//! What may be supposed, described as the language itself is.
//!
//! Out: the statements, for the schema's own checker, and a page of them.

use crate::Compiled;
use crate::schema::{Part, Spec, Times};
use std::collections::BTreeSet;
use std::fmt::Write;

const DATES: Part = Part::List(&[Part::Range(&Part::Date, true)]);

/// Every supposition.
pub(super) const WORDS: &[Spec] = &[
    one(
        "lose",
        &[Part::Range(&Part::Date, true)],
        "Nothing is shot on that day or those days.",
        "lose 2027-05-14",
    ),
    one(
        "weather",
        &[Part::Date],
        "The weather of that day fails: its cover is shot, and the rest finds a later day.",
        "weather 2027-05-14",
    ),
    one(
        "add",
        &[Part::Date, Part::Maybe(&[Part::Word("like"), Part::Date])],
        "One more day is allowed, like another or like the one before it.",
        "add 2027-05-17 like 2027-05-14",
    ),
    one(
        "away",
        &[Part::Name("person"), DATES],
        "Somebody is away, on location and at the desk.",
        "away mei 2027-05-15, 2027-05-18..2027-05-20",
    ),
    one(
        "broken",
        &[Part::Name("rig"), Part::Maybe(&[DATES])],
        "A rig cannot be used on those days; without days, on none.",
        "broken trolley 2027-05-14",
    ),
    one(
        "call",
        &[Part::Date, Part::Clock],
        "The day is called no earlier than that.",
        "call 2027-05-14 06:30",
    ),
    one("cut", &[Part::Name("beat")], "The beat is not in the picture, nor what hangs on it.", "cut tow"),
];

const fn one(word: &'static str, parts: &'static [Part], doc: &'static str, example: &'static str) -> Spec {
    Spec { word, parts, title: false, body: None, open: false, times: Times::Many, doc, example }
}

/// What may be supposed, with an example of each, and of what, as text for a terminal.
pub fn page(compiled: &Compiled) -> String {
    let mut text = String::from("What may be supposed, each in quotes; several hold together:\n");
    for spec in WORDS {
        let _ = writeln!(text, "  {:<46} {}", format!("\"{}\"", spec.example), spec.doc);
    }
    let model = &compiled.model;
    let days = model.days.iter().flat_map(|days| &days.each).map(|day| day.date.to_string());
    let people = model.people.values().map(|one| &one.named);
    let people: BTreeSet<String> =
        people.chain(model.desks.values().map(|one| &one.named)).map(|one| one.path.clone()).collect();
    let rigs = model.rigs.values().map(|one| one.named.path.clone());
    let beats = model.beats.values().map(|one| one.named.path.clone());
    let kinds: [(&str, Vec<String>); 4] = [
        ("days", days.collect()),
        ("people", people.into_iter().collect()),
        ("rigs", rigs.collect()),
        ("beats", beats.collect()),
    ];
    for (kind, names) in kinds {
        let _ = writeln!(text, "{kind}: {}", names.join(", "));
    }
    text
}
