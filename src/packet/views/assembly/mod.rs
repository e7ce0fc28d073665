//! The assembly: the picture from first to last frame, as an editor opens it.
//!
//! In: plates with their lengths, joins, retimes, passes and cues, looked up
//! through the index. Out: [`Assembly`], in whole frames of the picture's rate,
//! from which the timeline and the decision list are written. A plate that is in
//! no plan is owed and leaves a gap with its reason; so does a beat without one.

use super::plate_card::unplanned;
use super::shape::Link;
use crate::craft::timecode::{Counting, Timebase};
use crate::model::{BeatId, JoinId, Model, PlateId, PlateKind};
use crate::packet::index::Index;
use crate::quantity::FrameRate;
use schemars::JsonSchema;
use serde::Serialize;

mod cut;
mod layers;
mod marks;
mod reel;
mod source;

use cut::Overlap;
use reel::Reels;

/// Hour of the record timecode at which the picture starts: room for leader before
/// it (common practice).
const START_HOUR: u64 = 1;

/// The picture, cut.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Assembly {
    /// Frames per second.
    pub rate: FrameRate,
    /// Whether labels are drop-frame, as they are at 29.97 and 59.94 fps.
    pub drop_frame: bool,
    /// `01:00:00:00`; empty at a rate at which timecode does not count.
    pub start: String,
    /// Frames from midnight to the start.
    pub start_frame: u64,
    /// Length in frames.
    pub frames: u64,
    /// What is seen, one after another without gap or overlap.
    pub items: Vec<Item>,
    /// What effects lay over it, each layer from the start on.
    pub layers: Vec<Layer>,
    /// What belongs to the whole.
    pub marks: Vec<Mark>,
}

/// A piece of the picture.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Item {
    /// Path of the plate, or of the beat where it has none.
    pub path: String,
    /// Its title, or path.
    pub title: String,
    /// The beat's title, or path.
    pub beat: String,
    /// Start, in frames from the start of the picture.
    pub at: u64,
    /// Length in frames.
    pub frames: u64,
    /// The footage; `None` where it is owed.
    pub source: Option<UsedTake>,
    /// How it is joined to the piece before it.
    pub join: Option<Blend>,
    /// What is to be done, heard and known there.
    pub marks: Vec<Mark>,
}

/// Which part of which take.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct UsedTake {
    /// Path of the plate.
    pub plate: String,
    /// The card.
    pub card: Link,
    /// What the file is called.
    pub name: String,
    /// Its reel: at most eight letters and digits.
    pub reel: String,
    /// First frame seen, from the start of the take, at the picture's rate.
    pub start: u64,
    /// Frames of the take that are seen, at the picture's rate.
    pub frames: u64,
    /// Length of a take, in frames at the picture's rate.
    pub take: u64,
    /// Rate of the capture.
    pub capture: FrameRate,
    /// Length of a take, in frames at the rate of the capture.
    pub capture_frames: u64,
    /// Mean speed in hundredths of a per cent: 10000 as captured, below 0 backwards.
    pub speed: i64,
    /// The speed curve over the result; empty where the speed does not change.
    pub curve: Vec<SpeedStep>,
    /// When it is shot.
    pub shot: String,
}

/// A point of a speed curve.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct SpeedStep {
    /// Where in the result, in hundredths of a per cent of its length.
    pub at: i64,
    /// How fast, in hundredths of a per cent.
    pub speed: i64,
}

/// A join in the picture.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Blend {
    /// `stitch`.
    pub kind: String,
    /// Its title.
    pub title: String,
    /// The card.
    pub card: Link,
    /// Frames of overlap before the cut.
    pub before: u64,
    /// Frames of overlap behind the cut.
    pub behind: u64,
    /// Frames of overlap that were written; more than both where a piece is too short.
    pub asked: u64,
}

/// Footage that effects lay over the picture: elements, clean and patch plates.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Layer {
    /// In order; what is not covered is empty.
    pub clips: Vec<Laid>,
}

/// A clip over the picture.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Laid {
    /// Its title, or path.
    pub title: String,
    /// `clean plate`, …
    pub kind: String,
    /// Start, in frames from the start of the picture.
    pub at: u64,
    /// Length in frames.
    pub frames: u64,
    /// The footage.
    pub source: UsedTake,
}

/// Something to know at a frame.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Mark {
    /// What kind.
    pub kind: MarkKind,
    /// In a line, the kind in front: `Pass: Comp (comp)`.
    pub title: String,
    /// More; empty where the line says it all.
    pub says: String,
    /// The frame, from the start of the piece, or of the picture.
    pub at: u64,
}

/// What a mark tells.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum MarkKind {
    /// A beat begins.
    Beat,
    /// Footage is owed.
    Owed,
    /// A join that is more than a fade.
    Join,
    /// A speed that a number cannot tell.
    Speed,
    /// A sound cue.
    Sound,
    /// A pass at the desk.
    Pass,
    /// The writer's note.
    Note,
}

/// A piece before it is cut.
struct Plan {
    beat: BeatId,
    plate: Option<PlateId>,
    frames: u64,
    join: Option<JoinId>,
}

/// Cuts the picture.
pub(crate) fn assembly(index: &Index<'_>) -> Assembly {
    let model = index.model;
    let plan = plan(index);
    let pieces: Vec<_> = plan.iter().map(|piece| (piece.frames, overlap(model, piece))).collect();
    let mut reels = Reels::default();
    let mut at = 0;
    let mut items = Vec::new();
    for (piece, cut) in plan.iter().zip(cut::cut(&pieces)) {
        items.push(item(index, piece, cut, at, &mut reels));
        at += cut.frames;
    }
    let layers = layers::layers(index, &plan, &items, &mut reels);
    let marks = marks::put(index, &plan, &mut items);
    let rate = model.sequence.rate;
    let timebase = timebase(rate);
    let start_frame = timebase.map_or_else(
        || (3600.0 * START_HOUR as f64 * rate.per_second()).round() as u64,
        |base| {
            base.frame(if base.counting() == Counting::Drop { "01:00:00;00" } else { "01:00:00:00" })
                .unwrap_or(0)
        },
    );
    Assembly {
        rate,
        drop_frame: timebase.is_some_and(|base| base.counting() == Counting::Drop),
        start: timebase.map(|base| base.label(start_frame).to_string()).unwrap_or_default(),
        start_frame,
        frames: at,
        items,
        layers,
        marks,
    }
}

/// How labels of a rate count: drop-frame where there is such a thing, so that
/// labels keep to the clock; `None` where timecode does not count.
pub(crate) fn timebase(rate: FrameRate) -> Option<Timebase> {
    Timebase::new(rate, Counting::Drop).or_else(|_| Timebase::new(rate, Counting::NonDrop)).ok()
}

fn frames(model: &Model, seconds: f64) -> u64 {
    (seconds * model.sequence.rate.per_second()).round().max(0.0) as u64
}

/// What is seen in story order: the picture plates of each beat, or its length
/// where it has none.
fn plan(index: &Index<'_>) -> Vec<Plan> {
    let model = index.model;
    let mut plan: Vec<Plan> = Vec::new();
    for (beat, told) in model.beats.iter() {
        let seen = index.beat_plates(beat).iter().filter(|id| index.plate(**id).kind == PlateKind::Picture);
        let seen: Vec<PlateId> =
            seen.copied().filter(|id| frames(model, index.plate(*id).in_picture.0) > 0).collect();
        if seen.is_empty() {
            let runs = told.runs.map_or(0, |runs| frames(model, runs.value.0));
            plan.extend((runs > 0).then_some(Plan { beat, plate: None, frames: runs, join: None }));
        }
        for id in seen {
            let before = plan.last().and_then(|last| last.plate);
            let join = model.joins.iter().find(|(_, join)| Some(join.from) == before && join.to == id);
            plan.push(Plan {
                beat,
                plate: Some(id),
                frames: frames(model, index.plate(id).in_picture.0),
                join: join.map(|(id, _)| id),
            });
        }
    }
    plan
}

fn overlap(model: &Model, piece: &Plan) -> Option<Overlap> {
    let join = &model.joins[piece.join?];
    let takes = model.plates[join.from].beat == model.plates[join.to].beat;
    Some(Overlap { frames: frames(model, model.seconds(join.overlap).0), takes })
}

fn item(index: &Index<'_>, piece: &Plan, cut: cut::Piece, at: u64, reels: &mut Reels) -> Item {
    let model = index.model;
    let beat = &model.beats[piece.beat].named;
    let named = piece.plate.map_or(beat, |id| &index.plate(id).named);
    let before = cut.overlap.map_or(0, |parted| parted.before);
    let there = piece.plate.filter(|id| unplanned(index, *id).is_empty());
    Item {
        path: named.path.clone(),
        title: named.label().to_owned(),
        beat: beat.label().to_owned(),
        at,
        frames: cut.frames,
        source: there.map(|id| {
            let source = source::source(index, id, cut.frames, before);
            UsedTake { reel: reels.give(&source.plate), ..source }
        }),
        join: piece.join.zip(cut.overlap).map(|(id, parted)| Blend {
            kind: model.joins[id].kind.word().to_owned(),
            title: index.join_title(id),
            card: index.join_link(id),
            before: parted.before,
            behind: parted.behind,
            asked: frames(model, model.seconds(model.joins[id].overlap).0),
        }),
        marks: Vec::new(),
    }
}
