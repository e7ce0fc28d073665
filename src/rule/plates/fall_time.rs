//! `fall-time`: whether a told fall lasts as long as a fall of its height.
//!
//! In: `fall` effects. Out: findings where the length in the picture does not
//! belong to the told height; time, speed and frames for the cards.

use super::bound;
use crate::craft::motion::{fall_height, fall_speed, fall_time};
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::quantity::{Length, Seconds, show};
use crate::rule::{About, Check, Family, Report, Rule, Subject};

const CODE: Code = Code { id: "P15", name: "fall-time", severity: Severity::Warning };

/// The rule.
pub(super) const RULE: Rule = Rule {
    code: CODE,
    family: Family::Plates,
    page: include_str!("fall_time.md"),
    check: Check::Work(check),
};

/// A fall may last so much longer or shorter before it reads as wrong (common
/// practice, no source).
const SLACK: f64 = 0.25;
/// Height that is really jumped where the effect does not say: the recipe's own.
pub(in crate::rule) const ACTABLE: Length = Length(0.8);

fn check(subject: &Subject<'_>, report: &mut Report) {
    for (id, effect) in subject.model.effects.iter().filter(|(_, effect)| effect.recipe.value == "fall") {
        let Some((height, line)) = bound::amount(effect, "height") else { continue };
        let height = Length(height);
        let actable = bound::amount(effect, "actable").map_or(ACTABLE, |(height, _)| Length(height));
        let (time, speed) = (fall_time(height), fall_speed(height));
        let rate = subject.model.sequence.rate.per_second();
        let frames = |time: Seconds| show::number((time.0 * rate).round(), 0);
        let how = "t = √(2h/g), v = √(2gh), without air drag".to_owned();
        report.instruct(
            About::Effect(id),
            CODE.name,
            "fall",
            format!(
                "{height} takes {time}, {} frames, and ends at {speed}; the jumped {actable} gives {} of them, the rest is made",
                frames(time),
                frames(fall_time(actable).min(time))
            ),
            how.clone(),
        );
        for role in ["jump", "land"] {
            let Some(plate) = bound::plate(subject, id, role) else { continue };
            let text = format!(
                "{speed} told, {} acted from {actable}: hide the step in the join, or play it at {} % there",
                fall_speed(actable),
                show::number((speed.0 / fall_speed(actable).0.max(0.1)) * 100.0, 0)
            );
            report.instruct(About::Plate(plate), CODE.name, "speed of the fall", text, how.clone());
        }
        let Some(told) = effect.seconds else { continue };
        if (told.value.0 / time.0.max(1e-6) - 1.0).abs() <= SLACK {
            continue;
        }
        let reads = if told.value > time { "floats" } else { "is jerked down" };
        report.find(
            About::Effect(id),
            Diagnostic::new(
                CODE,
                told.span,
                format!("a fall of {height} takes {time}; told in {} it {reads}", told.value),
            )
            .label(format!("this is a fall of {}", fall_height(told.value)))
            .other(line, format!("told as {height}"))
            .help(format!(
                "tell it in its time, 'seconds {} s', or tell another height, 'height {} m', or slow it openly with a speed curve",
                show::number(time.0, 2),
                show::number(fall_height(told.value).0, 1)
            )),
        );
    }
}
