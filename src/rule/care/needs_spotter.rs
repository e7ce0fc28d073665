//! `needs-spotter`: where something can hurt, someone does nothing but watch.
//!
//! In: hazards and people of each plate. Out: findings, and the watcher's duty
//! for the card.

use super::hazard::{Hazard, hazards_of};
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::{Origin, Plate, PlateId};
use crate::rule::{About, Check, Family, Report, Rule, Subject};

/// A hazard without someone who watches.
pub(super) const CODE: Code = Code { id: "C01", name: "needs-spotter", severity: Severity::Error };

/// The rule.
pub(super) const RULE: Rule = Rule {
    code: CODE,
    family: Family::Care,
    page: include_str!("needs_spotter.md"),
    check: Check::Work(check),
};

/// The skill of a watcher.
const SKILL: &str = "spotter";

fn check(subject: &Subject<'_>, report: &mut Report) {
    for (id, plate) in subject.breakdown.plates.iter() {
        let hazards = hazards_of(subject, plate);
        let Some(first) = hazards.first() else { continue };
        let mut words: Vec<&str> = hazards.iter().map(|hazard| hazard.word.as_str()).collect();
        words.sort_unstable();
        words.dedup();
        let words = words.join(", ");
        report.instruct(
            About::Plate(id),
            CODE.name,
            "caution",
            format!(
                "{} {words} and does nothing else; anyone's 'stop' stops the take; local rules and licensed practice decide",
                watchers(subject, plate)
            ),
            "common practice, no source",
        );
        // What a recipe owes is shot by the same people in the same set-up.
        if plate.origin == Origin::Written {
            check_plate(subject, (id, plate), first, &words, report);
        }
    }
}

/// `Tomás watches for`, or `one person watches for` where nobody is named.
fn watchers(subject: &Subject<'_>, plate: &Plate) -> String {
    let names: Vec<&str> = plate
        .spotters
        .iter()
        .filter(|spotter| !plate.people.contains(spotter))
        .map(|&spotter| subject.model.people[spotter].named.label())
        .collect();
    match names.as_slice() {
        [] => "one person watches for".into(),
        [one] => format!("{one} watches for"),
        all => format!("each of {} watches for", all.join(" and ")),
    }
}

fn check_plate(
    subject: &Subject<'_>,
    (id, plate): (PlateId, &Plate),
    hazard: &Hazard,
    words: &str,
    report: &mut Report,
) {
    let model = subject.model;
    let watching: Vec<_> =
        plate.spotters.iter().copied().filter(|spotter| !plate.people.contains(spotter)).collect();
    let able = |person: &crate::model::Person| person.can.iter().any(|skill| skill == SKILL);
    let free: Vec<&str> = model
        .people
        .iter()
        .filter(|(person, someone)| !plate.people.contains(person) && able(someone))
        .map(|(_, someone)| someone.named.name())
        .collect();
    let advice = match free.first() {
        Some(name) => format!("add 'spotter {name}'"),
        None => "bring someone who can spot ('can spotter') and add 'spotter NAME'".to_owned(),
    };
    if watching.is_empty() {
        let message = if plate.spotters.is_empty() {
            format!("nobody watches at plate '{}' ({words})", plate.named.path)
        } else {
            format!("whoever performs in plate '{}' cannot watch as well ({words})", plate.named.path)
        };
        report.find(
            About::Plate(id),
            Diagnostic::new(CODE, plate.named.span, message)
                .label("needs a spotter")
                .other(hazard.span, format!("'{}' here", hazard.word))
                .help(advice),
        );
        return;
    }
    for spotter in watching {
        let person = &model.people[spotter];
        if !able(person) {
            report.find(
                About::Plate(id),
                Diagnostic::new(
                    CODE,
                    plate.named.span,
                    format!(
                        "{} is to watch at plate '{}', but is not said to know how",
                        person.named.label(),
                        plate.named.path
                    ),
                )
                .label(format!("for: {words}"))
                .other(person.named.span, "no 'can spotter' here")
                .help(format!("brief {} and write 'can spotter', or {advice}", person.named.label())),
            );
        }
    }
}
