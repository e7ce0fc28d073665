//! From plates to the plain problem that the search works on.
//!
//! In: the setting, which plates to plan, and on which days each may be. Out:
//! a [`Built`] problem, with the plates of every block. A locked group is one
//! block; short plates that nothing tells apart are one block; all others are
//! blocks of their own, so that a set-up can be split where light, people or
//! order want it.

use super::duration::{
    AROUND_FLIGHT, ARRIVE, FLOWN, KEPT_BACK, MARGIN, PACK, UNSTATED_TRAVEL, minutes, recorded, seconds,
    shooting, turning,
};
use super::rolling::Rolling;
use super::setting::Setting;
use super::shoot::problem::{
    Block, BlockId, CardId, Day, DayId, Draw, Link, Part, Problem, SpotId, Store, StoreId, collected,
};
use super::states::{Timeline, lasting, variables};
use super::units::{Unit, units};
use super::window::day_range;
use crate::model::arena::Id;
use crate::model::{Arena, CameraId, Hold, Plate, PlateId, RigId};
use crate::quantity::Seconds;
use std::collections::{BTreeMap, BTreeSet};

/// Packs of one kind that are told apart; more than these never run out in a day.
const PACKS: usize = 64;
/// The sun's height changes by no more than the Earth turns: 15° an hour.
const SUN_DEGREES_A_MINUTE: f64 = 15.0 / 60.0;

/// First and last allowed day of each plate; all where a plate is not named.
pub(crate) type Bounds = BTreeMap<PlateId, (usize, usize)>;

/// The problem, and what its parts mean.
pub(crate) struct Built {
    /// The problem.
    pub(crate) problem: Problem,
    /// Plates of each block, in order.
    pub(crate) plates: Arena<BlockId, Vec<PlateId>>,
    /// The block of each plate, companions included.
    pub(crate) block_of: BTreeMap<PlateId, BlockId>,
    /// Plates that are worked with others.
    pub(crate) rolling: Rolling,
    /// Which camera each store of batteries is for; `None` for a rig's packs.
    pub(crate) cameras: BTreeMap<StoreId, CameraId>,
    /// Which rig each store of packs is for.
    pub(crate) rigs: BTreeMap<StoreId, RigId>,
    /// The props and looks behind the states.
    pub(crate) timeline: Timeline,
}

/// What is the same for every block.
struct Frame {
    stores: Arena<StoreId, Store>,
    cards: Arena<CardId, i64>,
    cameras: BTreeMap<CameraId, StoreId>,
    rigs: BTreeMap<RigId, StoreId>,
    space: BTreeMap<CameraId, CardId>,
}

/// Builds the problem for those plates.
pub(crate) fn build(setting: &Setting<'_>, plates: &BTreeSet<PlateId>, bounds: &Bounds) -> Built {
    let rolling = setting.rolling.among(plates);
    let (units, classes) = units(setting, (plates, &rolling), bounds);
    let frame = frame(setting);
    let timeline = variables(setting.model);
    let mut block_of = BTreeMap::new();
    let mut by_block: Arena<BlockId, Vec<PlateId>> = Arena::default();
    let mut blocks: Arena<BlockId, Block> = Arena::default();
    for unit in &units {
        let mut made = block(setting, unit, &frame, &timeline);
        bound(&mut made, rolling.whole(&unit.plates), bounds);
        for &companion in unit.plates.iter().flat_map(|&plate| rolling.with(plate)) {
            beside(setting, &mut made, companion, &frame);
        }
        let id = blocks.push(made);
        by_block.push(unit.plates.clone());
        block_of.extend(rolling.whole(&unit.plates).map(|plate| (plate, id)));
    }
    order_blocks(setting, &mut blocks, &block_of);
    lasting(&mut blocks, &timeline.vars);
    link(setting, &mut blocks, &block_of);
    let problem = Problem {
        blocks,
        days: days(setting),
        classes,
        access: collected(setting.access.values().cloned()),
        travel: travel(setting),
        stores: frame.stores,
        cards: frame.cards,
        vars: timeline.vars.clone(),
        weights: setting.weights.clone(),
        arrive: ARRIVE,
        pack: PACK,
        margin: MARGIN,
    };
    let cameras = frame.cameras.into_iter().map(|(camera, store)| (store, camera)).collect();
    let rigs = frame.rigs.into_iter().map(|(rig, store)| (store, rig)).collect();
    Built { problem, plates: by_block, block_of, rolling, cameras, rigs, timeline }
}

fn block(setting: &Setting<'_>, unit: &Unit, frame: &Frame, timeline: &Timeline) -> Block {
    let model = setting.model;
    let setup = &setting.setups.all[unit.setup];
    let rig = &model.rigs[setup.rig];
    let camera = model.modes[setup.mode].camera;
    let mut parts = Vec::new();
    let mut draws: Vec<Draw> = Vec::new();
    let mut bytes: i64 = 0;
    let mut danger = 0;
    for &id in &unit.plates {
        let plate = &setting.breakdown.plates[id];
        parts.push(Part { work: shooting(plate), states: timeline.of(plate) });
        draws.extend(drawn(setting, plate, frame));
        bytes = bytes.saturating_add(kept(setting, plate));
        danger = danger.max(dangers(setting, plate));
    }
    if unit.locked {
        // The battery is not touched either: all takes of a camera come from one pack.
        draws = one_piece(&draws, frame.cameras.get(&camera).copied());
    }
    draws.retain(|draw| draw.piece > 0);
    let space = frame.space.get(&camera);
    Block {
        spot: SpotId::from_index(setup.place.index()),
        setup: unit.setup.index(),
        fit: setup.rig.index() * model.cameras.len().max(1) + camera.index(),
        fitting: minutes(rig.fitting),
        turning: turning(rig),
        parts,
        class: unit.class,
        draws,
        bytes: space.map(|&card| (card, bytes)).into_iter().collect(),
        before: Vec::new(),
        after: Vec::new(),
        links: Vec::new(),
        first: 0,
        last: usize::MAX,
        rank: unit.plates.iter().filter_map(|plate| setting.ranks.get(plate)).min().copied().unwrap_or(0),
        danger: danger as i64,
    }
}

/// What a plate draws: on its camera's batteries and, where its rig flies, on its packs.
fn drawn(setting: &Setting<'_>, plate: &Plate, frame: &Frame) -> Vec<Draw> {
    let times = i64::from(plate.takes.max(1));
    let piece = recorded(plate);
    let battery = frame.cameras.get(&setting.model.modes[plate.mode].camera);
    let packs = frame.rigs.get(&plate.rig);
    let flight = if piece > 0 { piece + AROUND_FLIGHT } else { 0 };
    let draws = [(battery, piece), (packs, flight)].into_iter();
    draws.filter_map(|(store, piece)| Some(Draw { store: *store?, piece, times })).collect()
}

/// Bytes that all takes of a plate fill.
fn kept(setting: &Setting<'_>, plate: &Plate) -> i64 {
    let each = setting.model.modes[plate.mode].stream.map_or(0.0, |stream| stream.0 / 8.0);
    (each * recorded(plate) as f64 * f64::from(plate.takes.max(1))).ceil() as i64
}

/// How many dangers a plate has.
fn dangers(setting: &Setting<'_>, plate: &Plate) -> usize {
    let (place, rig) = (&setting.model.places[plate.place], &setting.model.rigs[plate.rig]);
    plate.hazards.len() + place.hazards.len() + rig.hazards.len()
}

/// The days on which all plates of a block may be.
fn bound(block: &mut Block, plates: impl Iterator<Item = PlateId>, bounds: &Bounds) {
    for &(from, to) in plates.filter_map(|plate| bounds.get(&plate)) {
        (block.first, block.last) = (block.first.max(from), block.last.min(to));
    }
}

/// Adds a companion: it is fitted with the plate that it rolls with, draws on its
/// own camera, and takes no time of its own.
fn beside(setting: &Setting<'_>, block: &mut Block, companion: PlateId, frame: &Frame) {
    let model = setting.model;
    let plate = &setting.breakdown.plates[companion];
    let rig = &model.rigs[plate.rig];
    let camera = model.modes[plate.mode].camera;
    let mut draws = drawn(setting, plate, frame);
    if plate.hold.value == Hold::Locked {
        draws = one_piece(&draws, frame.cameras.get(&camera).copied());
    }
    block.draws.extend(draws.into_iter().filter(|draw| draw.piece > 0));
    let bytes = kept(setting, plate);
    if let Some(&card) = frame.space.get(&camera) {
        match block.bytes.iter_mut().find(|(known, _)| *known == card) {
            Some((_, sum)) => *sum = sum.saturating_add(bytes),
            None => block.bytes.push((card, bytes)),
        }
    }
    // Two cameras at once are a fitting of their own, whatever stands already.
    let alone = model.rigs.len() * model.cameras.len().max(1);
    block.fit = block.fit.max(alone + companion.index());
    block.fitting = block.fitting.saturating_add(minutes(rig.fitting));
    block.turning = block.turning.saturating_add(turning(rig));
    block.danger = block.danger.max(dangers(setting, plate) as i64);
}

/// Draws of a locked group: those on the camera's batteries added up to one piece.
fn one_piece(draws: &[Draw], battery: Option<StoreId>) -> Vec<Draw> {
    let (held, other): (Vec<Draw>, Vec<Draw>) = draws.iter().partition(|draw| Some(draw.store) == battery);
    let whole = held.iter().map(|draw| draw.piece.saturating_mul(draw.times)).fold(0, i64::saturating_add);
    let one = battery.map(|store| Draw { store, piece: whole, times: 1 });
    one.into_iter().chain(other).collect()
}

fn frame(setting: &Setting<'_>) -> Frame {
    let mut frame = Frame {
        stores: Arena::default(),
        cards: Arena::default(),
        cameras: BTreeMap::new(),
        rigs: BTreeMap::new(),
        space: BTreeMap::new(),
    };
    let gains = |whole: Seconds, recharge: Option<Seconds>| {
        let full = recharge.map_or(0, minutes);
        if full > 0 { seconds(whole) / full } else { 0 }
    };
    for (id, camera) in setting.model.cameras.iter() {
        if let Some(battery) = &camera.battery {
            let holds = seconds(battery.value * (1.0 - KEPT_BACK));
            let packs =
                (camera.count.max(1) as usize).saturating_mul(camera.packs.max(1) as usize).min(PACKS);
            let store =
                frame.stores.push(Store { packs, holds, gains: gains(battery.value, camera.recharge) });
            frame.cameras.insert(id, store);
        }
        if let Some(card) = &camera.card {
            let space = card.value.0 * f64::from(camera.cards.max(1)) * f64::from(camera.count.max(1));
            frame.space.insert(id, frame.cards.push(space as i64));
        }
    }
    for (id, rig) in setting.model.rigs.iter() {
        if let Some(endurance) = rig.endurance.as_ref().filter(|_| rig.flies) {
            let holds = seconds(endurance.value * FLOWN);
            let packs = (rig.packs.max(1) as usize).min(PACKS);
            let store =
                frame.stores.push(Store { packs, holds, gains: gains(endurance.value, rig.recharge) });
            frame.rigs.insert(id, store);
        }
    }
    frame
}

/// Which block waits for which; what waits for itself by way of others is left
/// to [`super::reasons`], which takes it out of the problem.
fn order_blocks(
    setting: &Setting<'_>,
    blocks: &mut Arena<BlockId, Block>,
    block_of: &BTreeMap<PlateId, BlockId>,
) {
    for (plate, &here) in block_of {
        let Some(waits) = setting.waits.get(plate) else { continue };
        for (before, _) in &waits.plates {
            if let Some(&there) = block_of.get(before)
                && there != here
            {
                blocks[here].before.push(there);
            }
        }
    }
    for id in blocks.ids() {
        blocks[id].before.sort_unstable();
        blocks[id].before.dedup();
        for there in blocks[id].before.clone() {
            blocks[there].after.push(id);
        }
    }
}

/// Minutes within which the sun's height changes by no more than so many degrees.
pub(crate) fn light_holds(degrees: f64) -> i64 {
    let minutes = degrees / SUN_DEGREES_A_MINUTE;
    if minutes > 0.0 { minutes.min(1440.0) as i64 } else { 0 }
}

fn link(setting: &Setting<'_>, blocks: &mut Arena<BlockId, Block>, block_of: &BTreeMap<PlateId, BlockId>) {
    let close = light_holds(setting.model.sequence.budgets.sun.0);
    let weights = &setting.weights;
    for join in setting.model.joins.values() {
        let (Some(&a), Some(&b)) = (block_of.get(&join.from), block_of.get(&join.to)) else { continue };
        if a == b {
            continue;
        }
        let sky = [join.from, join.to].iter().any(|&side| setting.breakdown.plates[side].light.under_sky());
        let link = |to| Link {
            to,
            minute: if sky { weights.join } else { weights.join_lamp },
            close,
            beyond: if sky { weights.join_light } else { 0 },
        };
        blocks[a].links.push(link(b));
        blocks[b].links.push(link(a));
    }
}

fn days(setting: &Setting<'_>) -> Arena<DayId, Day> {
    collected(setting.days.iter().map(|day| {
        let range = day_range(day, &setting.zone);
        Day {
            call: range.map_or(0, |range| range.from),
            wrap: range.map_or(0, |range| range.to),
            base: day.base.map(|base| SpotId::from_index(base.index())),
            meal: minutes(day.meal),
            meal_within: minutes(day.meal_within),
            rest: minutes(day.rest),
            chargers: (day.chargers as usize).min(PACKS * 4),
            long: minutes(day.long),
        }
    }))
}

fn travel(setting: &Setting<'_>) -> Arena<SpotId, Arena<SpotId, i64>> {
    let model = setting.model;
    let way = |from, to| model.travel(from, to).map_or(UNSTATED_TRAVEL, minutes);
    collected(model.places.ids().map(|from| collected(model.places.ids().map(|to| way(from, to)))))
}
