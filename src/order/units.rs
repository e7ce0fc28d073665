//! What is worked in one go.
//!
//! In: the setting and the plates to plan. Out: units, each a locked group, a
//! plate, or short plates that nothing tells apart; and the classes of windows
//! and people that they fall into.

use super::blocks::Bounds;
use super::duration::{AROUND_FLIGHT, FLOWN, KEPT_BACK, recorded, seconds, shooting};
use super::plan::SetUpId;
use super::rolling::Rolling;
use super::setting::Setting;
use super::shoot::problem::{Chance, Class, ClassId};
use super::window::both;
use crate::model::{Arena, Plate, PlateId};
use std::collections::{BTreeMap, BTreeSet};

/// Plates that nothing tells apart are worked in one go up to so many minutes.
const TOGETHER: i64 = 45;

/// A block in the making.
pub(crate) struct Unit {
    /// Its plates, in order.
    pub(crate) plates: Vec<PlateId>,
    /// Their set-up.
    pub(crate) setup: SetUpId,
    /// Their windows and people.
    pub(crate) class: ClassId,
    /// Whether the camera may not be touched between them.
    pub(crate) locked: bool,
}

/// Units of those plates in story order, and their classes.
pub(crate) fn units(
    setting: &Setting<'_>,
    (plates, rolling): (&BTreeSet<PlateId>, &Rolling),
    bounds: &Bounds,
) -> (Vec<Unit>, Arena<ClassId, Class>) {
    let mut classes = Classes { setting, rolling, known: BTreeMap::new(), all: Arena::default() };
    let mut units = Vec::new();
    for (setup, each) in setting.setups.all.iter() {
        // A companion is worked with the plate that it rolls with.
        let own = |plate: &PlateId| plates.contains(plate) && rolling.host(*plate).is_none();
        let wanted: Vec<PlateId> = each.plates.iter().copied().filter(own).collect();
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
    (Merging::new(setting, rolling, bounds, &classes.all).merge(units), classes.all)
}

/// Classes of blocks: kinds of plates, or several kinds laid over each other.
struct Classes<'s, 'a> {
    setting: &'s Setting<'a>,
    rolling: &'s Rolling,
    known: BTreeMap<Vec<usize>, ClassId>,
    all: Arena<ClassId, Class>,
}

impl Classes<'_, '_> {
    fn of(&mut self, plates: &[PlateId]) -> ClassId {
        let whole = self.rolling.whole(plates);
        let kinds: BTreeSet<usize> =
            whole.filter_map(|plate| self.setting.kind_of.get(&plate).copied()).collect();
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

/// What must be the same for plates to be worked in one go: set-up, class,
/// days, what they wait for and what waits for them.
type Alike = (SetUpId, ClassId, Option<(usize, usize)>, Vec<PlateId>, Vec<PlateId>);

/// A unit that can still take more: its place, its minutes, its seconds of use.
type Open = (usize, i64, i64);

/// Makes one of what nothing tells apart.
struct Merging<'m, 'a> {
    setting: &'m Setting<'a>,
    rolling: &'m Rolling,
    bounds: &'m Bounds,
    classes: &'m Arena<ClassId, Class>,
    after: BTreeMap<PlateId, Vec<PlateId>>,
    joined: BTreeSet<PlateId>,
}

impl<'m, 'a> Merging<'m, 'a> {
    fn new(
        setting: &'m Setting<'a>,
        rolling: &'m Rolling,
        bounds: &'m Bounds,
        classes: &'m Arena<ClassId, Class>,
    ) -> Self {
        let mut after: BTreeMap<PlateId, Vec<PlateId>> = BTreeMap::new();
        for (&plate, waits) in &setting.waits {
            for (before, _) in &waits.plates {
                after.entry(*before).or_default().push(plate);
            }
        }
        let joined = setting.model.joins.values().flat_map(|join| [join.from, join.to]).collect();
        Self { setting, rolling, bounds, classes, after, joined }
    }

    fn merge(&self, units: Vec<Unit>) -> Vec<Unit> {
        let mut open: BTreeMap<Alike, Open> = BTreeMap::new();
        let mut merged: Vec<Unit> = Vec::new();
        for unit in units {
            let Some(plate) = self.single(&unit) else {
                merged.push(unit);
                continue;
            };
            let work = &self.setting.breakdown.plates[plate];
            let minutes = shooting(work);
            // Together they draw no more than one pack, so that charging can come between blocks.
            let used = self.uses(work);
            let most = TOGETHER.min(widest(&self.classes[unit.class]) / 2);
            let room = |open: &Open| {
                open.1 + minutes <= most && open.2.saturating_add(used) <= smallest_pack(self.setting, work)
            };
            let key = self.alike(&unit, plate);
            match open.get_mut(&key).filter(|open| room(open)) {
                Some(open) => {
                    if let Some(host) = merged.get_mut(open.0) {
                        host.plates.push(plate);
                    }
                    open.1 += minutes;
                    open.2 += used;
                }
                None => {
                    open.insert(key, (merged.len(), minutes, used));
                    merged.push(unit);
                }
            }
        }
        merged
    }

    /// The plate of a unit that may be merged: alone, free, without states, joins or companions.
    fn single(&self, unit: &Unit) -> Option<PlateId> {
        let [plate] = unit.plates.as_slice() else { return None };
        let work = &self.setting.breakdown.plates[*plate];
        let alone = self.rolling.with(*plate).is_empty() && !self.joined.contains(plate);
        let plain = alone && work.shows.is_empty() && work.turns.is_empty();
        (plain && !unit.locked).then_some(*plate)
    }

    fn alike(&self, unit: &Unit, plate: PlateId) -> Alike {
        let waits = self.setting.waits.get(&plate);
        let before = waits.map(|waits| waits.plates.iter().map(|one| one.0).collect()).unwrap_or_default();
        let behind = self.after.get(&plate).cloned().unwrap_or_default();
        (unit.setup, unit.class, self.bounds.get(&plate).copied(), before, behind)
    }

    /// Seconds of use of a pack.
    fn uses(&self, plate: &Plate) -> i64 {
        let flown = if self.setting.model.rigs[plate.rig].flies { AROUND_FLIGHT } else { 0 };
        (recorded(plate) + flown).saturating_mul(i64::from(plate.takes.max(1)))
    }
}

/// Seconds of use that the smallest pack in use for a plate holds.
fn smallest_pack(setting: &Setting<'_>, plate: &Plate) -> i64 {
    let battery = setting.model.camera_of(plate).battery.as_ref().map(|one| one.value * (1.0 - KEPT_BACK));
    let endurance = setting.model.rigs[plate.rig].endurance.as_ref().map(|one| one.value * FLOWN);
    [battery, endurance].into_iter().flatten().map(seconds).min().unwrap_or(i64::MAX)
}

/// The shortest of the longest windows of the days that have any.
fn widest(class: &Class) -> i64 {
    let longest = |chance: &Chance| chance.windows.iter().map(|window| window.to - window.from).max();
    class.days.values().filter_map(longest).min().unwrap_or(0)
}
