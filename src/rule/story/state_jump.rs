//! `state-jump`: a state has to go back, and nothing says how.
//!
//! In: turns of plates, takes, spares, resets. Out: a finding for each plate
//! that needs more fresh things than there are; how many to lay out.

use super::state_order::name_of;
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::{Model, Plate, PlateId, Reset, StateOf, Turn};
use crate::quantity::Seconds;
use crate::rule::advice::either;
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
    if let Some(way) = way_back(model, turn) {
        report.instruct(
            About::Plate(id),
            CODE.name,
            format!("between takes, {what}"),
            format!("back from {} to {}, {way} each time", turn.to, turn.from),
            "the reset as written",
        );
        return;
    }
    let have = match turn.of {
        StateOf::Prop(prop) => model.props[prop].spares.saturating_add(1),
        StateOf::Look(_) => 1,
    };
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

/// Time for the way back by one reset or by a chain of resets, if there is one.
fn way_back(model: &Model, turn: &Turn) -> Option<Seconds> {
    let resets = match turn.of {
        StateOf::Prop(id) => &model.props[id].resets,
        StateOf::Look(id) => &model.looks[id].resets,
    };
    shortest(resets, &turn.to, &turn.from)
}

/// Least total time of resets that lead from one state to another.
fn shortest(resets: &[Reset], from: &str, to: &str) -> Option<Seconds> {
    let mut best: BTreeMap<&str, f64> = BTreeMap::from([(from, 0.0)]);
    // As many rounds as there are resets let the longest chain settle.
    for _ in resets {
        for reset in resets {
            let Some(so_far) = best.get(reset.from.as_str()).copied() else { continue };
            let through = so_far + reset.takes.0;
            let known = best.entry(reset.to.as_str()).or_insert(through);
            *known = known.min(through);
        }
    }
    best.get(to).copied().map(Seconds)
}

fn span_of(model: &Model, of: StateOf) -> crate::source::Span {
    match of {
        StateOf::Prop(id) => model.props[id].named.span,
        StateOf::Look(id) => model.looks[id].named.span,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::{FileId, Span};

    fn reset(from: &str, to: &str, minutes: f64) -> Reset {
        let span = Span { file: FileId(0), start: 0, end: 0 };
        Reset { from: from.into(), to: to.into(), takes: Seconds::minutes(minutes), span }
    }

    #[test]
    fn the_shorter_of_two_ways_back_is_taken() {
        let resets = [reset("b", "a", 10.0), reset("c", "b", 10.0), reset("c", "a", 30.0)];
        assert_eq!(shortest(&resets, "c", "a"), Some(Seconds::minutes(20.0)));
        assert_eq!(shortest(&resets, "a", "c"), None);
    }
}
