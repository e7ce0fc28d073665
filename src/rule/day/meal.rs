//! `meal`: people eat in time.
//!
//! In: meal settings, the plan. Out: findings, and the time of the meal.

use super::window::{longest, of_day, span, zone_of};
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::Days;
use crate::order::{Plan, PlannedDay, StepKind};
use crate::rule::{About, Check, Family, Report, Rule, Subject};

/// A meal that comes too late, is too short, or is left out.
pub(super) const CODE: Code = Code { id: "D05", name: "meal", severity: Severity::Warning };

/// The rule.
pub(super) const RULE: Rule =
    Rule { code: CODE, family: Family::Day, page: include_str!("meal.md"), check: Check::Plan(check) };

/// Work of more than 6 h needs a break (Directive 2003/88/EC, Art. 4); a meal
/// within 6 h of the call is common practice.
const WITHIN: i64 = 6 * 60;
/// Shortest break in which people eat: 20 min (UK Working Time Regulations 1998, reg. 12).
const SHORTEST: i64 = 20;

fn check(subject: &Subject<'_>, plan: &Plan, report: &mut Report) {
    let Some(days) = &subject.model.days else { return };
    check_written(subject, days, report);
    let zone = zone_of(subject.model);
    for (index, day) in plan.shoot.days.iter().enumerate() {
        let within = days.each.get(day.allowed).map_or(WITHIN, |plan| (plan.meal_within.0 / 60.0) as i64);
        match first_meal(day) {
            Some((start, end)) => {
                report.instruct(
                    About::Day(index),
                    CODE.name,
                    "meal",
                    format!("{} to {}", start.clock(&zone), end.clock(&zone)),
                    format!("within {} of the call", span(within)),
                );
                let waited = start.0 - day.call.0;
                if waited > within {
                    let by = day.call.plus(within).clock(&zone);
                    report.find(About::Day(index), late(days, day.number, (waited, within), &by));
                }
            }
            None if day.wrap.0 - day.call.0 > within => {
                let by = day.call.plus(within).clock(&zone);
                let waited = day.wrap.0 - day.call.0;
                report.find(About::Day(index), late(days, day.number, (waited, within), &by));
            }
            None => {}
        }
    }
}

fn first_meal(day: &PlannedDay) -> Option<(crate::order::Minute, crate::order::Minute)> {
    day.steps.iter().find(|step| step.kind == StepKind::Meal).map(|step| (step.start, step.end))
}

fn late(days: &Days, number: usize, (waited, within): (i64, i64), by: &str) -> Diagnostic {
    Diagnostic::new(CODE, days.span, format!("nobody eats in time on day {number}"))
        .label(format!("{} without a meal, {} allowed", span(waited), span(within)))
        .help(format!(
            "eat by {by}, or call {} later, or shorten the morning",
            span((waited - within).max(0))
        ))
}

fn check_written(subject: &Subject<'_>, days: &Days, report: &mut Report) {
    let zone = zone_of(subject.model);
    let mut seen = Vec::new();
    for day in &days.each {
        let length = of_day(day, &zone).map_or(0, |window| longest(&[window]));
        let within = (day.meal_within.0 / 60.0).round() as i64;
        let meal = (day.meal.0 / 60.0).round() as i64;
        if length <= WITHIN || seen.contains(&day.span) || (within <= WITHIN && meal >= SHORTEST) {
            continue;
        }
        seen.push(day.span);
        let message = if within > WITHIN {
            format!("on {} a meal may come {} after the call", day.date, span(within))
        } else {
            format!("on {} the meal is only {} long", day.date, span(meal))
        };
        report.find(
            About::Sequence,
            Diagnostic::new(CODE, day.span, message)
                .label("hungry people make mistakes")
                .help("write 'meal 30 min' and 'meal_within 6 h'")
                .note("a break is due when work lasts more than 6 h (Directive 2003/88/EC, Art. 4); the rules where you are decide"),
        );
    }
}
