//! `state-order`: every plate shows the state that story order implies.
//!
//! In: turns and shows of beats and plates. Out: a finding for each plate or
//! beat that contradicts the story so far; the state to lay out, for each card.

use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::{Beat, Model, Plate, PlateId, PlateKind, StateOf, Turn};
use crate::recipe::DemandKind;
use crate::rule::{About, Check, Family, Report, Rule, Subject};
use crate::source::Span;
use std::collections::BTreeMap;

/// A plate shows a state that the story does not have there.
pub(super) const CODE: Code = Code { id: "S01", name: "state-order", severity: Severity::Error };

/// The rule.
pub(super) const RULE: Rule = Rule {
    code: CODE,
    family: Family::Story,
    page: include_str!("state_order.md"),
    check: Check::Work(check),
};

/// Where the story stands: each state with the line that made it so.
type Standing = BTreeMap<StateOf, (String, Option<Span>)>;

fn check(subject: &Subject<'_>, report: &mut Report) {
    let model = subject.model;
    let mut standing = opening(subject);
    for (id, beat) in model.beats.iter() {
        for turn in &beat.turns {
            let (now, since) = state_of(&standing, model, turn.of);
            if now != turn.from {
                let mut finding = Diagnostic::new(
                    CODE,
                    turn.span,
                    format!(
                        "beat '{}' turns {} from {}, but the story has it {now} by then",
                        beat.named.path,
                        name_of(model, turn.of),
                        turn.from
                    ),
                )
                .label(format!("expected to start from {now}"))
                .help(format!("start from {now}, or add the turn that makes it {} earlier", turn.from));
                if let Some(since) = since {
                    finding = finding.other(since, format!("{now} since this line"));
                }
                report.find(About::Beat(id), finding);
            }
        }
        walk_plates(subject, beat, &mut standing, report);
        for turn in &beat.turns {
            standing.insert(turn.of, (turn.to.clone(), Some(turn.span)));
        }
    }
}

/// The state before the story: what the first line that speaks of it says.
fn opening(subject: &Subject<'_>) -> Standing {
    let model = subject.model;
    let mut standing = Standing::new();
    for beat in model.beats.values() {
        for turn in &beat.turns {
            standing.entry(turn.of).or_insert_with(|| (turn.from.clone(), None));
        }
        for &plate in &beat.plates {
            let shown = &model.plates[plate];
            for turn in told_turns(subject, plate) {
                standing.entry(turn.of).or_insert_with(|| (turn.from.clone(), None));
            }
            for (of, state, span) in &shown.shows {
                standing.entry(*of).or_insert_with(|| (state.clone(), Some(*span)));
            }
        }
    }
    standing
}

/// A plate's turns as the story tells them: what is played backwards is
/// captured the other way round.
fn told_turns(subject: &Subject<'_>, plate: PlateId) -> Vec<Turn> {
    let reversed = subject.breakdown.demands_on(plate).any(|demand| demand.kind == DemandKind::EndState);
    let turns = subject.model.plates[plate].turns.iter().cloned();
    if !reversed {
        return turns.collect();
    }
    turns.map(|turn| Turn { from: turn.to, to: turn.from, ..turn }).collect()
}

fn walk_plates(subject: &Subject<'_>, beat: &Beat, standing: &mut Standing, report: &mut Report) {
    let model = subject.model;
    for &id in &beat.plates {
        let plate = &model.plates[id];
        let turns = told_turns(subject, id);
        for (of, state, span) in &plate.shows {
            if turns.iter().any(|turn| turn.of == *of && (turn.from == *state || turn.to == *state)) {
                continue;
            }
            expect(model, beat, standing, (id, plate), (*of, state, *span), report);
        }
        for turn in &turns {
            expect(model, beat, standing, (id, plate), (turn.of, &turn.from, turn.span), report);
            standing.insert(turn.of, (turn.to.clone(), Some(turn.span)));
        }
        lay_out(model, (id, plate), standing, report);
    }
}

/// Finds when a shown state is neither the story's nor one that the beat itself passes through.
fn expect(
    model: &Model,
    beat: &Beat,
    standing: &mut Standing,
    (id, plate): (PlateId, &Plate),
    (of, state, span): (StateOf, &str, Span),
    report: &mut Report,
) {
    let (now, since) = state_of(standing, model, of);
    if now == state {
        return;
    }
    if beat.turns.iter().any(|turn| turn.of == of && turn.from == now && turn.to == state) {
        standing.insert(of, (state.to_owned(), Some(span)));
        return;
    }
    let what = name_of(model, of);
    let mut finding = Diagnostic::new(
        CODE,
        span,
        format!("plate '{}' has {what} {state}, but the story has it {now} there", plate.named.path),
    )
    .label(format!("expected {now}"))
    .help(format!("show it {now}, or say in an earlier beat: turns {what} {now} to {state}"));
    if let Some(since) = since {
        finding = finding.other(since, format!("{now} since this line"));
    }
    report.find(About::Plate(id), finding);
}

/// The states that a person lays out for the plate.
fn lay_out(model: &Model, (id, plate): (PlateId, &Plate), standing: &Standing, report: &mut Report) {
    if plate.kind != PlateKind::Picture {
        return;
    }
    for (of, state, _) in &plate.shows {
        report.instruct(
            About::Plate(id),
            CODE.name,
            format!("state of {}", name_of(model, *of)),
            state.clone(),
            "as the plate says",
        );
    }
    for turn in &plate.turns {
        let (told, _) = state_of(standing, model, turn.of);
        report.instruct(
            About::Plate(id),
            CODE.name,
            format!("state of {}", name_of(model, turn.of)),
            format!("{} at the start of each take, {} at its end", turn.from, turn.to),
            format!("the story leaves it {told} after this plate"),
        );
    }
}

fn state_of(standing: &Standing, model: &Model, of: StateOf) -> (String, Option<Span>) {
    standing.get(&of).cloned().unwrap_or_else(|| (first_state(model, of), None))
}

/// The first of the listed states.
fn first_state(model: &Model, of: StateOf) -> String {
    let states = match of {
        StateOf::Prop(id) => &model.props[id].states,
        StateOf::Look(id) => &model.looks[id].states,
    };
    states.first().cloned().unwrap_or_default()
}

/// The name of a prop or look as it is written.
pub(super) fn name_of(model: &Model, of: StateOf) -> String {
    match of {
        StateOf::Prop(id) => model.props[id].named.path.clone(),
        StateOf::Look(id) => model.looks[id].named.path.clone(),
    }
}
