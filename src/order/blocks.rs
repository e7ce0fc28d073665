//! From plates to the plain problem that the search works on.
//!
//! In: the setting, which plates to plan, and on which days each may be. Out:
//! a [`Built`] problem, with the plates of every block. A locked group is one
//! block; short plates that nothing tells apart are one block; all others are
//! blocks of their own, so that a set-up can be split where light, people or
//! order want it.

use super::duration::{ARRIVE, PACK, UNSTATED_TRAVEL, minutes, recorded, seconds, shooting, turning};
use super::plan::SetUpId;
use super::setting::Setting;
use super::shoot::problem::{
    Block, BlockId, CardId, Chance, Class, ClassId, Day, DayId, Draw, Part, Price, Problem, SpotId, Store,
    StoreId, collected,
};
use super::states::{Timeline, lasting, variables};
use super::window::{both, day_range};
use crate::model::arena::Id;
use crate::model::{Arena, CameraId, PlateId, RigId};
use std::collections::{BTreeMap, BTreeSet};

/// Plates that nothing tells apart are worked in one go up to so many minutes.
const TOGETHER: i64 = 45;
/// Packs of one kind that are told apart; more than these never run out in a day.
const PACKS: usize = 64;
/// Cost of a minute between both sides of a join under the sky, in hundredths.
const JOIN_SKY: i64 = 50;
/// The same under lamps, where the light does not change.
const JOIN_LAMP: i64 = 10;

/// First and last allowed day of each plate; all where a plate is not named.
pub(crate) type Bounds = BTreeMap<PlateId, (usize, usize)>;

/// The problem, and what its parts mean.
pub(crate) struct Built {
    /// The problem.
    pub(crate) problem: Problem,
    /// Plates of each block, in order.
    pub(crate) plates: Arena<BlockId, Vec<PlateId>>,
    /// The block of each plate.
    pub(crate) block_of: BTreeMap<PlateId, BlockId>,
    /// Which camera each store of batteries is for; `None` for a rig's packs.
    pub(crate) cameras: BTreeMap<StoreId, CameraId>,
    /// Which rig each store of packs is for.
    pub(crate) rigs: BTreeMap<StoreId, RigId>,
    /// The props and looks behind the states.
    pub(crate) timeline: Timeline,
}

/// A block in the making.
struct Unit {
    plates: Vec<PlateId>,
    setup: SetUpId,
    class: ClassId,
    locked: bool,
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
    let mut classes = Classes { setting, known: BTreeMap::new(), all: Arena::default() };
    let units = units(setting, plates, &mut classes);
    let units = together(setting, units, bounds, &classes.all);
    let frame = frame(setting);
    let timeline = variables(setting.model);
    let mut block_of = BTreeMap::new();
    let mut by_block: Arena<BlockId, Vec<PlateId>> = Arena::default();
    let mut blocks: Arena<BlockId, Block> = Arena::default();
    for unit in &units {
        let id = blocks.push(block(setting, unit, bounds, &frame, &timeline));
        by_block.push(unit.plates.clone());
        block_of.extend(unit.plates.iter().map(|&plate| (plate, id)));
    }
    order_blocks(setting, &mut blocks, &block_of);
    lasting(&mut blocks, &timeline.vars);
    link(setting, &mut blocks, &block_of);
    let problem = Problem {
        blocks,
        days: days(setting),
        classes: classes.all,
        access: collected(setting.access.values().cloned()),
        travel: travel(setting),
        stores: frame.stores,
        cards: frame.cards,
        vars: timeline.vars.clone(),
        price: Price::default(),
        arrive: ARRIVE,
        pack: PACK,
    };
    let cameras = frame.cameras.into_iter().map(|(camera, store)| (store, camera)).collect();
    let rigs = frame.rigs.into_iter().map(|(rig, store)| (store, rig)).collect();
    Built { problem, plates: by_block, block_of, cameras, rigs, timeline }
}

/// Classes of blocks: kinds of plates, or several kinds laid over each other.
struct Classes<'s, 'a> {
    setting: &'s Setting<'a>,
    known: BTreeMap<Vec<usize>, ClassId>,
    all: Arena<ClassId, Class>,
}

impl Classes<'_, '_> {
    fn of(&mut self, plates: &[PlateId]) -> ClassId {
        let kinds: BTreeSet<usize> =
            plates.iter().filter_map(|plate| self.setting.kind_of.get(plate).copied()).collect();
        let kinds: Vec<usize> = kinds.into_iter().collect();
        if let Some(&known) = self.known.get(&kinds) {
            return known;
        }
        let mut class = Class::default();
        for day in 0..self.setting.days.len() {
            let mut chance: Option<Chance> = None;
            for limits in kinds.iter().filter_map(|&kind| self.setting.kinds.get(kind)) {
                let Some(limits) = limits.days.values().nth(day) else { continue };
                let people = limits.people.iter().map(|(person, _)| *person);
                match &mut chance {
                    None => {
                        chance = Some(Chance { windows: limits.windows.clone(), people: people.collect() })
                    }
                    Some(chance) => {
                        chance.windows = both(&chance.windows, &limits.windows);
                        let new: Vec<_> = people.filter(|one| !chance.people.contains(one)).collect();
                        chance.people.extend(new);
                    }
                }
            }
            class.days.push(chance.unwrap_or_default());
        }
        let id = self.all.push(class);
        self.known.insert(kinds, id);
        id
    }
}

fn units(setting: &Setting<'_>, plates: &BTreeSet<PlateId>, classes: &mut Classes<'_, '_>) -> Vec<Unit> {
    let mut units = Vec::new();
    for (setup, each) in setting.setups.all.iter() {
        let wanted: Vec<PlateId> =
            each.plates.iter().copied().filter(|plate| plates.contains(plate)).collect();
        if wanted.is_empty() {
            continue;
        }
        if each.locked {
            let class = classes.of(&wanted);
            units.push(Unit { plates: wanted, setup, class, locked: true });
        } else {
            for plate in wanted {
                let class = classes.of(&[plate]);
                units.push(Unit { plates: vec![plate], setup, class, locked: false });
            }
        }
    }
    units.sort_by_key(|unit| {
        let first = unit.plates.iter().filter_map(|plate| setting.ranks.get(plate)).min();
        first.copied().unwrap_or(i64::MAX)
    });
    units
}

/// Makes one of what nothing tells apart: same set-up, class, days, waits and
/// waiters, no states, no joins.
fn together(
    setting: &Setting<'_>,
    units: Vec<Unit>,
    bounds: &Bounds,
    classes: &Arena<ClassId, Class>,
) -> Vec<Unit> {
    let mut after: BTreeMap<PlateId, Vec<PlateId>> = BTreeMap::new();
    for (&plate, waits) in &setting.waits {
        for (before, _) in &waits.plates {
            after.entry(*before).or_default().push(plate);
        }
    }
    let joined: BTreeSet<PlateId> =
        setting.model.joins.values().flat_map(|join| [join.from, join.to]).collect();
    let mut open = BTreeMap::new();
    let mut merged: Vec<Unit> = Vec::new();
    for unit in units {
        let plate = match unit.plates.as_slice() {
            [one] if !unit.locked => *one,
            _ => {
                merged.push(unit);
                continue;
            }
        };
        let work = &setting.breakdown.plates[plate];
        if joined.contains(&plate) || !work.shows.is_empty() || !work.turns.is_empty() {
            merged.push(unit);
            continue;
        }
        let before: Vec<PlateId> = setting
            .waits
            .get(&plate)
            .map(|waits| waits.plates.iter().map(|one| one.0).collect())
            .unwrap_or_default();
        let behind = after.get(&plate).cloned().unwrap_or_default();
        let key = (unit.setup, unit.class, bounds.get(&plate).copied(), before, behind);
        let minutes = shooting(work);
        // Together they draw no more than one pack, so that charging can come between blocks.
        let records = recorded(work).saturating_mul(i64::from(work.takes.max(1)));
        let pack = smallest_pack(setting, work);
        let most = TOGETHER.min(widest(&classes[unit.class]) / 2);
        match open.get_mut(&key) {
            Some((at, total, used)) if *total + minutes <= most && *used + records <= pack => {
                let host: Option<&mut Unit> = merged.get_mut(*at);
                if let Some(host) = host {
                    host.plates.push(plate);
                }
                *total += minutes;
                *used += records;
            }
            _ => {
                open.insert(key, (merged.len(), minutes, records));
                merged.push(unit);
            }
        }
    }
    merged
}

/// Seconds of recording that the smallest pack in use for a plate holds.
fn smallest_pack(setting: &Setting<'_>, plate: &crate::model::Plate) -> i64 {
    let battery = setting.model.camera_of(plate).battery.as_ref().map(|battery| battery.value);
    let endurance = setting.model.rigs[plate.rig].endurance.as_ref().map(|endurance| endurance.value);
    [battery, endurance].into_iter().flatten().map(seconds).min().unwrap_or(i64::MAX)
}

/// The shortest of the longest windows of the days that have any.
fn widest(class: &Class) -> i64 {
    let longest = |chance: &Chance| chance.windows.iter().map(|window| window.to - window.from).max();
    class.days.values().filter_map(longest).min().unwrap_or(0)
}

fn block(setting: &Setting<'_>, unit: &Unit, bounds: &Bounds, frame: &Frame, timeline: &Timeline) -> Block {
    let model = setting.model;
    let setup = &setting.setups.all[unit.setup];
    let rig = &model.rigs[setup.rig];
    let camera = model.modes[setup.mode].camera;
    let mut parts = Vec::new();
    let mut draws: Vec<Draw> = Vec::new();
    let mut bytes = 0.0;
    let (mut first, mut last) = (0, usize::MAX);
    let mut danger = 0;
    for &id in &unit.plates {
        let plate = &setting.breakdown.plates[id];
        parts.push(Part { work: shooting(plate), states: timeline.of(plate) });
        let takes = i64::from(plate.takes.max(1));
        let piece = recorded(plate);
        if let Some(&store) = frame.cameras.get(&camera) {
            draws.push(Draw { store, piece, times: takes });
        }
        if let Some(&store) = frame.rigs.get(&setup.rig) {
            draws.push(Draw { store, piece, times: takes });
        }
        bytes +=
            model.modes[plate.mode].stream.map_or(0.0, |stream| stream.0 / 8.0) * piece as f64 * takes as f64;
        if let Some(&(from, to)) = bounds.get(&id) {
            (first, last) = (first.max(from), last.min(to));
        }
        let place = &model.places[plate.place];
        danger = danger.max(plate.hazards.len() + place.hazards.len() + rig.hazards.len());
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
        bytes: space.map(|&card| (card, bytes.ceil() as i64)).into_iter().collect(),
        before: Vec::new(),
        after: Vec::new(),
        links: Vec::new(),
        first,
        last,
        rank: unit.plates.iter().filter_map(|plate| setting.ranks.get(plate)).min().copied().unwrap_or(0),
        danger: danger as i64,
    }
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
    let gains = |holds: i64, recharge: Option<crate::quantity::Seconds>| {
        let full = recharge.map_or(0, minutes);
        if full > 0 { holds / full } else { 0 }
    };
    for (id, camera) in setting.model.cameras.iter() {
        if let Some(battery) = &camera.battery {
            let holds = seconds(battery.value);
            let packs =
                (camera.count.max(1) as usize).saturating_mul(camera.packs.max(1) as usize).min(PACKS);
            let store = frame.stores.push(Store { packs, holds, gains: gains(holds, camera.recharge) });
            frame.cameras.insert(id, store);
        }
        if let Some(card) = &camera.card {
            let space = card.value.0 * f64::from(camera.cards.max(1)) * f64::from(camera.count.max(1));
            frame.space.insert(id, frame.cards.push(space as i64));
        }
    }
    for (id, rig) in setting.model.rigs.iter() {
        if let Some(endurance) = rig.endurance.as_ref().filter(|_| rig.flies) {
            let holds = seconds(endurance.value);
            let packs = (rig.packs.max(1) as usize).min(PACKS);
            let store = frame.stores.push(Store { packs, holds, gains: gains(holds, rig.recharge) });
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

fn link(setting: &Setting<'_>, blocks: &mut Arena<BlockId, Block>, block_of: &BTreeMap<PlateId, BlockId>) {
    for join in setting.model.joins.values() {
        let (Some(&a), Some(&b)) = (block_of.get(&join.from), block_of.get(&join.to)) else { continue };
        if a == b {
            continue;
        }
        let sky = [join.from, join.to].iter().any(|&side| setting.breakdown.plates[side].light.under_sky());
        let price = if sky { JOIN_SKY } else { JOIN_LAMP };
        blocks[a].links.push((b, price));
        blocks[b].links.push((a, price));
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
        }
    }))
}

fn travel(setting: &Setting<'_>) -> Arena<SpotId, Arena<SpotId, i64>> {
    let model = setting.model;
    let way = |from, to| model.travel(from, to).map_or(UNSTATED_TRAVEL, minutes);
    collected(model.places.ids().map(|from| collected(model.places.ids().map(|to| way(from, to)))))
}
