//! `late`: the desk is done by the finish date.
//!
//! In: the desk plan. Out: by how many days it is late, and the chain of passes
//! that holds it there.

use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::{Desk, Finish};
use crate::order::{Assignment, Minute, Plan};
use crate::quantity::Range;
use crate::rule::{About, Check, Family, Report, Rule, Subject};
use crate::source::Spanned;
use jiff::civil::Date;
use jiff::tz::TimeZone;

/// The finish date is missed.
pub(super) const CODE: Code = Code { id: "W02", name: "late", severity: Severity::Error };

/// The rule.
pub(super) const RULE: Rule =
    Rule { code: CODE, family: Family::Desk, page: include_str!("late.md"), check: Check::Plan(check) };

/// How many links of the chain are named.
const LINKS: usize = 12;

fn check(subject: &Subject<'_>, plan: &Plan, report: &mut Report) {
    let (Some(finish), Some(done)) = (&subject.model.finish, plan.desk.finish) else { return };
    let zone = TimeZone::get(&subject.model.sequence.zone).unwrap_or(TimeZone::UTC);
    let date = done.civil(&zone).date();
    report.instruct(
        About::Finish,
        CODE.name,
        "delivery",
        format!("{}, to be done by {}", date.strftime("%a %-d %b"), finish.by.strftime("%a %-d %b")),
        "the last pass of the desk plan",
    );
    if plan.desk.late_days > 0 || date > finish.by {
        let days = plan.desk.late_days.max(i64::from((date - finish.by).get_days()));
        report.find(About::Finish, describe(subject, plan, finish, (days, done), &zone));
    }
}

fn describe(
    subject: &Subject<'_>,
    plan: &Plan,
    finish: &Finish,
    (days, done): (i64, Minute),
    zone: &TimeZone,
) -> Diagnostic {
    let count = if days == 1 { "1 day".to_owned() } else { format!("{days} days") };
    let mut finding =
        Diagnostic::new(CODE, finish.span, format!("the desk is done {count} after the finish date"))
            .label(format!("done on {}", done.civil(zone).date()));
    let chain: Vec<&Assignment> = plan
        .desk
        .critical
        .iter()
        .filter_map(|pass| plan.desk.work.iter().find(|work| work.pass == *pass))
        .collect();
    for work in chain.iter().take(LINKS) {
        let pass = &subject.breakdown.passes[work.pass];
        let (from, to) = (work.start.civil(zone).date(), work.end.civil(zone).date());
        let dates = if from == to { from.to_string() } else { format!("{from} to {to}") };
        finding = finding.note(format!(
            "{dates}: {} at {} ({}{}){}",
            pass.path,
            subject.model.desks[work.desk].named.label(),
            pass.effort,
            if pass.after.is_none() { String::new() } else { format!(", then {}", pass.after.words()) },
            if work.because.is_empty() { String::new() } else { format!(", {}", work.because) }
        ));
    }
    if let Some(longest) = chain.iter().max_by(|one, other| {
        let effort = |work: &Assignment| subject.breakdown.passes[work.pass].effort.0;
        effort(one).total_cmp(&effort(other))
    }) {
        let pass = &subject.breakdown.passes[longest.pass];
        finding = finding.other(pass.span, format!("the longest link: {}, {}", pass.path, pass.effort));
    }
    let missed = absences(subject, plan, &chain, zone);
    let mut ways = ways(subject, &chain, done.civil(zone).date());
    for (desk, away) in missed {
        let (from, to) = (away.value.from, away.value.to);
        finding = finding.other(away.span, format!("{} is away from {from} to {to}", desk.named.label()));
        ways.insert(0, format!("find somebody for the work of {} from {from} to {to}", desk.named.label()));
    }
    finding.help(ways.join(", or "))
}

/// Days away that lie between a link of the chain and what comes before it; before the first
/// link comes the shoot.
fn absences<'a>(
    subject: &Subject<'a>,
    plan: &Plan,
    chain: &[&Assignment],
    zone: &TimeZone,
) -> Vec<(&'a Desk, &'a Spanned<Range<Date>>)> {
    let Some(first) = chain.first() else { return Vec::new() };
    let shot = plan.shoot.days.iter().map(|day| day.date);
    let begins = subject.model.days.iter().flat_map(|days| &days.each).map(|day| day.date).min();
    let begin = first.start.civil(zone).date();
    let mut before = shot.filter(|date| *date <= begin).max().or(begins).unwrap_or(begin);
    let mut missed: Vec<(&Desk, &Spanned<Range<Date>>)> = Vec::new();
    for work in chain {
        let desk = &subject.model.desks[work.desk];
        let end = work.end.civil(zone).date();
        for away in &desk.away {
            let within = before <= away.value.to && away.value.from <= end;
            if within && !missed.iter().any(|(_, known)| known.span == away.span) {
                missed.push((desk, away));
            }
        }
        before = end;
    }
    missed
}

/// What would do, best first: another desk for the longest link, a later finish,
/// more hours.
fn ways(subject: &Subject<'_>, chain: &[&Assignment], done: Date) -> Vec<String> {
    let model = subject.model;
    let mut links: Vec<&&Assignment> = chain.iter().collect();
    links.sort_by(|one, other| {
        let effort = |work: &Assignment| subject.breakdown.passes[work.pass].effort.0;
        effort(other).total_cmp(&effort(one))
    });
    let mut ways: Vec<String> = Vec::new();
    let other = links.iter().find_map(|work| {
        let pass = &subject.breakdown.passes[work.pass];
        let does = |desk: &crate::model::Desk| {
            desk.does.iter().any(|does| does.value == pass.department || pass.or.contains(&does.value))
        };
        let (_, desk) = model.desks.iter().find(|(id, desk)| *id != work.desk && does(desk))?;
        Some((pass, desk))
    });
    match (other, links.first()) {
        (Some((pass, desk)), _) => ways.push(format!(
            "let {} do {}, {}: it does that department too",
            desk.named.label(),
            pass.path,
            pass.effort
        )),
        (None, Some(work)) => {
            let pass = &subject.breakdown.passes[work.pass];
            ways.push(format!("find a second desk that does {}", pass.department));
        }
        (None, None) => {}
    }
    ways.push(format!("finish later, 'finish by {done}'"));
    ways.push("allow more hours a day".into());
    ways
}
