//! A beat on the cover: its plates and what is captured besides, its effects, its joins.

use super::plate_facts::seen;
use super::shape::{Link, Told};
use crate::model::{BeatId, JoinId, Named, Origin, PlateId, PlateKind};
use crate::packet::index::Index;
use crate::quantity::Hours;
use crate::recipe::Owner;
use crate::rule::About;
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeMap;

/// A beat.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct BeatView {
    /// Title, or path.
    pub title: String,
    /// What happens; empty where not said.
    pub story: String,
    /// Length in the picture; empty where not said.
    pub runs: String,
    /// Its picture plates in order, with the joins between.
    pub plates: Vec<PlateLine>,
    /// What is shot besides, for its effects.
    pub besides: Vec<PlateLine>,
    /// Its effects.
    pub effects: Vec<EffectLine>,
    /// What rules computed for it.
    pub set: Vec<Told>,
    /// The writer's notes.
    pub notes: Vec<String>,
}

/// A plate in the sequence's table.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct PlateLine {
    /// Its number in the picture, counted over all beats, from 1.
    pub number: usize,
    /// The card.
    pub plate: Link,
    /// `clean plate`, …
    pub kind: String,
    /// Place and rig.
    pub from: String,
    /// The day, or that it is in no plan.
    pub day: String,
    /// Whether it is in no plan.
    pub unplanned: bool,
    /// Whether a recipe owes it.
    pub owed: bool,
    /// Length in the picture.
    pub length: String,
    /// The effects that use it.
    pub effects: Vec<String>,
    /// The join that follows it.
    pub join: Option<JoinLine>,
}

/// A join in the sequence's table.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct JoinLine {
    /// `stitch`.
    pub kind: String,
    /// The card.
    pub card: Link,
}

/// An effect in the sequence's table.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct EffectLine {
    /// Title, or its name in its beat.
    pub title: String,
    /// How it is made.
    pub method: String,
    /// Hours at the desk.
    pub hours: String,
    /// Suggested sound cues.
    pub cues: Vec<String>,
}

pub(crate) fn beat(index: &Index<'_>, id: BeatId, numbers: &BTreeMap<PlateId, usize>) -> BeatView {
    let beat = &index.model.beats[id];
    let (plates, besides): (Vec<PlateId>, Vec<PlateId>) = index
        .beat_plates(id)
        .iter()
        .copied()
        .partition(|plate| index.plate(*plate).kind == PlateKind::Picture);
    let effects = beat.effects.iter().map(|effect| {
        let owned = index.owned(Owner::Effect(*effect)).iter();
        let hours: f64 = owned.map(|pass| index.input.breakdown.passes[*pass].effort.0).sum();
        let cues = index.input.breakdown.cues.iter().filter(|(_, _, by)| by == effect);
        EffectLine {
            title: short(&index.model.effects[*effect].named),
            method: index.method(*effect),
            hours: Hours(hours).to_string(),
            cues: cues.map(|(_, text, _)| text.clone()).collect(),
        }
    });
    BeatView {
        title: beat.named.label().to_owned(),
        story: beat.story.clone().unwrap_or_default(),
        runs: beat.runs.map(|runs| runs.value.to_string()).unwrap_or_default(),
        plates: plates.iter().map(|plate| plate_line(index, *plate, numbers)).collect(),
        besides: besides.iter().map(|plate| plate_line(index, *plate, numbers)).collect(),
        effects: effects.collect(),
        set: index.told(About::Beat(id)),
        notes: beat.named.notes.clone(),
    }
}

/// What an effect is called below its beat: its title, or its name there.
fn short(effect: &Named) -> String {
    effect.title.clone().unwrap_or_else(|| effect.name().to_owned())
}

fn plate_line(index: &Index<'_>, id: PlateId, numbers: &BTreeMap<PlateId, usize>) -> PlateLine {
    let plate = index.plate(id);
    let mut effects: Vec<String> = Vec::new();
    for role in index.roles(id) {
        let title = short(&index.model.effects[role.effect].named);
        if !effects.contains(&title) {
            effects.push(title);
        }
    }
    PlateLine {
        number: numbers.get(&id).copied().unwrap_or_default(),
        plate: index.plate_link(id),
        kind: plate.kind.word().to_owned(),
        from: format!(
            "{}, {}",
            index.model.places[plate.place].named.label(),
            index.model.rigs[plate.rig].named.label()
        ),
        day: if index.there(id) { index.shot_on(id) } else { "in no plan".to_owned() },
        unplanned: !index.there(id),
        owed: plate.origin != Origin::Written,
        length: if plate.kind == PlateKind::Picture { seen(plate) } else { String::new() },
        effects,
        join: index.joins(id).iter().copied().find(|join| index.model.joins[*join].from == id).map(|join| {
            JoinLine { kind: index.model.joins[join].kind.word().to_owned(), card: join_card(index, join) }
        }),
    }
}

fn join_card(index: &Index<'_>, id: JoinId) -> Link {
    let to = index.model.joins[id].to;
    Link { text: format!("to {}", index.plate(to).named.label()), file: index.join_file(id) }
}
