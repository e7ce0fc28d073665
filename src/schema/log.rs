//! The day log, described: what was really captured, written in a moment.

use super::Times::{Many, Optional, Required};
use super::blocks::{ANGLE, LENGTH, TEXT, line};
use super::{Part, Spec};
use crate::quantity::unit::Dimension as D;

/// How far the camera was from a mark, and how far turned from it.
const OUT: &[Part] = &[
    Part::Quantity(D::Length, 0.0, 1000.0),
    Part::Maybe(&[Part::Comma, Part::Quantity(D::Angle, 0.0, 180.0)]),
    Part::Maybe(&[Part::Word("at"), Part::Quantity(D::Speed, 0.0, 400.0)]),
];
const TAKE: &[Part] = &[
    Part::Count(1, 10_000),
    Part::Text,
    Part::Maybe(&[Part::Word("from"), Part::Text, Part::Word("to"), Part::Text]),
    Part::Maybe(&[Part::Word("at"), Part::Clock]),
    Part::Maybe(&[Part::Choice(&["circled", "usable", "spoiled"])]),
    Part::Maybe(&[Part::Text]),
];
const DISTANCE: &[Part] = &[Part::Quantity(D::Length, 0.01, 1_000_000.0)];

const PLATE: &[Spec] = &[
    line(
        "take",
        TAKE,
        Many,
        "One take: its number, the clip, timecode in and out, the time of day, what it is worth, a remark. \
         usable unless said.",
        "take 2 \"C0032\" from \"06:41:20:03\" to \"06:41:31:10\" at 06:41 circled \"last second soft\"",
    ),
    line("height", LENGTH, Optional, "Lens above the ground, as measured.", "height 1.68 m"),
    line("heading", ANGLE, Optional, "Compass direction of the view, as measured.", "heading 140 deg"),
    line(
        "tilt",
        &[Part::Quantity(D::Angle, -90.0, 90.0)],
        Optional,
        "As measured; up is positive.",
        "tilt -35 deg",
    ),
    line("near", DISTANCE, Optional, "Nearest thing in view, as measured.", "near 0.9 m"),
    line("far", DISTANCE, Optional, "Farthest thing in view, as measured.", "far 40 m"),
    line("gap", DISTANCE, Optional, "From the subject to the screen, as measured.", "gap 1.8 m"),
    line(
        "entered",
        OUT,
        Optional,
        "How far from the mark it began: off by, turned by, at a speed.",
        "entered 3 cm, 1 deg",
    ),
    line(
        "left",
        OUT,
        Optional,
        "How far from the mark it ended: off by, turned by, at a speed.",
        "left 9 cm, 2 deg at 2.6 m/s",
    ),
    line("light", TEXT, Optional, "The light as it was.", "light \"thin cloud, sun through\""),
    line("note", TEXT, Many, "A remark for the desk.", "note \"sleeve rolled left\""),
    line("problem", TEXT, Many, "What went wrong.", "problem \"gull in the second take\""),
];

const HEAD: &[Spec] = &[
    line("day", &[Part::Date], Required, "The day of the shoot.", "day 2027-05-15"),
    line("by", TEXT, Optional, "Who kept it.", "by \"Inés\""),
    line("papers", TEXT, Optional, "The version that stood on the papers in hand.", "papers \"3f9a12bc44\""),
    line(
        "wrapped",
        &[Part::Clock],
        Optional,
        "When the day ended. Until then, what is left of the day may still be shot.",
        "wrapped 10:20",
    ),
    line("note", TEXT, Many, "A remark about the day.", "note \"mist until seven\""),
    Spec {
        word: "plate",
        parts: &[Part::Name("plate")],
        title: false,
        body: Some(PLATE),
        open: false,
        times: Many,
        doc: "What was captured of one plate, by the path on its card.",
        example: "plate carry.swoop { take 1 \"C0031\" spoiled \"gust\"; take 2 \"C0032\" circled; height 1.68 m }",
    },
];

/// Every statement of a file of day logs.
pub const LOG: &[Spec] = &[Spec {
    word: "log",
    parts: &[Part::Name("sequence")],
    title: false,
    body: Some(HEAD),
    open: false,
    times: Many,
    doc: "What was captured on one day: the sequence's name, then what happened.",
    example: "log night_parcel { day 2027-05-15; plate bench.hands { take 1 \"C0031\" } }",
}];
