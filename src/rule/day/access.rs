//! `access`: a place is open long enough, between call and wrap, for what is shot there.
//!
//! In: opening hours, calls and wraps. Out: findings where no allowed day does.

use super::mend::{clock_after, clock_before, fewer_takes};
use super::window::{
    fitting_minutes, longest, of_access, of_clocks, of_day, shooting_minutes, span, words, zone_of,
};
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::{DayPlan, Model, Plate};
use crate::order::Minute;
use crate::order::duration::{ARRIVE, PACK};
use crate::quantity::Range;
use crate::rule::{About, Check, Family, Report, Rule, Subject};
use jiff::civil::Time;

/// A place is never open long enough.
pub(super) const CODE: Code = Code { id: "D02", name: "access", severity: Severity::Error };

/// The rule.
pub(super) const RULE: Rule =
    Rule { code: CODE, family: Family::Day, page: include_str!("access.md"), check: Check::Work(check) };

fn check(subject: &Subject<'_>, report: &mut Report) {
    let model = subject.model;
    let Some(days) = &model.days else { return };
    let zone = zone_of(model);
    for (id, plate) in subject.breakdown.plates.iter() {
        let place = &model.places[plate.place];
        let Some(open) = place.open.first() else { continue };
        let fitting = fitting_minutes(model, plate);
        let needed = shooting_minutes(plate);
        let windows: Vec<_> =
            days.each.iter().map(|day| (day, of_access(model, plate.place, day, &zone))).collect();
        for (day, window) in &windows {
            report.instruct(
                About::Plate(id),
                CODE.name,
                format!("access on {}", day.date.strftime("%a %-d %b")),
                words(window, &zone),
                "opening hours between call and wrap",
            );
        }
        if windows.iter().any(|(_, window)| longest(window) >= needed + fitting) {
            continue;
        }
        let mut finding = Diagnostic::new(
            CODE,
            open.span,
            format!(
                "'{}' is never open long enough between call and wrap for plate '{}'",
                place.named.path, plate.named.path
            ),
        )
        .label(format!("{} to fit the rig and {} to shoot", span(fitting), span(needed)))
        .other(plate.named.span, "shot here")
        .other(days.span, "the days that may be used")
        .help(ways(model, plate, (open.value, needed + fitting), &windows).join(", or "));
        for (day, window) in windows.iter().take(3) {
            let open = match window.as_slice() {
                [] => "not open between call and wrap".to_owned(),
                window => format!("open {}", words(window, &zone)),
            };
            finding = finding.note(format!("{}: {open}", day.date));
        }
        report.find(About::Plate(id), finding);
    }
}

/// What would do, best first: a call or wrap that meets the opening, longer access,
/// fewer takes.
fn ways(
    model: &Model,
    plate: &Plate,
    (open, needed): (Range<Time>, i64),
    windows: &[(&DayPlan, Vec<Range<Minute>>)],
) -> Vec<String> {
    let zone = zone_of(model);
    let mut ways = Vec::new();
    let Some((day, _)) = windows.first() else { return ways };
    let whole = of_clocks(day.date, open, &zone);
    if let (Some(opening), Some(day)) = (whole, of_day(day, &zone)) {
        let around = |minute: Minute, by: i64| minute.plus(by);
        if opening.to.0 - opening.from.0 >= needed {
            // Between the call and the first step, and behind the last one, a quarter of an hour goes by.
            let first = around(opening.from, -ARRIVE);
            let last = around(opening.from, needed + PACK);
            if last > day.to {
                ways.push(format!("wrap later, 'wrap {}' and the way back", clock_after(last, &zone)));
            }
            if opening.to.plus(-needed) < day.from {
                ways.push(format!("call earlier, 'call {}'", clock_before(first, &zone)));
            }
        } else {
            let until = clock_after(around(opening.from, needed), &zone);
            ways.push(format!(
                "ask for longer access, 'open {}..{until}' in '{}'",
                opening.from.clock(&zone),
                model.places[plate.place].named.path
            ));
        }
    }
    let fitting = fitting_minutes(model, plate);
    let best = windows.iter().map(|(_, window)| longest(window)).max().unwrap_or(0);
    ways.extend(fewer_takes(plate, best - fitting));
    if ways.is_empty() {
        ways.push("move call or wrap, or ask for other hours".into());
    }
    ways
}
