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
    cautions: &[
        (
            "Close the way or stay off it: speed is made at the desk, never between real vehicles; a car at 50 km/h needs some 25 m to stop.",
            "UK Highway Code, typical stopping distances: 23 m at 30 mph",
        ),
        (
            "Rails belong to the railway: no step towards a line without its permission and its own representative; assume a train at any time, in either direction.",
            "industry safety bulletin 28, railroads; Network Rail guidelines for filming",
        ),
        (
            "Whoever holds up traffic is authorised to; everyone else wears what the place asks for; local rules and licensed practice decide.",
            "common practice, no source",
        ),
    ],
};

fn check(subject: &Subject<'_>, report: &mut Report) {
    hazard::check(subject, &KIND, report);
}
