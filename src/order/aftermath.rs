//! What the rest of the plan becomes when a day falls to its cover.
//!
//! In: the plan with its covers. Out: for each cover an [`Aftermath`], from a
//! whole plan made again with that day supposed to have fallen: what was shot
//! before stays, what the cover shoots is shot that day, and everything else
//! looks for a later one. What then finds no day is told with the reasons that
//! the planner met; the smallest set of lines that cannot hold together is found
//! where the question is asked by itself. A limit in work: of a large sequence with many such
//! days only the first are told; the same question can be asked of each.

use super::blocks::Bounds;
use super::cover::{Cover, fallen};
use super::effort::Effort;
use super::plan::{Minute, Plan, Unplanned};
use super::rounds::{Wishes, plan_within};
use crate::graph::Work;
use crate::model::{Model, PlateId};
use crate::recipe::Breakdown;
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};

/// So many plates and passes may be planned again.
const WORK: u64 = 4_000;

/// What a day that falls to its cover does to the rest.
#[derive(Debug, Clone, PartialEq)]
pub struct Aftermath {
    /// Plates that are shot on another date, with the date planned and the new one; the
    /// cover's own are among them where they come from a later day.
    pub moved: Vec<(PlateId, Date, Date)>,
    /// Plates that find no day any more, with the reasons.
    pub lost: Vec<Unplanned<PlateId>>,
    /// Dates on which nothing was planned and something then is.
    pub more: Vec<Date>,
    /// Dates on which something was planned and nothing then is.
    pub fewer: Vec<Date>,
    /// When the desk is done, as planned and then.
    pub finish: (Option<Minute>, Option<Minute>),
    /// Working days after the finish date, as planned and then.
    pub late: (i64, i64),
}

/// The aftermath of each cover, by its date.
pub fn aftermaths(
    model: &Model,
    breakdown: &Breakdown,
    work: &Work,
    (plan, effort): (&Plan, Effort),
) -> BTreeMap<Date, Aftermath> {
    let size = (breakdown.plates.len() + breakdown.passes.len()).max(1) as u64;
    let many = usize::try_from((effort.of(WORK) / size).max(1)).unwrap_or(usize::MAX);
    let told = plan.covers.iter().take(many);
    told.filter_map(|cover| Some((cover.date, aftermath(model, breakdown, work, (plan, effort), cover)?)))
        .collect()
}

fn aftermath(
    model: &Model,
    breakdown: &Breakdown,
    work: &Work,
    (plan, effort): (&Plan, Effort),
    cover: &Cover,
) -> Option<Aftermath> {
    let mut model = model.clone();
    let days = model.days.as_mut()?;
    let span = days.each.get(cover.allowed)?.weather.as_ref()?.span;
    days.fallen = Some(fallen(breakdown, plan, cover, span));
    let (within, without) = (Bounds::new(), BTreeSet::new());
    let then = plan_within(&model, breakdown, work, &Wishes { effort, within: &within, without: &without });
    Some(between(plan, &then))
}

/// What is different from one plan to the other.
fn between(plan: &Plan, then: &Plan) -> Aftermath {
    let date = |plan: &Plan, plate: PlateId| {
        let (day, ..) = plan.shoot.shot.get(&plate)?;
        plan.shoot.days.get(*day).map(|day| day.date)
    };
    let dates = |plan: &Plan| plan.shoot.days.iter().map(|day| day.date).collect::<Vec<_>>();
    let moved = plan.shoot.shot.keys().filter_map(|&plate| {
        let (before, after) = (date(plan, plate)?, date(then, plate)?);
        (before != after).then_some((plate, before, after))
    });
    let lost = then.shoot.unplanned.iter().filter(|left| plan.shoot.shot.contains_key(&left.what));
    let (planned, used) = (dates(plan), dates(then));
    Aftermath {
        moved: moved.collect(),
        lost: lost.cloned().collect(),
        more: used.iter().copied().filter(|date| !planned.contains(date)).collect(),
        fewer: planned.iter().copied().filter(|date| !used.contains(date)).collect(),
        finish: (plan.desk.finish, then.desk.finish),
        late: (plan.desk.late_days, then.desk.late_days),
    }
}
