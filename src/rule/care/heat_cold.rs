//! `heat-cold`: temperatures that people and batteries feel.
//!
//! In: the temperature expected on each allowed day. Out: findings, and what to
//! keep warm, dry or shaded for the call sheet.

use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::{DayPlan, Model};
use crate::order::Plan;
use crate::quantity::{Celsius, Range};
use crate::rule::{About, Check, Family, Report, Rule, Subject};

/// Too cold or too hot for batteries or people.
pub(super) const CODE: Code = Code { id: "C07", name: "heat-cold", severity: Severity::Warning };

/// The rule.
pub(super) const RULE: Rule =
    Rule { code: CODE, family: Family::Care, page: include_str!("heat_cold.md"), check: Check::Plan(check) };

/// Lithium-ion cells are charged from 0 to 45 °C, best from 10 to 30 (Battery University BU-410, table 1).
const CHARGE: Range<f64> = Range { from: 0.0, to: 45.0 };
/// Below this a charge lasts noticeably shorter (common practice, no source).
const COOL: f64 = 10.0;
/// From here small cameras stop of heat in still air, and people need shade (common
/// practice; one user's test saw a small camera stop after 24 min at 28 °C).
const HOT: f64 = 30.0;

fn check(subject: &Subject<'_>, plan: &Plan, report: &mut Report) {
    let Some(days) = &subject.model.days else { return };
    for (index, day) in plan.shoot.days.iter().enumerate() {
        let Some(expects) = days.each.get(day.allowed).and_then(|allowed| allowed.expects) else {
            report.instruct(
                About::Day(index),
                CODE.name,
                "caution",
                "Look up the forecast: batteries are not charged below 0 °C or above 45 °C, and never left unwatched.",
                "Battery University BU-410",
            );
            continue;
        };
        for text in cautions(expects.value) {
            report.instruct(
                About::Day(index),
                CODE.name,
                "caution",
                text,
                "Battery University BU-410, common practice",
            );
        }
    }
    let mut seen = Vec::new();
    for day in &days.each {
        let Some(expects) = day.expects else { continue };
        if !seen.contains(&expects.span) {
            seen.push(expects.span);
            check_day(subject.model, day, report);
        }
    }
}

fn check_day(model: &Model, day: &DayPlan, report: &mut Report) {
    let Some(expects) = day.expects else { return };
    let (low, high) = (expects.value.from.0, expects.value.to.0);
    let charged = model.cameras.values().any(|camera| camera.recharge.is_some())
        || model.rigs.values().any(|rig| rig.recharge.is_some());
    let mut find = |message: String, label: &str, help: &str| {
        report.find(
            About::Sequence,
            Diagnostic::new(CODE, expects.span, message).label(label).help(help.to_owned()),
        );
    };
    if low < CHARGE.from && charged {
        find(
            format!("batteries must not be charged at {} on {}", Celsius(low), day.date),
            "lithium-ion cells are damaged by charging below 0 °C",
            "charge indoors or in a heated car, let cold packs warm up first, and bring more packs instead",
        );
    }
    if high > CHARGE.to && charged {
        find(
            format!("batteries must not be charged at {} on {}", Celsius(high), day.date),
            "lithium-ion cells are damaged by charging above 45 °C",
            "charge in the shade or indoors, never in a closed car",
        );
    } else if high >= HOT {
        find(
            format!("heat of {} on {}", Celsius(high), day.date),
            "cameras stop and people tire",
            "shade, water and pauses for people; shade and moving air for cameras, short takes, spare bodies",
        );
    }
}

/// What the call sheet says about the temperature.
fn cautions(expects: Range<Celsius>) -> Vec<String> {
    let mut cautions = vec![
        "Batteries are charged between 0 and 45 °C only, on something that does not burn, and never unwatched."
            .to_owned(),
    ];
    if expects.from.0 < COOL {
        cautions.push(format!(
            "Down to {}: batteries stay in inner pockets until used and last shorter; gloves, something warm to drink, \
             and a dry change of clothes.",
            expects.from
        ));
    }
    if expects.to.0 >= HOT {
        cautions
            .push(format!("Up to {}: shade, water, hats, pauses; cameras stay out of the sun.", expects.to));
    }
    cautions
}
