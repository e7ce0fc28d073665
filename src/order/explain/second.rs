//! The next best order of a day: what comes where, what it costs more, what it trades.
//!
//! In: the sequence and its plan. Out: for each day the cheapest order of its
//! set-ups but its own. Every other order has some two neighbours of the planned
//! one the other way round, so each pair of neighbours is turned in trial and the
//! whole shoot planned again around it (as in ranking the solutions of an assignment,
//! K. G. Murty 1968), with every plate held to its day. A limit in work: where it does
//! not reach for every pair of a day, nothing is said of that day.

use super::change::Change;
use super::conflict::solving;
use super::what_if::trades;
use super::world::World;
use crate::graph::Work;
use crate::model::{Model, PlateId};
use crate::order::Effort;
use crate::order::blocks::Bounds;
use crate::order::plan::{Minute, Plan, PlannedDay, ShootPlan, StepKind};
use crate::order::setting::Setting;
use crate::order::shooting::shoot;
use crate::recipe::Breakdown;
use std::collections::{BTreeMap, BTreeSet};

/// So many plates may be planned in trial for all days of one plan.
const WORK: u64 = 2_000;
/// An order is nearly as good while it costs no more than this, in hundredths of a minute on the
/// way: a quarter of an hour (common practice, no source).
const NEARLY: i64 = 1_500;

/// Another order of a day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Second {
    /// Which planned day, by its place in the plan.
    pub day: usize,
    /// What begins each set-up from the first that comes elsewhere to the last, in that order.
    pub order: Vec<PlateId>,
    /// The same stretch as it is planned.
    pub instead_of: Vec<PlateId>,
    /// First call in that order.
    pub call: Minute,
    /// When all is packed in that order.
    pub wrap: Minute,
    /// What it costs more, in hundredths of a minute on the way.
    pub dearer: i64,
    /// What it pays more or less for, in hundredths: (for what, more).
    pub trades: Vec<(&'static str, i64)>,
}

impl Second {
    /// Whether a crew could as well take it.
    pub fn is_nearly_as_good(&self) -> bool {
        self.dearer <= NEARLY
    }
}

/// The next best order of each day of which one is known, in order of days.
pub fn seconds(
    model: &Model,
    breakdown: &Breakdown,
    work: &Work,
    plan: &Plan,
    effort: Effort,
) -> Vec<Second> {
    // Another order has its price by itself; what moved since a kept plan is no part of it.
    let model = &Model { kept: model.kept.pins_alone(), ..model.clone() };
    let plates: BTreeSet<PlateId> = plan.shoot.shot.keys().copied().collect();
    let allowed = |day: usize| plan.shoot.days.get(day).map(|day| day.allowed);
    let held = plan.shoot.shot.iter().filter_map(|(&plate, &(day, ..))| Some((plate, allowed(day)?)));
    let bounds: Bounds = held.map(|(plate, at)| (plate, (at, at))).collect();
    let world = World::new(model, breakdown, work);
    let trials = Trials { world, plan: &plan.shoot, plates, bounds, effort };
    let mut left = effort.of(WORK);
    (0..plan.shoot.days.len()).filter_map(|day| trials.second(day, &mut left)).collect()
}

/// What is tried on.
struct Trials<'t> {
    world: World<'t>,
    plan: &'t ShootPlan,
    plates: BTreeSet<PlateId>,
    bounds: Bounds,
    effort: Effort,
}

impl Trials<'_> {
    /// The next best order of one day; nothing where there is none, or the work does not reach.
    fn second(&self, at: usize, left: &mut u64) -> Option<Second> {
        let day = self.plan.days.get(at)?;
        let own = setups(self.plan, day);
        let pairs = own.windows(2).filter_map(|pair| match pair {
            [one, other] => Some((*one, *other)),
            _ => None,
        });
        let pairs: Vec<(PlateId, PlateId)> = pairs.collect();
        *left = left.checked_sub(solving(self.plates.len()) * pairs.len() as u64)?;
        let mut best: Option<(i64, ShootPlan)> = None;
        for (one, other) in pairs {
            let shot = self.turned(one, other);
            let same = shot.days.iter().find(|tried| tried.allowed == day.allowed);
            let turned = same.is_some_and(|same| {
                let tried = setups(&shot, same);
                let place = |plate| tried.iter().position(|known| *known == plate);
                tried != own && place(other) < place(one)
            });
            let whole = shot.unplanned.is_empty() && shot.shot.len() == self.plates.len();
            if turned && whole && best.as_ref().is_none_or(|(cost, _)| shot.cost < *cost) {
                best = Some((shot.cost, shot));
            }
        }
        let (cost, shot) = best?;
        let tried = shot.days.iter().find(|tried| tried.allowed == day.allowed)?;
        let (order, instead_of) = apart(setups(&shot, tried), own);
        Some(Second {
            day: at,
            order,
            instead_of,
            call: tried.call,
            wrap: tried.wrap,
            dearer: (cost - self.plan.cost).max(0),
            trades: trades(&shot.price, &self.plan.price),
        })
    }

    /// The shoot with the second of two plates before the first, every plate on its day.
    fn turned(&self, one: PlateId, other: PlateId) -> ShootPlan {
        let world = self.world.with(&Change::Before(other, one));
        let mut setting = Setting::new(&world.model, &world.breakdown, &world.work);
        setting.effort = self.effort;
        shoot(&setting, &self.plates, &self.bounds, &BTreeMap::new())
    }
}

/// The plates that begin each run of one set-up on a day.
fn setups(plan: &ShootPlan, day: &PlannedDay) -> Vec<PlateId> {
    let shot = day.steps.iter().filter_map(|step| match step.kind {
        StepKind::Shoot(plate) => Some(plate),
        _ => None,
    });
    let mut begins: Vec<PlateId> = Vec::new();
    let mut last = None;
    for plate in shot {
        let setup = plan.setups.iter().find(|(_, setup)| setup.plates.contains(&plate)).map(|(id, _)| id);
        if setup.is_none() || setup != last {
            begins.push(plate);
        }
        last = setup;
    }
    begins
}

/// Both without what they begin and end with alike.
fn apart(mut one: Vec<PlateId>, mut other: Vec<PlateId>) -> (Vec<PlateId>, Vec<PlateId>) {
    let alike = one.iter().zip(&other).take_while(|(a, b)| a == b).count();
    one.drain(..alike);
    other.drain(..alike);
    while one.last().is_some() && one.last() == other.last() {
        one.pop();
        other.pop();
    }
    (one, other)
}
