//! `speed-gap`: whether a pull, sped up, reads as the told speed.
//!
//! In: `pulled_body` effects. Out: findings where the retime does not bring the
//! acted pull to the told speed; slide lengths for the card.

use super::bound;
use crate::craft::motion::{relative_speed, slide_length, slide_time};
use crate::craft::retime;
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::EffectId;
use crate::quantity::{Share, Speed, show};
use crate::rule::advice::either;
use crate::rule::{About, Check, Family, PRACTICE, Report, Rule, Subject};

const CODE: Code = Code { id: "P16", name: "speed-gap", severity: Severity::Warning };

/// The rule.
pub(super) const RULE: Rule = Rule {
    code: CODE,
    family: Family::Plates,
    page: include_str!("speed_gap.md"),
    check: Check::Work(check),
};

/// A speed may be off by so much before it reads as another (common practice, no source).
const SLACK: f64 = 0.25;
/// Friction of clothes on a padded floor where the effect does not say: the recipe's own.
const FRICTION: f64 = 0.4;

/// To land in something that moves forward one slides backward until the speeds
/// agree (common practice, no source): how far and how long, as told.
fn tell_slide(effect: EffectId, (gap, friction): (Speed, f64), report: &mut Report) {
    let (Some(way), Some(time)) = (slide_length(gap, friction), slide_time(gap, friction)) else { return };
    let text = format!(
        "backward, against the way of what it lands in, {} m in {time}, until the speeds agree",
        show::number(way.0, 1)
    );
    let how = format!(
        "d = Δv² / (2 μ g), t = Δv / (μ g) with {gap} between the two and friction {}; {PRACTICE}",
        show::number(friction, 2)
    );
    report.instruct(About::Effect(effect), CODE.name, "slide as told", text, how);
}

fn check(subject: &Subject<'_>, report: &mut Report) {
    let pulls = subject.model.effects.iter().filter(|(_, effect)| effect.recipe.value == "pulled_body");
    for (id, effect) in pulls {
        let Some(plate_id) = bound::plate(subject, id, "on") else { continue };
        let plate = &subject.breakdown.plates[plate_id];
        let friction = bound::amount(effect, "friction").map_or(FRICTION, |(friction, _)| friction);
        if let (Some(pull), Some(slide)) =
            (plate.moves, plate.moves.and_then(|pull| slide_length(pull.value, friction)))
        {
            report.instruct(
                About::Plate(plate_id),
                CODE.name,
                "slide when the rope is let go",
                format!(
                    "about {} m from {}; pad at least three times as far, and try it slower first",
                    show::number((slide.0 * 10.0).ceil() / 10.0, 1),
                    pull.value
                ),
                format!("d = v² / (2 μ g) with friction {}", show::number(friction, 2)),
            );
        }
        let (Some((told, line)), Some(pull)) = (bound::amount(effect, "told_speed"), plate.moves) else {
            continue;
        };
        let own = bound::amount(effect, "own_speed").map_or(0.0, |(speed, _)| speed);
        let gap = relative_speed(Speed(told), Speed(own));
        if pull.value.0 <= 0.0 || gap.0 <= 0.0 {
            continue;
        }
        tell_slide(id, (gap, friction), report);
        let needed = Share(gap.0 / pull.value.0);
        let played = retime::fastest(&effect.speed).unwrap_or(Share(1.0));
        let how = format!("{gap} told between the two, {} pulled", pull.value);
        report.instruct(
            About::Effect(id),
            CODE.name,
            "speed of the pull",
            format!("play it at {needed}"),
            how.clone(),
        );
        if (played.0 / needed.0 - 1.0).abs() <= SLACK {
            continue;
        }
        let reads = Speed(pull.value.0 * played.0);
        let ways = [
            format!("write 'speed {}%'", show::number(needed.0 * 100.0, 0)),
            format!("tell another speed, 'told_speed {reads}'"),
            "pull at another speed that was tried and is safe, never faster than the person asks for"
                .to_owned(),
        ];
        let mut diagnostic = Diagnostic::new(
            CODE,
            effect.speed_span.unwrap_or(effect.named.span),
            format!("'{}' reads as {reads}, and {gap} is told", effect.named.path),
        )
        .label(format!("played at {played}"))
        .other(line, "told here")
        .other(pull.span, "pulled at this speed")
        .note(how);
        if let Some(help) = either(&ways) {
            diagnostic = diagnostic.help(help);
        }
        report.find(About::Effect(id), diagnostic);
    }
}
