//! Which plates need not be shot any more, and which are owed again.
//!
//! In: the merged record. Out: its `taken`, and a finding for whatever was logged
//! and is owed all the same. A locked group is one piece of work: the camera has
//! been touched since, so a plate of it cannot be shot again alone. A plate that
//! rolls with another is shot again with that one.

use crate::diagnostic::{Diagnostic, codes};
use crate::model::{Capture, PlateId, PlateKind, Record};
use crate::recipe::Breakdown;
use std::collections::BTreeSet;

pub(super) fn settle(breakdown: &Breakdown, record: &mut Record, diagnostics: &mut Vec<Diagnostic>) {
    let had: BTreeSet<PlateId> = record
        .plates
        .iter()
        .filter(|(id, capture)| usable(breakdown, **id, capture))
        .map(|(id, _)| *id)
        .collect();
    record.taken = had.clone();
    while let Some((plate, because)) = next(breakdown, record, &had) {
        record.taken.remove(&plate);
        if let Some(capture) = record.plates.get(&plate) {
            diagnostics.push(again(breakdown, plate, because, capture));
        }
    }
    for (&plate, capture) in record.plates.iter().filter(|(plate, _)| !had.contains(plate)) {
        diagnostics.push(spoiled(breakdown, plate, capture));
    }
}

/// A taken plate that must be shot again since another one, which is bound to it, is not there.
fn next(breakdown: &Breakdown, record: &Record, had: &BTreeSet<PlateId>) -> Option<(PlateId, PlateId)> {
    record.taken.iter().find_map(|&plate| {
        let date = |id: PlateId| record.plates.get(&id).map(|capture| capture.date);
        let group = breakdown.group_of(plate).map(|group| breakdown.groups[group].plates.as_slice());
        let lacks = |other: &PlateId| !record.taken.contains(other) || date(*other) != date(plate);
        let mut bound = group.unwrap_or(&[]).iter().copied();
        let own = &breakdown.plates[plate];
        let beside = || own.beside.iter().copied().find(|other| !record.taken.contains(other));
        // The one that is really missing says more than one that falls with it.
        let missing = bound.clone().find(|other| !had.contains(other));
        missing.or_else(|| bound.find(lacks)).or_else(beside).map(|because| (plate, because))
    })
}

/// Whether a take, or for a survey its measures, will do.
fn usable(breakdown: &Breakdown, plate: PlateId, capture: &Capture) -> bool {
    let survey = breakdown.plates[plate].kind == PlateKind::Survey && capture.measured.any();
    capture.best().is_some() || survey
}

/// The plate whose takes failed, with which this one, whose own takes are good, is shot again;
/// `None` where it has no good take itself, or need not be shot.
pub(crate) fn falls_with(breakdown: &Breakdown, record: &Record, plate: PlateId) -> Option<PlateId> {
    let good = |id: &PlateId| record.plates.get(id).is_some_and(|one| usable(breakdown, *id, one));
    if record.taken.contains(&plate) || !good(&plate) {
        return None;
    }
    let group = breakdown.group_of(plate).map(|group| breakdown.groups[group].plates.as_slice());
    let bound: Vec<PlateId> =
        group.unwrap_or(&[]).iter().chain(&breakdown.plates[plate].beside).copied().collect();
    // The one that really failed says more than one that falls with it.
    let failed = bound.iter().find(|other| !good(other));
    let owed = || bound.iter().find(|other| **other != plate && !record.taken.contains(other));
    failed.or_else(owed).copied()
}

fn again(breakdown: &Breakdown, plate: PlateId, because: PlateId, capture: &Capture) -> Diagnostic {
    let (own, other) = (&breakdown.plates[plate].named, &breakdown.plates[because].named);
    let bound = if breakdown.plates[plate].beside.contains(&because) {
        "rolls with it and has no take from then"
    } else {
        "is of the same locked group and has no usable take of that day"
    };
    Diagnostic::new(
        codes::OWED_AGAIN,
        capture.span,
        format!("'{}' is owed again: '{}' {bound}", own.path, other.path),
    )
    .label("logged here")
    .other(other.span, "the other plate")
    .help(format!(
        "log a take of '{}', also one of another clip that can stand in for it; otherwise both are shot again",
        other.path
    ))
}

fn spoiled(breakdown: &Breakdown, plate: PlateId, capture: &Capture) -> Diagnostic {
    let own = &breakdown.plates[plate].named;
    let takes = match capture.takes.len() {
        0 => "no take of it was logged".to_owned(),
        1 => "its take is spoiled".to_owned(),
        all => format!("all {all} takes are spoiled"),
    };
    let mut found =
        Diagnostic::new(codes::OWED_AGAIN, capture.span, format!("'{}' is owed again: {takes}", own.path))
            .label("no take that can be used")
            .help("it stays in the plan; write 'usable' on a take if one will do after all");
    for problem in &capture.problems {
        found = found.note(format!("problem: {problem}"));
    }
    found
}
