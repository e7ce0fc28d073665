//! `join-heading`: whether both sides of a join travel the same way.
//!
//! In: compass directions of travel at the mark. Out: findings where they differ
//! by more than passes unseen, and the direction for both cards.

use super::handover::{self, Handover};
use super::speed::{STEP, shows_movement};
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::quantity::Angle;
use crate::rule::advice::degrees;
use crate::rule::plates::lens::level;
use crate::rule::{About, Check, Family, PRACTICE, Report, Rule, Subject};

const CODE: Code = Code { id: "J04", name: "join-heading", severity: Severity::Warning };

/// The rule.
pub(super) const RULE: Rule =
    Rule { code: CODE, family: Family::Joins, page: include_str!("heading.md"), check: Check::Work(check) };

/// Turn of the direction of travel that changes the flow by no more than a step
/// of speed does: `2 asin(step / 2)`.
fn tolerance() -> Angle {
    Angle((2.0 * (STEP / 2.0).asin()).to_degrees())
}

/// The smaller angle between two compass directions, 0° to 180°.
fn apart(one: Angle, other: Angle) -> Angle {
    let turn = (one.0 - other.0).rem_euclid(360.0);
    Angle(turn.min(360.0 - turn))
}

fn check(subject: &Subject<'_>, report: &mut Report) {
    for hand in handover::all(subject) {
        instruct(&hand, report);
        let (Some(from), Some(to)) = (hand.from.heading, hand.to.heading) else { continue };
        let moving = hand.sides().iter().all(|side| side.speed.is_none_or(|speed| speed.0 > 0.0));
        let turned = apart(from, to);
        if moving && shows_movement(&hand) && turned > tolerance() {
            find(&hand, from, to, report);
        }
    }
}

fn instruct(hand: &Handover<'_>, report: &mut Report) {
    for side in hand.sides().into_iter().filter(|side| !side.captured) {
        let Some(heading) = side.heading.filter(|_| side.speed.is_some_and(|speed| speed.0 > 0.0)) else {
            continue;
        };
        let text = format!("{heading} by compass ± {}", level(tolerance()));
        let how = format!("a turn of the way changes the picture's flow by 2 sin(turn / 2); {PRACTICE}");
        report.instruct(
            About::Join(hand.id),
            CODE.name,
            format!("direction of {}", side.plate.named.path),
            text.clone(),
            how.clone(),
        );
        report.instruct(
            About::Plate(side.id),
            CODE.name,
            "direction of travel",
            format!("{text}{}", hand.at_mark()),
            how,
        );
    }
}

fn find(hand: &Handover<'_>, from: Angle, to: Angle, report: &mut Report) {
    let line = |at: &Option<crate::model::MarkUse>, side: &handover::Side<'_>| {
        at.as_ref().map_or(side.plate.named.span, |at| at.span)
    };
    let turned = apart(from, to);
    report.find(
        About::Join(hand.id),
        Diagnostic::new(
            CODE,
            hand.join.span,
            format!(
                "the way turns by {turned} across {}, and {} passes unseen",
                hand.name(),
                level(tolerance())
            ),
        )
        .label("the direction of travel jumps here")
        .other(line(&hand.from.plate.leaves, &hand.from), format!("leaves towards {from}"))
        .other(line(&hand.to.plate.enters, &hand.to), format!("enters towards {to}"))
        .help(format!(
            "enter the way that the other side leaves, 'heading {}', or turn during '{}' before the mark, or join by wipe or whip",
            degrees(from),
            hand.from.plate.named.path
        )),
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Compass directions wrap at north.
    #[test]
    fn directions_are_compared_across_north() {
        assert_eq!(apart(Angle(350.0), Angle(10.0)), Angle(20.0));
        assert_eq!(apart(Angle(90.0), Angle(270.0)), Angle(180.0));
        assert!((tolerance().0 - 8.6).abs() < 0.05);
    }
}
