//! The beat and what stands in it, described.

use super::Times::{Many, Optional, Required};
use super::blocks::{ANGLE, LENGTH, SOME_SPAN, SPAN, TEXT, WORDS, YES, block, line};
use super::pass::{PASS, PRIORITY};
use super::{Part, Spec};
use crate::quantity::unit::Dimension as D;

const NEEDS: Spec = line(
    "needs",
    &[Part::List(&[Part::Name("beat, plate, effect or asset")])],
    Many,
    "What must be done before: captured for a plate, finished for an effect, built for an asset.",
    "needs bench",
);
const TURNS: Spec = line(
    "turns",
    &[Part::Name("prop or look"), Part::Name("state"), Part::Word("to"), Part::Name("state")],
    Many,
    "A change of state.",
    "turns parcel loose to wrapped",
);
const EFFORT: Spec = line(
    "effort",
    &[Part::Name("pass"), Part::Quantity(D::Time, 0.0, 3_600_000.0)],
    Many,
    "Effort of a pass instead of the recipe's.",
    "effort paint 6 h",
);
const AT_MARK: &[Part] = &[
    Part::Name("mark"),
    Part::Maybe(&[Part::Word("at"), Part::Quantity(D::Speed, 0.0, 400.0)]),
    Part::Maybe(&[Part::Word("heading"), Part::Quantity(D::Angle, -360.0, 360.0)]),
];
const SWEEP: &[Part] =
    &[Part::Quantity(D::Angle, 0.1, 360.0), Part::Word("x"), Part::Quantity(D::Angle, 0.1, 360.0)];

const PLATE: &[Spec] = &[
    line("place", &[Part::Name("place")], Required, "Where it is shot.", "place quay"),
    line("rig", &[Part::Name("rig")], Required, "On what.", "rig trolley"),
    line(
        "camera",
        &[Part::Name("camera mode")],
        Required,
        "With which camera, set how.",
        "camera thumb.wide25",
    ),
    line(
        "person",
        &[Part::List(&[Part::Name("person")])],
        Optional,
        "Who performs in it, or wears the rig.",
        "person mei",
    ),
    line(
        "spotter",
        &[Part::List(&[Part::Name("person")])],
        Optional,
        "Who watches over it.",
        "spotter tomas",
    ),
    line("light", &[Part::Light], Optional, "When the light is right.", "light golden morning"),
    line("lasts", SOME_SPAN, Required, "Captured length of one take.", "lasts 7 s"),
    line(
        "uses",
        SPAN,
        Optional,
        "Its length in the picture; shared out where not said, 0 s when it is seen only inside another plate.",
        "uses 4 s",
    ),
    line(
        "hold",
        &[Part::Choice(&["locked", "free"])],
        Optional,
        "locked: not touched until its group is done. free unless said.",
        "hold locked",
    ),
    line("takes", &[Part::Count(1, 1000)], Optional, "Takes planned; 3 unless said.", "takes 5"),
    line(
        "between",
        SPAN,
        Optional,
        "Time between takes; 2 min unless said, or as long as bringing back what they change takes.",
        "between 4 min",
    ),
    line(
        "turns_camera",
        &[Part::Quantity(D::TurnRate, 0.0, 3600.0)],
        Optional,
        "How fast the camera turns on purpose.",
        "turns_camera 40 deg/s",
    ),
    line(
        "rolls",
        &[Part::Quantity(D::Angle, -3600.0, 3600.0)],
        Optional,
        "How far the camera rolls.",
        "rolls 180 deg",
    ),
    line(
        "moves",
        &[Part::Quantity(D::Speed, 0.0, 400.0)],
        Optional,
        "How fast the camera travels.",
        "moves 1.4 m/s",
    ),
    line("enters", AT_MARK, Optional, "Begins at a mark, at that speed.", "enters stud at 2.8 m/s"),
    line(
        "leaves",
        AT_MARK,
        Optional,
        "Ends at a mark, at that speed.",
        "leaves stud at 3.1 m/s heading 140 deg",
    ),
    line("mark", &[Part::Name("mark")], Optional, "Stays at a mark.", "mark stud"),
    line("height", LENGTH, Optional, "Lens above the ground.", "height 1.2 m"),
    line("heading", ANGLE, Optional, "Compass direction of the view.", "heading 140 deg"),
    line("tilt", &[Part::Quantity(D::Angle, -90.0, 90.0)], Optional, "Up is positive.", "tilt -20 deg"),
    line(
        "near",
        &[Part::Quantity(D::Length, 0.01, 100_000.0)],
        Optional,
        "Nearest thing in view.",
        "near 0.6 m",
    ),
    line(
        "far",
        &[Part::Quantity(D::Length, 0.01, 1_000_000.0)],
        Optional,
        "Farthest thing in view.",
        "far 40 m",
    ),
    line("screen", &[Part::Name("screen")], Optional, "The screen behind the subject.", "screen green"),
    line("gap", LENGTH, Optional, "From the subject to the screen.", "gap 2.0 m"),
    line(
        "sweep",
        SWEEP,
        Optional,
        "Field swept in front of the screen, across and down.",
        "sweep 70 deg x 45 deg",
    ),
    line(
        "hands",
        &[Part::Choice(&["out", "behind", "in"])],
        Optional,
        "Whether hands are in the picture: out, kept behind what they carry, or in. out unless said.",
        "hands behind",
    ),
    line(
        "reframe",
        &[Part::Quantity(D::Share, 0.1, 10.0)],
        Optional,
        "Enlarged by a reframe; 100 % unless said.",
        "reframe 105%",
    ),
    line("hazard", WORDS, Optional, "What can hurt someone in this action.", "hazard overhead"),
    line(
        "wears",
        &[Part::Name("person"), Part::Name("look"), Part::Name("state")],
        Many,
        "Who wears what in which state.",
        "wears mei coat dry",
    ),
    line(
        "shows",
        &[Part::Name("prop or look"), Part::Name("state")],
        Many,
        "What is seen in which state.",
        "shows parcel loose",
    ),
    TURNS,
    line("must", TEXT, Many, "What must be in frame.", "must \"both bollards\""),
    line("avoid", TEXT, Many, "What must stay out of frame.", "avoid \"own shadow\""),
    NEEDS,
    line(
        "after",
        &[Part::List(&[Part::Name("plate")])],
        Many,
        "Shot later than these; binds the shoot only.",
        "after swoop",
    ),
    line(
        "rolls_with",
        &[Part::Name("plate")],
        Optional,
        "Captured by another camera while that plate is captured, as by a witness camera beside the main one: set up with it, without time of its own, and seen in the picture only where `uses` says so.",
        "rolls_with walk",
    ),
    line("sound", YES, Optional, "Whether sound is recorded with it; yes unless said.", "sound no"),
];

const EFFECT: &[Spec] = &[
    line(
        "objects",
        &[Part::List(&[Part::Name("object")])],
        Optional,
        "Objects that move.",
        "objects paper, string, wax",
    ),
    line(
        "speed",
        &[Part::List(&[
            Part::Range(&Part::Quantity(D::Share, -100.0, 100.0), true),
            Part::Maybe(&[Part::Word("at"), Part::Quantity(D::Share, -100.0, 100.0)]),
        ])],
        Optional,
        "One speed, a range, or a curve of points along the result: place, then `at` speed.",
        "speed 70%..300%",
    ),
    line("sweep", SWEEP, Optional, "Field swept by the hands, across and down.", "sweep 70 deg x 45 deg"),
    line("screen", &[Part::Name("screen")], Optional, "The screen.", "screen green"),
    line("gap", LENGTH, Optional, "From hands to screen.", "gap 2.0 m"),
    line(
        "asset",
        &[Part::List(&[Part::Name("asset")])],
        Optional,
        "What it puts into the picture.",
        "asset brass_orrery",
    ),
    line(
        "seconds",
        SOME_SPAN,
        Optional,
        "Its length in the picture, where less than its plate's.",
        "seconds 2 s",
    ),
    EFFORT,
    NEEDS,
];

const JOIN: &[Spec] = &[
    line("overlap", SPAN, Optional, "How long both sides are seen; none unless said.", "overlap 8 frames"),
    line(
        "allow",
        &[Part::Quantity(D::Pixels, 0.1, 100_000.0)],
        Optional,
        "How far out the join may be, instead of the computed allowance.",
        "allow 40 px",
    ),
    EFFORT,
];

/// The asset block; it may also stand in a beat.
pub(super) const ASSET: Spec = block(
    "asset",
    &[Part::Name("asset")],
    &[
        line(
            "build",
            &[Part::Quantity(D::Time, 60.0, 3_600_000.0)],
            Required,
            "Effort to build it.",
            "build 14 h",
        ),
        line(
            "texture",
            &[Part::Word("from"), Part::List(&[Part::Name("plate")])],
            Optional,
            "Plates whose stills give its texture.",
            "texture from alley",
        ),
        line(
            "light",
            &[Part::Word("from"), Part::List(&[Part::Name("plate")])],
            Optional,
            "Plates whose light it is lit by.",
            "light from alley",
        ),
        NEEDS,
    ],
    "A thing that is built at the desk.",
    "asset brass_orrery \"Brass orrery\" { build 14 h; texture from alley }",
);

/// The beat block.
pub(super) const BEAT: Spec = block(
    "beat",
    &[Part::Name("beat")],
    &[
        line("story", TEXT, Optional, "What happens.", "story \"The parcel takes off.\""),
        line("runs", SOME_SPAN, Optional, "Length in the picture.", "runs 6 s"),
        PRIORITY,
        TURNS,
        NEEDS,
        block(
            "plate",
            &[Part::Name("plate")],
            PLATE,
            "Something that must be captured.",
            "plate alley { place quay; rig head; camera thumb.wide50; lasts 9 s }",
        ),
        Spec {
            open: true,
            ..block(
                "effect",
                &[Part::Name("effect"), Part::Word("by"), Part::Name("recipe")],
                EFFECT,
                "An effect made by a recipe. Besides these statements, the recipe's own roles and quantities may stand here.",
                "effect orrery by tracked_insert { on alley; asset brass_orrery }",
            )
        },
        block(
            "join",
            &[
                Part::Name("plate"),
                Part::Arrow,
                Part::Name("plate"),
                Part::Word("by"),
                Part::Choice(&["stitch", "match", "wipe", "whip", "dissolve"]),
            ],
            JOIN,
            "Two plates become one look.",
            "join swoop -> land by stitch { overlap 8 frames }",
        ),
        ASSET,
        PASS,
    ],
    "A step of the story; beats stand in story order.",
    "beat leap \"Off the gantry\" { runs 9 s }",
);
