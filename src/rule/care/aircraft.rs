//! `aircraft`: a rig that flies has a pilot and someone who watches the air.
//!
//! In: flying plates and people. Out: findings, and the numbers of two
//! regulations as a start; the rule where one is decides.

use super::hazard::{AIRCRAFT, hazards_of};
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::{Light, Model, Origin, Person, PersonId, Plate, PlateId};
use crate::rule::{About, Check, Family, Report, Rule, Subject};

/// A flight without pilot or watcher.
pub(super) const CODE: Code = Code { id: "C03", name: "aircraft", severity: Severity::Error };

/// The rule.
pub(super) const RULE: Rule =
    Rule { code: CODE, family: Family::Care, page: include_str!("aircraft.md"), check: Check::Work(check) };

/// Printed wherever something flies; each with its source.
const CAUTIONS: &[(&str, &str)] = &[
    (
        "Check the rule where you are before the day: registration, class and mass of the aircraft, pilot's competence, \
         zones. As a start: 120 m above ground and in plain sight in the EU's open category, 400 ft in the USA; \
         local rules and licensed practice decide.",
        "Regulation (EU) 2019/947, UAS.OPEN.010, 14 CFR 107.51",
    ),
    (
        "The watcher watches air and ground, never the screen; hands and faces stay away until the propellers stand still.",
        "common practice, no source",
    ),
];

fn check(subject: &Subject<'_>, report: &mut Report) {
    for (id, plate) in subject.breakdown.plates.iter() {
        let flies = subject.model.rigs[plate.rig].flies;
        let near = hazards_of(subject, plate).iter().any(|hazard| AIRCRAFT.contains(&hazard.word.as_str()));
        if !flies && !near {
            continue;
        }
        for (text, how) in CAUTIONS {
            report.instruct(About::Plate(id), CODE.name, "caution", *text, *how);
        }
        if matches!(plate.light, Light::Dusk | Light::Night) {
            report.instruct(
                About::Plate(id),
                CODE.name,
                "caution",
                "Flying in the dark needs its own lights and, in many places, its own training.",
                "14 CFR 107.29, Regulation (EU) 2019/947",
            );
        }
        if flies && plate.origin == Origin::Written {
            check_people(subject.model, (id, plate), report);
        }
    }
}

fn check_people(model: &Model, (id, plate): (PlateId, &Plate), report: &mut Report) {
    let can_fly = |person: &Person| person.can.iter().any(|skill| skill == "fly");
    let named = plate.people.iter().chain(&plate.spotters).copied();
    let pilots: Vec<PersonId> = named.filter(|&person| can_fly(&model.people[person])).collect();
    let anyone = model.people.iter().find(|(person, someone)| {
        can_fly(someone) && !plate.people.contains(person) && !plate.spotters.contains(person)
    });
    let rig = &model.rigs[plate.rig];
    if pilots.is_empty() && anyone.is_none() {
        report.find(
            About::Plate(id),
            Diagnostic::new(
                CODE,
                plate.named.span,
                format!("nobody can fly for plate '{}'", plate.named.path),
            )
            .label("needs a pilot")
            .other(rig.named.span, "this rig flies")
            .help("add a person who 'can fly', competent and insured where you are"),
        );
    }
    // With one pilot among the watchers, another watcher must be left.
    let watchers = plate
        .spotters
        .iter()
        .filter(|spotter| !plate.people.contains(spotter))
        .filter(|spotter| !(anyone.is_none() && pilots.as_slice() == [**spotter]))
        .count();
    if watchers == 0 {
        report.find(
            About::Plate(id),
            Diagnostic::new(
                CODE,
                plate.named.span,
                format!("only the pilot would see what comes near at plate '{}'", plate.named.path),
            )
            .label("needs a watcher besides the pilot")
            .other(rig.named.span, "this rig flies")
            .help(watcher(model, plate)),
        );
    }
}

/// Someone who can watch and neither flies nor performs, by name where the kit has one.
fn watcher(model: &Model, plate: &Plate) -> String {
    let free = model.people.iter().find(|(person, someone)| {
        let watches = someone.can.iter().any(|skill| skill == "spotter");
        watches && !plate.people.contains(person) && !plate.spotters.contains(person)
    });
    match free {
        Some((_, someone)) => {
            format!("add 'spotter {}', who neither flies nor performs", someone.named.name())
        }
        None => "add 'spotter NAME': someone who neither flies nor performs".into(),
    }
}
