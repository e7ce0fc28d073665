//! The desk plan: who does what when, what sets the finish, and whether it is in time.

use super::passes::{PassRow, Passes};
use super::shape::{Fact, LeftOut, Link, Told, count, fact};
use crate::model::DeskId;
use crate::order::{Assignment, Quality};
use crate::packet::index::{Index, long_date, short_date};
use crate::quantity::Hours;
use crate::recipe::PassId;
use crate::rule::About;
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeMap;

/// The desk plan.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct DeskView {
    /// One sentence: when it ends, and whether that is in time.
    pub verdict: String,
    /// Whether the finish date is missed.
    pub late: bool,
    /// How good the plan is known to be.
    pub quality: String,
    /// The finish date, totals.
    pub facts: Vec<Fact>,
    /// What rules computed for the finish and the whole.
    pub set: Vec<Told>,
    /// By person.
    pub people: Vec<DeskPerson>,
    /// The chain that sets the finish, in order of time.
    pub critical: Vec<PassRow>,
    /// Lock and deliveries: the moments.
    pub moments: Vec<Fact>,
    /// What could not be planned.
    pub left_out: Vec<LeftOut>,
}

/// One person's work.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct DeskPerson {
    /// Who.
    pub name: String,
    /// Hours a day, departments, days away.
    pub about: Vec<Fact>,
    /// What rules computed for them.
    pub set: Vec<Told>,
    /// Their note.
    pub note: Link,
    /// Their passes in order.
    pub rows: Vec<DeskRow>,
    /// Their hours in all.
    pub hours: String,
}

/// One pass of a person.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct DeskRow {
    /// Its number in the chart, counted by start over all people, from 1.
    pub number: usize,
    /// The pass.
    pub pass: PassRow,
    /// What its start waited for.
    pub because: String,
}

/// The desk plan; `notes` names each person's handoff note.
pub(crate) fn plan(index: &Index<'_>, passes: &Passes<'_>, notes: &BTreeMap<DeskId, Link>) -> DeskView {
    let desk = &index.input.plan.desk;
    let mut moments: Vec<(crate::order::Minute, Fact)> = Vec::new();
    for (id, pass) in index.input.breakdown.passes.iter() {
        if let Some(at) = desk.done.get(&id)
            && (pass.lock || pass.department == "delivery" || pass.stage == "delivery")
        {
            moments.push((*at, fact(&pass.title, index.moment(*at))));
        }
    }
    moments.sort_by_key(|(at, _)| *at);
    let (verdict, late) = verdict(index);
    let (mut left_out, behind) = super::left_out_passes(index);
    left_out.extend(behind);
    DeskView {
        verdict,
        late,
        quality: quality(index),
        facts: facts(index),
        set: index.told_all([About::Finish, About::Sequence]),
        people: index.model.desks.ids().map(|id| person(index, passes, id, notes)).collect(),
        critical: desk.critical.iter().map(|id| passes.row(*id)).collect(),
        moments: moments.into_iter().map(|(_, fact)| fact).collect(),
        left_out,
    }
}

/// How good the plan is known to be, and what no plan can beat.
fn quality(index: &Index<'_>) -> String {
    let desk = &index.input.plan.desk;
    match (&desk.quality, desk.bound) {
        (Quality::Found, Some(bound)) => {
            format!("the best that was found; no plan is done before {}", index.moment(bound))
        }
        (Quality::Found, None) => "nothing to order".to_owned(),
        (Quality::Proven, _) => "no plan is done sooner".to_owned(),
    }
}

/// When the work ends, and whether that is in time.
pub(crate) fn verdict(index: &Index<'_>) -> (String, bool) {
    let desk = &index.input.plan.desk;
    let Some(at) = desk.finish else { return ("Nothing is planned at the desk.".to_owned(), true) };
    let ends = format!("The last pass is done {}", index.moment(at));
    let unplanned = if desk.unplanned.is_empty() {
        String::new()
    } else {
        format!(" {} in no plan.", count(desk.unplanned.len(), "pass is", "passes are"))
    };
    let by = index.model.finish.as_ref().map(|finish| long_date(finish.by));
    match by {
        Some(by) if desk.late_days > 0 => {
            let late = count(desk.late_days as usize, "working day", "working days");
            (format!("{ends}: {late} after the finish date, {by}.{unplanned}"), true)
        }
        Some(by) => (format!("{ends}: in time for {by}.{unplanned}"), false),
        None => (format!("{ends}. No finish date is set.{unplanned}"), false),
    }
}

fn facts(index: &Index<'_>) -> Vec<Fact> {
    let passes = &index.input.breakdown.passes;
    let hours: f64 = passes.values().map(|pass| pass.effort.0).sum();
    vec![fact("Passes", passes.len().to_string()), fact("Work", Hours(hours).to_string())]
}

fn person(index: &Index<'_>, passes: &Passes<'_>, id: DeskId, notes: &BTreeMap<DeskId, Link>) -> DeskPerson {
    let work: Vec<&Assignment> = index.input.plan.desk.work.iter().filter(|work| work.desk == id).collect();
    let numbers = numbers(index);
    let hours: f64 = work.iter().map(|work| index.input.breakdown.passes[work.pass].effort.0).sum();
    DeskPerson {
        name: index.model.desks[id].named.label().to_owned(),
        about: about(index, id),
        set: index.told(About::Desk(id)),
        note: notes.get(&id).cloned().unwrap_or_else(|| Link { text: String::new(), file: String::new() }),
        rows: work
            .into_iter()
            .map(|work| DeskRow {
                number: numbers.get(&work.pass).copied().unwrap_or_default(),
                pass: passes.row(work.pass),
                because: work.because.clone(),
            })
            .collect(),
        hours: Hours(hours).to_string(),
    }
}

/// The number of each planned pass, by start, from 1.
pub(crate) fn numbers(index: &Index<'_>) -> BTreeMap<PassId, usize> {
    index.input.plan.desk.work.iter().enumerate().map(|(at, work)| (work.pass, at + 1)).collect()
}

/// Departments, hours, days away.
pub(crate) fn about(index: &Index<'_>, id: DeskId) -> Vec<Fact> {
    let desk = &index.model.desks[id];
    let does: Vec<&str> = desk.does.iter().map(|word| word.value.as_str()).collect();
    let mut facts =
        vec![fact("Does", does.join(", ")), fact("Hours", format!("{} a working day", desk.hours))];
    let away: Vec<String> = desk
        .away
        .iter()
        .map(|away| {
            if away.value.from == away.value.to {
                short_date(away.value.from)
            } else {
                format!("{} to {}", short_date(away.value.from), short_date(away.value.to))
            }
        })
        .collect();
    if !away.is_empty() {
        facts.push(fact("Away", away.join(", ")));
    }
    facts
}
