//! `height`: nobody is high up, at an edge or under a load without the usual cautions.

use super::hazard::{self, HEIGHT, Kind};
use crate::diagnostic::{Code, Severity};
use crate::rule::{Check, Family, Report, Rule, Subject};

/// Height without a written caution.
pub(super) const CODE: Code = Code { id: "C04", name: "height", severity: Severity::Warning };

/// The rule.
pub(super) const RULE: Rule =
    Rule { code: CODE, family: Family::Care, page: include_str!("height.md"), check: Check::Work(check) };

const KIND: Kind = Kind {
    code: CODE,
    words: HEIGHT,
    called: "height",
    cautions: &[(
        "Any height counts. What hangs or holds is checked by someone who did not rig it; work with harness, lift or \
         rope belongs to trained people; local rules and licensed practice decide.",
        "Work at Height Regulations 2005 know no least height",
    )],
};

fn check(subject: &Subject<'_>, report: &mut Report) {
    hazard::check(subject, &KIND, report);
}
