//! `state-jump`: a state has to go back, and nothing says how.
//!
//! In: turns of plates, takes, spares, resets. Out: a finding for each plate
//! that needs more fresh things than there are; how many to lay out.

use super::state_order::name_of;
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::{Model, Plate, PlateId, StateOf, Turn};
use crate::quantity::Seconds;
use crate::rule::advice::{at_least, either};
use crate::rule::{About, Check, Family, Report, Rule, Subject};
use std::collections::BTreeMap;

/// A state must go back without a reset or a spare.
pub(super) const CODE: Code = Code { id: "S02", name: "state-jump", severity: Severity::Error };

/// The rule.
pub(super) const RULE: Rule = Rule {
    code: CODE,
    family: Family::Story,
    page: include_str!("state_jump.md"),
    check: Check::Work(check),
};

fn check(subject: &Subject<'_>, report: &mut Report) {
    let mut spent: BTreeMap<StateOf, u32> = BTreeMap::new();
    for (id, plate) in subject.model.plates.iter() {
        for turn in &plate.turns {
            check_turn(subject.model, (id, plate), turn, &mut spent, report);
        }
    }
}

/// Takes of one plate: each but the last must be set back, by a reset or with a fresh thing.
fn check_turn(
    model: &Model,
    (id, plate): (PlateId, &Plate),
    turn: &Turn,
    spent: &mut BTreeMap<StateOf, u32>,
    report: &mut Report,
) {
    let what = name_of(model, turn.of);
    let have = model.at_hand(turn.of);
    if let Some(way) = model.way_back(turn) {
        report.instruct(
            About::Plate(id),
            CODE.name,
            format!("between takes, {what}"),
            format!("back from {} to {}, {way} each time", turn.to, turn.from),
            format!("the reset as written; {} between takes", plate.between),
        );
        if plate.takes > have && way.0 > plate.between.0 + 1e-6 {
            report.find(About::Plate(id), too_short(model, plate, turn, (&what, way)));
        }
        return;
    }
    let used = spent.entry(turn.of).or_default();
    *used = used.saturating_add(plate.takes);
    let needed = *used;
    report.instruct(
        About::Plate(id),
        CODE.name,
        format!("how many of {what}"),
        format!("{} here, {needed} used so far of {have}", plate.takes),
        format!("one for each take, since nothing brings it from {} back to {}", turn.to, turn.from),
    );
    if needed > have {
        let mut ways = vec![match turn.of {
            StateOf::Prop(_) => format!("lay out more, 'spares {}' in {what}", needed - 1),
            StateOf::Look(_) => {
                format!("say how it goes back, 'reset {} to {} 30 min' in {what}", turn.to, turn.from)
            }
        }];
        let left = (have + plate.takes).saturating_sub(needed);
        ways.push(if left > 0 {
            format!("plan fewer takes, 'takes {left}' in '{}'", plate.named.path)
        } else {
            "let an earlier plate use fewer".into()
        });
        report.find(
            About::Plate(id),
            Diagnostic::new(
                CODE,
                turn.span,
                format!(
                    "the takes of plate '{}' leave {what} {} {} times, and only {have} can start {}",
                    plate.named.path, turn.to, plate.takes, turn.from
                ),
            )
            .label(format!("{needed} needed by the end of this plate, {have} at hand"))
            .other(span_of(model, turn.of), format!("no reset from {} to {}", turn.to, turn.from))
            .help(either(&ways).unwrap_or_default())
            .note("every take of an irreversible change uses up one thing"),
        );
    }
}

/// A reset that does not fit between two takes.
fn too_short(model: &Model, plate: &Plate, turn: &Turn, (what, way): (&str, Seconds)) -> Diagnostic {
    let ways = [
        format!("leave so much between them, 'between {}' in '{}'", at_least(way), plate.named.path),
        match turn.of {
            StateOf::Prop(_) => format!("lay out more, 'spares {}' in {what}", plate.takes - 1),
            StateOf::Look(_) => format!("plan one take, 'takes 1' in '{}'", plate.named.path),
        },
    ];
    Diagnostic::new(
        CODE,
        turn.span,
        format!(
            "bringing {what} back takes {way}, and between takes of '{}' are {}",
            plate.named.path, plate.between
        ),
    )
    .label(format!("{} times back to {}", plate.takes.saturating_sub(1), turn.from))
    .other(span_of(model, turn.of), "its resets")
    .help(either(&ways).unwrap_or_default())
}

fn span_of(model: &Model, of: StateOf) -> crate::source::Span {
    match of {
        StateOf::Prop(id) => model.props[id].named.span,
        StateOf::Look(id) => model.looks[id].named.span,
    }
}
