//! From the plain desk plan back to passes, with words.

use super::Done;
use super::passes::{DeskWork, Planned};
use super::problem::TaskId;
use crate::model::DeskId;
use crate::model::arena::Id;
use crate::order::plan::{Assignment, DeskPlan, Minute, Quality, Unplanned, Waited};
use crate::order::reasons::Reasons;
use crate::quantity::Hours;
use crate::recipe::PassId;
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};

impl DeskWork<'_> {
    /// The plan as later stages read it.
    pub(super) fn tell(&self, planned: &Planned<'_>, unplanned: BTreeMap<PassId, Reasons>) -> DeskPlan {
        let answer = &planned.answer;
        let mut plan = DeskPlan {
            work: Vec::new(),
            done: BTreeMap::new(),
            after: BTreeMap::new(),
            unplanned: unplanned.into_iter().map(|(what, reasons)| Unplanned { what, reasons }).collect(),
            finish: answer.finish.map(Minute),
            late_days: 0,
            bound: answer.finish.map(|_| Minute(answer.bound)),
            quality: if answer.proven { Quality::Proven } else { Quality::Found },
            critical: Vec::new(),
            float: BTreeMap::new(),
        };
        let done = answer.tasks.iter().filter_map(|(task, done)| Some((task, (*done)?)));
        let mut done: Vec<(TaskId, Done)> = done.collect();
        done.sort_by_key(|(task, done)| (done.start, done.end, *task));
        for &(task, one) in &done {
            let Some(&pass) = planned.passes.get(task.index()) else { continue };
            let Some((ready, after)) = after(planned, pass, one.end) else { continue };
            plan.done.insert(pass, ready);
            if !after.is_empty() {
                plan.after.insert(pass, after);
            }
            plan.float.insert(pass, Hours(one.float as f64 / 60.0));
            if one.critical {
                plan.critical.push(pass);
            }
            let Some(hand) = one.hand else { continue };
            plan.work.push(Assignment {
                pass,
                desk: DeskId::from_index(hand.index()),
                start: Minute(one.start),
                end: Minute(one.end),
                because: self.because(planned, (task, one), &done),
            });
        }
        plan.late_days = self.late_days(planned, plan.finish);
        plan
    }

    /// What the start of a task waited for.
    fn because(&self, planned: &Planned<'_>, (id, done): (TaskId, Done), all: &[(TaskId, Done)]) -> String {
        let Some(hand) = done.hand else { return String::new() };
        let task = &planned.problem.tasks[id];
        let pass_of = |task: TaskId| match planned.stages.whose(task) {
            Some((pass, _)) => Some(pass),
            None => planned.passes.get(task.index()).copied(),
        };
        let name = |task: TaskId| {
            let name = pass_of(task).map_or(String::new(), |pass| self.name(pass));
            match planned.stages.whose(task) {
                Some((_, kind)) => format!("the {} of {name}", kind.word()),
                None => name,
            }
        };
        let end_of = |task: TaskId| planned.answer.tasks[task].map_or(i64::MIN, |done| done.end);
        let waits = task.before.iter().map(|wait| (end_of(wait.on) + wait.gap, wait.on));
        let from = waits.clone().map(|(end, _)| end).max().unwrap_or(i64::MIN).max(task.release);
        let own = &planned.problem.hands[hand];
        let hours = if task.urgent { own.hours.with(&own.late_hours) } else { own.hours.clone() };
        if hours.worked(from) < hours.worked(done.start) {
            let held = all.iter().filter(|(one, other)| {
                *one != id && other.hand == Some(hand) && other.start < done.start && other.end <= done.start
            });
            let held = held.filter(|(_, other)| hours.worked(other.end) == hours.worked(done.start));
            let held = held.max_by_key(|(_, other)| (other.end, other.start));
            let pass = |task: TaskId| pass_of(task).map(|pass| &self.breakdown.passes[pass]);
            return held.map_or_else(String::new, |(one, _)| {
                let because = pass(*one).zip(pass(id)).map_or(String::new(), |(one, own)| one.before(own));
                format!("{} is first at the same desk{because}", name(*one))
            });
        }
        if let Some((_, one)) = waits.clone().find(|(end, _)| *end == from && from > task.release) {
            let before = pass_of(id).and_then(|pass| self.before.get(&pass));
            let words =
                before.and_then(|before| before.passes.iter().find(|(on, _)| pass_of(one) == Some(*on)));
            return match words {
                Some((_, words)) if !words.is_empty() => format!("it waits for {}: {words}", name(one)),
                _ => format!("it waits for {}", name(one)),
            };
        }
        let first = self.first_day().and_then(|date| planned.calendar.midnight(date));
        if first == Some(task.release) {
            "it waits for nothing".into()
        } else {
            let date = Minute(task.release).civil(self.zone).strftime("%a %-d %b");
            format!("its footage is in hand when {date} is packed")
        }
    }

    /// Dates after the finish date, up to the last day of work, on which anybody works.
    fn late_days(&self, planned: &Planned<'_>, finish: Option<Minute>) -> i64 {
        let (Some(due), Some(finish)) = (planned.problem.due, finish) else { return 0 };
        let shifts = planned.problem.hands.values().flat_map(|hand| hand.hours.shifts());
        let late: BTreeSet<Date> = shifts
            .filter(|&(from, _)| from >= due && from < finish.0)
            .map(|(from, _)| Minute(from).civil(self.zone).date())
            .collect();
        // Machines and reviews end after the due date on days off as well.
        (late.len() as i64).max(i64::from(finish.0 > due))
    }
}

/// When what waits for a pass can begin, and what lies between; nothing where
/// that is not planned.
fn after(planned: &Planned<'_>, pass: PassId, end: i64) -> Option<(Minute, Vec<Waited>)> {
    let mut ready = end;
    let mut after = Vec::new();
    for &(kind, task) in planned.stages.of(pass) {
        let to = planned.answer.tasks[task]?.end;
        after.push(Waited { kind, from: Minute(ready), to: Minute(to) });
        ready = to;
    }
    Some((Minute(ready), after))
}
