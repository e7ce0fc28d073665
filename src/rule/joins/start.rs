//! `join-start`: whether the second clip of a run begins where the first one ended.
//!
//! In: matches between moving cameras, their marks. Out: findings where nothing
//! says that both meet in one place; how far to carry on and to run in, for both
//! cards.
//!
//! A run that looks like one take is four or five clips, each begun in exactly the
//! place where the last one ended (common practice, no source).

use super::handover::{self, Handover, Side};
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::{Hold, JoinKind, MarkUse};
use crate::quantity::{Length, Seconds, show};
use crate::rule::{About, Check, Family, PRACTICE, Report, Rule, Subject};

const CODE: Code = Code { id: "J09", name: "join-start", severity: Severity::Warning };

/// The rule.
pub(super) const RULE: Rule =
    Rule { code: CODE, family: Family::Joins, page: include_str!("start.md"), check: Check::Work(check) };

fn check(subject: &Subject<'_>, report: &mut Report) {
    for hand in handover::all(subject) {
        instruct(subject, &hand, report);
        // A stitch without a common mark is told by `join-offset`.
        if hand.join.kind == JoinKind::Match && hand.mark.is_none() && is_one_run(&hand) {
            find(subject, &hand, report);
        }
    }
}

/// Whether a camera moves when it meets the join.
fn moves(side: &Side<'_>) -> bool {
    side.plate.hold.value == Hold::Free && side.speed.is_none_or(|speed| speed.0 > 0.0) && !side.rig.fixed
}

/// Both sides are shot at one place by cameras that move.
fn is_one_run(hand: &Handover<'_>) -> bool {
    hand.from.plate.place == hand.to.plate.place && moves(&hand.from) && moves(&hand.to)
}

/// How far to carry on behind the mark, and to run in before it.
fn instruct(subject: &Subject<'_>, hand: &Handover<'_>, report: &mut Report) {
    if !matches!(hand.join.kind, JoinKind::Stitch | JoinKind::Match) || hand.mark.is_none() {
        return;
    }
    let over = Seconds(subject.model.sequence.handles.0 + subject.model.seconds(hand.join.overlap).0);
    let (from, to) = (&hand.from, &hand.to);
    for (side, other, leaves) in [(from, to, true), (to, from, false)] {
        let Some(speed) = side.speed.or(other.speed).filter(|speed| speed.0 > 0.0 && moves(side)) else {
            continue;
        };
        let way = show::number((speed.0 * over.0 * 10.0).ceil() / 10.0, 1);
        let text = if leaves {
            format!("carry on for {over} past the mark, {way} m at {speed}; do not stop at it")
        } else {
            format!(
                "be at {speed} at least {way} m before the mark; hold the last frame of '{}' beside the screen first",
                other.plate.named.path
            )
        };
        let how = format!("handles and overlap are {over}; {PRACTICE}");
        report.instruct(About::Plate(side.id), CODE.name, format!("run{}", hand.at_mark()), text, how);
    }
}

fn find(subject: &Subject<'_>, hand: &Handover<'_>, report: &mut Report) {
    let (from, to) = (hand.from.plate, hand.to.plate);
    let at = |at: &Option<MarkUse>| at.as_ref().map(|at| (at.mark, at.span));
    let named = |mark| subject.model.marks[mark].named.path.as_str();
    let marks = (at(&from.leaves), at(&to.enters));
    let (message, help) = match marks {
        (Some((one, _)), Some((other, _))) => (
            format!(
                "'{}' ends at '{}', and '{}' begins at '{}'",
                from.named.path,
                named(one),
                to.named.path,
                named(other)
            ),
            format!("write 'enters {}' in '{}'", named(one), to.named.path),
        ),
        (Some((one, _)), None) => (
            format!("nothing says that '{}' begins where '{}' ends", to.named.path, from.named.path),
            format!("write 'enters {}{}' in '{}'", named(one), pace(&hand.from), to.named.path),
        ),
        (None, Some((other, _))) => (
            format!("nothing says that '{}' ends where '{}' begins", from.named.path, to.named.path),
            format!("write 'leaves {}{}' in '{}'", named(other), pace(&hand.to), from.named.path),
        ),
        (None, None) => {
            let place = subject.model.places[from.place].named.path.as_str();
            let name = format!("{}_ends", from.named.name());
            let near = hand.near.unwrap_or(Length(2.0));
            (
                format!("nothing says where '{}' ends and '{}' begins", from.named.path, to.named.path),
                format!(
                    "add 'mark {name} {{ place {place}; near {near} }}', and write 'leaves {name}{}' in '{}' and 'enters {name}{}' in '{}'",
                    pace(&hand.from),
                    from.named.path,
                    pace(&hand.from),
                    to.named.path
                ),
            )
        }
    };
    let mut finding = Diagnostic::new(CODE, hand.join.span, message)
        .label("told as one run")
        .help(help)
        .note(format!("each clip of a run begins exactly where the last one ended; {PRACTICE}"));
    for (span, text) in
        [(marks.0.map(|mark| mark.1), "ends here"), (marks.1.map(|mark| mark.1), "begins here")]
    {
        if let Some(span) = span {
            finding = finding.other(span, text);
        }
    }
    report.find(About::Join(hand.id), finding);
}

/// ` at 2.8 m/s`, where the speed is known.
fn pace(side: &Side<'_>) -> String {
    side.speed.map_or_else(String::new, |speed| format!(" at {speed}"))
}
