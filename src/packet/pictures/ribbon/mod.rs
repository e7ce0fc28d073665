//! The sequence ribbon: what is seen in story order, what is captured in shooting order,
//! which piece becomes which, joins as arcs on both sides, effects marked.
//!
//! In: model, breakdown, plan. Out: [`Ribbon`], ready to be drawn. Where a sequence has
//! more pieces than can be told apart on a page, beats stand for their pieces, and what a
//! day shoots of one beat on end is one bead.

mod across;
mod down;

use super::Picture;
#[cfg(test)]
use super::draw::Canvas;
use crate::model::{PlateId, PlateKind};
use crate::packet::index::{Index, short_date};
use crate::packet::views::cover::numbers;
use crate::packet::views::shape::count;
use std::collections::{BTreeMap, BTreeSet};

/// More pieces than these are shown as beats.
const MOST: usize = 40;

/// A piece of the story, or something else that is captured for it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Piece {
    /// Its number in the tables.
    pub(super) number: usize,
    pub(super) title: String,
    /// Length in the picture; 0 for what is not seen by itself.
    pub(super) seconds: f64,
    /// Effects that use it.
    pub(super) effects: usize,
}

/// A beat.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Beat {
    pub(super) number: usize,
    pub(super) title: String,
    /// What is seen, in order.
    pub(super) pieces: Vec<Piece>,
    /// What else is captured.
    pub(super) besides: Vec<Piece>,
}

/// Something captured, by its number.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Bead {
    pub(super) number: usize,
    /// Whether it is a piece of the picture.
    pub(super) seen: bool,
    /// `06:42`; empty where not known.
    pub(super) clock: String,
}

/// What is captured on end.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Strand {
    pub(super) title: String,
    /// Whether it is planned, or was captured.
    pub(super) planned: bool,
    pub(super) beads: Vec<Bead>,
}

/// Everything that is drawn.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Ribbon {
    pub(super) beats: Vec<Beat>,
    pub(super) strands: Vec<Strand>,
    /// Joins between numbers, and whether both are captured on the same day.
    pub(super) joins: Vec<(usize, usize, bool)>,
    pub(super) desc: String,
}

/// The picture of the sequence; nothing where there is nothing to see.
pub(crate) fn picture(index: &Index<'_>) -> Option<Picture> {
    let ribbon = gather(index)?;
    Some(Picture { wide: across::draw(&ribbon).finish(), narrow: Some(down::draw(&ribbon).finish()) })
}

/// Both variants.
#[cfg(test)]
pub(super) fn drawings(ribbon: &Ribbon) -> [Canvas; 2] {
    [across::draw(ribbon), down::draw(ribbon)]
}

/// Gathers what is drawn.
pub(crate) fn gather(index: &Index<'_>) -> Option<Ribbon> {
    let numbers = numbers(index);
    let number = |plate: &PlateId| numbers.get(plate).copied().unwrap_or_default();
    let piece = |id: &PlateId| {
        let plate = index.plate(*id);
        let effects: BTreeSet<_> = index.roles(*id).iter().map(|role| role.effect).collect();
        Piece {
            number: number(id),
            title: plate.named.label().to_owned(),
            seconds: plate.in_picture.0,
            effects: effects.len(),
        }
    };
    let mut beats = Vec::new();
    for (at, id) in index.model.beats.ids().enumerate() {
        let (seen, besides): (Vec<PlateId>, Vec<PlateId>) =
            index.beat_plates(id).iter().partition(|plate| index.plate(**plate).kind == PlateKind::Picture);
        beats.push(Beat {
            number: at + 1,
            title: index.model.beats[id].named.label().to_owned(),
            pieces: seen.iter().map(piece).collect(),
            besides: besides.iter().map(piece).collect(),
        });
    }
    let bead = |id: &PlateId, clock: String| Bead {
        number: number(id),
        seen: index.plate(*id).kind == PlateKind::Picture,
        clock,
    };
    let mut strands: Vec<Strand> = Vec::new();
    let captured = index.model.record.taken.iter().map(|id| bead(id, String::new())).collect();
    strands.push(Strand { title: "captured".to_owned(), planned: true, beads: captured });
    for (at, day) in index.days().iter().enumerate() {
        let shot = crate::packet::views::kit::shot(day);
        let clock =
            |id: &PlateId| index.day_of(*id).map(|(_, day, start, _)| index.clock_on(start, day.date));
        strands.push(Strand {
            title: format!("day {}, {}", at + 1, short_date(day.date)),
            planned: true,
            beads: shot.iter().map(|id| bead(id, clock(id).unwrap_or_default())).collect(),
        });
    }
    let left = index.input.breakdown.plates.ids().filter(|id| !index.there(*id));
    let beads = left.map(|id| bead(&id, String::new())).collect();
    strands.push(Strand { title: "in no plan".to_owned(), planned: false, beads });
    strands.retain(|string| !string.beads.is_empty());
    let day = |id: PlateId| index.day_of(id).map(|(day, ..)| day);
    let joins = index.model.joins.values();
    let joins = joins.map(|join| (number(&join.from), number(&join.to), day(join.from) == day(join.to)));
    let ribbon = Ribbon { beats, strands, joins: joins.collect(), desc: desc(index) };
    let pieces: usize = ribbon.beats.iter().map(|beat| beat.pieces.len()).sum();
    let ribbon = if pieces > MOST { by_beat(ribbon) } else { ribbon };
    let pieces: usize = ribbon.beats.iter().map(|beat| beat.pieces.len()).sum();
    (0 < pieces && pieces <= MOST).then_some(ribbon)
}

fn desc(index: &Index<'_>) -> String {
    let (model, plates) = (index.model, &index.input.breakdown.plates);
    let seen = plates.values().filter(|plate| plate.kind == PlateKind::Picture).count();
    format!(
        "{} of {} in story order, and {} to capture in shooting order over {}; {} as arcs. The tables of the \
         sequence on this page say the same, under the same numbers.",
        count(seen, "piece", "pieces"),
        count(model.beats.len(), "beat", "beats"),
        count(plates.len(), "plate and reference", "plates and references"),
        count(index.days().len(), "day", "days"),
        count(model.joins.len(), "join", "joins"),
    )
}

/// Beats in place of their pieces.
fn by_beat(ribbon: Ribbon) -> Ribbon {
    let mut beat_of: BTreeMap<usize, usize> = BTreeMap::new();
    for beat in &ribbon.beats {
        beat_of.extend(beat.pieces.iter().chain(&beat.besides).map(|piece| (piece.number, beat.number)));
    }
    let of = |number: usize| beat_of.get(&number).copied().unwrap_or_default();
    let beats = ribbon.beats.iter().map(|beat| {
        let whole = Piece {
            number: beat.number,
            title: beat.title.clone(),
            seconds: beat.pieces.iter().map(|piece| piece.seconds).sum(),
            effects: beat.pieces.iter().map(|piece| piece.effects).max().unwrap_or_default(),
        };
        Beat { pieces: vec![whole], besides: Vec::new(), title: String::new(), ..*beat }
    });
    let beats = beats.collect();
    let strands = ribbon.strands.into_iter().map(|string| {
        let mut beads: Vec<Bead> = Vec::new();
        for bead in string.beads {
            let number = of(bead.number);
            if beads.last().is_none_or(|last| last.number != number) {
                beads.push(Bead { number, seen: true, ..bead });
            }
        }
        Strand { beads, ..string }
    });
    let strands = strands.collect();
    let joins = ribbon.joins.iter().map(|(from, to, same)| (of(*from), of(*to), *same));
    let joins = joins.filter(|(from, to, _)| from != to).collect();
    Ribbon { beats, strands, joins, desc: ribbon.desc }
}
