//! Every block but the beat's own (`plate.rs`), described.

use super::Times::{Many, Optional, Required};
use super::pass::PASS;
use super::plate::{ASSET, BEAT};
use super::weights::WEIGHTS;
use super::{Part, Spec};
use crate::quantity::unit::Dimension as D;

/// A statement without a block.
pub(super) const fn line(
    word: &'static str,
    parts: &'static [Part],
    times: super::Times,
    doc: &'static str,
    example: &'static str,
) -> Spec {
    Spec { word, parts, title: false, body: None, open: false, times, doc, example }
}

/// A block with a name and an optional title, of which there may be many.
pub(super) const fn block(
    word: &'static str,
    parts: &'static [Part],
    body: &'static [Spec],
    doc: &'static str,
    example: &'static str,
) -> Spec {
    Spec { word, parts, title: true, body: Some(body), open: false, times: Many, doc, example }
}

/// `yes` or `no`.
pub(super) const YES: &[Part] = &[Part::Choice(&["yes", "no"])];
/// A positive length.
pub(super) const LENGTH: &[Part] = &[Part::Quantity(D::Length, 0.0, 100_000.0)];
/// A time span.
pub(super) const SPAN: &[Part] = &[Part::Quantity(D::Time, 0.0, 864_000.0)];
/// A time span that is not nothing.
pub(super) const SOME_SPAN: &[Part] = &[Part::Quantity(D::Time, 0.001, 864_000.0)];
/// An angle.
pub(super) const ANGLE: &[Part] = &[Part::Quantity(D::Angle, -360.0, 360.0)];
/// Words with commas between.
pub(super) const WORDS: &[Part] = &[Part::List(&[Part::Name("kind")])];
/// A text.
pub(super) const TEXT: &[Part] = &[Part::Text];
/// Dates, alone or as ranges.
const DATES: &[Part] = &[Part::List(&[Part::Range(&Part::Date, true)])];

/// Statements that may stand in any block, and at the top level.
pub(crate) const COMMON: &[Spec] = &[
    line(
        "note",
        TEXT,
        Many,
        "Words for the packet, printed where the block's card is.",
        "note \"ask the baker first\"",
    ),
    line(
        "caution",
        TEXT,
        Many,
        "A person's own safety line, printed beside the built-in ones.",
        "caution \"the third step is loose\"",
    ),
    line(
        "accept",
        &[Part::Name("rule"), Part::Word("because"), Part::Text],
        Many,
        "Waives one rule in this block. The reason is printed; a waiver that waives nothing is reported.",
        "accept join-offset because \"a passing van covers it\"",
    ),
];

const BUDGET: &[Spec] = &[
    line(
        "tracked_blur",
        PX,
        Optional,
        "Blur allowed in what is tracked, at 1,920 wide.",
        "tracked_blur 4 px",
    ),
    line("masked_blur", PX, Optional, "Blur allowed in what is masked, at 1,920 wide.", "masked_blur 12 px"),
    line("skew", PX, Optional, "Rolling-shutter skew allowed, at 1,920 wide.", "skew 6 px"),
    line("slowest", SHARE, Optional, "Slowest speed made by interpolation.", "slowest 50%"),
    line("enlarge", SHARE, Optional, "Largest enlargement.", "enlarge 110%"),
    line("shadow", ANGLE, Optional, "Turn of the shadows allowed across a join.", "shadow 5 deg"),
    line("sun", ANGLE, Optional, "Change of the sun's height allowed across a join.", "sun 2 deg"),
    line("gap", LENGTH, Optional, "Least distance from hands to a screen.", "gap 1.5 m"),
    line(
        "join_width",
        SHARE,
        Optional,
        "Share of the picture's width that a join may hide.",
        "join_width 1%",
    ),
];
const PX: &[Part] = &[Part::Quantity(D::Pixels, 0.1, 1000.0)];
const SHARE: &[Part] = &[Part::Quantity(D::Share, 0.001, 10.0)];

const SEQUENCE: &[Spec] = &[
    line(
        "picture",
        &[Part::Size, Part::Word("at"), Part::Quantity(D::FrameRate, 1.0, 1000.0)],
        Required,
        "The delivered picture and its frame rate.",
        "picture 1920x1080 at 25 fps",
    ),
    line("zone", TEXT, Required, "The IANA time zone of the shoot.", "zone \"Europe/Lisbon\""),
    line(
        "mains",
        &[Part::Quantity(D::Frequency, 1.0, 1000.0)],
        Optional,
        "Mains frequency of lamps.",
        "mains 50 Hz",
    ),
    line(
        "handles",
        SPAN,
        Optional,
        "Captured before and after what a cut uses; 12 frames unless said.",
        "handles 12 frames",
    ),
    Spec {
        word: "budget",
        parts: &[],
        title: false,
        body: Some(BUDGET),
        open: false,
        times: Optional,
        doc: "What the rules allow, where the defaults do not fit.",
        example: "budget { tracked_blur 3 px }",
    },
    Spec {
        word: "weights",
        parts: &[],
        title: false,
        body: Some(WEIGHTS),
        open: false,
        times: Optional,
        doc: "What the plan of the shoot pays for what, where the defaults do not fit; a minute on the way is 100%.",
        example: "weights { people 40%; overtime 150% }",
    },
    line(
        "treat",
        &[Part::Name("rule"), Part::Word("as"), Part::Choice(&["error", "warning", "note", "off"])],
        Many,
        "Changes how much a rule matters in this sequence.",
        "treat join-light as note",
    ),
];

const PLACE: &[Spec] = &[
    line(
        "at",
        &[Part::Position],
        Optional,
        "Latitude and longitude, degrees, WGS 84; needed for anything under the sky.",
        "at 38.7056, -9.1657",
    ),
    line(
        "open",
        &[Part::List(&[Part::Range(&Part::Clock, false)])],
        Optional,
        "When one may be there, local time.",
        "open 06:00..10:00",
    ),
    line(
        "light",
        &[Part::Light],
        Optional,
        "What lights it unless a plate says otherwise; sky unless said.",
        "light sky",
    ),
    line("hazard", WORDS, Optional, "What can hurt someone here.", "hazard water, edge"),
    line(
        "hospital",
        TEXT,
        Optional,
        "The nearest emergency department, in words.",
        "hospital \"Harbour clinic, 1.9 km\"",
    ),
    line(
        "horizon",
        &[Part::Quantity(D::Angle, 0.0, 80.0)],
        Optional,
        "Height of buildings or hills that hide the sun.",
        "horizon 8 deg",
    ),
    line(
        "parking",
        TEXT,
        Optional,
        "Where to leave vehicles, where to meet.",
        "parking \"behind the net shed\"",
    ),
    line(
        "roof",
        YES,
        Optional,
        "Whether rain and wind stay out; yes unless said where lamps light the place, else no.",
        "roof yes",
    ),
];

const MARK: &[Spec] = &[
    line("place", &[Part::Name("place")], Required, "Where it is.", "place quay"),
    line("height", LENGTH, Optional, "Lens above the ground.", "height 1.70 m"),
    line("heading", ANGLE, Optional, "Compass direction of the view.", "heading 140 deg"),
    line("tilt", &[Part::Quantity(D::Angle, -90.0, 90.0)], Optional, "Up is positive.", "tilt -35 deg"),
    line(
        "near",
        &[Part::Quantity(D::Length, 0.01, 100_000.0)],
        Optional,
        "Nearest thing seen at the hand-over.",
        "near 0.9 m",
    ),
    line(
        "far",
        &[Part::Quantity(D::Length, 0.01, 1_000_000.0)],
        Optional,
        "Farthest thing seen.",
        "far 60 m",
    ),
];

const MODE: &[Spec] = &[
    line(
        "frame",
        &[Part::Size, Part::Word("at"), Part::Quantity(D::FrameRate, 1.0, 10_000.0)],
        Required,
        "Pixels captured, frames per second.",
        "frame 2560x1440 at 25 fps",
    ),
    line("shutter", &[Part::Shutter], Required, "Exposure time, or degrees of shutter.", "shutter 1/50 s"),
    line(
        "view",
        &[
            Part::Quantity(D::Angle, 1.0, 360.0),
            Part::Maybe(&[Part::Choice(&["equidistant", "rectilinear"])]),
        ],
        Required,
        "Horizontal field of view, and how the lens maps angles; rectilinear unless said, and then below 180°.",
        "view 118 deg equidistant",
    ),
    line(
        "stream",
        &[Part::Quantity(D::Stream, 1000.0, 1e12)],
        Optional,
        "Data per second.",
        "stream 80 Mb/s",
    ),
    line(
        "steady",
        &[Part::Choice(&["level", "free", "off"])],
        Optional,
        "level holds the horizon and limits roll; free lets the full roll through; off unless said.",
        "steady level",
    ),
    line(
        "kept",
        &[Part::Quantity(D::Share, 0.1, 1.0)],
        Optional,
        "Share of the width that steadying keeps; 90 % unless said.",
        "kept 90%",
    ),
];

const CAMERA: &[Spec] = &[
    line("count", &[Part::Count(1, 1000)], Optional, "How many bodies; 1 unless said.", "count 2"),
    line("weighs", MASS, Optional, "Ready to mount.", "weighs 27 g"),
    line("battery", SOME_SPAN, Optional, "Recording time on a full charge.", "battery 30 min"),
    line("packs", &[Part::Count(1, 1000)], Optional, "Batteries per body; 1 unless said.", "packs 3"),
    line("recharge", SOME_SPAN, Optional, "Time for a full charge.", "recharge 35 min"),
    line("card", &[Part::Quantity(D::Data, 1e6, 1e16)], Optional, "Space on one card.", "card 32 GB"),
    line("cards", &[Part::Count(1, 1000)], Optional, "Cards per body; 1 unless said.", "cards 2"),
    line("water", LENGTH, Optional, "Rated depth; 0 m keeps it dry.", "water 4 m"),
    line(
        "readout",
        &[Part::Quantity(D::Time, 0.0, 1.0)],
        Optional,
        "Rolling shutter, top line to bottom line.",
        "readout 16 ms",
    ),
    block(
        "mode",
        &[Part::Name("mode")],
        MODE,
        "One way to set the camera.",
        "mode wide25 { frame 2560x1440 at 25 fps; shutter 1/50 s; view 118 deg equidistant }",
    ),
];
const MASS: &[Part] = &[Part::Quantity(D::Mass, 0.0, 10_000.0)];

const RIG: &[Spec] = &[
    line("fixed", YES, Optional, "Stands still when left alone.", "fixed yes"),
    line("worn", YES, Optional, "On a body.", "worn yes"),
    line("flies", YES, Optional, "In the air.", "flies yes"),
    line("height", LENGTH, Optional, "Lens height in normal use.", "height 1.66 m"),
    line("fitting", SPAN, Optional, "Time to set it up ready to shoot; 5 min unless said.", "fitting 5 min"),
    line(
        "placing",
        &[
            Part::Quantity(D::Length, 0.0, 100.0),
            Part::Maybe(&[Part::Comma, Part::Quantity(D::Angle, 0.0, 180.0)]),
        ],
        Optional,
        "How closely the camera can be put on a mark: distance, then angle after a comma.",
        "placing 3 cm, 2 deg",
    ),
    line(
        "sway",
        &[Part::Quantity(D::TurnRate, 0.0, 3600.0)],
        Optional,
        "Turn rate that it adds in normal use; 0 unless said.",
        "sway 6 deg/s",
    ),
    line("carries", MASS, Optional, "What it can carry.", "carries 1 kg"),
    line(
        "hands",
        &[Part::Count(0, 2)],
        Optional,
        "Hands it leaves free for the performer; 2 unless said.",
        "hands 2",
    ),
    line("hazard", WORDS, Optional, "What can hurt someone near it.", "hazard overhead"),
    line("endurance", SOME_SPAN, Optional, "Flying time of one pack.", "endurance 18 min"),
    line("packs", &[Part::Count(1, 1000)], Optional, "Packs; 1 unless said.", "packs 3"),
    line("recharge", SOME_SPAN, Optional, "Time to charge one pack.", "recharge 60 min"),
    line("water", YES, Optional, "Whether it may get wet.", "water yes"),
    line("silences", YES, Optional, "The wearer cannot speak.", "silences yes"),
    line(
        "away",
        DATES,
        Optional,
        "Dates on which it is not there: hired elsewhere, in repair.",
        "away 2027-05-20..2027-05-23",
    ),
];

const SCREEN: &[Spec] = &[
    line(
        "size",
        &[Part::Quantity(D::Length, 0.01, 1000.0), Part::Word("x"), Part::Quantity(D::Length, 0.01, 1000.0)],
        Required,
        "Width and height.",
        "size 3.0 m x 2.0 m",
    ),
    line("foot", LENGTH, Optional, "Lower edge above the floor; 0 m unless said.", "foot 0.4 m"),
];

const PERSON: &[Spec] = &[
    line("plays", WORDS, Optional, "Parts played.", "plays courier"),
    line("can", WORDS, Optional, "Skills: spotter, fly, pull, hold, drive…", "can spotter, fly"),
    line("away", DATES, Optional, "Dates not available.", "away 2027-05-20..2027-05-23"),
    line(
        "hours",
        &[Part::Range(&Part::Clock, false)],
        Optional,
        "Hours of a day when available.",
        "hours 06:00..14:00",
    ),
    line("eyes", LENGTH, Optional, "Eye height, for worn rigs.", "eyes 1.55 m"),
];

const DESK: &[Spec] = &[
    line("does", WORDS, Required, "Departments.", "does edit, roto, paint"),
    line(
        "hours",
        &[Part::Quantity(D::Time, 60.0, 86_400.0), Part::Word("per"), Part::Word("day")],
        Required,
        "Work per day.",
        "hours 6 h per day",
    ),
    line("away", DATES, Optional, "Dates not available.", "away 2027-05-20..2027-05-23"),
    line("off", &[Part::List(&[Part::Choice(WEEKDAYS)])], Optional, "Weekdays off.", "off saturday, sunday"),
];
/// Weekdays as written.
const WEEKDAYS: &[&str] = &["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"];

const STATES: Spec = line(
    "states",
    WORDS,
    Required,
    "Its states, in the order in which they happen.",
    "states loose, wrapped, torn",
);
const RESET: Spec = line(
    "reset",
    &[Part::Name("state"), Part::Word("to"), Part::Name("state"), Part::Quantity(D::Time, 0.0, 864_000.0)],
    Many,
    "How it goes back, and how long that takes.",
    "reset wet to dry 45 min",
);
const PROP: &[Spec] = &[
    STATES,
    RESET,
    line(
        "spares",
        &[Part::Count(0, 1000)],
        Optional,
        "Identical spares, each fresh; 0 unless said.",
        "spares 2",
    ),
];
const LOOK: &[Spec] = &[STATES, RESET];

const SOUND: &[Spec] = &[
    line(
        "layer",
        &[Part::List(&[Part::Name("layer")])],
        Many,
        "Layers: ambience, impacts, foley, voice, music.",
        "layer ambience, impacts",
    ),
    line(
        "cue",
        &[Part::Text, Part::Word("at"), Part::Name("beat")],
        Many,
        "Something heard in a beat.",
        "cue \"wax drips\" at bench",
    ),
    line(
        "effort",
        &[Part::Name("layer"), Part::Quantity(D::Time, 0.0, 3_600_000.0)],
        Many,
        "Effort of a layer instead of the recipe's.",
        "effort music 6 h",
    ),
];

const DAY: &[Spec] = &[
    line("call", &[Part::Clock], Optional, "Earliest call.", "call 05:15"),
    line("wrap", &[Part::Clock], Optional, "Latest wrap, packed and back at base.", "wrap 15:00"),
    line("base", &[Part::Name("place")], Optional, "Where the day starts and ends.", "base quay"),
    line("meal", SPAN, Optional, "Length of the meal; 30 min unless said.", "meal 45 min"),
    line(
        "meal_within",
        SOME_SPAN,
        Optional,
        "Latest start of the meal after call; 6 h unless said.",
        "meal_within 5 h",
    ),
    line("rest", SPAN, Optional, "Least rest between wrap and call; 11 h unless said.", "rest 11 h"),
    line(
        "overtime_after",
        SOME_SPAN,
        Optional,
        "From call to wrap; what a day is longer is overtime. 10 h unless said.",
        "overtime_after 9 h",
    ),
    line(
        "chargers",
        &[Part::Count(0, 1000)],
        Optional,
        "Batteries that can charge at once; 1 unless said.",
        "chargers 2",
    ),
    line(
        "expects",
        &[Part::Range(&Part::Quantity(D::Temperature, -60.0, 60.0), true)],
        Optional,
        "Expected temperature.",
        "expects 3 C..12 C",
    ),
    line(
        "weather",
        &[Part::List(&[Part::Choice(&["dry", "clear", "calm"])])],
        Optional,
        "What the day needs of the weather: `dry` is no rain, `clear` is sun, `calm` is little wind.",
        "weather dry, calm",
    ),
    line(
        "cover",
        &[Part::List(&[Part::Name("beat, plate or place")])],
        Optional,
        "What is shot that day when its weather fails: plates, all of a beat, or all at a place.",
        "cover bench, loft",
    ),
    line(
        "cover_base",
        &[Part::Name("place")],
        Optional,
        "Where the day starts and ends when its weather fails; the day's base unless said.",
        "cover_base loft",
    ),
    line(
        "decide",
        &[Part::Clock, Part::Maybe(&[Part::Word("the"), Part::Word("day"), Part::Word("before")])],
        Optional,
        "When it is decided whether the day is shot as planned or as its cover.",
        "decide 18:00 the day before",
    ),
];

/// What may stand at the top level of a file.
pub const ROOT: &[Spec] = &[
    line("use", TEXT, Many, "Brings in another file, relative to this one.", "use \"kit.seam\""),
    Spec {
        times: Optional,
        ..block(
            "sequence",
            &[Part::Name("sequence")],
            SEQUENCE,
            "Names the sequence, its picture and its zone.",
            "sequence night_run \"Night Run\" { picture 1920x1080 at 25 fps; zone \"Europe/Lisbon\" }",
        )
    },
    block(
        "place",
        &[Part::Name("place")],
        PLACE,
        "Somewhere to shoot.",
        "place loft \"Parcel loft\" { light lamp }",
    ),
    line(
        "travel",
        &[
            Part::Name("place"),
            Part::Word("to"),
            Part::Name("place"),
            Part::Quantity(D::Time, 0.0, 864_000.0),
        ],
        Many,
        "Time from one place to another, either way.",
        "travel quay to loft 12 min",
    ),
    block(
        "mark",
        &[Part::Name("mark")],
        MARK,
        "An exact camera position at which rigs hand over.",
        "mark stud \"brass stud\" { place quay; height 1.70 m; near 0.9 m; far 60 m }",
    ),
    block(
        "camera",
        &[Part::Name("camera")],
        CAMERA,
        "A camera body type and its modes.",
        "camera thumb { count 2 }",
    ),
    block(
        "rig",
        &[Part::Name("rig")],
        RIG,
        "What a camera is mounted on.",
        "rig stand \"Tripod\" { fixed yes; fitting 5 min }",
    ),
    block(
        "screen",
        &[Part::Name("screen")],
        SCREEN,
        "A key screen.",
        "screen green \"Folding green screen\" { size 3.0 m x 2.0 m }",
    ),
    block(
        "person",
        &[Part::Name("person")],
        PERSON,
        "Someone on location.",
        "person tomas \"Tomás\" { can spotter, fly, pull }",
    ),
    block(
        "desk",
        &[Part::Name("desk")],
        DESK,
        "Someone, or a house, at the desk.",
        "desk ilse \"Ilse\" { does track, cg; hours 5 h per day }",
    ),
    block(
        "prop",
        &[Part::Name("prop")],
        PROP,
        "A thing whose state must match.",
        "prop parcel { states loose, wrapped, torn }",
    ),
    block(
        "look",
        &[Part::Name("look")],
        LOOK,
        "Costume or make-up whose state must match.",
        "look coat { states dry, wet; reset wet to dry 45 min }",
    ),
    BEAT,
    ASSET,
    PASS,
    Spec {
        word: "sound",
        parts: &[],
        title: false,
        body: Some(SOUND),
        open: false,
        times: Optional,
        doc: "Layers and cues of sound, made after picture lock.",
        example: "sound { layer ambience, impacts, voice, music }",
    },
    Spec {
        word: "days",
        parts: &[
            Part::Word("from"),
            Part::Date,
            Part::Maybe(&[Part::Word("to"), Part::Date]),
            Part::Maybe(&[Part::Comma, Part::Word("at"), Part::Word("most"), Part::Count(1, 60)]),
        ],
        title: false,
        body: Some(DAY),
        open: false,
        times: Optional,
        doc: "The days that may be used, consecutive from a date: `at most N` of them after a comma, or up to a date.",
        example: "days from 2027-05-14, at most 2 { call 05:15; wrap 15:00; base quay }",
    },
    Spec {
        word: "day",
        parts: &[Part::Date],
        title: false,
        body: Some(DAY),
        open: false,
        times: Many,
        doc: "One day: what differs from `days`, or a day on its own.",
        example: "day 2027-05-15 { call 06:00 }",
    },
    Spec {
        word: "finish",
        parts: &[Part::Word("by"), Part::Date],
        title: false,
        body: Some(&[]),
        open: false,
        times: Optional,
        doc: "The date by which all is delivered.",
        example: "finish by 2027-06-11",
    },
];

/// In which block a word belongs, for a word in the wrong place.
pub(super) fn where_is(word: &str) -> Option<String> {
    fn find(specs: &'static [Spec], owner: &str, word: &str) -> Option<String> {
        specs.iter().find_map(|spec| {
            if spec.word == word {
                return Some(owner.to_owned());
            }
            find(spec.body.unwrap_or(&[]), &format!("'{}'", spec.word), word)
        })
    }
    find(ROOT, "the top level", word)
}
