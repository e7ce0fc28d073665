//! `traffic`: nobody is near what drives without the usual cautions.

use super::hazard::{self, Kind, TRAFFIC};
use crate::diagnostic::{Code, Severity};
use crate::rule::{Check, Family, Report, Rule, Subject};

/// Traffic without a written caution.
pub(super) const CODE: Code = Code { id: "C05", name: "traffic", severity: Severity::Warning };

/// The rule.
pub(super) const RULE: Rule =
    Rule { code: CODE, family: Family::Care, page: include_str!("traffic.md"), check: Check::Work(check) };

const KIND: Kind = Kind {
    code: CODE,
    words: TRAFFIC,
    called: "traffic",
    cautions: &[(
        "Speed is made at the desk, never between real vehicles: a car at 50 km/h needs about 25 m to stop once its \
         driver has seen you; local rules and licensed practice decide.",
        "UK Highway Code, typical stopping distances: 23 m at 30 mph, 36 m at 40 mph",
    )],
};

fn check(subject: &Subject<'_>, report: &mut Report) {
    hazard::check(subject, &KIND, report);
}
