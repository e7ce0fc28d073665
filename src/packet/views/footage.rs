//! What is written down on the day and brought in that night: log sheets and
//! the ingest list.

use super::plate_facts::rate;
use super::shape::{Fact, Link, fact};
use crate::model::{PlateId, PlateKind, Steadying};
use crate::order::PlannedDay;
use crate::packet::exchange::csv::Table;
use crate::packet::index::{Index, long_date};
use crate::quantity::{Data, Share, show};
use schemars::JsonSchema;
use serde::Serialize;

/// The log sheet of one day.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct DayLog {
    /// Name of the document without ending.
    pub file: String,
    /// Number of the day, from 1.
    pub day: usize,
    /// `Friday 14 May 2027`.
    pub date: String,
    /// The day's plates in shooting order.
    pub plates: Vec<Logged>,
}

/// The lines for one plate.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Logged {
    /// `leap.swoop`.
    pub path: String,
    /// The card.
    pub plate: Link,
    /// What was planned, to compare with: mode, height, tilt, heading.
    pub planned: Vec<Fact>,
    /// Numbers of the takes: one line each.
    pub takes: Vec<u32>,
    /// Whether it is measured or photographed rather than recorded.
    pub reference: bool,
}

/// Lines on paper for one plate; more takes go on the spare lines.
const MOST_LINES: u32 = 20;

/// The log sheet of one day.
pub(crate) fn log(index: &Index<'_>, at: usize, day: &PlannedDay) -> DayLog {
    let plates = super::kit::shot(day)
        .into_iter()
        .map(|id| {
            let plate = index.plate(id);
            Logged {
                path: plate.named.path.clone(),
                plate: index.plate_link(id),
                planned: measured(index, id),
                takes: (1..=plate.takes.clamp(1, MOST_LINES)).collect(),
                reference: !plate.kind.is_footage(),
            }
        })
        .collect();
    DayLog { file: format!("log-{}", at + 1), day: at + 1, date: long_date(day.date), plates }
}

/// What is measured on location, as planned: the desk's numbers until the log says better.
pub(crate) fn measured(index: &Index<'_>, id: PlateId) -> Vec<Fact> {
    let plate = index.plate(id);
    let mark = plate
        .mark
        .or(plate.enters.as_ref().map(|at| at.mark))
        .or(plate.leaves.as_ref().map(|at| at.mark))
        .map(|mark| &index.model.marks[mark]);
    let rig = &index.model.rigs[plate.rig];
    let height = plate
        .height
        .map(|height| height.value)
        .or(mark.and_then(|mark| mark.height).map(|height| height.value))
        .or(rig.height);
    let heading = plate.heading.or(mark.and_then(|mark| mark.heading)).map(|angle| angle.value);
    let tilt = plate.tilt.or(mark.and_then(|mark| mark.tilt)).map(|angle| angle.value);
    let near = plate.near.or(mark.and_then(|mark| mark.near)).map(|near| near.value);
    let mut facts = vec![fact("mode", index.model.modes[plate.mode].named.path.clone())];
    facts.extend(height.map(|height| fact("lens height", height.to_string())));
    facts.extend(heading.map(|angle| fact("heading", super::plate_facts::heading(angle.0))));
    facts.extend(tilt.map(|angle| fact("tilt", super::plate_facts::tilt_text(angle.0))));
    facts.extend(near.map(|near| fact("nearest thing", near.to_string())));
    facts
}

/// A clip to bring in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Clip {
    /// `leap.swoop`.
    pub path: String,
    /// The card.
    pub plate: Link,
    /// `plate`, `clean plate`, …
    pub kind: String,
    /// When it is shot; empty when not planned.
    pub shot: String,
    /// What to call the files.
    pub name: String,
    /// How many takes to expect.
    pub takes: u32,
    /// Length of a take.
    pub lasts: String,
    /// Length in frames at the capture rate; 0 for what is no footage.
    pub frames: u64,
    /// Camera and mode.
    pub mode: String,
    /// Size and rate.
    pub frame: String,
    /// The steadying mode it needs.
    pub steadying: String,
    /// How much of the picture is left after steadying and reframing.
    pub crop: String,
    /// Expected data of all takes; empty when the stream is not known.
    pub data: String,
    /// Who brings it in and by when; empty when not planned.
    pub by: String,
}

/// The ingest list, in order of shooting; what is not planned comes last.
pub(crate) fn clips(index: &Index<'_>) -> Vec<Clip> {
    let mut ids: Vec<PlateId> = index.input.breakdown.plates.ids().collect();
    ids.sort_by_key(|id| (index.day_of(*id).is_none(), index.day_of(*id).map(|slot| slot.2), *id));
    ids.into_iter().map(|id| clip(index, id)).collect()
}

fn clip(index: &Index<'_>, id: PlateId) -> Clip {
    let plate = index.plate(id);
    let mode = &index.model.modes[plate.mode];
    let footage = plate.kind.is_footage();
    let seconds = plate.lasts.value.0 * f64::from(plate.takes);
    let ingest = index.using(id).iter().find(|pass| index.input.breakdown.passes[**pass].stage == "ingest");
    let by = ingest
        .and_then(|pass| index.assigned(*pass))
        .map(|work| format!("{}, {}", index.model.desks[work.desk].named.label(), index.moment(work.end)))
        .unwrap_or_default();
    Clip {
        path: plate.named.path.clone(),
        plate: index.plate_link(id),
        kind: plate.kind.word().to_owned(),
        shot: shot(index, id),
        name: clip_name(index, id),
        takes: plate.takes,
        lasts: plate.lasts.value.to_string(),
        frames: clip_frames(index, id),
        mode: mode.named.path.clone(),
        frame: format!("{} × {} at {}", mode.frame.width, mode.frame.height, rate(mode.rate)),
        steadying: steadying(mode.steadying).to_owned(),
        crop: crop(mode.kept, plate.reframe),
        data: mode
            .stream
            .filter(|_| footage)
            .map(|stream| Data(stream.0 / 8.0 * seconds).to_string())
            .unwrap_or_default(),
        by,
    }
}

/// What to call the first file of a plate or reference.
pub(crate) fn clip_name(index: &Index<'_>, id: PlateId) -> String {
    let kind = index.plate(id).kind;
    let stem = index.plate_file(id).replace("plates/", "").replace('-', "_");
    let suffix = suffix(kind);
    let number = if kind.is_footage() { "t01" } else { "01" };
    // What a recipe owes is often called by its kind already.
    if stem.ends_with(&format!("_{suffix}")) || stem.ends_with(&format!("_{suffix}_ref")) {
        format!("{stem}_{number}")
    } else {
        format!("{stem}_{suffix}_{number}")
    }
}

/// Frames of one take at the capture rate; 0 for what is no footage.
pub(crate) fn clip_frames(index: &Index<'_>, id: PlateId) -> u64 {
    let plate = index.plate(id);
    if !plate.kind.is_footage() {
        return 0;
    }
    (plate.lasts.value.0 * index.model.modes[plate.mode].rate.per_second()).round().max(0.0) as u64
}

/// `day 1, Fri 14 May`; empty when not planned.
pub(crate) fn shot(index: &Index<'_>, id: PlateId) -> String {
    index.shot_on(id)
}

/// A short ending for the kind of a clip (common practice: plate, clean plate, element).
fn suffix(kind: PlateKind) -> &'static str {
    match kind {
        PlateKind::Picture => "pl",
        PlateKind::Clean => "cp",
        PlateKind::Patch => "pa",
        PlateKind::Element => "el",
        PlateKind::Still => "still",
        PlateKind::LightReference => "light",
        PlateKind::LensReference => "lens",
        PlateKind::Survey => "survey",
    }
}

/// Whether the camera steadied the picture, for whoever brings it in.
fn steadying(steadying: Steadying) -> &'static str {
    match steadying {
        Steadying::Level => "level, in the camera",
        Steadying::Free => "in the camera, roll kept",
        Steadying::Off => "none",
    }
}

fn crop(kept: Share, reframe: Share) -> String {
    let whole = kept.0 >= 1.0 - 1e-9;
    let mut text = if whole { "whole width".to_owned() } else { format!("{kept} of the width kept") };
    if reframe.0 > 1.0 + 1e-9 {
        text.push_str(&format!("; then enlarged to {reframe}"));
    }
    text
}

/// The ingest list as a table.
pub(crate) fn clip_table(clips: &[Clip]) -> Table {
    let rows = clips
        .iter()
        .map(|clip| {
            vec![
                clip.path.clone(),
                clip.plate.text.clone(),
                clip.kind.clone(),
                clip.shot.clone(),
                clip.name.clone(),
                clip.takes.to_string(),
                clip.lasts.clone(),
                clip.frames.to_string(),
                clip.mode.clone(),
                clip.frame.clone(),
                clip.steadying.clone(),
                clip.crop.clone(),
                clip.data.clone(),
                clip.by.clone(),
            ]
        })
        .collect();
    Table {
        header: vec![
            "plate",
            "title",
            "kind",
            "shot",
            "name",
            "takes",
            "take length",
            "frames",
            "mode",
            "frame",
            "steadying",
            "crop",
            "data",
            "brought in by",
        ],
        rows,
    }
}

/// Lines of logs that could not be used: `one.mug: take 1 "C9" (the sequence holds no such plate; logs/a.seam:4)`.
pub(crate) fn aside(index: &Index<'_>) -> Vec<String> {
    let aside = index.model.record.aside.iter();
    aside.map(|one| format!("{} ({}; {})", one.text, one.why, index.at(one.span))).collect()
}

/// Total recording of all footage, for the head of the list.
pub(crate) fn totals(index: &Index<'_>) -> String {
    let plates = || index.input.breakdown.plates.values().filter(|plate| plate.kind.is_footage());
    let seconds: f64 = plates().map(|plate| plate.lasts.value.0 * f64::from(plate.takes)).sum();
    let bytes: f64 = plates()
        .filter_map(|plate| {
            let stream = index.model.modes[plate.mode].stream?;
            Some(stream.0 / 8.0 * plate.lasts.value.0 * f64::from(plate.takes))
        })
        .sum();
    format!(
        "{} clips to record, {} min in all takes, about {}",
        plates().count(),
        show::number(seconds / 60.0, 0),
        Data(bytes)
    )
}
