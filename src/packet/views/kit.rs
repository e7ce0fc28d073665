//! What to pack for a day, from what the day's plates need.

use super::shape::count;
use crate::model::{CameraId, PlateId, PlateKind, RigId, StateOf};
use crate::order::{PlannedDay, StepKind};
use crate::packet::index::Index;
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// Things of one kind.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct KitGroup {
    /// What kind.
    pub title: String,
    /// Each a line to tick.
    pub items: Vec<String>,
}

/// Always with you (common practice).
const ALWAYS: &[&str] = &[
    "this packet on every phone, and the cards on paper",
    "first-aid kit, water, head lamps",
    "tape measure, phone with level and compass, marking tape, chalk",
    "slate or a card with plate and take on it",
    "clamps, spare mounts, safety tethers, screwdriver",
    "charger, power bank, cables, card reader, two drives",
    "lens cloths, towels, bags that keep out rain",
];

/// The plates shot on a day, in order.
pub(crate) fn shot(day: &PlannedDay) -> Vec<PlateId> {
    day.steps
        .iter()
        .filter_map(|step| match step.kind {
            StepKind::Shoot(plate) => Some(plate),
            _ => None,
        })
        .collect()
}

/// The rigs of a day, each once.
pub(crate) fn rigs(index: &Index<'_>, day: &PlannedDay) -> BTreeSet<RigId> {
    shot(day).into_iter().map(|plate| index.plate(plate).rig).collect()
}

/// What to pack. `cover` are plates that are shot only when the weather fails: what they
/// need besides comes along too, as a group of its own.
pub(crate) fn pack(index: &Index<'_>, day: &PlannedDay, cover: &[PlateId]) -> Vec<KitGroup> {
    let plates = shot(day);
    let group = |title: &str, items: Vec<String>| KitGroup { title: title.to_owned(), items };
    let rigs = |plates: &[PlateId]| -> Vec<String> {
        let ids: BTreeSet<RigId> = plates.iter().map(|plate| index.plate(*plate).rig).collect();
        ids.into_iter().map(|id| rig(index, id)).collect()
    };
    let needed = |plates: &[PlateId]| {
        [rigs(plates), screens(index, plates), states(index, plates), references(index, plates)]
    };
    let [stand, hang, shown, laid] = needed(&plates);
    let known: Vec<&String> = stand.iter().chain(&hang).chain(&shown).chain(&laid).collect();
    let besides = needed(cover).into_iter().flatten().filter(|item| !known.contains(&item)).collect();
    let mut groups = vec![
        // The same cameras do for both; each mode is tried beforehand.
        group("Cameras", cameras(index, &[plates.as_slice(), cover].concat())),
        group("Rigs", stand.clone()),
        group("Screens", hang.clone()),
        group("Looks and props", shown.clone()),
        group("References", laid.clone()),
        group("For the cover as well, should the weather fail", besides),
        group("Always", ALWAYS.iter().map(|item| (*item).to_owned()).collect()),
    ];
    groups.retain(|group| !group.items.is_empty());
    groups
}

fn cameras(index: &Index<'_>, plates: &[PlateId]) -> Vec<String> {
    let mut modes: BTreeMap<CameraId, BTreeSet<&str>> = BTreeMap::new();
    for plate in plates {
        let mode = &index.model.modes[index.plate(*plate).mode];
        modes.entry(mode.camera).or_default().insert(mode.named.name());
    }
    modes
        .into_iter()
        .map(|(id, modes)| {
            let camera = &index.model.cameras[id];
            let bodies = camera.count.max(1);
            let packs = (bodies * camera.packs.max(1)) as usize;
            let cards = (bodies * camera.cards.max(1)) as usize;
            let mut item = format!(
                "{bodies} × {}, {}, {}",
                camera.named.label(),
                count(packs, "battery", "batteries"),
                count(cards, "card", "cards")
            );
            if let Some(size) = camera.card {
                item.push_str(&format!(" of {}", size.value));
            }
            let modes: Vec<&str> = modes.into_iter().collect();
            format!("{item}; set up and tried: {}", modes.join(", "))
        })
        .collect()
}

fn rig(index: &Index<'_>, id: RigId) -> String {
    let rig = &index.model.rigs[id];
    let mut item = rig.named.label().to_owned();
    if rig.flies {
        item.push_str(&format!(
            ", {}, propellers, papers",
            count(rig.packs.max(1) as usize, "pack", "packs")
        ));
    }
    item
}

fn screens(index: &Index<'_>, plates: &[PlateId]) -> Vec<String> {
    let ids: BTreeSet<_> = plates.iter().filter_map(|plate| index.plate(*plate).screen).collect();
    ids.into_iter()
        .map(|id| {
            let screen = &index.model.screens[id];
            format!(
                "{}, {} × {}, stands, weights, two lights",
                screen.named.label(),
                screen.width,
                screen.height
            )
        })
        .collect()
}

/// Each prop and look with the state in which the day first needs it.
fn states(index: &Index<'_>, plates: &[PlateId]) -> Vec<String> {
    let mut first: Vec<(StateOf, &str)> = Vec::new();
    for id in plates {
        let plate = index.plate(*id);
        let shown = plate.shows.iter().map(|(of, state, _)| (*of, state.as_str()));
        let turned = plate.turns.iter().map(|turn| (turn.of, turn.from.as_str()));
        for (of, state) in shown.chain(turned) {
            if !first.iter().any(|(known, _)| *known == of) {
                first.push((of, state));
            }
        }
    }
    first
        .into_iter()
        .map(|(of, state)| {
            let mut item = format!("{}, {state}", index.state_name(of).label());
            if let StateOf::Prop(id) = of {
                let spares = index.model.props[id].spares;
                if spares > 0 {
                    item.push_str(&format!(", and {}", count(spares as usize, "spare", "spares")));
                }
            }
            item
        })
        .collect()
}

fn references(index: &Index<'_>, plates: &[PlateId]) -> Vec<String> {
    let kinds: BTreeSet<PlateKind> = plates.iter().map(|plate| index.plate(*plate).kind).collect();
    kinds
        .into_iter()
        .filter_map(|kind| match kind {
            PlateKind::LightReference => Some("grey ball and mirror ball on a stick"),
            PlateKind::LensReference => Some("flat grid or chessboard, stiff, wide enough to fill the frame"),
            PlateKind::Survey => Some("long tape, notebook, a photo of each measurement"),
            PlateKind::Still => Some("colour and grey card; a ruler to lay into the picture"),
            _ => None,
        })
        .map(str::to_owned)
        .collect()
}
