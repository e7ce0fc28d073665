//! One card for each plate: what the operator sets, what the performer does,
//! what would spoil it.

use super::captured::captured;
use super::shape::{Cautions, Fact, Found, Link, Told};
use super::{care, plate_facts};
use crate::model::{Hold, Origin, Plate, PlateId};
use crate::packet::index::{Index, long_date};
use crate::recipe::Owner;
use crate::rule::About;
use schemars::JsonSchema;
use serde::Serialize;

/// A plate card.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct PlateCard {
    /// Name of the document without ending.
    pub file: String,
    /// `leap.swoop`.
    pub path: String,
    /// Title, or the path.
    pub title: String,
    /// `plate`, `clean plate`, …
    pub kind: String,
    /// Where it comes from, when nobody wrote it.
    pub owed: Option<Owed>,
    /// The beat's title.
    pub beat: String,
    /// What happens in the beat; empty where not said.
    pub story: String,
    /// When it is shot.
    pub slot: Option<Slot>,
    /// What was captured of it, by the logs.
    pub captured: Vec<Fact>,
    /// Why it is not planned; empty when it is.
    pub unplanned: Vec<String>,
    /// What to do, in steps, for what is not an acted plate.
    pub steps: Vec<String>,
    /// Where, on what, how high, which way.
    pub place: Vec<Fact>,
    /// How the camera is set.
    pub camera: Vec<Fact>,
    /// How long, how often, how much of it is used.
    pub takes: Vec<Fact>,
    /// Who and what is in front of the camera.
    pub scene: Vec<Fact>,
    /// Whether the camera may be touched.
    pub hold: HoldView,
    /// Numbers that rules computed for it, to set or watch on location.
    pub set: Vec<Told>,
    /// Numbers that the plan or the desk uses.
    pub also: Vec<Told>,
    /// What effects ask of it: what would spoil it.
    pub demands: Vec<Asked>,
    /// What it is for.
    pub serves: Vec<Link>,
    /// Findings about it.
    pub found: Vec<Found>,
    /// What can hurt someone.
    pub cautions: Cautions,
    /// The writer's notes.
    pub notes: Vec<String>,
}

/// Why a plate exists that nobody wrote.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Owed {
    /// The effect's title.
    pub effect: String,
    /// The recipe's title.
    pub method: String,
    /// The role it fills.
    pub role: String,
    /// `file:line` of the line that caused it.
    pub at: String,
}

/// When a plate is shot.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Slot {
    /// Number of the day, from 1.
    pub day: usize,
    /// `Friday 14 May 2027`.
    pub date: String,
    /// `06:20`.
    pub start: String,
    /// `06:41`.
    pub end: String,
    /// The call sheet.
    pub sheet: Link,
}

/// Whether the camera may be touched.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct HoldView {
    /// Whether it is locked.
    pub locked: bool,
    /// In words.
    pub text: String,
    /// The plates of the locked group, in the order in which they are shot.
    pub group: Vec<Link>,
}

/// Something an effect asks of a plate.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Asked {
    /// What.
    pub text: String,
    /// Who asks: the effect's or join's title.
    pub by: String,
    /// `file:line` of the line that binds the plate.
    pub at: String,
}

/// The card of one plate.
pub(crate) fn card(index: &Index<'_>, id: PlateId) -> PlateCard {
    let plate = index.plate(id);
    let beat = &index.model.beats[plate.beat];
    let told = index.told_all(abouts(index, id)).into_iter();
    let (also, set) = told.partition(|told| told.is_for_planning() || told.is_for_desk());
    PlateCard {
        file: index.plate_file(id),
        path: plate.named.path.clone(),
        title: plate.named.label().to_owned(),
        kind: plate.kind.word().to_owned(),
        owed: owed(index, plate),
        beat: beat.named.label().to_owned(),
        story: beat.story.clone().unwrap_or_default(),
        slot: slot(index, id),
        captured: captured(index, id),
        unplanned: unplanned(index, id),
        steps: plate_facts::steps(plate.kind),
        place: plate_facts::place(index, plate),
        camera: plate_facts::camera(index, plate),
        takes: plate_facts::takes(index, plate),
        scene: plate_facts::scene(index, plate),
        hold: hold(index, id),
        set,
        also,
        demands: asked(index, id),
        serves: serves(index, id),
        found: index.found(About::Plate(id)),
        cautions: care::for_plate(index, id),
        notes: plate.named.notes.clone(),
    }
}

/// Whatever a card must tell: the plate, what it serves, what it is shot with.
fn abouts(index: &Index<'_>, id: PlateId) -> Vec<About> {
    let plate = index.plate(id);
    let mut abouts = vec![About::Plate(id)];
    abouts.extend(index.roles(id).iter().map(|role| About::Effect(role.effect)));
    abouts.extend(plate.mark.map(About::Mark));
    abouts.extend([About::Rig(plate.rig), About::Camera(index.model.modes[plate.mode].camera)]);
    abouts
}

/// When a plate is shot, if it is planned.
pub(crate) fn slot(index: &Index<'_>, id: PlateId) -> Option<Slot> {
    let (day, planned, start, end) = index.day_of(id)?;
    Some(Slot {
        day,
        date: long_date(planned.date),
        start: index.clock_on(start, planned.date),
        end: index.clock_on(end, planned.date),
        sheet: Link { text: format!("Day {day}"), file: format!("call-sheet-{day}") },
    })
}

/// Why a plate is not planned. Nothing is left without a word.
pub(crate) fn unplanned(index: &Index<'_>, id: PlateId) -> Vec<String> {
    if index.there(id) {
        return Vec::new();
    }
    let shoot = &index.input.plan.shoot;
    let reasons: Vec<String> = shoot
        .unplanned
        .iter()
        .filter(|left| left.what == id)
        .flat_map(|left| &left.reasons)
        .map(|reason| super::reason(index, reason))
        .collect();
    if reasons.is_empty() { vec!["no plan of the shoot holds it".to_owned()] } else { reasons }
}

fn owed(index: &Index<'_>, plate: &Plate) -> Option<Owed> {
    let Origin::Owed { effect, role, because } = &plate.origin else { return None };
    Some(Owed {
        effect: index.model.effect_label(*effect),
        method: index.method(*effect),
        role: role.clone(),
        at: index.at(*because),
    })
}

fn hold(index: &Index<'_>, id: PlateId) -> HoldView {
    let locked = index.plate(id).hold.value == Hold::Locked || index.group(id).is_some();
    let group: Vec<Link> = index
        .group(id)
        .map(|group| {
            index.input.breakdown.groups[group].plates.iter().map(|plate| index.plate_link(*plate)).collect()
        })
        .unwrap_or_default();
    let text = match (locked, group.len()) {
        (false, _) => "The camera may move.",
        (true, 0 | 1) => "Locked: nobody touches camera or stand while it is shot.",
        (true, _) => {
            "Locked: nobody touches camera, stand, exposure or focus from the first to the last plate of this \
             group; change batteries and cards before it starts."
        }
    };
    HoldView { locked, text: text.to_owned(), group }
}

pub(crate) fn asked(index: &Index<'_>, id: PlateId) -> Vec<Asked> {
    index
        .demands(id)
        .iter()
        .map(|demand| Asked {
            text: demand.text.clone(),
            by: index.owner_title(demand.by),
            at: index.at(demand.span),
        })
        .collect()
}

/// Effects and joins that a plate serves, each once.
fn serves(index: &Index<'_>, id: PlateId) -> Vec<Link> {
    let mut links: Vec<Link> = Vec::new();
    for role in index.roles(id) {
        let effect = index.model.effect_label(role.effect);
        let text = format!("{effect} ({}), as {}", index.method(role.effect), role.title);
        links.push(Link { text, file: String::new() });
    }
    links.extend(index.joins(id).iter().map(|join| {
        let link = index.join_link(*join);
        Link { text: format!("{}: {}", index.model.joins[*join].kind.word(), link.text), file: link.file }
    }));
    let builds = index.using(id).iter().filter_map(|pass| match index.input.breakdown.passes[*pass].owner {
        Owner::Asset(asset) => Some(index.model.assets[asset].named.label()),
        _ => None,
    });
    links.extend(builds.map(|asset| Link { text: format!("build of {asset}"), file: String::new() }));
    links.dedup();
    links
}
