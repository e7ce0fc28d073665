//! The picture in story order, for whoever works on the whole of it: the cut, what
//! is heard, which light each piece was shot in.

use crate::craft::timecode::Timebase;
use crate::packet::index::{Index, light};
use crate::packet::views::assembly::{Assembly, Blend, Item, MarkKind, UsedTake, timebase};
use crate::packet::views::plate_facts::{mode_name, rate};
use crate::packet::views::shape::Link;
use crate::quantity::{Seconds, Share, show};
use crate::recipe::{Owner, PassId};
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeSet;

/// A piece of the cut.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct CutRow {
    /// Record timecode at which it starts.
    pub at: String,
    /// Its length: `6 s, 150 frames`.
    pub length: String,
    /// The beat's title.
    pub beat: String,
    /// The card; without one where footage is owed.
    pub clip: Link,
    /// What the file is called; empty where it is owed.
    pub file: String,
    /// Which part of the take: `from frame 12, 240 of 500 frames`.
    pub part: String,
    /// How fast it plays; empty where as captured.
    pub speed: String,
    /// How it is joined to the piece before; empty for a plain cut.
    pub join: String,
    /// Why it is owed; empty where it is not.
    pub owed: String,
}

/// What is heard with a piece of the picture.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Heard {
    /// Record timecode at which the piece starts.
    pub at: String,
    /// Its length.
    pub length: String,
    /// The beat's title.
    pub beat: String,
    /// What happens; empty where not said, or said with the piece before.
    pub story: String,
    /// What is seen.
    pub clip: Link,
    /// The file that has sound of its own; empty where none was recorded.
    pub recorded: String,
    /// How fast it plays; empty where as captured.
    pub speed: String,
    /// What should be heard, in order.
    pub cues: Vec<String>,
}

/// The light of a piece.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Graded {
    /// Record timecode at which it starts.
    pub at: String,
    /// The card.
    pub clip: Link,
    /// The light that was written, and as logged.
    pub light: String,
    /// When it is or was shot.
    pub shot: String,
    /// Mode, shutter and size.
    pub camera: String,
    /// How it is joined to the piece before; empty for a plain cut.
    pub join: String,
}

/// A part of the whole that somebody works on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Part {
    Cut,
    Sound,
    Grade,
}

/// What of the whole the passes work on, by the recipes that close every sequence.
pub(super) fn parts(index: &Index<'_>, work: &[PassId]) -> BTreeSet<Part> {
    let passes = work.iter().map(|id| &index.input.breakdown.passes[*id]);
    let whole = passes.filter(|pass| pass.owner == Owner::Sequence);
    whole
        .filter_map(|pass| match pass.path.split('.').next() {
            Some("assembly") => Some(Part::Cut),
            Some("sound") => Some(Part::Sound),
            Some("grade") => Some(Part::Grade),
            _ => None,
        })
        .collect()
}

struct Clock {
    base: Option<Timebase>,
    start: u64,
    rate: f64,
}

impl Clock {
    fn new(index: &Index<'_>, assembly: &Assembly) -> Self {
        let rate = index.model.sequence.rate;
        Self { base: timebase(rate), start: assembly.start_frame, rate: rate.per_second() }
    }

    /// `01:00:06:00`; the frame where timecode does not count.
    fn at(&self, frame: u64) -> String {
        self.base.map_or_else(|| format!("frame {frame}"), |base| base.label(self.start + frame).to_string())
    }

    fn length(&self, frames: u64) -> String {
        format!("{}, {frames} frames", Seconds(frames as f64 / self.rate))
    }
}

fn clip(item: &Item) -> Link {
    item.source
        .as_ref()
        .map_or_else(|| Link { text: item.title.clone(), file: String::new() }, |source| source.card.clone())
}

fn speed(source: Option<&UsedTake>) -> String {
    let Some(source) = source.filter(|source| source.is_retimed()) else { return String::new() };
    let share = |hundredths: i64| Share(hundredths.unsigned_abs() as f64 / 10_000.0).to_string();
    let backwards = if source.speed < 0 { ", backwards" } else { "" };
    match source.curve.as_slice() {
        [] => format!("{}{backwards}", share(source.speed)),
        curve => {
            let points: Vec<String> =
                curve.iter().map(|step| format!("{} at {}", share(step.speed), share(step.at))).collect();
            format!("a curve: {}; mean {}{backwards}", points.join(", "), share(source.speed))
        }
    }
}

fn join(blend: Option<&Blend>) -> String {
    let Some(blend) = blend else { return String::new() };
    let short = if blend.before + blend.behind < blend.asked {
        format!(" ({} were written)", blend.asked)
    } else {
        String::new()
    };
    format!("{}, {} frames before the cut and {} behind{short}", blend.kind, blend.before, blend.behind)
}

/// The cut as the editor assembles it.
pub(super) fn cut(index: &Index<'_>, assembly: &Assembly) -> Vec<CutRow> {
    let clock = Clock::new(index, assembly);
    let rows = assembly.items.iter().map(|item| {
        let source = item.source.as_ref();
        let owed = item.marks.iter().find(|mark| mark.kind == MarkKind::Owed);
        CutRow {
            at: clock.at(item.at),
            length: clock.length(item.frames),
            beat: item.beat.clone(),
            clip: clip(item),
            file: source.map(|source| source.name.clone()).unwrap_or_default(),
            part: source
                .map(|source| format!("from frame {}, {} of {}", source.start, source.frames, source.take))
                .unwrap_or_default(),
            speed: speed(source),
            join: join(item.join.as_ref()),
            owed: owed.map(|mark| mark.says.clone()).unwrap_or_default(),
        }
    });
    rows.collect()
}

/// What is heard, piece by piece.
pub(super) fn heard(index: &Index<'_>, assembly: &Assembly) -> Vec<Heard> {
    let clock = Clock::new(index, assembly);
    let plates = &index.input.breakdown.plates;
    let rows = assembly.items.iter().map(|item| {
        let sounds =
            |source: &&UsedTake| plates.values().any(|plate| plate.named.path == source.plate && plate.sound);
        let cues = item.marks.iter().filter(|mark| mark.kind == MarkKind::Sound);
        let cues = cues.map(|mark| {
            let text = mark.title.trim_start_matches("Sound: ");
            if mark.says.is_empty() { text.to_owned() } else { format!("{text} ({})", mark.says) }
        });
        let story = item.marks.iter().find(|mark| mark.kind == MarkKind::Beat);
        Heard {
            at: clock.at(item.at),
            length: clock.length(item.frames),
            beat: item.beat.clone(),
            story: story.map(|mark| mark.says.clone()).unwrap_or_default(),
            clip: clip(item),
            recorded: item
                .source
                .as_ref()
                .filter(sounds)
                .map(|source| source.name.clone())
                .unwrap_or_default(),
            speed: speed(item.source.as_ref()),
            cues: cues.collect(),
        }
    });
    rows.collect()
}

/// The light of each piece, for whoever makes them match.
pub(super) fn graded(index: &Index<'_>, assembly: &Assembly) -> Vec<Graded> {
    let clock = Clock::new(index, assembly);
    let ids: Vec<_> = index.input.breakdown.plates.iter().collect();
    let rows = assembly.items.iter().filter_map(|item| {
        let source = item.source.as_ref()?;
        let (id, plate) = ids.iter().find(|(_, plate)| plate.named.path == source.plate)?;
        let mode = &index.model.modes[plate.mode];
        let logged = index.captured(*id).and_then(|capture| capture.light.as_ref());
        let written = light(plate.light);
        let start = index.day_of(*id).map(|(_, day, start, _)| index.clock_on(start, day.date));
        let start = start.map(|start| format!(", about {start}")).unwrap_or_default();
        Some(Graded {
            at: clock.at(item.at),
            clip: source.card.clone(),
            light: logged.map_or(written.clone(), |was| format!("{was} (written: {written})")),
            shot: format!("{}{start}", source.shot),
            camera: format!(
                "{}, {}, {} × {} at {}",
                mode_name(&mode.named),
                show::exposure(mode.shutter.value),
                mode.frame.width,
                mode.frame.height,
                rate(mode.rate)
            ),
            join: join(item.join.as_ref()),
        })
    });
    rows.collect()
}
