//! The planned days as people read them: steps with their reasons, calls,
//! charge and space.
//!
//! In: a solved problem. Out: [`PlannedDay`]s. Guaranteed: the steps of a day
//! follow each other without gap or overlap, and whatever holds a step at its
//! time is said. A camera that only rolls with another has a step without length.

use super::Minute;
use super::blocks::Built;
use super::duration::{ARRIVE, PACK, UNSTATED_TRAVEL, recorded};
use super::levels;
use super::plan::{CameraUse, PersonCall, PlannedDay, Step, StepKind};
use super::price::paid;
use super::reasons::hours;
use super::setting::Setting;
use super::shoot::event::{Event, Happening};
use super::shoot::problem::{BlockId, DayId, SpotId};
use super::shoot::run::Run;
use super::shoot::score::{Scored, Worked, work_day};
use crate::model::arena::Id;
use crate::model::{PersonId, PlaceId, PlateId};
use std::collections::BTreeMap;

/// A window is named as a reason when its edge is so many minutes away or less.
const NEAR: i64 = 45;

fn place(spot: SpotId) -> PlaceId {
    PlaceId::from_index(spot.index())
}

/// The days on which something is shot.
pub(crate) fn days(setting: &Setting<'_>, built: &Built, scored: &Scored) -> Vec<PlannedDay> {
    let mut days = Vec::new();
    for id in built.problem.days.ids() {
        let Some(worked) = &scored.worked[id] else { continue };
        let order = &scored.days[id];
        let again =
            work_day(&built.problem, id, order, &scored.carries[id], (worked.start, worked.meal, true));
        // The day was worked so before: it cannot fail now.
        if let Ok((run, worked)) = again {
            let teller = Teller { setting, built, day: id, order };
            days.extend(teller.day(&run, &worked));
        }
    }
    days
}

/// Tells one day.
struct Teller<'t, 'a> {
    setting: &'t Setting<'a>,
    built: &'t Built,
    day: DayId,
    order: &'t [BlockId],
}

impl Teller<'_, '_> {
    fn day(&self, run: &Run<'_>, worked: &Worked) -> Option<PlannedDay> {
        let allowed = self.setting.days.get(self.day.index())?;
        let events = run.events.as_deref().unwrap_or_default();
        let call = worked.start - ARRIVE;
        let steps = self.steps(events, call);
        let first = steps.first().map(|step| step.place);
        let at = allowed.base.or(first).and_then(|place| self.setting.model.places[place].at.as_ref());
        Some(PlannedDay {
            date: allowed.date,
            // Given once all days are known.
            number: 0,
            allowed: self.day.index(),
            call: Minute(call),
            wrap: Minute(worked.wrap),
            latest: Minute(self.built.problem.days[self.day].wrap),
            base: allowed.base,
            people: self.people(events, worked, call),
            sun: at.map(|at| crate::craft::sun::sun_day(at.value, allowed.date, &self.setting.zone)),
            cameras: self.cameras(run, worked),
            levels: levels::along((self.setting, self.built), self.day, (worked, events, &steps)),
            price: paid(&worked.spent, &self.setting.weights),
            // The search knows.
            proven: false,
            steps,
        })
    }

    fn steps(&self, events: &[Event], call: i64) -> Vec<Step> {
        let mut steps = Vec::new();
        let mut here = self.built.problem.days[self.day].base;
        for &(start, end, what) in events {
            let (kind, spot) = self.kind(what, here);
            here = spot.or(here);
            if let StepKind::Shoot(plate) = kind {
                steps.extend(self.beside(plate, Minute(start)));
            }
            let because = self.because(what, start, call);
            let at = here.map_or_else(|| self.first_place(events), place);
            steps.push(Step { start: Minute(start), end: Minute(end), kind, place: at, because });
        }
        steps
    }

    /// Cameras that start with a plate: steps without length right before it.
    fn beside(&self, plate: PlateId, start: Minute) -> Vec<Step> {
        let step = |&companion: &PlateId| {
            let because = vec![format!("it rolls together with {}", self.setting.name(plate))];
            let place = self.setting.breakdown.plates[companion].place;
            Step { start, end: start, kind: StepKind::Shoot(companion), place, because }
        };
        self.built.rolling.with(plate).iter().map(step).collect()
    }

    /// Where the day begins when it has no base.
    fn first_place(&self, events: &[Event]) -> PlaceId {
        let block = events.iter().find_map(|(_, _, what)| block_of(*what));
        block.map_or_else(|| PlaceId::from_index(0), |id| place(self.built.problem.blocks[id].spot))
    }

    fn kind(&self, what: Happening, here: Option<SpotId>) -> (StepKind, Option<SpotId>) {
        let spot = |id: BlockId| Some(self.built.problem.blocks[id].spot);
        match what {
            Happening::Move(from, to) => (StepKind::Move { from: place(from), to: place(to) }, Some(to)),
            Happening::Fit(id) => {
                let setup = self.built.plates[id].first().and_then(|plate| self.setting.setups.of.get(plate));
                let setup = setup.copied().expect("every planned plate is in a set-up");
                (StepKind::Fit(setup), spot(id))
            }
            Happening::Access(id) | Happening::Light(id) => (StepKind::Wait, spot(id)),
            Happening::Charge(id, store) => {
                let camera = self.built.cameras.get(&store).copied();
                let rig = self.built.rigs.get(&store).copied();
                (StepKind::Charge { camera, rig }, spot(id))
            }
            Happening::Reset(id, going) => {
                let timeline = &self.built.timeline;
                let word = |state| timeline.word(going.var, state).to_owned();
                let kind = StepKind::Reset {
                    of: timeline.whose[going.var].0,
                    from: word(going.from),
                    to: word(going.to),
                };
                (kind, spot(id))
            }
            Happening::Work(id, part) => {
                let plate = self.built.plates[id].get(part).copied();
                (StepKind::Shoot(plate.expect("a part of a block is a plate of it")), spot(id))
            }
            Happening::Meal => (StepKind::Meal, here),
            Happening::Pack(spot) => (StepKind::Pack, Some(spot)),
        }
    }

    fn because(&self, what: Happening, start: i64, call: i64) -> Vec<String> {
        let model = self.setting.model;
        let clock = |at: i64| Minute(at).clock(&self.setting.zone);
        let way = |from: SpotId, to: SpotId| {
            let unsaid = from != to && model.travel(place(from), place(to)).is_none();
            unsaid.then(|| {
                let (from, to) = (&model.places[place(from)].named, &model.places[place(to)].named);
                format!(
                    "nobody wrote how long the way from {} to {} takes; {UNSTATED_TRAVEL} min are assumed",
                    from.label(),
                    to.label()
                )
            })
        };
        match what {
            Happening::Move(from, to) => way(from, to).into_iter().collect(),
            Happening::Fit(id) => self.joins(id),
            Happening::Access(id) => {
                let spot = self.built.problem.blocks[id].spot;
                let named = &model.places[place(spot)].named;
                let opens = self.built.problem.access[spot][self.day].iter().find(|one| one.to > start);
                let at = opens.map_or(start, |window| window.from);
                vec![format!("{} opens at {}", named.label(), clock(at))]
            }
            Happening::Light(id) => self.begins(id, start),
            Happening::Charge(id, _) => {
                let first = self.built.plates[id].first();
                let plate = first.map_or("it".into(), |&plate| self.setting.name(plate));
                vec![format!("{plate} needs more charge than is left")]
            }
            Happening::Reset(id, going) => {
                let part = self.built.plates[id].get(going.part);
                let plate = part.map_or("it".into(), |&plate| self.setting.name(plate));
                let name = self.built.timeline.name(model, going.var);
                vec![format!("{plate} needs {name} {}", self.built.timeline.word(going.var, going.to))]
            }
            Happening::Work(id, part) => self.why_then(id, part, start),
            Happening::Meal => {
                let within = self.built.problem.days[self.day].meal_within;
                vec![format!(
                    "the meal starts by {}, at most {} min after the call",
                    clock(call + within),
                    within
                )]
            }
            Happening::Pack(spot) => {
                let mut because = vec![format!("{PACK} min for packing")];
                because.extend(self.built.problem.days[self.day].base.and_then(|base| way(spot, base)));
                because
            }
        }
    }

    /// What begins only later: the limits of the block that are not open yet.
    fn begins(&self, id: BlockId, now: i64) -> Vec<String> {
        let mut because = Vec::new();
        for plate in self.built.rolling.whole(&self.built.plates[id]) {
            let Some(limits) = self.setting.limits(plate, self.day.index()) else { continue };
            for limit in &limits.each {
                let open = limit.windows.iter().find(|window| window.to > now);
                if let Some(window) = open.filter(|window| window.from > now) {
                    let begins = Minute(window.from).clock(&self.setting.zone);
                    let text = format!("{}: from {begins}", limit.what);
                    if !because.contains(&text) {
                        because.push(text);
                    }
                }
            }
        }
        because
    }

    /// What holds a plate at its time.
    fn why_then(&self, id: BlockId, part: usize, start: i64) -> Vec<String> {
        let Some(&plate) = self.built.plates[id].get(part) else { return Vec::new() };
        let whole = self.built.problem.days[self.day];
        let end = start + self.built.problem.blocks[id].parts.get(part).map_or(0, |part| part.work);
        let mut because = Vec::new();
        for limit in self.setting.limits(plate, self.day.index()).iter().flat_map(|limits| &limits.each) {
            let around = limit.windows.iter().find(|one| one.from <= start && end <= one.to);
            let near = around.is_some_and(|one| {
                let edges = [(one.from, start - one.from), (one.to, one.to - end)];
                edges.iter().any(|&(at, apart)| apart <= NEAR && at != whole.call && at != whole.wrap)
            });
            if near {
                because.push(format!("{}: {}", limit.what, hours(self.setting, &limit.windows)));
            }
        }
        for (before, reason) in self.setting.waits.get(&plate).into_iter().flat_map(|waits| &waits.plates) {
            let name = self.setting.name(*before);
            because.push(if reason.text.contains(&name) {
                reason.text.clone()
            } else {
                format!("after {name}: {}", reason.text)
            });
        }
        let locked =
            self.setting.setups.of.get(&plate).is_some_and(|&setup| self.setting.setups.all[setup].locked);
        if locked && part > 0 {
            because.push("locked group: the camera is not touched since the plate before".into());
        }
        because.extend(self.joins(id));
        because
    }

    /// Joins that want the block next to another.
    fn joins(&self, id: BlockId) -> Vec<String> {
        let mut because = Vec::new();
        for join in self.setting.model.joins.values() {
            let (from, to) = (self.built.block_of.get(&join.from), self.built.block_of.get(&join.to));
            let other = match (from, to) {
                (Some(&from), _) if from == id => join.to,
                (_, Some(&to)) if to == id => join.from,
                _ => continue,
            };
            let same_day = self.built.block_of.get(&other).is_some_and(|block| self.order.contains(block));
            if !same_day {
                continue;
            }
            because.push(match join.mark {
                Some(mark) => format!(
                    "close to {}, since both meet at the mark '{}'",
                    self.setting.name(other),
                    self.setting.model.marks[mark].named.label()
                ),
                None => format!("close to {}, since the two are joined", self.setting.name(other)),
            });
        }
        because
    }

    fn people(&self, events: &[Event], worked: &Worked, call: i64) -> Vec<PersonCall> {
        let first = worked.times.first().map(|time| time.0);
        let mut calls: BTreeMap<PersonId, PersonCall> = BTreeMap::new();
        for &(id, begin, end) in &worked.times {
            let fitted = events.iter().find_map(|(start, _, what)| match what {
                Happening::Fit(one) if *one == id => Some(*start),
                _ => None,
            });
            let needed = if first == Some(id) { call } else { fitted.unwrap_or(begin) - ARRIVE };
            for plate in self.built.rolling.whole(&self.built.plates[id]) {
                for (person, role) in
                    self.setting.limits(plate, self.day.index()).iter().flat_map(|one| &one.people)
                {
                    let entry = calls.entry(*person).or_insert_with(|| PersonCall {
                        person: *person,
                        call: Minute(self.not_before(*person, plate, needed.max(call), begin)),
                        release: Minute(end),
                        for_plates: Vec::new(),
                    });
                    entry.release = entry.release.max(Minute(end));
                    entry.for_plates.push((plate, role.clone()));
                }
            }
        }
        let mut calls: Vec<PersonCall> = calls.into_values().collect();
        calls.sort_by_key(|one| (one.call, one.person));
        calls
    }

    /// A call is not before the person's own hours.
    fn not_before(&self, person: PersonId, plate: PlateId, call: i64, begin: i64) -> i64 {
        let limits = self.setting.limits(plate, self.day.index());
        let own = limits.iter().flat_map(|limits| &limits.each).find(|limit| limit.who == Some(person));
        own.and_then(|limit| limit.windows.iter().find(|one| one.from <= begin && begin <= one.to))
            .map_or(call, |window| call.max(window.from))
    }

    fn cameras(&self, run: &Run<'_>, worked: &Worked) -> Vec<CameraUse> {
        let model = self.setting.model;
        let plates: Vec<PlateId> = worked
            .times
            .iter()
            .flat_map(|(id, _, _)| self.built.rolling.whole(&self.built.plates[*id]))
            .collect();
        let mut uses = Vec::new();
        for (id, camera) in model.cameras.iter() {
            let mut used = CameraUse {
                camera: id,
                records: 0.0,
                holds: 0.0,
                charged: 0.0,
                least: 0.0,
                bytes: 0.0,
                space: camera.card.as_ref().map_or(0.0, |card| {
                    card.value.0 * f64::from(camera.cards.max(1)) * f64::from(camera.count.max(1))
                }),
            };
            let mut any = false;
            for &plate in &plates {
                let plate = &self.setting.breakdown.plates[plate];
                let mode = &model.modes[plate.mode];
                if mode.camera == id {
                    any = true;
                    let recorded = recorded(plate) as f64 * f64::from(plate.takes.max(1));
                    used.records += recorded / 60.0;
                    used.bytes += recorded * mode.stream.map_or(0.0, |stream| stream.0 / 8.0);
                }
            }
            if let Some((&store, _)) = self.built.cameras.iter().find(|(_, camera)| **camera == id) {
                let each = self.built.problem.stores[store];
                let full = camera.battery.as_ref().map_or(0.0, |battery| battery.value.0);
                used.holds = full * each.packs as f64 / 60.0;
                let (least, won) = run.store(store);
                // What is kept back is there too.
                let kept = full - each.holds as f64;
                used.least = (least as f64 + kept * each.packs as f64) / 60.0;
                used.charged = won as f64 / 60.0;
            }
            if any {
                uses.push(used);
            }
        }
        uses
    }
}

fn block_of(what: Happening) -> Option<BlockId> {
    match what {
        Happening::Fit(id)
        | Happening::Access(id)
        | Happening::Light(id)
        | Happening::Charge(id, _)
        | Happening::Reset(id, _)
        | Happening::Work(id, _) => Some(id),
        Happening::Move(..) | Happening::Meal | Happening::Pack(_) => None,
    }
}
