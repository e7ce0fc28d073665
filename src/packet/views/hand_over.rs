//! One card for each join: both sides, the mark between them, how far out each
//! may be, and what to look at before moving on.

use super::captured::captured;
use super::care;
use super::plate_card::{Slot, slot, unplanned};
use super::plate_facts::{heading, mode_name, rate, steadying, tilt_text};
use super::shape::{Cautions, Fact, Found, Link, Told, fact};
use crate::model::{JoinId, JoinKind, Mark, MarkUse, Plate, PlateId};
use crate::packet::index::{Index, light, maybe, minutes};
use crate::packet::pictures;
use crate::quantity::show;
use crate::rule::About;
use schemars::JsonSchema;
use serde::Serialize;

/// A hand-over card.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct HandOver {
    /// Name of the document without ending.
    pub file: String,
    /// `leap.swoop->leap.land`.
    pub path: String,
    /// `Down from the gantry → Landing, then the run`.
    pub title: String,
    /// `stitch`.
    pub kind: String,
    /// What that means.
    pub meaning: String,
    /// `8 frames (0.32 s)`.
    pub overlap: String,
    /// The mark's own numbers; empty when both sides name no common mark.
    pub mark: Vec<Fact>,
    /// The mark's title; empty without one.
    pub mark_title: String,
    /// What the drawing shows, in words: from above, then from the side; empty where both
    /// sides name no common mark, so that nothing is drawn.
    pub drawn: Vec<String>,
    /// The outgoing and the incoming side.
    pub sides: Vec<Side>,
    /// How far apart in time both sides are shot; empty where one is in no plan.
    pub between: String,
    /// What must be the same on both sides.
    pub matching: Vec<Match>,
    /// Tolerances and settings that rules computed.
    pub set: Vec<Told>,
    /// What to look at before moving on.
    pub check: Vec<String>,
    /// Findings about it.
    pub found: Vec<Found>,
    /// What can hurt someone.
    pub cautions: Cautions,
    /// The writer's notes.
    pub notes: Vec<String>,
}

/// One side of a join.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Side {
    /// `Outgoing: ends here`.
    pub role: String,
    /// The plate's card.
    pub plate: Link,
    /// When it is shot.
    pub slot: Option<Slot>,
    /// Why it is not planned.
    pub unplanned: Vec<String>,
    /// Rig, mode, speed, and so on.
    pub facts: Vec<Fact>,
}

/// Something that should be the same on both sides.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Match {
    /// What.
    pub what: String,
    /// On the outgoing side.
    pub from: String,
    /// On the incoming side.
    pub to: String,
    /// Whether they are the same.
    pub same: bool,
}

/// The card of one join.
pub(crate) fn card(index: &Index<'_>, id: JoinId) -> HandOver {
    let join = &index.model.joins[id];
    let mark = join.mark.map(|mark| &index.model.marks[mark]);
    let set = index.told_all(std::iter::once(About::Join(id)).chain(join.mark.map(About::Mark)));
    HandOver {
        file: index.join_file(id),
        path: join.named.path.clone(),
        title: index.join_title(id),
        kind: join.kind.word().to_owned(),
        meaning: meaning(join.kind).to_owned(),
        overlap: overlap(index, id),
        mark: mark.map(|mark| mark_facts(index, mark)).unwrap_or_default(),
        mark_title: mark.map(|mark| mark.named.label().to_owned()).unwrap_or_default(),
        drawn: drawn(index, id),
        sides: vec![
            side(index, "Outgoing: ends at the hand-over", join.from, index.plate(join.from).leaves.as_ref()),
            side(index, "Incoming: starts at the hand-over", join.to, index.plate(join.to).enters.as_ref()),
        ],
        between: between(index, join.from, join.to),
        matching: matching(index, join.from, join.to),
        set,
        check: check(join.kind, mark.is_some()),
        found: index.found(About::Join(id)),
        cautions: care::for_plates(index, &[join.from, join.to]),
        notes: join.named.notes.clone(),
    }
}

/// What the drawing of a hand-over shows, in words.
pub(crate) fn drawn(index: &Index<'_>, id: JoinId) -> Vec<String> {
    pictures::hand_over::of(index, id).map_or_else(Vec::new, |drawing| drawing.words().into())
}

fn meaning(kind: JoinKind) -> &'static str {
    match kind {
        JoinKind::Stitch => {
            "both cameras pass through the same mark; the pictures overlap and are warped into one"
        }
        JoinKind::Match => "the same shape or movement is on both sides, and the cut hides in it",
        JoinKind::Wipe => "something fills the frame on both sides, and the cut hides behind it",
        JoinKind::Whip => "the camera turns too fast to see on both sides, the same way round",
        JoinKind::Dissolve => "one side fades into the other",
    }
}

/// The overlap in frames of the picture and in seconds.
pub(crate) fn overlap(index: &Index<'_>, id: JoinId) -> String {
    let seconds = index.model.seconds(index.model.joins[id].overlap);
    let frames = seconds.0 * index.model.sequence.rate.per_second();
    if seconds.0 <= 0.0 {
        "none: a straight cut".to_owned()
    } else {
        format!("{} frames of the picture ({seconds})", show::number(frames, 1))
    }
}

fn mark_facts(index: &Index<'_>, mark: &Mark) -> Vec<Fact> {
    let mut facts = vec![fact("Place", index.model.places[mark.place].named.label())];
    facts.extend(maybe("Lens height", mark.height.map(|height| height.value)));
    facts.extend(maybe("Heading", mark.heading.map(|angle| heading(angle.value.0))));
    facts.extend(maybe("Tilt", mark.tilt.map(|angle| tilt_text(angle.value.0))));
    facts.extend(maybe("Nearest thing in view", mark.near.map(|near| near.value)));
    facts.extend(maybe("Farthest thing in view", mark.far.map(|far| far.value)));
    facts.extend(mark.named.notes.iter().map(|note| fact("Note", note.clone())));
    facts
}

fn side(index: &Index<'_>, role: &str, id: PlateId, at: Option<&MarkUse>) -> Side {
    let plate = index.plate(id);
    let rig = &index.model.rigs[plate.rig];
    let mut facts = vec![fact("Rig", rig.named.label())];
    facts
        .extend(rig.placing.map(|(length, angle)| {
            fact("Can be put back to", format!("{length} and {angle}, to each side"))
        }));
    facts.push(fact("Mode", mode_name(&index.model.modes[plate.mode].named)));
    facts.extend(maybe("Speed at the mark", at.and_then(|at| at.speed)));
    facts.extend(maybe("Moving towards", at.and_then(|at| at.heading).map(|angle| heading(angle.0))));
    facts.extend(captured(index, id));
    let people = index.people(plate);
    if !people.is_empty() {
        facts.push(fact("With", super::shape::and(&people)));
    }
    Side {
        role: role.to_owned(),
        plate: index.plate_link(id),
        slot: slot(index, id),
        unplanned: unplanned(index, id),
        facts,
    }
}

/// How far apart in time both sides are shot.
fn between(index: &Index<'_>, from: PlateId, to: PlateId) -> String {
    let (Some((.., from_start, from_end)), Some((.., to_start, to_end))) =
        (index.day_of(from), index.day_of(to))
    else {
        return String::new();
    };
    let (first, gap) = if from_start <= to_start {
        ("outgoing", to_start.0 - from_end.0)
    } else {
        ("incoming", from_start.0 - to_end.0)
    };
    let gap = if gap <= 0 { "nothing".to_owned() } else { minutes(gap) };
    format!("The {first} side is shot first; between both sides lies {gap}.")
}

/// What must be the same on both sides, as written for each.
fn matching(index: &Index<'_>, from: PlateId, to: PlateId) -> Vec<Match> {
    let (a, b) = (index.plate(from), index.plate(to));
    let (from_mode, to_mode) = (&index.model.modes[a.mode], &index.model.modes[b.mode]);
    let mut rows = Vec::new();
    let mut row = |what: &str, from: String, to: String| {
        rows.push(Match { what: what.to_owned(), same: from == to, from, to });
    };
    row("Frame rate", rate(from_mode.rate), rate(to_mode.rate));
    row("Shutter", show::exposure(from_mode.shutter.value), show::exposure(to_mode.shutter.value));
    row("View", from_mode.view.value.to_string(), to_mode.view.value.to_string());
    row("Steadying", steadying(from_mode.steadying).to_owned(), steadying(to_mode.steadying).to_owned());
    row("Light", light(a.light), light(b.light));
    let when = |id| {
        let planned = || slot(index, id).map_or("not planned".to_owned(), |slot| format!("day {}", slot.day));
        index.captured_on(id).unwrap_or_else(planned)
    };
    row("Day", when(from), when(to));
    let speed = |at: &Option<MarkUse>| {
        at.as_ref().and_then(|at| at.speed).map_or("not said".to_owned(), |speed| speed.to_string())
    };
    row("Speed at the mark", speed(&a.leaves), speed(&b.enters));
    let mut seen = Vec::new();
    for (of, _, _) in a.shows.iter().chain(&b.shows) {
        if !seen.contains(of) {
            seen.push(*of);
            // A side on which nobody shows it has nothing to match.
            if let (Some(from), Some(to)) = (state(a, *of, true), state(b, *of, false)) {
                row(index.state_name(*of).label(), from, to);
            }
        }
    }
    rows
}

/// The state at the end of the outgoing or at the start of the incoming side.
fn state(plate: &Plate, of: crate::model::StateOf, ends: bool) -> Option<String> {
    let turned = plate.turns.iter().rev().find(|turn| turn.of == of).filter(|_| ends);
    let shown = plate.shows.iter().find(|(whose, _, _)| *whose == of);
    turned.map(|turn| turn.to.clone()).or_else(|| shown.map(|(_, state, _)| state.clone()))
}

/// What to look at on the camera's screen before moving on (common practice).
fn check(kind: JoinKind, marked: bool) -> Vec<String> {
    let mut steps = vec![
        "Play the last second of the outgoing take, stop on its last frame, and keep it beside the first frame of the incoming one.",
        "Horizon: same height in the frame, same slope.",
    ];
    if marked {
        steps.extend([
            "Nearest thing in view: same place in the frame, same size. Parallax cannot be mended at the desk.",
            "Mark, height and tilt measured again after the last take, and written into the log.",
        ]);
    }
    steps.extend(match kind {
        JoinKind::Stitch | JoinKind::Match => [
            "Movement: same direction and about the same speed through the hand-over.",
            "Both takes run well past the hand-over: keep going, do not stop at the mark.",
        ],
        JoinKind::Wipe => [
            "The frame is filled edge to edge, on both sides, by the same thing moving the same way.",
            "It stays filled for at least the overlap.",
        ],
        JoinKind::Whip => [
            "The turn goes the same way round on both sides, and does not slow down before the cut.",
            "Nothing can be read in the blurred frames.",
        ],
        JoinKind::Dissolve => {
            ["Both sides hold long enough for the whole fade.", "Brightness and colour are near each other."]
        }
    });
    steps.push("Light: shadows fall the same way; sky and walls have the same colour.");
    steps.push("Looks and props: sleeves, hair, hands, wet or dry, as on the other side.");
    steps.into_iter().map(str::to_owned).collect()
}
