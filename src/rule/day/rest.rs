//! `rest`: a night between two days.
//!
//! In: rest settings, the plan. Out: findings, and the rest before each day.

use super::mend::clock_after;
use super::window::{of_day, span, zone_of};
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::Days;
use crate::order::{Minute, Plan};
use crate::rule::{About, Check, Family, Report, Rule, Subject};
use jiff::tz::TimeZone;

/// Too little rest between two days.
pub(super) const CODE: Code = Code { id: "D06", name: "rest", severity: Severity::Warning };

/// The rule.
pub(super) const RULE: Rule =
    Rule { code: CODE, family: Family::Day, page: include_str!("rest.md"), check: Check::Plan(check) };

/// Least daily rest: 11 h in 24 (Directive 2003/88/EC, Art. 3).
const REST: i64 = 11 * 60;

fn check(subject: &Subject<'_>, plan: &Plan, report: &mut Report) {
    let Some(days) = &subject.model.days else { return };
    check_written(subject, days, report);
    let planned = &plan.shoot.days;
    let before = std::iter::once(None).chain(planned.iter().map(|day| Some(day.wrap)));
    for (index, (before, after)) in before.zip(planned).enumerate() {
        // A day that is shot ended when its log says.
        let Some(before) = before.max(subject.model.record.wrapped_before(after.date)) else { continue };
        let gap = after.call.0 - before.0;
        let wanted = days.each.get(after.allowed).map_or(REST, |day| (day.rest.0 / 60.0).round() as i64);
        report.instruct(
            About::Day(index),
            CODE.name,
            "rest before this day",
            span(gap).to_string(),
            "from the last wrap to this call",
        );
        if gap < wanted {
            report.find(
                About::Day(index),
                Diagnostic::new(CODE, days.span, format!("too little rest before day {}", after.number))
                    .label(format!("{} from wrap to call, {} wanted", span(gap), span(wanted)))
                    .help(later(before, wanted, &zone_of(subject.model))),
            );
        }
    }
}

fn check_written(subject: &Subject<'_>, days: &Days, report: &mut Report) {
    let zone = zone_of(subject.model);
    let mut seen = Vec::new();
    for day in &days.each {
        let rest = (day.rest.0 / 60.0).round() as i64;
        if rest >= REST || days.each.len() < 2 || seen.contains(&day.span) {
            continue;
        }
        seen.push(day.span);
        report.find(
            About::Sequence,
            Diagnostic::new(CODE, day.span, format!("only {} of rest are asked for before {}", span(rest), day.date))
                .label(format!("{} are usual", span(REST)))
                .help("write 'rest 11 h'")
                .note("11 hours in every 24 (Directive 2003/88/EC, Art. 3); some crew contracts say 10; the rules where you are decide"),
        );
    }
    for (before, after) in days.each.iter().zip(days.each.iter().skip(1)) {
        let (Some(one), Some(two)) = (of_day(before, &zone), of_day(after, &zone)) else { continue };
        let gap = two.from.0 - one.to.0;
        let wanted = (after.rest.0 / 60.0).round() as i64;
        if gap < wanted {
            report.find(
                About::Sequence,
                Diagnostic::new(
                    CODE,
                    after.span,
                    format!("a late wrap on {} leaves too little rest before {}", before.date, after.date),
                )
                .label(format!(
                    "{} from the latest wrap to the earliest call, {} wanted",
                    span(gap),
                    span(wanted)
                ))
                .other(before.span, "its latest wrap")
                .help(later(one.to, wanted, &zone)),
            );
        }
    }
}

/// The call that leaves the rest, and the wrap that does.
fn later(wrap: Minute, wanted: i64, zone: &TimeZone) -> String {
    format!(
        "call later, 'call {}' on the second day, or wrap as much earlier on the first, or leave a day between",
        clock_after(wrap.plus(wanted), zone)
    )
}
