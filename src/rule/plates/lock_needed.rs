//! `lock-needed`: whether what must be locked can stand still.
//!
//! In: demands for a locked camera, holds, rigs, movement. Out: findings where a
//! camera that must not move is free, moves, or sits on something that moves; for
//! every locked group what may not be touched between which plates.
//!
//! A camera that moves at all ruins a masked plate (common practice, no source).

use super::bound;
use super::kit::other_rigs;
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::{Hold, Origin, Plate, PlateId};
use crate::recipe::DemandKind;
use crate::rule::advice::either;
use crate::rule::{About, Check, Family, PRACTICE, Report, Rule, Subject};
use crate::source::Span;

const CODE: Code = Code { id: "P01", name: "lock-needed", severity: Severity::Error };

/// The rule.
pub(super) const RULE: Rule = Rule {
    code: CODE,
    family: Family::Plates,
    page: include_str!("lock_needed.md"),
    check: Check::Work(check),
};

fn check(subject: &Subject<'_>, report: &mut Report) {
    let asked_of = bound::demands(subject);
    for (id, plate) in subject.breakdown.plates.iter() {
        let demand = asked_of.get(&id).into_iter().flatten().find(|demand| demand.kind == DemandKind::Locked);
        let asked = demand.map(|demand| (demand.span, demand.text.as_str()));
        if asked.is_none() && plate.hold.value != Hold::Locked {
            continue;
        }
        let rig = &subject.model.rigs[plate.rig];
        let faults = faults(subject, plate);
        if let Some((first, _)) = faults.first() {
            // What a recipe owes stands in the set-up of a written plate, which is named already.
            if plate.origin != Origin::Written {
                continue;
            }
            report.find(About::Plate(id), finding(subject, plate, asked, first, &faults));
        } else {
            report.instruct(
                About::Plate(id),
                CODE.name,
                "lock",
                locked_words(subject, id),
                format!(
                    "{} stands by itself; a camera that moves at all ruins every mask; {PRACTICE}",
                    rig.named.label()
                ),
            );
        }
    }
}

/// What moves although it must not: in words, with the line behind it.
fn faults(subject: &Subject<'_>, plate: &Plate) -> Vec<(String, Span)> {
    let rig = &subject.model.rigs[plate.rig];
    let mut faults = Vec::new();
    if !rig.fixed {
        faults.push((format!("{} does not stand by itself", rig.named.label()), rig.named.span));
    }
    if plate.hold.value == Hold::Free {
        faults.push(("its hold is free".into(), plate.hold.span));
    }
    if let Some(turn) = plate.turns_camera.filter(|turn| turn.value.0 != 0.0) {
        faults.push((format!("the camera turns at {}", turn.value), turn.span));
    }
    if let Some(moves) = plate.moves.filter(|moves| moves.value.0 > 0.0) {
        faults.push((format!("the camera travels at {}", moves.value), moves.span));
    }
    if let Some(rolls) = plate.rolls.filter(|rolls| rolls.value.0 != 0.0) {
        faults.push((format!("the camera rolls by {}", rolls.value), rolls.span));
    }
    faults
}

fn finding(
    subject: &Subject<'_>,
    plate: &Plate,
    asked: Option<(Span, &str)>,
    first: &str,
    faults: &[(String, Span)],
) -> Diagnostic {
    let message = format!("plate '{}' must be locked, and {first}", plate.named.path);
    let mut diagnostic = Diagnostic::new(CODE, plate.named.span, message).label("must not move");
    if let Some((span, text)) = asked {
        diagnostic = diagnostic.other(span, text);
    }
    for (text, span) in faults {
        diagnostic = diagnostic.other(*span, text.clone());
    }
    let mut ways = Vec::new();
    if !subject.model.rigs[plate.rig].fixed {
        ways.push(match other_rigs(subject.model, plate).find(|(_, rig)| rig.fixed) {
            Some((_, rig)) => format!("shoot it on {} with 'hold locked'", rig.named.label()),
            None => "add a rig that is 'fixed yes' and carries this camera".into(),
        });
    } else if plate.hold.value == Hold::Free {
        ways.push("write 'hold locked' in the plate".into());
    }
    if faults.len() > ways.len() {
        ways.push("take out what moves the camera".into());
    }
    if asked.is_some() {
        ways.push("choose a recipe for moving plates".into());
    } else {
        ways.push("write 'hold free'".into());
    }
    match either(&ways) {
        Some(help) => diagnostic.help(help),
        None => diagnostic,
    }
}

/// What the card of a locked plate says.
fn locked_words(subject: &Subject<'_>, id: PlateId) -> String {
    let others: Vec<&str> = subject
        .breakdown
        .group_of(id)
        .map(|group| &subject.breakdown.groups[group].plates)
        .into_iter()
        .flatten()
        .filter(|plate| **plate != id)
        .map(|plate| subject.breakdown.plates[*plate].named.path.as_str())
        .collect();
    if others.is_empty() {
        return "locked: start and stop by remote or with a delay, touch nothing between".into();
    }
    format!(
        "locked together with {}: touch neither camera nor stand from the first to the last",
        others.join(", ")
    )
}
