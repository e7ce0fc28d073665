//! `join-speed`: whether both sides of a join move alike at the hand-over.
//!
//! In: speeds at the mark, turn rates, the nearest thing. Out: findings where the
//! picture's flow jumps, the retime that would match it, and the speed to hold.

use super::handover::{self, Handover};
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::JoinKind;
use crate::quantity::{Pixels, Speed, show};
use crate::rule::advice::either;
use crate::rule::plates::lens::px;
use crate::rule::{About, Check, Family, PRACTICE, Report, Rule, Subject};

const CODE: Code = Code { id: "J03", name: "join-speed", severity: Severity::Warning };

/// The rule.
pub(super) const RULE: Rule =
    Rule { code: CODE, family: Family::Joins, page: include_str!("speed.md"), check: Check::Work(check) };

/// Change of flow across a join that passes unseen, as a share of the larger flow
/// (common practice, no source).
pub(super) const STEP: f64 = 0.15;
/// Change of flow that nobody sees in any case, as a share of the width for each
/// frame (common practice, no source).
const UNSEEN: f64 = 0.001;

/// Whether a join shows the movement of both sides next to each other: a stitch,
/// or a match at a shared mark. Elsewhere the speed of a whole plate says nothing
/// of its last frame.
pub(super) fn shows_movement(hand: &Handover<'_>) -> bool {
    hand.join.kind == JoinKind::Stitch || (hand.join.kind == JoinKind::Match && hand.mark.is_some())
}

fn check(subject: &Subject<'_>, report: &mut Report) {
    for hand in handover::all(subject) {
        instruct(&hand, report);
        let (Some(from), Some(to)) = (hand.from.speed, hand.to.speed) else { continue };
        if !shows_movement(&hand) {
            continue;
        }
        let flows = [hand.from.flow(subject), hand.to.flow(subject)];
        let apart = Pixels((flows[0].0 - flows[1].0).abs());
        let allowed = (flows[0].max(flows[1]) * STEP).max(hand.width * UNSEEN);
        if apart > allowed {
            find(&hand, (from, to), flows, report);
        }
    }
}

/// How far a speed may be out at a join, rounded down to tenths and never less than one.
pub(super) fn slack(speed: Speed) -> Speed {
    Speed((speed.0 * STEP * 10.0).floor().max(1.0) / 10.0)
}

/// The speed to hold at the mark, on both cards. A side that says nothing takes
/// the other's.
fn instruct(hand: &Handover<'_>, report: &mut Report) {
    if hand.mark.is_none() {
        return;
    }
    for (side, other) in [(&hand.from, &hand.to), (&hand.to, &hand.from)] {
        let Some(speed) = side.speed.or(other.speed).filter(|speed| speed.0 > 0.0) else { continue };
        let slack = show::number(slack(speed).0, 1);
        let how = if side.speed.is_some() {
            format!("as written; {} % passes unseen at a join ({PRACTICE})", show::number(STEP * 100.0, 0))
        } else {
            format!("taken from '{}' on the other side of the join", other.plate.named.path)
        };
        let text = format!("{speed} ± {slack}");
        report.instruct(
            About::Join(hand.id),
            CODE.name,
            format!("speed of {}", side.plate.named.path),
            text.clone(),
            how.clone(),
        );
        report.instruct(
            About::Plate(side.id),
            CODE.name,
            "speed at the hand-over",
            format!("{text}{}", hand.at_mark()),
            how,
        );
    }
}

fn find(hand: &Handover<'_>, speeds: (Speed, Speed), flows: [Pixels; 2], report: &mut Report) {
    let (from, to) = speeds;
    let mut ways = Vec::new();
    if to.0 > 0.0 && from.0 > 0.0 {
        let factor = from.0 / to.0;
        if (0.5..=2.0).contains(&factor) {
            ways.push(format!(
                "play '{}' at {} % across the join",
                hand.to.plate.named.path,
                show::number(factor * 100.0, 0)
            ));
        }
    }
    let between = Speed((from.0 + to.0) / 2.0);
    ways.insert(
        0,
        match hand.mark {
            Some(mark) => format!(
                "bring both sides to one speed, 'leaves {0} at {between}' and 'enters {0} at {between}'",
                mark.named.path
            ),
            None => format!("bring both sides to {between}"),
        },
    );
    ways.push("join by wipe or whip, which hide the change".into());
    let line = |side: &super::handover::Side<'_>, leaves: bool| {
        let at = if leaves { &side.plate.leaves } else { &side.plate.enters };
        at.as_ref().map_or(side.plate.named.span, |at| at.span)
    };
    let mut diagnostic = Diagnostic::new(
        CODE,
        hand.join.span,
        format!(
            "the picture flows by {} a frame before {} and by {} after it",
            px(flows[0]),
            hand.name(),
            px(flows[1])
        ),
    )
    .label("the movement jumps here")
    .other(line(&hand.from, true), format!("leaves at {from}"))
    .other(line(&hand.to, false), format!("enters at {to}"));
    if let Some(near) = hand.near {
        diagnostic = diagnostic.note(format!("flow is speed × focal length / {near}, plus the turn"));
    }
    if let Some(help) = either(&ways) {
        diagnostic = diagnostic.help(help);
    }
    report.find(About::Join(hand.id), diagnostic);
}
