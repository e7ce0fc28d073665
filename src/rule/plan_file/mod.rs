//! Rules of the plan-file family. The stage that reads the plan file finds them;
//! here are their pages.

use super::{Check, Family, Rule};
use crate::diagnostic::{Code, codes};

const fn page(code: Code, page: &'static str) -> Rule {
    Rule { code, family: Family::Plan, page, check: Check::Reading }
}

/// Every rule of the family.
pub const RULES: &[Rule] = &[
    page(codes::PLAN_FILE, include_str!("plan_file.md")),
    page(codes::PLAN_VERSION, include_str!("plan_version.md")),
    page(codes::PLAN_SEQUENCE, include_str!("plan_sequence.md")),
    page(codes::PLAN_TWICE, include_str!("plan_twice.md")),
    page(codes::PIN_NAME, include_str!("pin_name.md")),
    page(codes::PIN_UNFIT, include_str!("pin_unfit.md")),
    page(codes::PLAN_GONE, include_str!("plan_gone.md")),
];
