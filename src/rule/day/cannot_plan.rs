//! `cannot-plan`: what is left out of a plan is named with its reasons.
//!
//! In: what the plan left out. Out: one finding for each plate, and one for
//! each pass that is left out for a reason of its own. Where no day is known at
//! all, that is one finding, whatever waits for one.

use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::{Named, Origin, PlateId};
use crate::order::{Plan, Unplanned};
use crate::recipe::PassId;
use crate::rule::{About, Check, Family, Report, Rule, Subject};
use crate::source::Span;

/// Something that no order of work can hold.
pub(super) const CODE: Code = Code { id: "D07", name: "cannot-plan", severity: Severity::Error };

/// The rule.
pub(super) const RULE: Rule =
    Rule { code: CODE, family: Family::Day, page: include_str!("cannot_plan.md"), check: Check::Plan(check) };

fn check(subject: &Subject<'_>, plan: &Plan, report: &mut Report) {
    match subject.model.days {
        Some(_) => plates(subject, plan, report),
        None => without_days(subject, plan, report),
    }
    passes(subject, plan, report);
}

fn without_days(subject: &Subject<'_>, plan: &Plan, report: &mut Report) {
    if plan.shoot.unplanned.is_empty() {
        return;
    }
    let sequence = &subject.model.sequence.named;
    let finding = Diagnostic::new(CODE, sequence.span, "nothing can be shot: no shoot day is known")
        .label("no 'days' that can be read")
        .help("write when it may be shot: 'days from 2027-05-14, at most 2 { call 08:00; wrap 18:00; base PLACE }'");
    report.find(About::Sequence, finding);
}

fn plates(subject: &Subject<'_>, plan: &Plan, report: &mut Report) {
    let mut told: Vec<&Unplanned<PlateId>> = Vec::new();
    for left in &plan.shoot.unplanned {
        let plate = &subject.breakdown.plates[left.what];
        let span = match &plate.origin {
            Origin::Written => plate.named.span,
            Origin::Owed { because, .. } => *because,
        };
        let finding = Diagnostic::new(
            CODE,
            span,
            format!("{} cannot be planned on any allowed day", described(plate.kind.word(), &plate.named)),
        );
        // A locked group is left out whole: its reasons are told once.
        let finding = match told.iter().find(|one| one.reasons == left.reasons) {
            Some(first) => {
                let path = &subject.breakdown.plates[first.what].named.path;
                finding
                    .label(format!("left out of the plan for the same reasons as '{path}'"))
                    .help(format!("mend what keeps '{path}' out"))
            }
            None => over(subject, with_reasons(finding, &left.reasons)),
        };
        told.push(left);
        report.find(About::Plate(left.what), finding);
    }
}

fn passes(subject: &Subject<'_>, plan: &Plan, report: &mut Report) {
    for left in &plan.desk.unplanned {
        if own_reason(subject, plan, left) {
            let pass = &subject.breakdown.passes[left.what];
            let finding = Diagnostic::new(
                CODE,
                pass.span,
                format!("pass '{}' cannot be planned at any desk", pass.path),
            );
            report.find(About::Pass(left.what), with_reasons(finding, &left.reasons));
        }
    }
}

/// Whether a pass is left out for its own sake, not because it waits for
/// something else that is named already.
fn own_reason(subject: &Subject<'_>, plan: &Plan, left: &Unplanned<PassId>) -> bool {
    let pass = &subject.breakdown.passes[left.what];
    let footage_missing =
        pass.inputs.iter().any(|input| plan.shoot.unplanned.iter().any(|other| other.what == *input));
    let waits_for_missing = pass
        .waits
        .iter()
        .any(|(other, _)| plan.desk.unplanned.iter().any(|unplanned| unplanned.what == *other));
    !footage_missing && !waits_for_missing && has_desk(subject, left.what)
}

/// Whether anyone does the pass's work; if nobody does, `no-desk` says so.
fn has_desk(subject: &Subject<'_>, pass: PassId) -> bool {
    let pass = &subject.breakdown.passes[pass];
    subject
        .model
        .desks
        .values()
        .flat_map(|desk| &desk.does)
        .any(|does| does.value == pass.department || pass.or.contains(&does.value))
}

/// Days that are over are no days for what is left: said where there are any.
fn over(subject: &Subject<'_>, finding: Diagnostic) -> Diagnostic {
    let record = &subject.model.record;
    let Some(logged) = record.over().and_then(|date| record.day(date)) else { return finding };
    finding.other(logged.span, format!("{} is over: nothing more is shot on it", logged.date))
}

fn described(kind: &str, named: &Named) -> String {
    format!("{kind} '{}'", named.path)
}

fn with_reasons(mut finding: Diagnostic, reasons: &[(String, Option<Span>)]) -> Diagnostic {
    for (text, span) in reasons {
        finding = match span {
            Some(span) => finding.other(*span, text.clone()),
            None => finding.note(text.clone()),
        };
    }
    finding.label("left out of the plan").help("these cannot hold together: give way on one of them")
}
