//! `told-danger`: the frightening distance is made at the desk, never on the day.
//!
//! In: falls and pulls, their plates, hazards around them. Out: findings where what
//! is really done is as dangerous as what is told; what is really done, for the
//! cards.
//!
//! All limits here are common practice without a source; local rules and licensed
//! practice decide.

use super::hazard::{TRAFFIC, hazards_of};
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::{Effect, EffectId, PlateId};
use crate::quantity::{Length, Speed};
use crate::rule::plates::bound;
use crate::rule::plates::fall_time::ACTABLE;
use crate::rule::{About, Check, Family, PRACTICE, Report, Rule, Subject};
use crate::source::Span;

/// A danger that is told is done for real.
pub(super) const CODE: Code = Code { id: "C08", name: "told-danger", severity: Severity::Error };

/// The rule.
pub(super) const RULE: Rule = Rule {
    code: CODE,
    family: Family::Care,
    page: include_str!("told_danger.md"),
    check: Check::Work(check),
};

/// The most that is jumped without people who are trained for it (common practice, no source).
const JUMPED: Length = Length(1.0);
/// The fastest that a body is pulled without them: a run (common practice, no source).
const PULLED: Speed = Speed(3.0);

fn check(subject: &Subject<'_>, report: &mut Report) {
    for (id, effect) in subject.model.effects.iter() {
        match effect.recipe.value.as_str() {
            "fall" => check_fall(subject, (id, effect), report),
            "pulled_body" => check_pull(subject, (id, effect), report),
            _ => {}
        }
    }
}

/// What is told and what is really done, on the card of a plate.
fn tell(plate: PlateId, really: String, told: String, report: &mut Report) {
    report.instruct(
        About::Plate(plate),
        CODE.name,
        "really done",
        format!("{really}; the {told} that is told is made at the desk, never on the day"),
        PRACTICE,
    );
}

fn finding(span: Span, message: String, label: String) -> Diagnostic {
    Diagnostic::new(CODE, span, message)
        .label(label)
        .note(format!("the frightening distance is made at the desk, never on the day; {PRACTICE}"))
        .note("local rules and licensed practice decide")
}

fn check_fall(subject: &Subject<'_>, (id, effect): (EffectId, &Effect), report: &mut Report) {
    let Some((height, line)) = bound::amount(effect, "height") else { return };
    let (actable, span) = match bound::amount(effect, "actable") {
        Some((actable, span)) => (Length(actable), span),
        None => (ACTABLE, line),
    };
    for role in ["jump", "land"] {
        let Some(plate) = bound::plate(subject, id, role) else { continue };
        let told = format!("fall of {}", Length(height));
        tell(plate, format!("at most {actable}, onto a checked landing"), told, report);
    }
    if actable > JUMPED {
        report.find(
            About::Effect(id),
            finding(
                span,
                format!("'{}' is really jumped from {actable}", effect.named.path),
                format!("{JUMPED} is the most without people trained for it"),
            )
            .help(format!("write 'actable {}', and tell the rest", Length(JUMPED.0 / 2.0))),
        );
    }
}

fn check_pull(subject: &Subject<'_>, (id, effect): (EffectId, &Effect), report: &mut Report) {
    let Some(plate_id) = bound::plate(subject, id, "on") else { return };
    let plate = &subject.breakdown.plates[plate_id];
    let told = bound::amount(effect, "told_speed").map(|(told, _)| Speed(told));
    if let (Some(told), Some(pull)) = (told, plate.moves) {
        tell(plate_id, format!("a pull at {} over padding", pull.value), told.to_string(), report);
    }
    if let Some(pull) = plate.moves.filter(|pull| pull.value > PULLED) {
        report.find(
            About::Plate(plate_id),
            finding(
                pull.span,
                format!("'{}' really pulls a body at {}", plate.named.path, pull.value),
                format!("{PULLED} is the most without people trained for it"),
            )
            .help(format!("write 'moves {PULLED}' or less, and let the effect's 'speed' tell the rest")),
        );
    }
    let moving = hazards_of(subject, plate).into_iter().find(|one| TRAFFIC.contains(&one.word.as_str()));
    if let Some(hazard) = moving {
        report.find(
            About::Plate(plate_id),
            finding(
                hazard.span,
                format!("'{}' pulls a body near something that really moves", plate.named.path),
                format!("'{}' here", hazard.word),
            )
            .other(plate.named.span, "a body is pulled here")
            .help("shoot the pull at a closed place without it, and put what moves in at the desk"),
        );
    }
}
