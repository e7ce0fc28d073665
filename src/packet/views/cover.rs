//! The cover: the whole sequence as one picture in a table, what it comes to,
//! what is open, and who gets what.

use super::beat::{BeatView, beat};
use super::desk;
use super::hand_out::{self, HandOut};
use super::price::{self, PriceView};
use super::shape::{Fact, Found, LeftOut, Link, WaivedView, and, count, fact};
use crate::diagnostic::Severity;
use crate::model::{DeskId, Origin, PlateId, PlateKind};
use crate::order::Quality;
use crate::packet::index::{Index, long_date, short_date};
use crate::quantity::{Hours, Seconds};
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeMap;

/// The cover.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Cover {
    /// Totals.
    pub totals: Vec<Fact>,
    /// The days in short.
    pub days: Vec<DayShort>,
    /// How good the order of the shoot is known to be.
    pub order: String,
    /// What it pays for what.
    pub price: PriceView,
    /// When the desk is done.
    pub desk: String,
    /// Whether the finish date is missed.
    pub late: bool,
    /// What is captured in which order, day by day, each under its number.
    pub shooting: Vec<Fact>,
    /// Beats in story order.
    pub beats: Vec<BeatView>,
    /// What is in no plan, with reasons.
    pub left_out: Vec<LeftOut>,
    /// Passes in no plan only because they wait for what is in no plan.
    pub left_behind: Vec<String>,
    /// Errors and warnings that stand.
    pub open: Vec<Found>,
    /// Notes of the compiler: worth knowing.
    pub told: Vec<Found>,
    /// Waivers with their reasons.
    pub waived: Vec<WaivedView>,
    /// Who gets what.
    pub hand_out: Vec<HandOut>,
    /// Every document, by kind.
    pub documents: Vec<Shelf>,
    /// The writer's notes.
    pub notes: Vec<String>,
}

/// A shoot day in one line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct DayShort {
    /// The call sheet.
    pub sheet: Link,
    /// Date, call, wrap, plates.
    pub facts: Vec<Fact>,
}

/// Documents of one kind.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Shelf {
    /// `Plate cards`.
    pub title: String,
    /// The documents.
    pub holds: Vec<Link>,
}

/// The number of each plate and reference, as the cover's tables list them, from 1:
/// beat by beat, what is seen before what else is captured.
pub(crate) fn numbers(index: &Index<'_>) -> BTreeMap<PlateId, usize> {
    let beats = index.model.beats.ids().flat_map(|id| {
        let (seen, besides): (Vec<PlateId>, Vec<PlateId>) =
            index.beat_plates(id).iter().partition(|plate| index.plate(**plate).kind == PlateKind::Picture);
        seen.into_iter().chain(besides)
    });
    beats.enumerate().map(|(at, plate)| (plate, at + 1)).collect()
}

/// More plates than these on a day are told by their beats; the call sheet has each.
const MOST: usize = 40;

/// What is captured in which order, day by day, each under its number.
fn shooting(index: &Index<'_>, numbers: &BTreeMap<PlateId, usize>) -> Vec<Fact> {
    let days = index.days().iter().enumerate().map(|(at, day)| {
        let shot = super::kit::shot(day);
        let each = shot.iter().map(|id| {
            let number = numbers.get(id).copied().unwrap_or_default();
            format!("{number} {}", index.plate(*id).named.label())
        });
        let says =
            if shot.len() > MOST { by_beat(index, &shot) } else { each.collect::<Vec<_>>().join("; ") };
        fact(&format!("Day {}, {}", at + 1, short_date(day.date)), says)
    });
    days.collect()
}

/// Plates one after the other that belong to one beat, as that beat and how many.
fn by_beat(index: &Index<'_>, shot: &[PlateId]) -> String {
    let beats = shot.chunk_by(|one, two| index.plate(*one).beat == index.plate(*two).beat);
    let says = beats.filter_map(|plates| {
        let beat = &index.model.beats[index.plate(*plates.first()?).beat].named;
        Some(format!("{} of “{}”", count(plates.len(), "plate", "plates"), beat.label()))
    });
    says.collect::<Vec<_>>().join("; ")
}

fn link(text: impl Into<String>, file: impl Into<String>) -> Link {
    Link { text: text.into(), file: file.into() }
}

/// The cover; documents are put on its shelves once all are known.
pub(crate) fn cover(index: &Index<'_>, notes: &BTreeMap<DeskId, Link>) -> Cover {
    let mut open: Vec<Found> = Vec::new();
    let mut told: Vec<Found> = Vec::new();
    for diagnostic in index.input.diagnostics {
        let found = index.found_one(diagnostic);
        let list = if diagnostic.severity == Severity::Note { &mut told } else { &mut open };
        if !list.contains(&found) {
            list.push(found);
        }
    }
    open.sort_by_key(|found| found.severity != "error");
    let mut left_out = super::left_out_plates(index);
    let (roots, behind) = super::left_out_passes(index);
    left_out.extend(roots);
    let (desk, late) = desk::verdict(index);
    let numbers = numbers(index);
    Cover {
        totals: totals(index),
        days: days(index),
        order: order(index),
        price: price::view(&index.input.plan.shoot.price),
        desk,
        late,
        shooting: shooting(index, &numbers),
        beats: index.model.beats.ids().map(|id| beat(index, id, &numbers)).collect(),
        left_out,
        left_behind: behind.into_iter().map(|left| left.what.text).collect(),
        open,
        told,
        waived: index.accepted(|_| true),
        hand_out: hand_out::all(index, notes),
        documents: Vec::new(),
        notes: index
            .model
            .sequence
            .named
            .notes
            .iter()
            .cloned()
            .chain(index.model.notes.iter().map(|note| note.value.clone()))
            .collect(),
    }
}

fn totals(index: &Index<'_>) -> Vec<Fact> {
    let (model, breakdown) = (index.model, index.input.breakdown);
    let length: f64 = breakdown.plates.values().map(|plate| plate.in_picture.0).sum();
    let owed = breakdown.plates.values().filter(|plate| plate.origin != Origin::Written).count();
    let hours: f64 = breakdown.passes.values().map(|pass| pass.effort.0).sum();
    let sequence = &model.sequence;
    let mut facts = vec![
        fact("Picture", Seconds(length).to_string()),
        fact(
            "Delivered as",
            format!(
                "{} × {} at {}",
                sequence.picture.width,
                sequence.picture.height,
                super::plate_facts::rate(sequence.rate)
            ),
        ),
        fact("Beats", model.beats.len().to_string()),
        fact(
            "To capture",
            count(breakdown.plates.len(), "plate", "plates and references")
                + &if owed > 0 { format!(", of which {owed} owed by effects") } else { String::new() },
        ),
        fact("Effects", model.effects.len().to_string()),
        fact("Joins", model.joins.len().to_string()),
        fact("Shoot", shoot(index)),
        fact("Desk", format!("{}, {}", count(breakdown.passes.len(), "pass", "passes"), Hours(hours))),
    ];
    if let Some(captured) = captured(index) {
        facts.insert(4, fact("Captured", captured));
    }
    facts.extend(model.finish.as_ref().map(|finish| fact("Finish by", long_date(finish.by))));
    facts
}

/// How many days the shoot has, and how many of them are logged.
fn shoot(index: &Index<'_>) -> String {
    let (left, all) = (index.days().len(), index.input.plan.shoot.in_all);
    let days = count(all, "day", "days");
    match left {
        left if left == all => days,
        0 if all == 1 => format!("{days}, shot"),
        0 => format!("{days}, all shot"),
        left => format!("{days}, {left} of them still to come"),
    }
}

/// How far the logs say that the shoot has come; `None` where there is no log.
fn captured(index: &Index<'_>) -> Option<String> {
    let (taken, all) = (index.model.record.taken.len(), index.input.breakdown.plates.len());
    if index.model.record.days.is_empty() {
        return None;
    }
    let told = count(all, "plate or reference", "plates and references");
    Some(if is_shot(index) {
        format!("everything: {told}")
    } else {
        format!("{taken} of {told}; {} still owed", all - taken)
    })
}

/// Whether nothing is left to shoot.
fn is_shot(index: &Index<'_>) -> bool {
    let taken = index.model.record.taken.len();
    taken > 0 && taken == index.input.breakdown.plates.len()
}

fn days(index: &Index<'_>) -> Vec<DayShort> {
    index
        .days()
        .iter()
        .map(|day| {
            let mut facts = vec![
                fact("Date", long_date(day.date)),
                fact("Call", index.clock_on(day.call, day.date)),
                fact("Wrap", index.clock_on(day.wrap, day.date)),
            ];
            facts.extend(day.base.map(|base| fact("Base", index.model.places[base].named.label())));
            facts.push(fact(
                "Shoots",
                count(super::kit::shot(day).len(), "plate or reference", "plates and references"),
            ));
            DayShort {
                sheet: link(format!("Call sheet, day {}", day.number), format!("call-sheet-{}", day.number)),
                facts,
            }
        })
        .collect()
}

/// Minutes beyond which a bound says nothing of the order of the day.
const DAY: i64 = 24 * 60;

/// How good the order of the shoot is.
fn order(index: &Index<'_>) -> String {
    if is_shot(index) {
        return "Everything is captured: nothing is left to shoot.".to_owned();
    }
    if index.days().is_empty() {
        return "No day is planned.".to_owned();
    }
    let shoot = &index.input.plan.shoot;
    if shoot.quality == Quality::Proven {
        return "No cheaper order of the shoot exists.".to_owned();
    }
    let sure: Vec<String> =
        index.days().iter().filter(|day| day.proven).map(|day| day.number.to_string()).collect();
    // A whole day fewer, or one more plate, is no matter of minutes.
    let minutes = (shoot.cost - shoot.bound).max(0) / 100;
    if minutes == 0 {
        return "No order of the shoot is cheaper by a minute of the price or more.".to_owned();
    }
    let rest = if minutes <= DAY {
        format!("none saves more than {} of the price", Seconds::minutes(minutes as f64))
    } else {
        "a cheaper one may exist".to_owned()
    };
    match (sure.len(), index.days().len()) {
        (0, _) => format!("The best order of the shoot that was found; {rest}."),
        (all, days) if all == days && days > 1 => format!(
            "On every day, no cheaper order of what it holds exists. How the days share the plates is the \
             best that was found; {rest}."
        ),
        (some, days) if some == days => {
            format!("No cheaper order of what the day holds exists; of all orders, {rest}.")
        }
        (some, _) => format!(
            "On {} {}, no cheaper order of what it holds exists. The rest is the best that was found; \
             {rest}.",
            if some == 1 { "day" } else { "days" },
            and(&sure)
        ),
    }
}
