//! Rules of the log family. The stage that reads the day logs finds them; here are
//! their pages.

use super::{Check, Family, Rule};
use crate::diagnostic::{Code, codes};

const fn page(code: Code, page: &'static str) -> Rule {
    Rule { code, family: Family::Log, page, check: Check::Reading }
}

/// Every rule of the family.
pub const RULES: &[Rule] = &[
    page(codes::LOG_PLATE, include_str!("log_plate.md")),
    page(codes::LOG_SEQUENCE, include_str!("log_sequence.md")),
    page(codes::LOG_DAY, include_str!("log_day.md")),
    page(codes::TAKE_TWICE, include_str!("take_twice.md")),
    page(codes::LOGS_DIFFER, include_str!("logs_differ.md")),
    page(codes::CIRCLED_TWICE, include_str!("circled_twice.md")),
    page(codes::LOG_CLOCK, include_str!("log_clock.md")),
    page(codes::OWED_AGAIN, include_str!("owed_again.md")),
    page(codes::LOG_EMPTY, include_str!("log_empty.md")),
    page(codes::DAY_SHORT, include_str!("day_short.md")),
];
