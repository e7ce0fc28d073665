//! What a sequence itself says of a pass at the desk, described.

use super::Times::{Many, Optional};
use super::blocks::{block, line};
use super::{Part, Spec};
use crate::quantity::unit::Dimension as D;

/// Hours at the desk; none where a recipe's are not wanted.
const HOURS: Part = Part::Quantity(D::Time, 0.0, 3_600_000.0);

/// What comes first at the desk; it may also stand in a beat.
pub(super) const PRIORITY: Spec = line(
    "priority",
    &[Part::Count(1, 5)],
    Optional,
    "What comes first at the desk where that makes nothing later than it is wanted, nor the whole: 1 before 2, and so on to 5; last what has none. An hour sooner counts twice as much as with the next.",
    "priority 1",
);

/// The pass block; it may also stand in a beat.
pub(super) const PASS: Spec = Spec {
    title: false,
    times: Many,
    ..block(
        "pass",
        &[Part::Name("pass"), Part::Maybe(&[Part::Arrow, Part::Name("pass")])],
        &[
            line("effort", &[HOURS], Optional, "Effort instead of the recipe's.", "effort 6 h"),
            line(
                "render",
                &[HOURS],
                Optional,
                "Time that machines take after it, over nights and days off, before what waits for it can begin; instead of the recipe's.",
                "render 9 h",
            ),
            line(
                "review",
                &[HOURS, Part::Maybe(&[Part::Choice(&["worked", "elapsed"])])],
                Optional,
                "Time until it was looked at and agreed, before what waits for it can begin: hours in which anybody at the desk works, or, with `elapsed`, by the clock. After a render, where it has one.",
                "review 4 h worked",
            ),
            PRIORITY,
        ],
        "What is different with one pass at the desk, named by its path as in the pass list; inside its beat the beat may be left out.",
        "pass leap.orrery.render { render 9 h; review 4 h }",
    )
};
