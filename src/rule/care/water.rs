//! `water`: nobody is near water without the usual cautions.

use super::hazard::{self, Kind, WATER};
use crate::diagnostic::{Code, Severity};
use crate::rule::{Check, Family, Report, Rule, Subject};

/// Water without a written caution.
pub(super) const CODE: Code = Code { id: "C02", name: "water", severity: Severity::Warning };

/// The rule.
pub(super) const RULE: Rule =
    Rule { code: CODE, family: Family::Care, page: include_str!("water.md"), check: Check::Work(check) };

const KIND: Kind = Kind {
    code: CODE,
    words: WATER,
    called: "water",
    cautions: &[(
        "Give notice of the water on the call sheet, with what was found out about current, tide and quality; \
         a lifejacket for whoever works within reach of the edge; local rules and licensed practice decide.",
        "industry safety bulletin 17, water hazards: notice on the call sheet, quality, downstream rescue",
    )],
};

fn check(subject: &Subject<'_>, report: &mut Report) {
    hazard::check(subject, &KIND, report);
}
