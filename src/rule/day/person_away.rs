//! `person-away`: everyone whom a plate names is there on at least one allowed day, together.
//!
//! In: people's hours and dates away. Out: findings with the smallest set of
//! lines that cannot hold together.

use super::mend::date_that;
use super::window::{longest, meet_all, of_access, of_clocks, shooting_minutes, zone_of};
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::{DayPlan, Model, Person, PersonId, Plate, PlateId};
use crate::order::Minute;
use crate::quantity::Range;
use crate::rule::{About, Check, Family, Report, Rule, Subject};
use jiff::tz::TimeZone;

/// Someone is never there when the plate could be shot.
pub(super) const CODE: Code = Code { id: "D03", name: "person-away", severity: Severity::Error };

/// The rule.
pub(super) const RULE: Rule =
    Rule { code: CODE, family: Family::Day, page: include_str!("person_away.md"), check: Check::Work(check) };

fn check(subject: &Subject<'_>, report: &mut Report) {
    let model = subject.model;
    let Some(days) = &model.days else { return };
    let zone = zone_of(model);
    for (id, plate) in subject.breakdown.plates.iter() {
        let mut people: Vec<PersonId> = plate.people.iter().chain(&plate.spotters).copied().collect();
        people.sort();
        people.dedup();
        let works = |set: &[PersonId]| days.each.iter().any(|day| together(model, plate, day, set, &zone));
        // Without anyone the place itself is not open: that is `access`.
        if !works(&[]) || works(&people) {
            continue;
        }
        let smallest = smallest(&people, &works);
        let mut ways = Vec::new();
        let date = date_that(model, |day| together(model, plate, day, &people, &zone));
        ways.extend(date.map(|date| format!("allow another day, 'day {date}'")));
        ways.extend(stand_in(model, plate, &smallest, &works));
        ways.push("ask for other hours".into());
        report.find(About::Plate(id), describe(model, (id, plate), &smallest).help(ways.join(", or ")));
    }
}

/// The smallest set that already cannot be there: one person, else two, else all.
fn smallest(people: &[PersonId], works: &dyn Fn(&[PersonId]) -> bool) -> Vec<PersonId> {
    if let Some(&one) = people.iter().find(|&&one| !works(&[one])) {
        return vec![one];
    }
    for (at, &one) in people.iter().enumerate() {
        if let Some(&other) = people.iter().skip(at + 1).find(|&&other| !works(&[one, other])) {
            return vec![one, other];
        }
    }
    people.to_vec()
}

/// Someone else who plays the same part or has the same skill and is there.
fn stand_in(
    model: &Model,
    plate: &Plate,
    missing: &[PersonId],
    works: &dyn Fn(&[PersonId]) -> bool,
) -> Option<String> {
    let one = missing.iter().find(|person| plate.people.contains(person));
    let (word, &gone) = match one {
        Some(one) => ("person", one),
        None => ("spotter", missing.first()?),
    };
    let alike = |other: &Person| {
        let gone = &model.people[gone];
        let wanted = if word == "person" { &gone.plays } else { &gone.can };
        let has = if word == "person" { &other.plays } else { &other.can };
        !wanted.is_empty() && wanted.iter().all(|part| has.contains(part))
    };
    let free = model.people.iter().find(|(id, other)| {
        !plate.people.contains(id) && !plate.spotters.contains(id) && alike(other) && works(&[*id])
    });
    free.map(|(_, other)| format!("write '{word} {}' in '{}'", other.named.name(), plate.named.path))
}

/// Whether all of these are there on the day, long enough, while the place is open.
fn together(model: &Model, plate: &Plate, day: &DayPlan, people: &[PersonId], zone: &TimeZone) -> bool {
    let mut windows = of_access(model, plate.place, day, zone);
    for &person in people {
        windows = meet_all(&windows, &hours_on(&model.people[person], day, zone));
    }
    longest(&windows) >= shooting_minutes(plate)
}

/// When someone can be there on a day; reaches from its date into the next.
fn hours_on(person: &Person, day: &DayPlan, zone: &TimeZone) -> Vec<Range<Minute>> {
    if person.away.iter().any(|away| away.value.from <= day.date && day.date <= away.value.to) {
        return Vec::new();
    }
    match person.hours {
        Some(hours) => [Ok(day.date), day.date.tomorrow()]
            .into_iter()
            .flatten()
            .filter_map(|date| of_clocks(date, hours.value, zone))
            .collect(),
        None => vec![Range { from: Minute(i64::MIN), to: Minute(i64::MAX) }],
    }
}

fn describe(model: &Model, (_, plate): (PlateId, &Plate), people: &[PersonId]) -> Diagnostic {
    let names: Vec<&str> = people.iter().map(|&id| model.people[id].named.label()).collect();
    let message = match names.as_slice() {
        [one] => {
            format!("{one} is not there on any allowed day when plate '{}' could be shot", plate.named.path)
        }
        all => {
            format!("{} are never there together to shoot plate '{}'", all.join(" and "), plate.named.path)
        }
    };
    let mut finding = Diagnostic::new(CODE, plate.named.span, message).label("nobody can be spared here");
    for &id in people {
        let person = &model.people[id];
        for away in &person.away {
            finding = finding.other(away.span, format!("{} is away", person.named.label()));
        }
        if let Some(hours) = person.hours {
            finding = finding.other(hours.span, format!("only then is {} there", person.named.label()));
        }
    }
    if let Some(days) = &model.days {
        finding = finding.other(days.span, "the days that may be used");
    }
    finding
}
