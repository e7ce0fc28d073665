//! `join-overlap`: whether a join has enough common frames and movement to hide in.
//!
//! In: kinds of joins, overlaps, turns. Out: findings where the overlap is too
//! short for the kind; for a whip the turn that hides it.

use super::handover::{self, Handover};
use crate::craft::join::whip_turn;
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::JoinKind;
use crate::quantity::{Angle, TurnRate, show};
use crate::rule::advice::up;
use crate::rule::{About, Check, Family, PRACTICE, Report, Rule, Subject};

const CODE: Code = Code { id: "J08", name: "join-overlap", severity: Severity::Warning };

/// The rule.
pub(super) const RULE: Rule =
    Rule { code: CODE, family: Family::Joins, page: include_str!("overlap.md"), check: Check::Work(check) };

/// Frames of the picture that a kind of join needs of both sides at once (common
/// practice, no source).
fn least_frames(kind: JoinKind) -> f64 {
    match kind {
        JoinKind::Whip | JoinKind::Wipe => 1.0,
        JoinKind::Match | JoinKind::Stitch => 2.0,
        JoinKind::Dissolve => 4.0,
    }
}

fn check(subject: &Subject<'_>, report: &mut Report) {
    let model = subject.model;
    let rate = model.sequence.rate.per_second();
    for hand in handover::all(subject) {
        let frames = model.seconds(hand.join.overlap).0 * rate;
        let least = least_frames(hand.join.kind);
        tell(&hand, frames.max(least), rate, report);
        if hand.join.kind == JoinKind::Whip {
            check_whip(&hand, rate, report);
        }
        if frames + 1e-6 >= least {
            continue;
        }
        let span = hand.join.overlap_span.unwrap_or(hand.join.span);
        report.find(
            About::Join(hand.id),
            Diagnostic::new(
                CODE,
                span,
                format!(
                    "the {} {} overlaps by {} frames, and {} is the least",
                    hand.join.kind.word(),
                    hand.name(),
                    show::number(frames, 1),
                    show::number(least, 0)
                ),
            )
            .label("too little to work with")
            .help(format!("write 'overlap {} frames' or more in the join", show::number(least * 2.0, 0))),
        );
    }
}

/// A whip hides its cut only while both sides turn fast enough.
fn check_whip(hand: &Handover<'_>, rate: f64, report: &mut Report) {
    for side in hand.sides() {
        let least = whip_turn(hand.width, side.focal, rate);
        if side.turn.0 >= least.0 * (1.0 - 1e-6) {
            continue;
        }
        let path = &side.plate.named.path;
        let turns = match side.plate.turns_camera {
            Some(_) => format!("turns at {}", side.turn),
            None => "says no turn".to_owned(),
        };
        let span = side.plate.turns_camera.map_or(side.plate.named.span, |turn| turn.span);
        report.find(
            About::Join(hand.id),
            Diagnostic::new(CODE, span, format!("'{path}' {turns}, too slow for a whip to hide its cut"))
                .label(format!("{} hides it", round_up(least)))
                .other(hand.join.span, "joined by whip")
                .note(format!("two percent of the width in each frame hides a whip; {PRACTICE}"))
                .help(format!(
                    "turn faster, 'turns_camera {} deg/s' in '{path}', or join by wipe or match",
                    show::number(up(least.0, 5.0), 0)
                )),
        );
    }
}

/// What both performers repeat around the hand-over.
fn tell(hand: &Handover<'_>, frames: f64, rate: f64, report: &mut Report) {
    let common =
        format!("{} frames ({})", show::number(frames, 0), crate::quantity::Seconds(frames / rate.max(1e-9)));
    for side in hand.sides() {
        let (text, how) = match hand.join.kind {
            JoinKind::Whip => {
                let turn = whip_turn(hand.width, side.focal, rate);
                (
                    format!("turn at {} or more, the same way on both sides, for {common}", round_up(turn)),
                    "two percent of the width in each frame hides a whip (common practice, no source)",
                )
            }
            JoinKind::Wipe => (
                format!("the frame is filled for {common}"),
                "what fills the frame must be the same on both sides",
            ),
            JoinKind::Match | JoinKind::Stitch | JoinKind::Dissolve => (
                format!("both sides play the same {common} around the join"),
                "the desk chooses the frame within the overlap",
            ),
        };
        report.instruct(About::Plate(side.id), CODE.name, "at the join", text, how);
    }
}

/// A turn rate rounded up to five degrees a second.
fn round_up(turn: TurnRate) -> String {
    format!("{}/s", Angle(up(turn.0, 5.0)))
}
