//! `join-state`: whether props and looks are the same on both sides of a join.
//!
//! In: states that plates show and turn. Out: a finding for each thing that would
//! jump, and the states to check on the day.

use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::{Plate, StateOf};
use crate::rule::{About, Check, Family, Report, Rule, Subject};
use crate::source::Span;
use std::collections::BTreeMap;

const CODE: Code = Code { id: "J06", name: "join-state", severity: Severity::Error };

/// The rule.
pub(super) const RULE: Rule =
    Rule { code: CODE, family: Family::Joins, page: include_str!("state.md"), check: Check::Work(check) };

/// States with the lines that say so.
type States<'a> = BTreeMap<StateOf, (&'a str, Span)>;

fn check(subject: &Subject<'_>, report: &mut Report) {
    for (id, join) in subject.model.joins.iter() {
        let plates = &subject.breakdown.plates;
        let (from, to) = (&plates[join.from], &plates[join.to]);
        let (before, after) = (at_end(from), at_start(to));
        for (of, (left, left_line)) in &before {
            let name = name(subject, *of);
            let Some((entered, entered_line)) = after.get(of) else { continue };
            if left == entered {
                for plate in [join.from, join.to] {
                    report.instruct(
                        About::Plate(plate),
                        CODE.name,
                        "state at the join",
                        format!("{name}: {left}"),
                        format!("both sides of {} -> {} show it", from.named.path, to.named.path),
                    );
                }
                continue;
            }
            report.find(
                About::Join(id),
                Diagnostic::new(
                    CODE,
                    join.span,
                    format!(
                        "{name} is {left} when '{}' ends and {entered} when '{}' begins",
                        from.named.path, to.named.path
                    ),
                )
                .label("jumps here")
                .other(*left_line, format!("{left} here"))
                .other(*entered_line, format!("{entered} here"))
                .help(format!(
                    "show it {left} on both sides, or let one of the two plates turn it from {left} to {entered}"
                )),
            );
        }
    }
}

/// States when a plate begins: what it shows, or what its first turn comes from.
fn at_start(plate: &Plate) -> States<'_> {
    let mut states = shown(plate);
    for turn in plate.turns.iter().rev() {
        states.insert(turn.of, (&turn.from, turn.span));
    }
    states
}

/// States when a plate ends: what it shows, or what its last turn leads to.
fn at_end(plate: &Plate) -> States<'_> {
    let mut states = shown(plate);
    for turn in &plate.turns {
        states.insert(turn.of, (&turn.to, turn.span));
    }
    states
}

fn shown(plate: &Plate) -> States<'_> {
    plate.shows.iter().map(|(of, state, span)| (*of, (state.as_str(), *span))).collect()
}

fn name<'a>(subject: &Subject<'a>, of: StateOf) -> &'a str {
    match of {
        StateOf::Prop(prop) => subject.model.props[prop].named.label(),
        StateOf::Look(look) => subject.model.looks[look].named.label(),
    }
}
