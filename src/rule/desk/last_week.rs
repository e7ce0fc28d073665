//! `last-week`: nobody holds several effects in the week before delivery.
//!
//! In: the desk plan, the finish date. Out: a finding for each desk at which two
//! effects or more are still made then.

use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::{DeskId, EffectId};
use crate::order::{Assignment, Plan};
use crate::recipe::Owner;
use crate::rule::{About, Check, Family, PRACTICE, Report, Rule, Subject};
use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{ToSpan, civil};
use std::collections::BTreeMap;

/// Several effects wait for one desk shortly before delivery.
pub(super) const CODE: Code = Code { id: "W06", name: "last-week", severity: Severity::Warning };

/// The rule.
pub(super) const RULE: Rule =
    Rule { code: CODE, family: Family::Desk, page: include_str!("last_week.md"), check: Check::Plan(check) };

/// Days before the finish date in which effects should be done (common practice, no source).
const DAYS: i32 = 7;

fn check(subject: &Subject<'_>, plan: &Plan, report: &mut Report) {
    let Some(finish) = &subject.model.finish else { return };
    // What is late is told as that, with the chain that makes it so.
    if plan.desk.late_days > 0 {
        return;
    }
    let zone = TimeZone::get(&subject.model.sequence.zone).unwrap_or(TimeZone::UTC);
    let Ok(week) = finish.by.checked_sub(DAYS.days()) else { return };
    let mut late: BTreeMap<DeskId, BTreeMap<EffectId, &Assignment>> = BTreeMap::new();
    for work in &plan.desk.work {
        let Owner::Effect(effect) = subject.breakdown.passes[work.pass].owner else { continue };
        if work.end.civil(&zone).date() > week {
            // Passes are in order of start, so the last one of each effect stays.
            late.entry(work.desk).or_default().insert(effect, work);
        }
    }
    for (desk, effects) in late.into_iter().filter(|(_, effects)| effects.len() > 1) {
        let last = effects.values().map(|work| work.end.civil(&zone).date()).max();
        find(subject, (desk, &effects), (finish.by, last.unwrap_or(finish.by)), &zone, report);
    }
}

fn find(
    subject: &Subject<'_>,
    (desk, effects): (DeskId, &BTreeMap<EffectId, &Assignment>),
    (by, last): (Date, Date),
    zone: &TimeZone,
    report: &mut Report,
) {
    let model = subject.model;
    let name = model.desks[desk].named.label();
    let names: Vec<&str> = effects.keys().map(|&effect| model.effects[effect].named.path.as_str()).collect();
    let mut finding = Diagnostic::new(
        CODE,
        model.finish.as_ref().map_or(model.desks[desk].named.span, |finish| finish.span),
        format!("{} wait for {name} in the week before delivery", names.join(" and ")),
    )
    .label(format!("delivered by {by}"));
    for (&effect, work) in effects {
        let pass = &subject.breakdown.passes[work.pass];
        let done = work.end.civil(zone).date();
        finding = finding.other(model.effects[effect].named.span, format!("{} until {done}", pass.path));
    }
    let mut ways: Vec<String> = Vec::new();
    let does = |department: &str, other: DeskId| {
        other != desk && model.desks[other].does.iter().any(|does| does.value == department)
    };
    for work in effects.values() {
        let pass = &subject.breakdown.passes[work.pass];
        let free = model.desks.iter().find(|(other, _)| does(&pass.department, *other));
        if let Some((_, other)) = free {
            ways.push(format!("give {} to {}", pass.path, other.named.label()));
            break;
        }
    }
    if let Some(later) = later(last) {
        ways.push(format!("write 'finish by {later}'"));
    }
    ways.push("shoot earlier, or allow more hours a day".into());
    let note = format!("a change then finds nobody free; {PRACTICE}");
    report.find(About::Finish, finding.help(ways.join(", or ")).note(note));
}

/// The finish date that leaves a week behind a day.
fn later(last: civil::Date) -> Option<Date> {
    last.checked_add(DAYS.days()).ok()
}
