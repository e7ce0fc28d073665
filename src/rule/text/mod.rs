//! Rules of the text family. The stage that reads the text finds them; here are
//! their pages.

use super::{Check, Family, Rule};
use crate::diagnostic::{Code, codes};

const fn page(code: Code, page: &'static str) -> Rule {
    Rule { code, family: Family::Text, page, check: Check::Reading }
}

/// Every rule of the family.
pub const RULES: &[Rule] = &[
    page(codes::FILE, include_str!("file.md")),
    page(codes::LINE, include_str!("line.md")),
    page(codes::BLOCK, include_str!("block.md")),
    page(codes::UNKNOWN_STATEMENT, include_str!("unknown_statement.md")),
    page(codes::UNKNOWN_NAME, include_str!("unknown_name.md")),
    page(codes::VALUE, include_str!("value.md")),
    page(codes::UNIT, include_str!("unit.md")),
    page(codes::RANGE, include_str!("range.md")),
    page(codes::DATE, include_str!("date.md")),
    page(codes::DUPLICATE, include_str!("duplicate.md")),
    page(codes::MISSING, include_str!("missing.md")),
    page(codes::CYCLE, include_str!("cycle.md")),
    page(codes::OUTSIDE, include_str!("outside.md")),
    page(codes::UNUSED, include_str!("unused.md")),
    page(codes::STALE_WAIVER, include_str!("stale_waiver.md")),
    page(codes::LENGTH, include_str!("length.md")),
    page(codes::RECIPE, include_str!("recipe.md")),
    page(codes::ROLE, include_str!("role.md")),
    page(codes::MERGE_MARK, include_str!("merge_mark.md")),
];
