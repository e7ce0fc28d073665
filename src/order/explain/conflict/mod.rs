//! What keeps something out of the plan: a smallest set of lines that cannot
//! hold together, and what giving way on each would give.
//!
//! In: the sequence and a plan that leaves something out. Out: the same plan,
//! with such a set as the reasons of each thing that is left out for its own
//! sake. The planner itself is the test of what holds. What only waits for
//! something else that is left out says so, as before. A limit in work: where
//! it is reached the reasons stay that the planner met.

mod desk;
mod elements;
mod filter;

use super::change::Change;
use super::what_if::{When, shot};
use super::world::World;
use crate::graph::Work;
use crate::model::{Model, PlateId};
use crate::order::Effort;
use crate::order::blocks::build;
use crate::order::plan::{Plan, Unplanned};
use crate::order::reasons::{Reasons, impossible};
use crate::order::setting::Setting;
use crate::order::shooting::shoot;
use crate::order::window::LimitKind;
use crate::recipe::Breakdown;
use elements::Element;
use std::collections::{BTreeMap, BTreeSet};

/// So many plates may be planned in trial for the reasons of one plan.
const WORK: u64 = 3_000;
/// By how much hours are widened in trial, in minutes, one after the other.
const WIDER: [i64; 3] = [60, 120, 240];
/// How many more batteries or packs are tried.
const PACKS: [u32; 4] = [1, 2, 4, 8];

/// Puts smallest sets in place of the reasons that the planner met.
pub(crate) fn name_conflicts(
    model: &Model,
    breakdown: &Breakdown,
    work: &Work,
    (plan, effort): (&mut Plan, Effort),
) {
    let none = plan.shoot.unplanned.is_empty() && plan.desk.unplanned.is_empty();
    if none || model.days.is_none() {
        return;
    }
    // Whether something can be planned at all does not depend on where it was before.
    let without = model.kept.is_plan().then(|| Model { kept: model.kept.pins_alone(), ..model.clone() });
    let model = without.as_ref().unwrap_or(model);
    let world = World::new(model, breakdown, work);
    let setting = Setting::new(model, breakdown, work);
    let mut search = Search { world: &world, setting: &setting, effort, left: effort.of(WORK) };
    let mut told: BTreeMap<PlateId, Reasons> = BTreeMap::new();
    for block in search.roots(plan) {
        if let Some(reasons) = search.conflict(plan, &block) {
            told.extend(block.into_iter().map(|plate| (plate, reasons.clone())));
        }
    }
    for Unplanned { what, reasons } in &mut plan.shoot.unplanned {
        if let Some(better) = told.remove(what) {
            *reasons = better;
        }
    }
    let mut could = search.nobody_does(plan);
    for Unplanned { what, reasons } in &mut plan.desk.unplanned {
        if let (Some(gives), Some((text, _))) = (could.remove(what), reasons.first_mut()) {
            text.push_str("; ");
            text.push_str(&gives);
        }
    }
}

/// The work of planning so many plates: more than in proportion, as the search is.
pub(super) fn solving(plates: usize) -> u64 {
    let plates = plates as u64;
    plates + plates * plates / 40
}

/// Hours of days widened, day by day.
fn of_days(days: &[usize], make: fn(usize, i64) -> Change) -> Vec<Change> {
    WIDER.iter().flat_map(|&by| days.iter().map(move |&at| make(at, by))).collect()
}

/// The search as it stands.
struct Search<'s, 'a> {
    world: &'s World<'a>,
    setting: &'s Setting<'a>,
    effort: Effort,
    left: u64,
}

/// Which plates are planned in trial.
enum Trial {
    /// These alone, the shoot alone.
    Of(BTreeSet<PlateId>),
    /// Everything, with the desk.
    Whole,
}

impl Search<'_, '_> {
    /// What is left out for its own sake, whole groups together.
    fn roots(&self, plan: &Plan) -> Vec<Vec<PlateId>> {
        let gone: BTreeSet<PlateId> = plan.shoot.unplanned.iter().map(|left| left.what).collect();
        let mut roots: Vec<Vec<PlateId>> = Vec::new();
        for &plate in &gone {
            let block = self.block(plate);
            let waits = block.iter().filter_map(|one| self.setting.waits.get(one));
            let mut before = waits.flat_map(|waits| &waits.plates).map(|(before, _)| before);
            let behind =
                before.any(|one| gone.contains(one) && !block.contains(one) && !self.circles(one, &block));
            if !behind && !roots.contains(&block) {
                roots.push(block);
            }
        }
        roots
    }

    /// The plates that are worked in one go with one.
    fn block(&self, plate: PlateId) -> Vec<PlateId> {
        let setup = self.setting.setups.of.get(&plate).map(|&setup| &self.setting.setups.all[setup]);
        match setup {
            Some(setup) if setup.locked => setup.plates.clone(),
            _ => vec![plate],
        }
    }

    /// Whether what a plate waits for waits for it in turn.
    fn circles(&self, before: &PlateId, block: &[PlateId]) -> bool {
        let all = self.behind(&[*before]);
        block.iter().any(|plate| all.contains(plate))
    }

    /// Plates with all that they wait for, at any distance.
    fn behind(&self, plates: &[PlateId]) -> BTreeSet<PlateId> {
        let mut all: BTreeSet<PlateId> = BTreeSet::new();
        let mut open: Vec<PlateId> = plates.to_vec();
        while let Some(plate) = open.pop() {
            if all.insert(plate) {
                open.extend(self.block(plate));
                let waits = self.setting.waits.get(&plate);
                open.extend(waits.into_iter().flat_map(|waits| &waits.plates).map(|(before, _)| *before));
            }
        }
        all
    }

    /// A smallest set for a block; `None` where there is none to be found.
    fn conflict(&mut self, plan: &Plan, block: &[PlateId]) -> Option<Reasons> {
        if let Some(nobody) = self.nobody(block) {
            return Some(nobody);
        }
        let mut elements = elements::of(self.setting, block, &self.behind(block));
        let of_pass =
            |plate: &PlateId| self.setting.waits.get(plate).is_some_and(|waits| !waits.passes.is_empty());
        let trial = if block.iter().any(of_pass) { Trial::Whole } else { Trial::Of(self.behind(block)) };
        let alone = self.holds(&elements, &(0..elements.len()).collect::<Vec<_>>(), &trial, block)?;
        let trial = if alone && !matches!(trial, Trial::Whole) {
            elements.splice(0..0, self.rivals(plan, block));
            Trial::Of(self.behind(block).into_iter().chain(plan.shoot.shot.keys().copied()).collect())
        } else {
            trial
        };
        let many = elements.len();
        let kept = filter::smallest(many, &mut |left| self.holds(&elements, left, &trial, block))?;
        // With every limit taken away it still does not hold: there is nothing to give way on.
        if kept.is_empty() {
            return None;
        }
        let kept: Vec<Element> = kept.into_iter().filter_map(|at| elements.get(at).cloned()).collect();
        Some(kept.iter().map(|one| (self.told(one, &elements, &trial, block), one.span)).collect())
    }

    /// Nobody who could help: no other line matters.
    fn nobody(&self, block: &[PlateId]) -> Option<Reasons> {
        let limits = block.iter().filter_map(|&plate| self.setting.limits(plate, 0));
        let none = limits.flat_map(|limits| &limits.each).find(|limit| limit.kind == LimitKind::Nobody)?;
        Some(vec![(none.what.clone(), none.span)])
    }

    /// Blocks that are planned on days on which this one could be.
    fn rivals(&self, plan: &Plan, block: &[PlateId]) -> Vec<Element> {
        let open = |day: usize| {
            block
                .iter()
                .all(|&plate| self.setting.limits(plate, day).is_some_and(|one| !one.windows.is_empty()))
        };
        let needed = self.behind(block);
        let mut seen: BTreeSet<Vec<PlateId>> = BTreeSet::new();
        let mut rivals = Vec::new();
        for (&plate, &(day, start, end)) in &plan.shoot.shot {
            let Some(planned) = plan.shoot.days.get(day) else { continue };
            let own = self.block(plate);
            if needed.contains(&plate) || !open(planned.allowed) || !seen.insert(own.clone()) {
                continue;
            }
            let clock = |at: crate::order::Minute| at.clock(&self.setting.zone);
            let text = format!(
                "{} is shot on {}, {} to {}",
                self.setting.name(plate),
                planned.date,
                clock(start),
                clock(end)
            );
            let span = Some(self.setting.breakdown.plates[plate].named.span);
            rivals.push(Element { change: Change::Without(own), text, span });
        }
        rivals
    }

    /// Whether everything in trial can be planned with only some of the elements
    /// in force; `None` when the work has run out.
    fn holds(
        &mut self,
        elements: &[Element],
        left: &[usize],
        trial: &Trial,
        block: &[PlateId],
    ) -> Option<bool> {
        self.holds_in(&self.world.clone(), elements, left, trial, block)
    }

    /// The same in a world in which something else is changed already.
    fn holds_in(
        &mut self,
        world: &World<'_>,
        elements: &[Element],
        left: &[usize],
        trial: &Trial,
        block: &[PlateId],
    ) -> Option<bool> {
        let mut world = world.clone();
        for (at, element) in elements.iter().enumerate() {
            if !left.contains(&at) {
                world.change(&element.change);
            }
        }
        self.plannable(&world, trial, block)
    }

    fn plannable(&mut self, world: &World<'_>, trial: &Trial, block: &[PlateId]) -> Option<bool> {
        match trial {
            Trial::Whole => {
                self.spend(self.whole())?;
                let plan = world.plan(self.effort);
                Some(block.iter().all(|plate| plan.shoot.shot.contains_key(plate)))
            }
            Trial::Of(plates) => {
                let plates: BTreeSet<PlateId> =
                    plates.iter().copied().filter(|plate| !world.without.contains(plate)).collect();
                self.spend(solving(plates.len()))?;
                let mut setting = Setting::new(&world.model, &world.breakdown, &world.work);
                setting.effort = self.effort;
                if let [one] = block
                    && plates.len() == 1
                {
                    // One plate alone needs no search: it fits on a day or on none.
                    let built = build(&setting, &BTreeSet::from([*one]), &world.within);
                    return Some(impossible(&setting, &built).is_empty());
                }
                let shot = shoot(&setting, &plates, &world.within, &BTreeMap::new());
                Some(block.iter().all(|plate| shot.shot.contains_key(plate)) && shot.unplanned.is_empty())
            }
        }
    }

    /// The work of planning everything.
    fn whole(&self) -> u64 {
        solving(self.world.breakdown.plates.len()) + self.world.breakdown.passes.len() as u64 / 4
    }

    fn spend(&mut self, work: u64) -> Option<()> {
        // Every trial looks up the whole setting once.
        let cost = work + 1 + self.world.breakdown.plates.len() as u64 / 10;
        self.left = self.left.checked_sub(cost)?;
        Some(())
    }

    /// An element in words, and what giving way on it would give.
    fn told(&mut self, element: &Element, all: &[Element], trial: &Trial, block: &[PlateId]) -> String {
        let text = &element.text;
        let ways = self.ways(element);
        for change in &ways {
            let world = self.world.with(change);
            match self.plannable(&world, trial, block) {
                Some(true) => return format!("{text}; {}", self.given(change, &world, block)),
                Some(false) => {}
                None => return text.clone(),
            }
        }
        match ways.as_slice() {
            [] => text.clone(),
            _ => {
                let still = self.still(element, all, trial, block).unwrap_or_default();
                format!("{text}; giving way on this alone is not enough{still}")
            }
        }
    }

    /// What keeps a block out all the same where an element is taken away.
    fn still(
        &mut self,
        element: &Element,
        all: &[Element],
        trial: &Trial,
        block: &[PlateId],
    ) -> Option<String> {
        let rest: Vec<Element> = all.iter().filter(|one| *one != element).cloned().collect();
        let world = self.world.with(&element.change);
        let others =
            filter::smallest(rest.len(), &mut |left| self.holds_in(&world, &rest, left, trial, block))?;
        let others: Vec<&str> = others.iter().filter_map(|&at| rest.get(at)).map(|one| &*one.text).collect();
        (!others.is_empty()).then(|| format!(", since {}", others.join(", and ")))
    }

    /// "if … : 2027-05-14 at 09:20".
    fn given(&mut self, change: &Change, world: &World<'_>, block: &[PlateId]) -> String {
        let words = change.words(&self.world.model, &self.world.breakdown);
        let whole = self.whole();
        let (Some(&first), Some(())) = (block.first(), self.spend(whole)) else {
            return format!("if {words}, it would fit");
        };
        match shot(&world.plan(self.effort).shoot, first) {
            When::Shot(date, at) => {
                format!("if {words}, it would be shot on {date} at {}", at.clock(&self.setting.zone))
            }
            When::Done(_) | When::Never => {
                format!("if {words}, it would fit, but not beside everything else")
            }
        }
    }

    /// How one could give way on an element, the least first; nothing for what is never given up.
    fn ways(&self, element: &Element) -> Vec<Change> {
        let wider = |make: &dyn Fn(i64, i64) -> Change| -> Vec<Change> {
            WIDER.iter().flat_map(|&by| [make(by, 0), make(0, by)]).collect()
        };
        let mut ways = match &element.change {
            Change::AlwaysOpen(place) => wider(&|before, after| Change::Open(*place, before, after)),
            Change::AnyHour(person) => wider(&|before, after| Change::Hours(*person, before, after)),
            Change::AnyCall(days) => of_days(days, |at, by| Change::Day(at, by, 0)),
            Change::AnyWrap(days) => of_days(days, |at, by| Change::Day(at, 0, by)),
            Change::MoreDays(most) => return (1..=*most).map(Change::MoreDays).collect(),
            Change::Short(plates) => return self.fewer_takes(plates),
            Change::NoMeal | Change::NoRest => return Vec::new(),
            Change::Endless(camera) => PACKS.map(|more| Change::Battery(*camera, more)).to_vec(),
            Change::EndlessPack(rig) => PACKS.map(|more| Change::Pack(*rig, more)).to_vec(),
            _ => Vec::new(),
        };
        ways.push(element.change.clone());
        ways
    }

    /// Fewer takes of a plate, the most first, and then one shorter take.
    fn fewer_takes(&self, plates: &[PlateId]) -> Vec<Change> {
        let [plate] = plates else { return Vec::new() };
        let (id, plate) = (plate, &self.world.breakdown.plates[*plate]);
        let takes = plate.takes;
        let mut fewer: Vec<u32> = vec![takes.saturating_sub(1), takes / 4 * 3, takes / 2, takes / 4, 1];
        fewer.retain(|&one| one > 0 && one < takes);
        fewer.dedup();
        let whole = plate.lasts.value.0.floor() as i64;
        let mut brief: Vec<i64> = vec![whole / 4 * 3, whole / 2, whole / 4];
        brief.retain(|&one| one > 0 && one < whole);
        brief.dedup();
        let brief = brief.into_iter().map(|one| Change::Brief(*id, one));
        fewer.into_iter().map(|one| Change::Takes(*id, one)).chain(brief).collect()
    }
}
