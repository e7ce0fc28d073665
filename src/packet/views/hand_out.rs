//! Who gets what.

use super::shape::{Link, and};
use crate::model::DeskId;
use crate::packet::index::{Index, short_date};
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeMap;

/// What one person is handed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct HandOut {
    /// Who.
    pub who: String,
    /// What for.
    pub why: String,
    /// The documents.
    pub gets: Vec<Link>,
}

fn link(text: impl Into<String>, file: impl Into<String>) -> Link {
    Link { text: text.into(), file: file.into() }
}

/// Who gets what: the unit, each person, the desk.
pub(crate) fn all(index: &Index<'_>, notes: &BTreeMap<DeskId, Link>) -> Vec<HandOut> {
    let sheets: Vec<Link> = index
        .days()
        .iter()
        .map(|day| day.number)
        .flat_map(|day| {
            [
                link(format!("Call sheet, day {day}"), format!("call-sheet-{day}")),
                link(format!("Cards, day {day}"), format!("cards-{day}")),
                link(format!("Log sheet, day {day}"), format!("log-{day}")),
            ]
        })
        .collect();
    let mut all = Vec::new();
    if !sheets.is_empty() {
        all.push(HandOut {
            who: "Whoever runs the day".to_owned(),
            why: "the day's order, and a card for every plate and hand-over".to_owned(),
            gets: sheets,
        });
    }
    for (id, person) in index.model.people.iter() {
        let mut gets = Vec::new();
        let mut calls = Vec::new();
        for day in index.days() {
            for called in day.people.iter().filter(|called| called.person == id) {
                let when = index.clock_on(called.call, day.date);
                calls.push(format!("{} at {when}", short_date(day.date)));
                let number = day.number;
                gets.push(link(format!("Call sheet, day {number}"), format!("call-sheet-{number}")));
                gets.extend(called.for_plates.iter().map(|(plate, _)| index.plate_link(*plate)));
            }
        }
        let mut seen: Vec<Link> = Vec::new();
        gets.retain(|link| {
            !seen.contains(link) && {
                seen.push(link.clone());
                true
            }
        });
        let why = if calls.is_empty() { "not called".to_owned() } else { format!("called {}", and(&calls)) };
        all.push(HandOut { who: person.named.label().to_owned(), why, gets });
    }
    all.push(HandOut {
        who: "Whoever brings in the footage".to_owned(),
        why: "that night, before the place is gone".to_owned(),
        gets: vec![link("Ingest list", "ingest")],
    });
    for (id, desk) in index.model.desks.iter() {
        let does: Vec<String> = desk.does.iter().map(|does| does.value.clone()).collect();
        all.push(HandOut {
            who: desk.named.label().to_owned(),
            why: and(&does),
            gets: notes.get(&id).map(|note| link("Handoff note", note.file.clone())).into_iter().collect(),
        });
    }
    all.push(HandOut {
        who: "Whoever leads the desk".to_owned(),
        why: "what waits for whom, and when it is done".to_owned(),
        gets: vec![link("Desk plan", "desk-plan"), link("Pass list", "passes")],
    });
    all
}
