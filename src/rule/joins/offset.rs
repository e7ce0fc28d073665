//! `join-offset`: whether two rigs come close enough to the same mark.
//!
//! In: joins, marks, how closely rigs are placed. Out: findings where the two
//! sides can be farther apart than the join hides, and for every join the
//! tolerance to set with a tape and a phone's level.

use super::handover::{self, Handover, Side};
use crate::craft::join::{self, Placing, Room};
use crate::craft::optics;
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::{JoinKind, Plate, Rig};
use crate::quantity::{Length, Pixels, show};
use crate::rule::advice::{either, up};
use crate::rule::plates::kit::{other_modes, other_rigs};
use crate::rule::plates::lens::{level, px, settable, tape, tilt};
use crate::rule::{About, Check, Family, Report, Rule, Subject};

const CODE: Code = Code { id: "J01", name: "join-offset", severity: Severity::Warning };

/// The rule.
pub(super) const RULE: Rule =
    Rule { code: CODE, family: Family::Joins, page: include_str!("offset.md"), check: Check::Work(check) };

/// The closest placing that a tape can set (common practice, no source).
const SETTABLE: Length = Length(0.005);

/// How far out a join can be, and how much room that leaves.
struct Reckoning {
    parallax: Pixels,
    turn: Pixels,
    left: Pixels,
    room: Room,
}

fn check(subject: &Subject<'_>, report: &mut Report) {
    for hand in handover::all(subject) {
        if hand.mark.is_none() && hand.join.kind != JoinKind::Stitch {
            report.instruct(
                About::Join(hand.id),
                CODE.name,
                "allowance",
                format!("{} of {}", px(hand.allowance.pixels), px(hand.width)),
                format!("{}; the sides share no mark, so no tolerance is computed", hand.allowance.by.word()),
            );
            continue;
        }
        let reckoning = reckon(&hand, hand.from.placing, hand.to.placing);
        instruct(&hand, &reckoning, report);
        if hand.near.is_none() {
            report_unknown(&hand, report);
        } else if !reckoning.room.fits() {
            report_apart(subject, &hand, &reckoning, report);
        }
    }
}

fn reckon(hand: &Handover<'_>, from: Placing, to: Placing) -> Reckoning {
    let parallax = hand.parallax(from.offset, to.offset);
    let turn = join::turn_error(hand.focal, from.turn + to.turn);
    Reckoning {
        parallax,
        turn,
        left: join::residual(parallax, turn, hand.spare),
        room: join::room(parallax, turn, hand.spare, hand.allowance.pixels),
    }
}

/// How closely each side must be placed, outgoing first, as it is printed: beside what
/// the other side was measured at; of a side that was measured itself, what was asked of it.
pub(super) fn tolerances(hand: &Handover<'_>) -> [Placing; 2] {
    let now = reckon(hand, hand.from.placing, hand.to.placing).room;
    let planned = reckon(hand, hand.from.usual, hand.to.usual).room;
    hand.sides().map(|side| {
        let room = if side.measured.is_some() { planned } else { now };
        let may = join::tolerance(side.usual, room);
        Placing { offset: show::on_tape(may.offset), turn: show::on_level(may.turn) }
    })
}

/// Tolerances for the join and for the cards of both plates, whether it fits or not.
fn instruct(hand: &Handover<'_>, reckoning: &Reckoning, report: &mut Report) {
    let how = format!(
        "{} allowed ({}); {}",
        px(hand.allowance.pixels),
        hand.allowance.by.word(),
        sums(hand, reckoning).join("; ")
    );
    measured(hand, reckoning, &how, report);
    for side in hand.sides().into_iter().filter(|side| side.measured.is_none()) {
        let may = join::tolerance(side.placing, reckoning.room);
        let about = About::Plate(side.id);
        let (offset, turn) = (tape(may.offset), level(may.turn));
        report.instruct(
            about,
            CODE.name,
            "hand-over",
            format!("lens within {offset} and {turn} of the mark{}", hand.at_mark()),
            how.clone(),
        );
        report.instruct(
            About::Join(hand.id),
            CODE.name,
            format!("tolerance of {}", side.plate.named.path),
            format!("within {offset} and {turn} of the mark"),
            how.clone(),
        );
        let Some(mark) = hand.mark else { continue };
        let at = hand.at_mark();
        if let Some(height) = mark.height {
            let text = format!("{} ± {offset}{at}", settable(height.value));
            report.instruct(about, CODE.name, "lens height", text, how.clone());
        }
        if let Some(down) = mark.tilt {
            report.instruct(
                about,
                CODE.name,
                "tilt",
                format!("{} ± {turn}{at}", tilt(down.value)),
                how.clone(),
            );
        }
        if let Some(heading) = mark.heading {
            report.instruct(
                about,
                CODE.name,
                "heading",
                format!("{} ± {turn}{at}", heading.value),
                how.clone(),
            );
        }
    }
}

/// What was measured at the hand-over and what it comes to: for whoever joins the sides.
fn measured(hand: &Handover<'_>, reckoning: &Reckoning, how: &str, report: &mut Report) {
    let said = |side: &Side<'_>, verb: &str| {
        let out = side.measured?.value;
        let turned = out.turned.map_or_else(String::new, |turned| format!(" and {turned}"));
        Some(format!("'{}' {verb} {}{turned} off", side.plate.named.path, out.off))
    };
    let parts: Vec<String> =
        [said(&hand.from, "ended"), said(&hand.to, "began")].into_iter().flatten().collect();
    if parts.is_empty() {
        return;
    }
    let over = reckoning.left - hand.allowance.pixels;
    let verdict = if over.0 > 0.0 {
        format!("{} more than is hidden: warp or paint it", px(over))
    } else {
        "it is hidden".to_owned()
    };
    let text = format!(
        "{}: up to {} apart in the picture, {} allowed; {verdict}",
        parts.join(", "),
        px(reckoning.left),
        px(hand.allowance.pixels)
    );
    for about in [About::Join(hand.id), About::Plate(hand.from.id), About::Plate(hand.to.id)] {
        report.instruct(about, CODE.name, "measured at the hand-over", text.clone(), how);
    }
}

/// The sums in words.
fn sums(hand: &Handover<'_>, reckoning: &Reckoning) -> Vec<String> {
    let (from, to) = (hand.from.placing, hand.to.placing);
    let far = hand.far.map_or_else(|| "0".to_owned(), |far| format!("1/{far}"));
    let mut sums = Vec::new();
    if let Some(near) = hand.near {
        sums.push(format!(
            "parallax {}: {} a radian × ({} + {}) × (1/{near} − {far})",
            px(reckoning.parallax),
            px(hand.focal),
            from.offset,
            to.offset
        ));
    }
    sums.push(format!(
        "turn {}: {} a radian × ({} + {}), of which a reframe can push back {}",
        px(reckoning.turn),
        px(hand.focal),
        from.turn,
        to.turn,
        px(hand.spare.min(reckoning.turn))
    ));
    sums
}

fn report_unknown(hand: &Handover<'_>, report: &mut Report) {
    let (span, message) = match hand.mark {
        Some(mark) => (
            mark.named.span,
            format!(
                "mark '{}' does not say what is nearest at the hand-over, so parallax cannot be computed",
                mark.named.path
            ),
        ),
        None => (
            hand.join.span,
            format!("the stitch {} shares no mark, so nothing says where the camera must be", hand.name()),
        ),
    };
    let help = match hand.mark {
        Some(_) => match enough(hand) {
            Some(near) => format!(
                "measure it and write it in the mark; these rigs need 'near {}' or more",
                metres(near)
            ),
            None => "measure it from the lens and write it as 'near' in the mark".into(),
        },
        None => {
            "let the one 'leaves' and the other 'enters' the same mark, or join by wipe or dissolve".into()
        }
    };
    report.find(About::Join(hand.id), Diagnostic::new(CODE, span, message).help(help));
}

/// The nearest thing at which these placings fit; `None` where no distance is enough.
fn enough(hand: &Handover<'_>) -> Option<Length> {
    let reckoning = reckon(hand, hand.from.placing, hand.to.placing);
    let left = hand.allowance.pixels - (reckoning.turn - hand.spare).max(Pixels(0.0));
    let off_by = hand.from.placing.offset + hand.to.placing.offset;
    join::nearest_allowed(hand.focal, off_by, hand.far, left).filter(|_| left.0 > 0.0)
}

fn report_apart(subject: &Subject<'_>, hand: &Handover<'_>, reckoning: &Reckoning, report: &mut Report) {
    let share = |pixels: Pixels| show::number(100.0 * pixels.0 / hand.width.0, 1);
    let mut diagnostic = Diagnostic::new(
        CODE,
        hand.join.span,
        format!(
            "the sides of {} can be {} apart, {} % of the width, and {} is hidden",
            hand.name(),
            px(reckoning.left),
            share(reckoning.left),
            px(hand.allowance.pixels)
        ),
    )
    .label(format!("hides {}: {}", px(hand.allowance.pixels), hand.allowance.by.word()));
    if let Some(near) = hand.mark.and_then(|mark| mark.near) {
        diagnostic = diagnostic.other(near.span, "nearest thing at the hand-over");
    }
    for side in hand.sides() {
        if let Some(out) = side.measured {
            diagnostic = diagnostic
                .other(out.span, format!("measured: {} and {} off", side.placing.offset, side.placing.turn));
            continue;
        }
        let known = if side.placing_known() { "" } else { ", assumed: the rig does not say" };
        diagnostic = diagnostic.other(
            side.rig.named.span,
            format!("placed to {} and {}{known}", side.placing.offset, side.placing.turn),
        );
    }
    for sum in sums(hand, reckoning) {
        diagnostic = diagnostic.note(sum);
    }
    if let Some(help) = either(&ways(subject, hand, reckoning)) {
        diagnostic = diagnostic.help(help);
    }
    report.find(About::Join(hand.id), diagnostic);
}

/// What would mend it, best first: another place for the join, another rig, a
/// closer placing, another kind of join.
fn ways(subject: &Subject<'_>, hand: &Handover<'_>, reckoning: &Reckoning) -> Vec<String> {
    let mut ways = Vec::new();
    if let Some(near) = enough(hand) {
        ways.push(format!("hand over where nothing is nearer, 'near {}' in the mark", metres(near)));
    }
    ways.extend(better_rig(subject, hand));
    ways.extend(wider_mode(subject, hand));
    let [from, to] = hand.sides().map(|side| join::tolerance(side.placing, reckoning.room));
    if from.offset.min(to.offset) >= SETTABLE {
        ways.push(format!(
            "place {} within {} and {} of the mark and {} within {} and {}",
            hand.from.rig.named.label(),
            tape(from.offset),
            level(from.turn),
            hand.to.rig.named.label(),
            tape(to.offset),
            level(to.turn)
        ));
    }
    if hand.join.kind != JoinKind::Wipe {
        ways.push("let something fill the frame and join by wipe".into());
    }
    ways
}

/// A rig of the kit that comes close enough in place of one of the two.
fn better_rig(subject: &Subject<'_>, hand: &Handover<'_>) -> Option<String> {
    let fits = |rig: &Rig, side: &Side<'_>| {
        let Some((offset, turn)) = rig.placing.filter(|_| rig.fixed == side.rig.fixed && !rig.flies) else {
            return false;
        };
        let own = Placing { offset, turn };
        let (from, to) =
            if side.id == hand.from.id { (own, hand.to.placing) } else { (hand.from.placing, own) };
        reckon(hand, from, to).room.fits()
    };
    hand.sides().into_iter().find_map(|side| {
        let (_, rig) = other_rigs(subject.model, side.plate).find(|(_, rig)| fits(rig, side))?;
        let (offset, turn) = rig.placing?;
        Some(format!(
            "shoot '{}' on {}, placed to {offset} and {turn}",
            side.plate.named.path,
            rig.named.label()
        ))
    })
}

/// A wider mode of the camera that both sides share, in which the same placing
/// shows less.
fn wider_mode(subject: &Subject<'_>, hand: &Handover<'_>) -> Option<String> {
    let (from, to) = (hand.from.plate, hand.to.plate);
    let model = subject.model;
    if model.modes[from.mode].camera != model.modes[to.mode].camera {
        return None;
    }
    let width = model.sequence.picture.width;
    let (_, mode) = other_modes(model, from).find(|(_, mode)| {
        let lens = |plate: &Plate| optics::focal(width, mode.view.value, mode.projection) * plate.reframe.0;
        let focal = lens(from).max(lens(to));
        let share = focal.0 / hand.focal.0.max(1e-9);
        let now = reckon(hand, hand.from.placing, hand.to.placing);
        let (parallax, turn) = (now.parallax * share, now.turn * share);
        share < 1.0 && join::room(parallax, turn, hand.spare, hand.allowance.pixels).fits()
    })?;
    Some(format!("shoot both in {}, which sees {}", mode.named.path, mode.view.value))
}

/// `3.5 m`, at least so far.
fn metres(length: Length) -> String {
    format!("{} m", show::number(up(length.0, 0.1), 1))
}
