//! What is written down on the day and brought in that night: log sheets and
//! the ingest list.

use super::plate_facts::rate;
use super::shape::{Fact, Link, count, fact};
use crate::model::{PlateId, PlateKind, Steadying, Worth};
use crate::order::PlannedDay;
use crate::packet::exchange::csv::Table;
use crate::packet::index::{Index, long_date, short_date};
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
pub(crate) fn log(index: &Index<'_>, day: &PlannedDay) -> DayLog {
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
    DayLog { file: format!("log-{}", day.number), day: day.number, date: long_date(day.date), plates }
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
    /// When it is shot, or was, with the take to use and its clip; empty when not planned.
    pub shot: String,
    /// Other clips that the log names, each with what it is worth; empty where there are none.
    pub others: Vec<String>,
    /// What to call the files.
    pub name: String,
    /// How many takes to expect, or were logged.
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

/// The ingest list: what is captured, then what is planned, each in order of shooting;
/// what is not planned comes last.
pub(crate) fn clips(index: &Index<'_>) -> Vec<Clip> {
    let mut ids: Vec<PlateId> = index.input.breakdown.plates.ids().collect();
    ids.sort_by_cached_key(|id| {
        let captured = index.captured(*id).map(|capture| {
            let first = capture.takes.iter().filter_map(|take| take.at).min();
            (capture.date, first.is_none(), first)
        });
        let planned = index.day_of(*id).map(|slot| slot.2);
        (captured.is_none(), captured, planned.is_none(), planned, *id)
    });
    ids.into_iter().map(|id| clip(index, id)).collect()
}

/// When a plate is shot, for whoever brings it in: `captured Fri 14 May, take 2: C0002`.
fn brought(index: &Index<'_>, id: PlateId) -> String {
    let mut text = index.shot_on(id);
    if let Some(take) = index.captured(id).and_then(|capture| capture.best()) {
        text.push_str(&format!(", take {}: {}", take.number, take.clip));
    }
    text
}

/// Logged clips besides the one to use: `take 1: C0001, spoiled, "gust"`.
fn other_takes(index: &Index<'_>, id: PlateId) -> Vec<String> {
    let Some(capture) = index.model.record.plates.get(&id) else { return Vec::new() };
    let captured = index.captured(id).is_some();
    let used = capture.best().filter(|_| captured);
    let others = capture.takes.iter().filter(|take| Some(*take) != used);
    others
        .map(|take| {
            let day = if captured && take.date == capture.date {
                String::new()
            } else {
                format!("{}, ", short_date(take.date))
            };
            let worth =
                if captured || take.worth == Worth::Spoiled { take.worth.word() } else { "shot again" };
            let remark = take.remark.as_ref().map(|remark| format!(", “{remark}”")).unwrap_or_default();
            format!("{day}take {}: {}, {worth}{remark}", take.number, take.clip)
        })
        .collect()
}

fn clip(index: &Index<'_>, id: PlateId) -> Clip {
    let plate = index.plate(id);
    let mode = &index.model.modes[plate.mode];
    let footage = plate.kind.is_footage();
    let logged = index.captured(id).map(|capture| capture.takes.len() as u32).filter(|takes| *takes > 0);
    let takes = logged.unwrap_or(plate.takes);
    let seconds = plate.lasts.value.0 * f64::from(takes);
    let ingest = index.using(id).iter().find(|pass| index.input.breakdown.passes[**pass].stage == "ingest");
    let by = ingest
        .and_then(|pass| index.assigned(*pass))
        .map(|work| format!("{}, {}", index.model.desks[work.desk].named.label(), index.moment(work.end)))
        .unwrap_or_default();
    Clip {
        path: plate.named.path.clone(),
        plate: index.plate_link(id),
        kind: plate.kind.word().to_owned(),
        shot: brought(index, id),
        others: other_takes(index, id),
        name: clip_name(index, id),
        takes,
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
                clip.others.join("; "),
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
            "other takes",
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

/// What is left to record, and how much is captured, for the head of the list.
pub(crate) fn totals(index: &Index<'_>) -> String {
    let all = index.input.breakdown.plates.iter();
    let footage: Vec<_> = all.filter(|(_, plate)| plate.kind.is_footage()).collect();
    let left: Vec<_> = footage.iter().filter(|(id, _)| index.captured(*id).is_none()).collect();
    let captured = footage.len() - left.len();
    if left.is_empty() && captured > 0 {
        return format!("Everything is captured: {}", count(captured, "clip", "clips"));
    }
    let plates = || left.iter().map(|(_, plate)| *plate);
    let seconds: f64 = plates().map(|plate| plate.lasts.value.0 * f64::from(plate.takes)).sum();
    let bytes: f64 = plates()
        .filter_map(|plate| {
            let stream = index.model.modes[plate.mode].stream?;
            Some(stream.0 / 8.0 * plate.lasts.value.0 * f64::from(plate.takes))
        })
        .sum();
    let before =
        if captured > 0 { format!("{} captured; ", count(captured, "clip", "clips")) } else { String::new() };
    format!(
        "{before}{} to record, {} min in all takes, about {}",
        count(left.len(), "clip", "clips"),
        show::number(seconds / 60.0, 0),
        Data(bytes)
    )
}
