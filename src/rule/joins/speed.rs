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
        let flows = [hand.from.flow(subject), hand.to.flow(subject)];
        let apart = Pixels((flows[0].0 - flows[1].0).abs());
        let allowed = (flows[0].max(flows[1]) * STEP).max(hand.width * UNSEEN);
        let jumps = apart > allowed;
        instruct(&hand, report);
        measured(&hand, jumps, report);
        let (Some(from), Some(to)) = (hand.from.speed, hand.to.speed) else { continue };
        if jumps && shows_movement(&hand) {
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
    let sides = [(&hand.from, &hand.to), (&hand.to, &hand.from)];
    for (side, other) in sides.into_iter().filter(|(side, _)| !side.captured) {
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

/// What both sides were measured to do at the mark, for whoever joins them.
fn measured(hand: &Handover<'_>, jumps: bool, report: &mut Report) {
    let speed = |side: &handover::Side<'_>| side.measured.and_then(|out| out.value.speed);
    let (Some(from), Some(to)) = (speed(&hand.from), speed(&hand.to)) else { return };
    let mut text = format!(
        "'{}' left at {from}, '{}' came in at {to}",
        hand.from.plate.named.path, hand.to.plate.named.path
    );
    if jumps && to.0 > 0.0 {
        text.push_str(&format!(
            ": played at {} % across the join, it flows alike",
            show::number(100.0 * from.0 / to.0, 0)
        ));
    } else {
        text.push_str(": the difference passes unseen");
    }
    let how = format!("{} % passes unseen at a join ({PRACTICE})", show::number(STEP * 100.0, 0));
    report.instruct(About::Join(hand.id), CODE.name, "speed at the hand-over, measured", text, how);
}

/// One speed for both sides: that of the side that is shot, else between them; `None`
/// where both are shot.
fn one_speed(hand: &Handover<'_>, (from, to): (Speed, Speed)) -> Option<String> {
    let between = Speed((from.0 + to.0) / 2.0);
    Some(match (hand.from.captured, hand.to.captured, hand.mark) {
        (true, true, _) => return None,
        (true, false, Some(mark)) => {
            format!("shoot '{}' as fast, 'enters {} at {from}'", hand.to.plate.named.path, mark.named.path)
        }
        (false, true, Some(mark)) => {
            format!("shoot '{}' as fast, 'leaves {} at {to}'", hand.from.plate.named.path, mark.named.path)
        }
        (true, false, None) => format!("shoot '{}' at {from}", hand.to.plate.named.path),
        (false, true, None) => format!("shoot '{}' at {to}", hand.from.plate.named.path),
        (false, false, Some(mark)) => format!(
            "bring both sides to one speed, 'leaves {0} at {between}' and 'enters {0} at {between}'",
            mark.named.path
        ),
        (false, false, None) => format!("bring both sides to {between}"),
    })
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
    if let Some(one) = one_speed(hand, speeds) {
        ways.insert(0, one);
    }
    ways.push("join by wipe or whip, which hide the change".into());
    let line = |side: &super::handover::Side<'_>, leaves: bool| {
        let at = if leaves { &side.plate.leaves } else { &side.plate.enters };
        let logged = side.measured.filter(|out| out.value.speed.is_some()).map(|out| out.span);
        logged.or(at.as_ref().map(|at| at.span)).unwrap_or(side.plate.named.span)
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
