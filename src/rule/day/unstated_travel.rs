//! `unstated-travel`: every way that the plan uses has its time.
//!
//! In: the plan, the ways that were written. Out: a finding for each way whose
//! time the plan had to assume.

use crate::craft::ground::distance;
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::order::duration::UNSTATED_TRAVEL;
use crate::order::{Plan, unstated_travel};
use crate::quantity::show;
use crate::rule::{About, Check, Family, PRACTICE, Report, Rule, Subject};

/// A way whose time nobody wrote.
pub(super) const CODE: Code = Code { id: "D08", name: "unstated-travel", severity: Severity::Warning };

/// The rule.
pub(super) const RULE: Rule = Rule {
    code: CODE,
    family: Family::Day,
    page: include_str!("unstated_travel.md"),
    check: Check::Plan(check),
};

fn check(subject: &Subject<'_>, plan: &Plan, report: &mut Report) {
    let model = subject.model;
    for (from, to) in unstated_travel(model, &plan.shoot) {
        let (one, other) = (&model.places[from], &model.places[to]);
        let (a, b) = (one.named.name(), other.named.name());
        report.instruct(
            About::Place(to),
            CODE.name,
            format!("way from {}", one.named.label()),
            format!("{UNSTATED_TRAVEL} min, assumed: drive it once before the day, at the same hour"),
            PRACTICE,
        );
        let mut finding = Diagnostic::new(
            CODE,
            one.named.span,
            format!("nobody says how long it takes from '{a}' to '{b}', and the plan goes there"),
        )
        .label(format!("{UNSTATED_TRAVEL} min are assumed"))
        .other(other.named.span, "the other end")
        .help(format!(
            "write 'travel {a} to {b} {UNSTATED_TRAVEL} min', with loading, parking and the carry to the set-up"
        ));
        if let (Some(start), Some(end)) = (one.at, other.at) {
            let kilometres = distance(start.value, end.value).0 / 1000.0;
            finding = finding.note(format!("{} km as the crow flies", show::number(kilometres, 1)));
        }
        report.find(About::Place(from), finding);
    }
}
