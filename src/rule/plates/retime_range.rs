//! `retime-range`: whether enough frames are captured for a change of speed.
//!
//! In: speed curves, what is captured, rates, shutters. Out: findings where frames
//! run out or must be invented beyond the limit; the least length of a take and
//! the shutter that the eye will read.

use super::kit::other_modes;
use super::speed::{self, Retimed};
use crate::craft::retime;
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::Plate;
use crate::quantity::{Seconds, Share, show};
use crate::recipe::DemandKind;
use crate::rule::advice::{at_least, at_most, either, share, up};
use crate::rule::{About, Check, Family, PRACTICE, Report, Rule, Subject};
use crate::source::Span;

const CODE: Code = Code { id: "P04", name: "retime-range", severity: Severity::Warning };

/// The rule.
pub(super) const RULE: Rule = Rule {
    code: CODE,
    family: Family::Plates,
    page: include_str!("retime_range.md"),
    check: Check::Work(check),
};

fn check(subject: &Subject<'_>, report: &mut Report) {
    let all = speed::all(subject);
    for retimed in &all {
        check_length(subject, retimed, report);
        check_slowest(subject, retimed, report);
        tell_shutter(subject, retimed, report);
    }
    check_plain(subject, &all, report);
}

/// `50%`, at least so much.
fn up_share(least: Share) -> String {
    format!("{}%", show::number(up(least.0 * 100.0, 1.0), 0))
}

/// Where the finding points: the speed, else the effect's name.
fn line(retimed: &Retimed<'_>) -> Span {
    retimed.effect.speed_span.unwrap_or(retimed.effect.named.span)
}

fn result_length(plate: &Plate, retimed: &Retimed<'_>) -> Seconds {
    retimed.effect.seconds.map_or(plate.in_picture, |seconds| seconds.value)
}

fn frames(subject: &Subject<'_>, plate: &Plate, time: Seconds) -> String {
    let rate = subject.model.modes[plate.mode].rate.per_second();
    show::number((time.0 * rate - 1e-6).ceil().max(0.0), 0)
}

fn check_length(subject: &Subject<'_>, retimed: &Retimed<'_>, report: &mut Report) {
    let plate = &subject.breakdown.plates[retimed.plate];
    let handles = subject.model.sequence.handles;
    let curve = retimed.hungriest();
    let result = result_length(plate, retimed);
    let needed = retime::source_needed(result, &curve, handles);
    let how = format!(
        "{result} in the picture at a mean speed of {}{}, plus handles of {handles} at both ends",
        Share(retime::mean_speed(&curve)),
        if retimed.each_its_own() { " (an object that runs at the fastest throughout)" } else { "" }
    );
    report.instruct(
        About::Plate(retimed.plate),
        CODE.name,
        "least length of a take, for its retime",
        format!("{needed} ({} frames)", frames(subject, plate, needed)),
        how.clone(),
    );
    if plate.lasts.value.0 + 1e-9 >= needed.0 {
        return;
    }
    let usable = (plate.lasts.value.0 - 2.0 * handles.0).max(0.0);
    let mut ways = vec![format!("capture longer, 'lasts {}'", at_least(needed))];
    if result.0 > 0.0 && usable > 0.0 {
        ways.push(format!("keep the mean speed at {} or below", share(Share(usable / result.0))));
        let most = Seconds(usable / retime::mean_speed(&curve).max(1e-6));
        ways.push(format!("show less of it, at most {}", at_most(most)));
    }
    let mut diagnostic = Diagnostic::new(
        CODE,
        line(retimed),
        format!(
            "'{}' eats {} frames of '{}', and a take has {}",
            retimed.effect.named.path,
            frames(subject, plate, needed),
            plate.named.path,
            frames(subject, plate, plate.lasts.value)
        ),
    )
    .label("the source runs out")
    .other(plate.lasts.span, format!("captured: {}", plate.lasts.value))
    .note(how);
    diagnostic.severity = Severity::Error;
    if let Some(help) = either(&ways) {
        diagnostic = diagnostic.help(help);
    }
    report.find(About::Effect(retimed.id), diagnostic);
}

fn check_slowest(subject: &Subject<'_>, retimed: &Retimed<'_>, report: &mut Report) {
    let model = subject.model;
    let plate = &subject.breakdown.plates[retimed.plate];
    let Some(slowest) = retime::slowest(&retimed.effect.speed) else { return };
    let mode = &model.modes[plate.mode];
    let picture = model.sequence.rate;
    let each = retime::frames_each(slowest, mode.rate, picture);
    let limit = model.sequence.budgets.slowest;
    let least = Share(limit.0 * retime::full_frames_speed(mode.rate, picture).0);
    report.instruct(
        About::Plate(retimed.plate),
        CODE.name,
        "slowest speed",
        format!("{} without inventing frames, {least} with", retime::full_frames_speed(mode.rate, picture)),
        format!(
            "{} frames a second captured for {} shown; interpolation down to {limit} ({PRACTICE})",
            show::number(mode.rate.per_second(), 3),
            show::number(picture.per_second(), 3)
        ),
    );
    if each.0 >= limit.0 - 1e-9 {
        return;
    }
    let mut ways = Vec::new();
    let faster = other_modes(model, plate)
        .find(|(_, other)| retime::frames_each(slowest, other.rate, picture).0 >= limit.0 - 1e-9);
    if let Some((_, other)) = faster {
        let rate = show::number(other.rate.per_second(), 3);
        ways.push(format!("shoot '{}' in {}, {rate} frames a second", plate.named.path, other.named.path));
    }
    ways.push(format!("go no slower than {}", up_share(least)));
    ways.push("perform it slower".into());
    let mut diagnostic = Diagnostic::new(
        CODE,
        line(retimed),
        format!(
            "at {slowest} '{}' has {} captured frames for each frame of the picture, and {} is the least",
            retimed.effect.named.path,
            show::number(each.0, 2),
            show::number(limit.0, 2)
        ),
    )
    .label("most frames would be invented")
    .other(mode.named.span, format!("captures {} frames a second", show::number(mode.rate.per_second(), 3)));
    if let Some(help) = either(&ways) {
        diagnostic = diagnostic.help(help);
    }
    report.find(About::Effect(retimed.id), diagnostic);
}

/// The shutter that the eye will read, so that the desk can add or take blur.
fn tell_shutter(subject: &Subject<'_>, retimed: &Retimed<'_>, report: &mut Report) {
    let plate = &subject.breakdown.plates[retimed.plate];
    let speeds = (retime::slowest(&retimed.effect.speed), retime::fastest(&retimed.effect.speed));
    let (Some(slowest), Some(fastest)) = speeds else { return };
    let exposure = subject.model.modes[plate.mode].shutter.value;
    let reads = |speed| retime::effective_shutter(exposure, subject.model.sequence.rate, speed);
    let read = if slowest == fastest {
        format!("{} at {slowest}", reads(slowest))
    } else {
        format!("{} at {slowest}, {} at {fastest}", reads(slowest), reads(fastest))
    };
    report.instruct(
        About::Effect(retimed.id),
        CODE.name,
        "shutter as it reads",
        format!("{read}; add blur below 90°"),
        "360° × exposure × picture rate / speed",
    );
}

/// Plates that must have enough frames without any change of speed.
fn check_plain(subject: &Subject<'_>, retimed: &[Retimed<'_>], report: &mut Report) {
    let handles = subject.model.sequence.handles;
    for demand in &subject.breakdown.demands {
        if demand.kind != DemandKind::EnoughFrames
            || retimed.iter().any(|retimed| retimed.plate == demand.plate)
        {
            continue;
        }
        let plate = &subject.breakdown.plates[demand.plate];
        let needed = Seconds(plate.in_picture.0 + 2.0 * handles.0);
        if plate.in_picture.0 > 0.0 && plate.lasts.value.0 + 1e-9 < needed.0 {
            let mut diagnostic = Diagnostic::new(
                CODE,
                plate.lasts.span,
                format!("a take of '{}' is {}, and {needed} are needed", plate.named.path, plate.lasts.value),
            )
            .label("the source runs out")
            .other(demand.span, demand.text.clone())
            .help(format!("capture longer, 'lasts {}'", at_least(needed)));
            diagnostic.severity = Severity::Error;
            report.find(About::Plate(demand.plate), diagnostic);
        }
    }
}
