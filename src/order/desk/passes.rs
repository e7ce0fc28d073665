//! From passes to the plain desk problem.
//!
//! In: the breakdown, the graph, and the planned shoot. Out: a [`DeskPlan`].
//! Conventions: footage is in hand when the day on which it is shot is packed,
//! and is brought in at once, before all other work; what waits for nothing may
//! start on the first allowed shoot day. A pass whose footage is not planned, or
//! for whose department there is nobody, is named with the reason, and so is all
//! that waits for it.

use super::Answer;
use super::calendar::{Calendar, minutes_of};
use super::hours::Hours;
use super::problem::{Fault, Hand, HandId, Problem, Task, TaskId, Wait};
use super::stages::{self, Stages};
use crate::graph::{self, Node, Work};
use crate::model::arena::Id;
use crate::model::{Desk, Model};
use crate::order::effort::Effort;
use crate::order::plan::{DeskPlan, ShootPlan};
use crate::order::reasons::Reasons;
use crate::order::steady::desk::{Known, solve};
use crate::order::waits::{Before, before_passes};
use crate::quantity::Seconds;
use crate::recipe::{Breakdown, Owner, Pass, PassId};
use jiff::ToSpan;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use std::collections::BTreeMap;

/// The desk is planned this far ahead at most; what takes longer is not planned.
const YEARS: i64 = 20;

/// What the desk planner reads.
pub(crate) struct DeskWork<'a> {
    /// The sequence.
    pub(crate) model: &'a Model,
    /// Its work.
    pub(crate) breakdown: &'a Breakdown,
    /// Its zone.
    pub(crate) zone: &'a TimeZone,
    /// What each pass waits for by the graph.
    pub(crate) before: &'a BTreeMap<PassId, Before>,
    /// How hard to try.
    pub(crate) effort: Effort,
}

/// What each pass waits for, by its own words and by the graph.
pub(crate) fn waits(breakdown: &Breakdown, work: &Work) -> BTreeMap<PassId, Before> {
    let mut before = before_passes(work);
    for (id, pass) in breakdown.passes.iter() {
        let known = before.entry(id).or_default();
        for (on, words) in &pass.waits {
            if !known.passes.iter().any(|(one, _)| one == on) {
                known.passes.push((*on, words.clone()));
            }
        }
        for &plate in &pass.inputs {
            if !known.plates.contains(&plate) {
                known.plates.push(plate);
            }
        }
        known.passes.retain(|(on, _)| *on != id);
    }
    before
}

/// The problem made of passes, and what came of it.
pub(super) struct Planned<'a> {
    /// Hours around the shoot.
    pub(super) calendar: Calendar<'a>,
    /// The problem.
    pub(super) problem: Problem,
    /// The pass of each task.
    pub(super) passes: Vec<PassId>,
    /// What passes go through after their work: tasks behind those of the passes.
    pub(super) stages: Stages,
    /// What came of it.
    pub(super) answer: Answer,
}

impl DeskWork<'_> {
    /// Plans the desk around a planned shoot; `due` says by when a pass is
    /// wanted because a plate waits for it.
    pub(crate) fn plan(&self, shoot: &ShootPlan, due: &BTreeMap<PassId, i64>) -> DeskPlan {
        let mut unplanned = self.impossible(shoot);
        let calendar = Calendar { model: self.model, zone: self.zone, shoot };
        let (problem, passes, stages) = match self.first_day() {
            Some(start) => self.problem(&calendar, &unplanned, due, start),
            None => {
                let reason = ("there is no shoot day, and so no date to count from".to_owned(), None);
                for id in self.breakdown.passes.ids() {
                    unplanned.entry(id).or_insert_with(|| vec![reason.clone()]);
                }
                Default::default()
            }
        };
        let known = Known {
            kept: &self.model.kept,
            weights: &self.model.sequence.weights,
            passes: &passes,
            all: &self.breakdown.passes,
            desks: &self.model.desks,
        };
        let answer = solve(&problem, &known, self.effort);
        for (task, fault) in &answer.left {
            if !matches!(fault, Fault::Hours | Fault::Nobody) {
                continue;
            }
            if let Some((pass, kind)) = stages.whose(*task) {
                let text = format!("nobody at the desk has hours enough for its {}", kind.word());
                unplanned.entry(pass).or_default().push((text, Some(self.breakdown.passes[pass].span)));
            }
            if let Some(&pass) = passes.get(task.index()) {
                let own = &self.breakdown.passes[pass];
                let text = format!(
                    "whoever does {} has not hours enough within {YEARS} years for all there is to do",
                    own.department
                );
                unplanned.insert(pass, vec![(text, Some(own.span))]);
            }
        }
        self.behind(&mut unplanned);
        self.tell(&Planned { calendar, problem, passes, stages, answer }, unplanned)
    }

    /// The first allowed shoot day.
    pub(super) fn first_day(&self) -> Option<Date> {
        let days = self.model.days.as_ref()?;
        days.each.iter().map(|day| day.date).min()
    }

    /// Passes that cannot be planned, with those that wait for them.
    fn impossible(&self, shoot: &ShootPlan) -> BTreeMap<PassId, Reasons> {
        let mut gone: BTreeMap<PassId, Reasons> = BTreeMap::new();
        for (id, pass) in self.breakdown.passes.iter() {
            let mut reasons = Reasons::new();
            if works(pass) && !self.model.desks.values().any(|desk| pass.is_for(desk)) {
                reasons.push((format!("nobody at the desk does {}", pass.department), Some(pass.span)));
            }
            for &plate in self.before.get(&id).into_iter().flat_map(|before| &before.plates) {
                if !shoot.shot.contains_key(&plate) && !self.model.record.taken.contains(&plate) {
                    let named = &self.breakdown.plates[plate].named;
                    reasons.push((format!("'{}' is not planned", named.label()), Some(named.span)));
                }
            }
            if !reasons.is_empty() {
                gone.insert(id, reasons);
            }
        }
        self.behind(&mut gone);
        gone
    }

    /// The name of a pass as sentences use it: its title, and what it belongs to.
    pub(super) fn name(&self, pass: PassId) -> String {
        format!("'{}'", graph::label(Node::Pass(pass), self.model, self.breakdown))
    }

    fn behind(&self, gone: &mut BTreeMap<PassId, Reasons>) {
        loop {
            let mut more = BTreeMap::new();
            for (id, pass) in self.breakdown.passes.iter().filter(|(id, _)| !gone.contains_key(id)) {
                let reasons: Reasons = self
                    .before
                    .get(&id)
                    .into_iter()
                    .flat_map(|before| &before.passes)
                    .filter(|(on, _)| gone.contains_key(on))
                    .map(|(on, _)| {
                        let name = self.name(*on);
                        (format!("it waits for {name}, which is not planned"), Some(pass.span))
                    })
                    .collect();
                if !reasons.is_empty() {
                    more.insert(id, reasons);
                }
            }
            if more.is_empty() {
                return;
            }
            gone.extend(more);
        }
    }

    fn problem(
        &self,
        calendar: &Calendar<'_>,
        unplanned: &BTreeMap<PassId, Reasons>,
        due: &BTreeMap<PassId, i64>,
        start: Date,
    ) -> (Problem, Vec<PassId>, Stages) {
        let mut problem = Problem {
            due: self.model.finish.as_ref().and_then(|finish| calendar.midnight(finish.by.tomorrow().ok()?)),
            ..Problem::default()
        };
        for desk in self.model.desks.values() {
            problem.hands.push(self.hand(calendar, desk, start));
        }
        let mut passes = Vec::new();
        let mut task_of: BTreeMap<PassId, TaskId> = BTreeMap::new();
        let mut parts: BTreeMap<Owner, u32> = BTreeMap::new();
        let begin = calendar.midnight(start).unwrap_or(0);
        for (id, pass) in self.breakdown.passes.iter().filter(|(id, _)| !unplanned.contains_key(id)) {
            let plates = self.before.get(&id).into_iter().flat_map(|before| &before.plates);
            let next = parts.len() as u32;
            let task = Task {
                work: if works(pass) { minutes(pass) } else { 0 },
                able: self.pinned_to(pass).unwrap_or_else(|| able(self.model, pass)),
                release: plates
                    .filter_map(|&plate| calendar.in_hand(plate))
                    .chain(self.pinned_from(calendar, pass))
                    .max()
                    .unwrap_or(begin),
                urgent: matches!(pass.owner, Owner::Plate(_)),
                part_of: Some(*parts.entry(pass.owner).or_insert(next)),
                ..Task::default()
            };
            task_of.insert(id, problem.tasks.push(task));
            passes.push(id);
        }
        let stages = Stages::add(&mut problem, self.breakdown, &task_of);
        for (id, &task) in &task_of {
            let before = self.before.get(id).into_iter().flat_map(|before| &before.passes);
            let ready = |on: &PassId| Some(stages.ready(*on, *task_of.get(on)?));
            let waits = before.filter_map(|(on, _)| Some(Wait { on: ready(on)?, gap: 0 }));
            problem.tasks[task].before = waits.collect();
            let ready = &mut problem.tasks[stages.ready(*id, task)];
            ready.due = due.get(id).copied();
            ready.wanted = self.breakdown.passes[*id].priority.map_or(0, |one| one.counts());
        }
        (problem, passes, stages)
    }

    /// The one who is to do a pass, where that is pinned and can be.
    fn pinned_to(&self, pass: &Pass) -> Option<Vec<HandId>> {
        let by = self.model.kept.pin_of_pass(&pass.path)?.1?;
        let desk = self.model.desks.iter().find(|(_, desk)| desk.named.path == by)?;
        let hand = HandId::from_index(desk.0.index());
        able(self.model, pass).contains(&hand).then(|| vec![hand])
    }

    /// The beginning of the day before which a pass may not begin, where that is pinned.
    fn pinned_from(&self, calendar: &Calendar<'_>, pass: &Pass) -> Option<i64> {
        calendar.midnight(self.model.kept.pin_of_pass(&pass.path)?.0.on?)
    }

    /// Working days from the first on, until there are hours enough for everything.
    fn hand(&self, calendar: &Calendar<'_>, desk: &Desk, start: Date) -> Hand {
        let (clock, reviewed) = stages::minutes(self.breakdown.passes.values());
        let needed = self.breakdown.passes.values().map(minutes).fold(reviewed, i64::saturating_add);
        let shot = calendar.shoot.days.iter().map(|day| day.date).max();
        // What is pinned to a later day needs its hours after that.
        let pinned =
            self.breakdown.passes.values().filter_map(|pass| self.model.kept.pin_of_pass(&pass.path)?.0.on);
        let last = shot.into_iter().chain(pinned).fold(start, Date::max);
        let end = last.checked_add(YEARS.years()).unwrap_or(Date::MAX);
        // While machines render nobody need have work, whatever the order.
        let idle = clock.div_euclid(24 * 60).min(YEARS * 366);
        let last = last.checked_add(idle.days()).unwrap_or(Date::MAX).min(end);
        let hours = minutes_of(desk);
        let mut shifts = Vec::new();
        let mut left = needed.saturating_add(hours);
        let mut date = start;
        while hours > 0 && left > 0 && date < end {
            let open = calendar.hours(desk, date);
            if date > last {
                left -= open.iter().map(|(from, to)| to - from).sum::<i64>();
            }
            shifts.extend(open);
            let Ok(next) = date.tomorrow() else { break };
            date = next;
        }
        let late_hours = Hours::new(calendar.evenings(desk));
        Hand { late_hours, ..Hand::person(Hours::new(shifts)) }
    }
}

/// Whole minutes of work, rounded up.
fn minutes(pass: &Pass) -> i64 {
    crate::order::duration::minutes(Seconds(pass.effort.0 * 3600.0))
}

/// Whether a pass takes somebody's time.
fn works(pass: &Pass) -> bool {
    !pass.lock && minutes(pass) > 0
}

/// Who can do a pass: those of its own department first.
fn able(model: &Model, pass: &Pass) -> Vec<HandId> {
    let hand = |id: crate::model::DeskId| HandId::from_index(id.index());
    let own = |desk: &Desk| desk.does.iter().any(|does| does.value == pass.department);
    let desks = &model.desks;
    let first = desks.iter().filter(|(_, desk)| own(desk)).map(|(id, _)| hand(id));
    let then = desks.iter().filter(|(_, desk)| !own(desk) && pass.is_for(desk)).map(|(id, _)| hand(id));
    if works(pass) { first.chain(then).collect() } else { Vec::new() }
}
