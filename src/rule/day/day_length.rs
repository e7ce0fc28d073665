//! `day-length`: what is planned fits between call and wrap, and leaves a night.
//!
//! In: calls, wraps, set-ups that must not be broken, the plan. Out: findings,
//! and the length of each planned day.

use super::mend::{clock_after, fewer_takes};
use super::window::{fitting_minutes, longest, of_day, shooting_minutes, span, zone_of};
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::{Days, Model, Plate, PlateId};
use crate::order::Plan;
use crate::rule::{About, Check, Family, Report, Rule, Subject};

/// A day that is too long, or too short for what must be done in it.
pub(super) const CODE: Code = Code { id: "D04", name: "day-length", severity: Severity::Error };

/// The rule.
pub(super) const RULE: Rule =
    Rule { code: CODE, family: Family::Day, page: include_str!("day_length.md"), check: Check::Plan(check) };

/// A day of more than 13 h cannot leave 11 h of rest in 24 (Directive 2003/88/EC, Art. 3).
const LONGEST: i64 = 13 * 60;

fn check(subject: &Subject<'_>, plan: &Plan, report: &mut Report) {
    let Some(days) = &subject.model.days else { return };
    check_written(subject, days, report);
    check_unbroken(subject, days, report);
    for (index, day) in plan.shoot.days.iter().enumerate() {
        let length = day.wrap.0 - day.call.0;
        report.instruct(
            About::Day(index),
            CODE.name,
            "length of the day",
            span(length).to_string(),
            "from the first call to the last thing packed",
        );
        if day.wrap > day.latest {
            report.find(
                About::Day(index),
                Diagnostic::new(CODE, days.span, format!("day {} runs past its wrap", day.number))
                    .label(format!("{} over", span(day.wrap.0 - day.latest.0)))
                    .help(format!(
                        "allow a later wrap, 'wrap {}', or an earlier call, or one more day",
                        clock_after(day.wrap, &zone_of(subject.model))
                    )),
            );
        }
    }
}

fn check_written(subject: &Subject<'_>, days: &Days, report: &mut Report) {
    let zone = zone_of(subject.model);
    let mut seen = Vec::new();
    for day in &days.each {
        let Some(window) = of_day(day, &zone) else { continue };
        let length = window.to.0 - window.from.0;
        if length <= LONGEST || seen.contains(&day.span) {
            continue;
        }
        seen.push(day.span);
        let mut finding = Diagnostic::new(
            CODE,
            day.span,
            format!("{} may run from {} to {}", day.date, window.from.clock(&zone), window.to.clock(&zone)),
        )
        .label(format!("{} from call to wrap", span(length)))
        .help(format!(
            "wrap within 13 hours of the call, 'wrap {}', or split the work over more days",
            window.from.plus(LONGEST).clock(&zone)
        ))
        .note("11 hours of rest in every 24 leave 13 (Directive 2003/88/EC, Art. 3); the rules where you are decide");
        finding.severity = Severity::Warning;
        report.find(About::Sequence, finding);
    }
}

/// What may not be broken must fit into one day.
fn check_unbroken(subject: &Subject<'_>, days: &Days, report: &mut Report) {
    let zone = zone_of(subject.model);
    let plates = &subject.breakdown.plates;
    let windows: Vec<_> = days.each.iter().filter_map(|day| of_day(day, &zone)).collect();
    let room = longest(&windows);
    let mut runs: Vec<Vec<PlateId>> =
        subject.breakdown.groups.values().map(|group| group.plates.clone()).collect();
    for id in plates.ids() {
        if subject.breakdown.group_of(id).is_none() {
            runs.push(vec![id]);
        }
    }
    for run in runs {
        let Some(&first) = run.first() else { continue };
        let plate = &plates[first];
        let shooting: i64 = run.iter().map(|&id| shooting_minutes(&plates[id])).sum();
        let fitting = fitting_minutes(subject.model, plate);
        let moving = shortest_way(subject.model, days, first, subject);
        let needed = shooting + fitting + moving;
        if room == 0 || needed <= room {
            continue;
        }
        report.find(
            About::Plate(first),
            Diagnostic::new(
                CODE,
                plate.lasts.span,
                format!(
                    "plate '{}' and what must not be parted from it do not fit into any day",
                    plate.named.path
                ),
            )
            .label(format!("{} with fitting and travel", span(needed)))
            .other(days.span, format!("the longest day is {}", span(room)))
            .help(ways(plate, room - (needed - shooting_minutes(plate)), needed).join(", or ")),
        );
    }
}

/// There and back from the nearest base, in whole minutes.
fn shortest_way(model: &Model, days: &Days, plate: PlateId, subject: &Subject<'_>) -> i64 {
    let place = subject.breakdown.plates[plate].place;
    days.each
        .iter()
        .map(|day| day.base.and_then(|base| model.travel(base, place)).map_or(0.0, |way| way.0))
        .fold(None, |least: Option<f64>, way| Some(least.map_or(way, |least| least.min(way))))
        .map_or(0, |way| (2.0 * way / 60.0).ceil() as i64)
}

/// What would do, best first: fewer takes, a longer day.
fn ways(plate: &Plate, left: i64, needed: i64) -> Vec<String> {
    let mut ways: Vec<String> = fewer_takes(plate, left).into_iter().collect();
    ways.push(format!("allow a day of at least {}", span(needed)));
    ways
}
