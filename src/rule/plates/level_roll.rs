//! `level-roll`: whether a mode that holds the horizon is asked to roll.
//!
//! In: rolls, steadying. Out: findings where a levelled mode would fight the roll.

use super::bound;
use super::kit::other_modes;
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::Steadying;
use crate::quantity::Angle;
use crate::recipe::DemandKind;
use crate::rule::advice::{degrees, either};
use crate::rule::{About, Check, Family, PRACTICE, Report, Rule, Subject};

const CODE: Code = Code { id: "P08", name: "level-roll", severity: Severity::Warning };

/// The rule.
pub(super) const RULE: Rule = Rule {
    code: CODE,
    family: Family::Plates,
    page: include_str!("level_roll.md"),
    check: Check::Work(check),
};

/// Roll up to which a levelled mode holds the horizon without jumping (common
/// practice, no source: makers state 27° to 45° for such modes).
const HELD: Angle = Angle(27.0);

fn check(subject: &Subject<'_>, report: &mut Report) {
    let asked_of = bound::demands(subject);
    for (id, plate) in subject.breakdown.plates.iter() {
        let demand = asked_of.get(&id).into_iter().flatten().find(|one| one.kind == DemandKind::FreeRoll);
        let roll = plate.rolls.filter(|roll| roll.value.0.abs() > 0.0);
        let mode = &subject.model.modes[plate.mode];
        if roll.is_none() && demand.is_none() {
            continue;
        }
        report.instruct(
            About::Plate(id),
            CODE.name,
            "roll",
            match mode.steadying {
                Steadying::Level => format!("at most {HELD} to either side in {}", mode.named.path),
                _ => "free in this mode".into(),
            },
            format!(
                "a levelled mode turns the picture back until it meets the edge of the sensor; {PRACTICE}"
            ),
        );
        let beyond = roll.is_some_and(|roll| roll.value.0.abs() > HELD.0);
        if mode.steadying != Steadying::Level || (!beyond && demand.is_none()) {
            continue;
        }
        let free = other_modes(subject.model, plate).find(|(_, other)| other.steadying != Steadying::Level);
        let mut ways = vec![match free {
            Some((_, other)) => format!("shoot in {}, which lets the roll through", other.named.path),
            None => {
                format!("add a mode of {} with 'steady free'", subject.model.camera_of(plate).named.label())
            }
        }];
        ways.push(format!("roll less, 'rolls {}'", degrees(HELD)));
        let span = roll.map_or(plate.named.span, |roll| roll.span);
        let rolls =
            roll.map_or_else(|| "freely".to_owned(), |roll| format!("by {}", Angle(roll.value.0.abs())));
        let mut diagnostic = Diagnostic::new(
            CODE,
            span,
            format!("plate '{}' rolls {rolls} in a mode that holds the horizon", plate.named.path),
        )
        .label(format!("held up to {HELD}"))
        .other(mode.named.span, "steady level");
        if let Some(demand) = demand {
            diagnostic = diagnostic.other(demand.span, demand.text.clone());
        }
        if let Some(help) = either(&ways) {
            diagnostic = diagnostic.help(help);
        }
        report.find(About::Plate(id), diagnostic);
    }
}
