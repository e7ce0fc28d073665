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
    cautions: &[
        (
            "Nobody is alone at the water; lifejackets for whoever works within reach of the edge; a throw line at hand and someone below the current where there is one.",
            "production safety bulletins on water work ask for downstream rescue; lifejackets and line are common practice",
        ),
        (
            "Water below 15 °C can take the breath away: float first, the shock passes in about a minute and a half; dry clothes and something warm are ready.",
            "RNLI, cold water shock (2018)",
        ),
        (
            "Ask beforehand about currents, tides and water quality, and tell everyone on the call sheet; local rules and licensed practice decide.",
            "industry safety bulletin 17, water hazards",
        ),
    ],
};

fn check(subject: &Subject<'_>, report: &mut Report) {
    hazard::check(subject, &KIND, report);
}
