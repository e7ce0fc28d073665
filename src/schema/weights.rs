//! What the plan of the shoot pays for what, described.

use super::Times::{Many, Optional};
use super::blocks::{SPAN, line};
use super::{Part, Spec};
use crate::quantity::unit::Dimension as D;

/// How much a minute counts, a minute on the way being 100%.
const WEIGHT: &[Part] = &[Part::Quantity(D::Share, 0.0, 100.0)];

/// The statements of `weights`.
pub(super) const WEIGHTS: &[Spec] = &[
    line("travel", WEIGHT, Optional, "A minute on the way; 100% unless said.", "travel 100%"),
    line(
        "fitting",
        WEIGHT,
        Optional,
        "A minute of fitting a rig or changing a set-up; 100% unless said.",
        "fitting 100%",
    ),
    line(
        "waiting",
        WEIGHT,
        Optional,
        "A minute for which everybody waits, for light, access, people or charge; 80% unless said.",
        "waiting 120%",
    ),
    line(
        "resetting",
        WEIGHT,
        Optional,
        "A minute of bringing a prop or a look back; 100% unless said.",
        "resetting 100%",
    ),
    line(
        "people",
        WEIGHT,
        Optional,
        "A minute for which one person waits between two plates; 25% unless said.",
        "people 40%",
    ),
    line(
        "person",
        &[Part::Name("person"), Part::Quantity(D::Share, 0.0, 100.0)],
        Many,
        "The same for one person, who is worth more or less than the others.",
        "person mei 100%",
    ),
    line(
        "meal",
        WEIGHT,
        Optional,
        "A minute by which the meal comes too early, or the work after it lasts too long; 100% unless said.",
        "meal 150%",
    ),
    line(
        "overtime",
        WEIGHT,
        Optional,
        "A minute of a day after its 'overtime_after', besides whatever fills it; 100% unless said.",
        "overtime 150%",
    ),
    line(
        "extra_day",
        SPAN,
        Optional,
        "Time whose saving is worth one more day; unless said no saving of minutes is worth a day.",
        "extra_day 12 h",
    ),
    line(
        "story_order",
        SPAN,
        Optional,
        "Time that one step against story order counts as; unless said it only decides between equals.",
        "story_order 5 min",
    ),
    line(
        "danger",
        SPAN,
        Optional,
        "Time that one hour counts as by which a hazard comes later in the day; unless said it only decides between equals.",
        "danger 2 min",
    ),
    line(
        "join",
        WEIGHT,
        Optional,
        "A minute between both sides of a join under the sky; 50% unless said.",
        "join 50%",
    ),
    line(
        "join_lamp",
        WEIGHT,
        Optional,
        "The same where both sides are under lamps; 10% unless said.",
        "join_lamp 0%",
    ),
    line(
        "light_lost",
        WEIGHT,
        Optional,
        "Such a minute besides, once the sun may have moved by more than the budget 'sun'; 100% unless said.",
        "light_lost 300%",
    ),
    line(
        "join_apart",
        SPAN,
        Optional,
        "Time that counts between both sides of a join on different days; 4 h unless said.",
        "join_apart 8 h",
    ),
    line(
        "moved",
        SPAN,
        Optional,
        "Time that must be won by each set-up that leaves its place in the day of the kept plan; 10 min unless said.",
        "moved 20 min",
    ),
    line(
        "moved_day",
        SPAN,
        Optional,
        "The same for each set-up that goes to another day; 30 min unless said.",
        "moved_day 2 h",
    ),
    line(
        "recalled",
        SPAN,
        Optional,
        "Time that must be won besides by each person called on a day for which the kept plan did not call them; 1 h unless said.",
        "recalled 3 h",
    ),
    line(
        "moved_pass",
        SPAN,
        Optional,
        "Time by which the desk must be done sooner for each pass that goes to another person or another place in their order; 2 h unless said.",
        "moved_pass 1 h",
    ),
];
