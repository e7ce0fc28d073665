//! From passes to the plain desk problem and back.
//!
//! In: the breakdown, the graph, and on which date each planned plate is shot.
//! Out: a [`DeskPlan`]. Conventions: a working day starts at 10:00 local time
//! and lasts as long as the person's hours a day; footage is in hand on the
//! day after it is shot; what waits for nothing may start on the first allowed
//! shoot day. A pass whose footage is not planned, or for whose department
//! there is nobody, is named with the reason, and so is all that waits for it.

use super::problem::{Hand, HandId, Problem, Task, TaskId};
use super::schedule::{Schedule, earliest};
use super::slack::slack;
use crate::graph::{self, Node, Work};
use crate::model::arena::Id;
use crate::model::{Desk, DeskId, Model, PlateId};
use crate::order::duration::DESK_START;
use crate::order::plan::{Assignment, DeskPlan, Minute, Quality, Unplanned};
use crate::order::reasons::Reasons;
use crate::order::steady::desk::{Known, solve as steady};
use crate::order::waits::{Before, before_passes};
use crate::quantity::Hours;
use crate::recipe::{Breakdown, Pass, PassId};
use jiff::ToSpan;
use jiff::civil::{Date, Weekday};
use jiff::tz::TimeZone;
use std::collections::{BTreeMap, BTreeSet};

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

impl DeskWork<'_> {
    /// Plans the desk. `shot` gives the date of every planned plate.
    pub(crate) fn plan(&self, shot: &BTreeMap<PlateId, Date>) -> DeskPlan {
        let mut unplanned = self.impossible(shot);
        let start = self.first_day();
        let (problem, passes, desks) = match start {
            Some(start) => self.problem(shot, &mut unplanned, start),
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
        let (schedule, proven) = steady(&problem, &known);
        self.tell(&problem, &schedule, proven, (&passes, &desks), unplanned)
    }

    fn first_day(&self) -> Option<Date> {
        let days = self.model.days.as_ref()?;
        days.each.iter().map(|day| day.date).min()
    }

    /// Passes that cannot be planned, with those that wait for them.
    fn impossible(&self, shot: &BTreeMap<PlateId, Date>) -> BTreeMap<PassId, Reasons> {
        let mut gone: BTreeMap<PassId, Reasons> = BTreeMap::new();
        for (id, pass) in self.breakdown.passes.iter() {
            let mut reasons = Reasons::new();
            if works(pass) && !self.model.desks.values().any(|desk| can(desk, pass)) {
                reasons.push((format!("nobody at the desk does {}", pass.department), Some(pass.span)));
            }
            for &plate in self.before.get(&id).into_iter().flat_map(|before| &before.plates) {
                if !shot.contains_key(&plate) {
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
    fn name(&self, pass: PassId) -> String {
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
        shot: &BTreeMap<PlateId, Date>,
        unplanned: &mut BTreeMap<PassId, Reasons>,
        start: Date,
    ) -> (Problem, Vec<PassId>, Vec<DeskId>) {
        let needed: i64 =
            self.breakdown.passes.values().map(|pass| minutes(pass.effort)).fold(0, i64::saturating_add);
        let last = shot.values().copied().max().map_or(start, |last| last.max(start));
        let hands: Vec<Hand> =
            self.model.desks.values().map(|desk| self.hand(desk, (start, last), needed)).collect();
        self.without_hours(&hands, (needed, last), unplanned);
        let mut problem = Problem {
            hands: crate::order::shoot::problem::collected(hands),
            due: self.model.finish.as_ref().and_then(|finish| self.midnight(finish.by.tomorrow().ok()?)),
            ..Problem::default()
        };
        let mut passes = Vec::new();
        let mut task_of: BTreeMap<PassId, TaskId> = BTreeMap::new();
        let begin = self.midnight(start).unwrap_or(0);
        for (id, pass) in self.breakdown.passes.iter().filter(|(id, _)| !unplanned.contains_key(id)) {
            let in_hand = |plate: &PlateId| self.midnight(shot.get(plate)?.tomorrow().ok()?);
            let plates = self.before.get(&id).into_iter().flat_map(|before| &before.plates);
            let task = Task {
                work: if works(pass) { minutes(pass.effort) } else { 0 },
                able: self.pinned_to(pass).unwrap_or_else(|| able(self.model, pass)),
                release: plates.filter_map(in_hand).chain(self.pinned_on(pass)).max().unwrap_or(begin),
                ..Task::default()
            };
            task_of.insert(id, problem.tasks.push(task));
            passes.push(id);
        }
        for (id, &task) in &task_of {
            for (on, _) in self.before.get(id).into_iter().flat_map(|before| &before.passes) {
                if let Some(&other) = task_of.get(on) {
                    problem.tasks[task].before.push(other);
                    problem.tasks[other].after.push(task);
                }
            }
        }
        (problem, passes, self.model.desks.ids().collect())
    }

    /// The one who is to do a pass, where that is pinned and can be.
    fn pinned_to(&self, pass: &Pass) -> Option<Vec<HandId>> {
        let by = self.model.kept.pin_of_pass(&pass.path)?.1?;
        let desk = self.model.desks.iter().find(|(_, desk)| desk.named.path == by)?;
        let hand = HandId::from_index(desk.0.index());
        able(self.model, pass).contains(&hand).then(|| vec![hand])
    }

    /// The beginning of the day to which a pass is pinned.
    fn pinned_on(&self, pass: &Pass) -> Option<i64> {
        self.midnight(self.model.kept.pin_of_pass(&pass.path)?.0.on?)
    }

    /// Names passes for whose people the hours of twenty years are not enough.
    fn without_hours(
        &self,
        hands: &[Hand],
        (needed, last): (i64, Date),
        unplanned: &mut BTreeMap<PassId, Reasons>,
    ) {
        let after = last.tomorrow().ok().and_then(|date| self.midnight(date)).unwrap_or(0);
        let enough = |hand: &HandId| {
            hands.get(hand.index()).is_some_and(|hand| hand.capacity() - hand.worked(after) >= needed)
        };
        for (id, pass) in self.breakdown.passes.iter() {
            if works(pass) && !unplanned.contains_key(&id) && !able(self.model, pass).iter().all(enough) {
                let text = format!(
                    "whoever does {} has not hours enough within {YEARS} years for all there is to do",
                    pass.department
                );
                unplanned.insert(id, vec![(text, Some(pass.span))]);
            }
        }
        self.behind(unplanned);
    }

    /// Working days from the first on, until there are hours enough for everything.
    fn hand(&self, desk: &Desk, (start, last): (Date, Date), needed: i64) -> Hand {
        let hours = minutes(desk.hours).min(24 * 60);
        let mut shifts = Vec::new();
        let mut left = needed.saturating_add(hours);
        let mut date = start;
        let end = last.checked_add(YEARS.years()).unwrap_or(Date::MAX);
        while hours > 0 && left > 0 && date < end {
            let away = desk.away.iter().any(|away| away.value.from <= date && date <= away.value.to);
            let off: &[Weekday] = &desk.off;
            if !away
                && !off.contains(&date.weekday())
                && let Some(from) = Minute::from_civil(date.at(DESK_START, 0, 0, 0), self.zone)
            {
                shifts.push((from.0, from.0 + hours));
                if date > last {
                    left -= hours;
                }
            }
            let Ok(next) = date.tomorrow() else { break };
            date = next;
        }
        Hand::new(shifts)
    }

    fn midnight(&self, date: Date) -> Option<i64> {
        Minute::from_civil(date.at(0, 0, 0, 0), self.zone).map(|at| at.0)
    }

    fn tell(
        &self,
        problem: &Problem,
        schedule: &Schedule,
        proven: bool,
        (passes, desks): (&[PassId], &[DeskId]),
        unplanned: BTreeMap<PassId, Reasons>,
    ) -> DeskPlan {
        let pass_of = |task: TaskId| passes.get(task.index()).copied();
        let slack = slack(problem, schedule);
        let mut plan = DeskPlan {
            work: Vec::new(),
            done: BTreeMap::new(),
            unplanned: unplanned.into_iter().map(|(what, reasons)| Unplanned { what, reasons }).collect(),
            finish: schedule.values().map(|done| Minute(done.end)).max(),
            late_days: 0,
            quality: if proven { Quality::Proven } else { Quality::Found },
            critical: Vec::new(),
            float: BTreeMap::new(),
        };
        for task in super::schedule::by_time(schedule) {
            let Some(pass) = pass_of(task) else { continue };
            let done = schedule[task];
            plan.done.insert(pass, Minute(done.end));
            plan.float.insert(pass, Hours(slack[task].0 as f64 / 60.0));
            if slack[task].1 {
                plan.critical.push(pass);
            }
            let Some(desk) = done.hand.and_then(|hand| desks.get(hand.index())).copied() else { continue };
            plan.work.push(Assignment {
                pass,
                desk,
                start: Minute(done.start),
                end: Minute(done.end),
                because: self.because(problem, schedule, task, passes),
            });
        }
        plan.late_days = self.late_days(problem, plan.finish);
        plan
    }

    /// What the start of a task waited for.
    fn because(&self, problem: &Problem, schedule: &Schedule, id: TaskId, passes: &[PassId]) -> String {
        let task = &problem.tasks[id];
        let done = schedule[id];
        let Some(hand) = done.hand else { return String::new() };
        let name = |task: TaskId| passes.get(task.index()).map_or(String::new(), |&pass| self.name(pass));
        let from = earliest(task, schedule);
        let hours = &problem.hands[hand];
        if hours.worked(from) < done.from {
            let held = schedule
                .iter()
                .filter(|(one, other)| {
                    other.hand == Some(hand) && other.from + problem.tasks[*one].work == done.from
                })
                .map(|(one, _)| one)
                .next();
            return held.map_or_else(String::new, |one| format!("{} is first at the same desk", name(one)));
        }
        let latest =
            task.before.iter().copied().find(|&one| schedule[one].end == from && from > task.release);
        if let Some(one) = latest {
            let words = passes
                .get(id.index())
                .and_then(|pass| self.before.get(pass))
                .and_then(|before| before.passes.iter().find(|(on, _)| passes.get(one.index()) == Some(on)));
            return match words {
                Some((_, words)) if !words.is_empty() => format!("it waits for {}: {words}", name(one)),
                _ => format!("it waits for {}", name(one)),
            };
        }
        let first = self.first_day().and_then(|date| self.midnight(date));
        if first == Some(task.release) {
            "it waits for nothing".into()
        } else {
            let date = Minute(task.release).civil(self.zone).date();
            format!("its footage is in hand on {date}")
        }
    }

    /// Dates after the finish date, up to the last day of work, on which anybody works.
    fn late_days(&self, problem: &Problem, finish: Option<Minute>) -> i64 {
        let (Some(due), Some(finish)) = (problem.due, finish) else { return 0 };
        let late: BTreeSet<Date> = problem
            .hands
            .values()
            .flat_map(Hand::starts)
            .filter(|&at| at >= due && at < finish.0)
            .map(|at| Minute(at).civil(self.zone).date())
            .collect();
        late.len() as i64
    }
}

/// Whole minutes of work, rounded up.
fn minutes(effort: Hours) -> i64 {
    crate::order::duration::minutes(crate::quantity::Seconds(effort.0 * 3600.0))
}

/// Whether a pass takes somebody's time.
fn works(pass: &Pass) -> bool {
    !pass.lock && minutes(pass.effort) > 0
}

fn can(desk: &Desk, pass: &Pass) -> bool {
    desk.does.iter().any(|does| does.value == pass.department || pass.or.contains(&does.value))
}

/// Who can do a pass: those of its own department first.
fn able(model: &Model, pass: &Pass) -> Vec<HandId> {
    let hand = |id: DeskId| HandId::from_index(id.index());
    let own = |desk: &Desk| desk.does.iter().any(|does| does.value == pass.department);
    let desks = &model.desks;
    let first = desks.iter().filter(|(_, desk)| own(desk)).map(|(id, _)| hand(id));
    let then = desks.iter().filter(|(_, desk)| !own(desk) && can(desk, pass)).map(|(id, _)| hand(id));
    if works(pass) { first.chain(then).collect() } else { Vec::new() }
}
