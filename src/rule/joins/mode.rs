//! `join-mode`: whether the cameras on both sides of a join see alike.
//!
//! In: modes of both plates. Out: a finding that lists every difference that the
//! join would show, with the conversion that each takes.

use super::handover::{self, Handover};
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::{JoinKind, Mode, ModeId};
use crate::quantity::{FrameRate, Projection, show};
use crate::rule::advice::degrees;
use crate::rule::plates::kit::other_modes;
use crate::rule::{About, Check, Family, Report, Rule, Subject};

const CODE: Code = Code { id: "J05", name: "join-mode", severity: Severity::Warning };

/// The rule.
pub(super) const RULE: Rule =
    Rule { code: CODE, family: Family::Joins, page: include_str!("mode.md"), check: Check::Work(check) };

/// Exposures that differ by less than this share look alike (common practice, no source).
const SHUTTER: f64 = 0.1;
/// Fields that differ by less than this many degrees look alike (common practice, no source).
const VIEW: f64 = 1.0;

fn check(subject: &Subject<'_>, report: &mut Report) {
    for hand in handover::all(subject) {
        let model = subject.model;
        let (from, to) = (&model.modes[hand.from.plate.mode], &model.modes[hand.to.plate.mode]);
        for side in hand.sides() {
            let mode = &model.modes[side.plate.mode];
            report.instruct(
                About::Plate(side.id),
                CODE.name,
                "mode at the join",
                format!("{}, shutter {}", mode.named.label(), show::exposure(mode.shutter.value)),
                "what is joined must look alike",
            );
        }
        // In a dissolve each side carries its own look while it fades.
        if hand.join.kind == JoinKind::Dissolve {
            continue;
        }
        let differences = differences(from, to, model.sequence.rate);
        if !differences.is_empty() {
            find(subject, &hand, &differences, report);
        }
    }
}

/// What differs, and what it takes to make it alike.
struct Difference {
    what: String,
    conversion: String,
}

fn differences(from: &Mode, to: &Mode, picture: FrameRate) -> Vec<Difference> {
    let mut found = Vec::new();
    let mut add = |what: String, conversion: String| found.push(Difference { what, conversion });
    let shorter = from.shutter.value.min(to.shutter.value);
    let longer = from.shutter.value.max(to.shutter.value);
    if longer.0 > shorter.0 * (1.0 + SHUTTER) {
        add(
            format!(
                "shutter {} against {}",
                show::exposure(from.shutter.value),
                show::exposure(to.shutter.value)
            ),
            "blur can be added to the sharper side, never taken from the other".into(),
        );
    }
    for mode in [from, to] {
        let each = mode.rate.per_second() / picture.per_second().max(1e-9);
        if (each - each.round()).abs() > 0.001 {
            add(
                format!(
                    "{} captures {} frames a second, no multiple of the picture's {}",
                    mode.named.path,
                    show::number(mode.rate.per_second(), 3),
                    show::number(picture.per_second(), 3)
                ),
                "frames must be interpolated".into(),
            );
        }
        if from.rate == to.rate {
            break;
        }
    }
    if (from.view.value.0 - to.view.value.0).abs() > VIEW || from.projection != to.projection {
        let word = |mode: &Mode| format!("{} {:?}", mode.view.value, mode.projection).to_lowercase();
        add(
            format!("view {} against {}", word(from), word(to)),
            "the wider side is reprojected and enlarged to the narrower".into(),
        );
    }
    if from.steadying != to.steadying {
        add(
            format!("steadying {} against {}", from.steadying.word(), to.steadying.word()),
            "the steadier side needs the other's shake laid on, or the other is steadied at the desk".into(),
        );
    }
    found
}

fn find(subject: &Subject<'_>, hand: &Handover<'_>, differences: &[Difference], report: &mut Report) {
    let list: Vec<&str> = differences.iter().map(|difference| difference.what.as_str()).collect();
    let mut diagnostic = Diagnostic::new(
        CODE,
        hand.join.span,
        format!("the cameras of {} do not see alike: {}", hand.name(), list.join("; ")),
    )
    .label("the look changes here");
    for side in hand.sides() {
        let mode = &subject.model.modes[side.plate.mode];
        diagnostic = diagnostic.other(mode.named.span, format!("'{}' uses it", side.plate.named.path));
    }
    for difference in differences {
        diagnostic = diagnostic.note(format!("{}: {}", difference.what, difference.conversion));
    }
    diagnostic = diagnostic.help(match better_mode(subject, hand) {
        Some(way) => way,
        None => new_mode(subject, hand),
    });
    report.find(About::Join(hand.id), diagnostic);
}

/// The mode that the camera of the incoming side would need, in words to write.
fn new_mode(subject: &Subject<'_>, hand: &Handover<'_>) -> String {
    let model = subject.model;
    let (like, other) = (&model.modes[hand.from.plate.mode], &model.modes[hand.to.plate.mode]);
    let lens = match like.projection {
        Projection::Equidistant => " equidistant",
        Projection::Rectilinear => "",
    };
    format!(
        "set both alike: a mode of {} with 'shutter {}', 'view {}{lens}' and 'steady {}', \
         or convert as noted, or hide the change in a wipe and waive it",
        model.cameras[other.camera].named.label(),
        show::exposure(like.shutter.value),
        degrees(like.view.value),
        like.steadying.word()
    )
}

/// A mode that would make both sides alike: that of the other side, or another
/// of the same camera.
fn better_mode(subject: &Subject<'_>, hand: &Handover<'_>) -> Option<String> {
    let model = subject.model;
    let picture = model.sequence.rate;
    let alike =
        |one: ModeId, other: ModeId| differences(&model.modes[one], &model.modes[other], picture).is_empty();
    let [from, to] = hand.sides();
    for (side, other) in [(to, from), (from, to)] {
        let found = other_modes(model, side.plate).find(|(id, _)| alike(*id, other.plate.mode));
        if let Some((_, mode)) = found {
            return Some(format!(
                "shoot '{}' in {} as well, {} and {}",
                side.plate.named.path,
                mode.named.path,
                show::exposure(mode.shutter.value),
                mode.view.value
            ));
        }
    }
    None
}
