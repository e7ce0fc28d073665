//! `fatigue`: long days, early calls and nights.
//!
//! In: the planned days. Out: findings, and a caution for the call sheet.

use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::order::{Minute, Plan, PlannedDay};
use crate::quantity::{Range, Seconds};
use crate::rule::{About, Check, Family, Report, Rule, Subject};
use crate::source::Span;
use jiff::tz::TimeZone;

/// A day on which people get tired.
pub(super) const CODE: Code = Code { id: "C06", name: "fatigue", severity: Severity::Warning };

/// The rule.
pub(super) const RULE: Rule =
    Rule { code: CODE, family: Family::Care, page: include_str!("fatigue.md"), check: Check::Plan(check) };

/// A day that is long for handling rigs and driving home (common practice, no source).
const LONG: i64 = 10 * 60;
/// Rest below which a day counts as shortened: 11 h (Directive 2003/88/EC, Art. 3).
const REST: i64 = 11 * 60;
/// Work between 0:00 and 5:00 from which it counts as night work: 3 h (Directive 2003/88/EC, Art. 2).
const NIGHT: i64 = 3 * 60;
/// A call before this hour is early (common practice, no source).
const EARLY: i8 = 6;

fn check(subject: &Subject<'_>, plan: &Plan, report: &mut Report) {
    let Some(days) = &subject.model.days else { return };
    let zone = TimeZone::get(&subject.model.sequence.zone).unwrap_or(TimeZone::UTC);
    let mut last_wrap: Option<Minute> = None;
    for (index, day) in plan.shoot.days.iter().enumerate() {
        report.instruct(
            About::Day(index),
            CODE.name,
            "caution",
            caution(day, &zone),
            "common practice, no source",
        );
        let span = days.each.get(day.allowed).map_or(days.span, |allowed| allowed.span);
        check_day(index, day, span, &zone, report);
        last_wrap = last_wrap.max(subject.model.record.wrapped_before(day.date));
        let rest = last_wrap.map(|wrap| day.call.0 - wrap.0);
        if let Some(rest) = rest.filter(|&rest| rest < REST) {
            report.find(
                About::Day(index),
                Diagnostic::new(CODE, span, format!("day {} follows a short night", day.number))
                    .label(format!("{} since the last wrap", Seconds::minutes(rest as f64)))
                    .help(format!(
                        "call later, 'call {}', or keep rigging, driving and flying for rested people",
                        last_wrap.map_or(day.call, |wrap| wrap.plus(REST)).clock(&zone)
                    )),
            );
        }
        last_wrap = Some(day.wrap);
    }
}

fn check_day(index: usize, day: &PlannedDay, span: Span, zone: &TimeZone, report: &mut Report) {
    let length = day.wrap.0 - day.call.0;
    if length > LONG {
        report.find(
            About::Day(index),
            Diagnostic::new(CODE, span, format!("day {} is long", day.number))
                .label(format!("{} from call to wrap", Seconds::minutes(length as f64)))
                .help(format!(
                    "wrap by {}, or add a day; else put what is high, wet or flying early, and release people as their part ends",
                    day.call.plus(LONG).clock(zone)
                )),
        );
    }
    let night = night_minutes(Range { from: day.call, to: day.wrap }, zone);
    if night >= NIGHT {
        report.find(
            About::Day(index),
            Diagnostic::new(CODE, span, format!("day {} works through the night", day.number))
                .label(format!("{} between midnight and five", Seconds::minutes(night as f64)))
                .help("plan a shorter day, warm food and beds or a driver for the way home"),
        );
    }
}

fn caution(day: &PlannedDay, zone: &TimeZone) -> String {
    let early = if day.call.civil(zone).hour() < EARLY {
        "Early call: nobody drives who has not slept. "
    } else {
        ""
    };
    format!(
        "{early}Whoever is tired says so and stops; nobody rigs, flies or drives home after a long day; \
         local rules decide on hours and rest."
    )
}

/// Minutes of a day between midnight and five in the morning, local time.
fn night_minutes(day: Range<Minute>, zone: &TimeZone) -> i64 {
    let date = day.from.civil(zone).date();
    [Ok(date), date.tomorrow()]
        .into_iter()
        .flatten()
        .filter_map(|date| {
            let from = Minute::from_civil(date.at(0, 0, 0, 0), zone)?;
            let to = Minute::from_civil(date.at(5, 0, 0, 0), zone)?;
            Some(shared(Range { from, to }, day))
        })
        .sum()
}

fn shared(one: Range<Minute>, other: Range<Minute>) -> i64 {
    (one.to.0.min(other.to.0) - one.from.0.max(other.from.0)).max(0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    /// Night time holds at least the hours from 0:00 to 5:00 (Directive 2003/88/EC, Art. 2).
    #[test]
    fn a_day_past_midnight_counts_its_night_hours() {
        let minute = |day, hour| {
            Minute::from_civil(date(2027, 5, day).at(hour, 0, 0, 0), &TimeZone::UTC).expect("it exists")
        };
        let night = |from, to| night_minutes(Range { from, to }, &TimeZone::UTC);
        assert_eq!(night(minute(14, 20), minute(15, 4)), 240);
        assert_eq!(night(minute(14, 4), minute(14, 12)), 60);
        assert_eq!(night(minute(14, 8), minute(14, 20)), 0);
    }
}
