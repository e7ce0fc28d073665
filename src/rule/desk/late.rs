//! `late`: the desk is done by the finish date.
//!
//! In: the desk plan. Out: by how many days it is late, and the chain of passes
//! that holds it there.

use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::Finish;
use crate::order::{Assignment, Minute, Plan};
use crate::rule::{About, Check, Family, Report, Rule, Subject};
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
        format!("{date}, to be done by {}", finish.by),
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
        finding = finding.note(format!(
            "{} to {}: {} at {} ({}){}",
            work.start.civil(zone).date(),
            work.end.civil(zone).date(),
            pass.path,
            subject.model.desks[work.desk].named.label(),
            pass.effort,
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
    finding.help("give part of the chain to another desk, allow more hours a day, or a later finish")
}
