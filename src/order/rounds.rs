//! Shoot and desk together.
//!
//! In: model, breakdown and graph. Out: both plans. Plates that wait for no
//! desk work are planned first; the desk is then planned on their footage, and
//! plates that wait for a pass come on a day after it is done. Each round
//! keeps the days of the rounds before it.

use super::blocks::Bounds;
use super::cover;
use super::desk::passes::{DeskWork, waits};
use super::effort::Effort;
use super::explain;
use super::plan::{DeskPlan, Minute, Plan, ShootPlan};
use super::reasons::Reasons;
use super::setting::Setting;
use super::shooting::shoot;
use super::window::day_range;
use crate::graph::Work;
use crate::model::{Model, PlateId};
use crate::recipe::{Breakdown, PassId};
use std::collections::{BTreeMap, BTreeSet};

/// Plans the shoot and the desk with the usual effort.
pub fn plan(model: &Model, breakdown: &Breakdown, work: &Work) -> Plan {
    plan_with(model, breakdown, work, Effort::default())
}

/// Plans the shoot and the desk, and the covers of days that depend on the weather; what is
/// left out is told with a smallest set of lines that cannot hold together.
pub fn plan_with(model: &Model, breakdown: &Breakdown, work: &Work, effort: Effort) -> Plan {
    let (within, without) = (Bounds::new(), BTreeSet::new());
    let wishes = Wishes { effort, within: &within, without: &without };
    let mut plan = plan_within(model, breakdown, work, &wishes);
    explain::name_conflicts(model, breakdown, work, (&mut plan, effort));
    plan.covers = cover::covers(model, breakdown, work, (&plan, effort));
    plan
}

/// What is asked of a plan besides the sequence.
pub(crate) struct Wishes<'w> {
    /// How hard to try.
    pub(crate) effort: Effort,
    /// Days to which plates are held.
    pub(crate) within: &'w Bounds,
    /// Plates that are left out.
    pub(crate) without: &'w BTreeSet<PlateId>,
}

/// Plans; what is left out is told with the reasons that the planner met.
pub(crate) fn plan_within(model: &Model, breakdown: &Breakdown, work: &Work, wishes: &Wishes<'_>) -> Plan {
    let mut setting = Setting::new(model, breakdown, work);
    setting.effort = wishes.effort;
    let before = waits(breakdown, work);
    let desk = DeskWork { model, breakdown, zone: &setting.zone, before: &before, effort: wishes.effort };
    let mut barred: BTreeMap<PlateId, Reasons> =
        wishes.without.iter().map(|&plate| (plate, vec![("it is left out".into(), None)])).collect();
    loop {
        let (shot, planned) = round(&setting, &desk, wishes.within, &mut barred);
        let broken = too_early(&setting, &shot, &planned);
        if broken.is_empty() {
            return Plan { shoot: shot, desk: planned, covers: Vec::new() };
        }
        // The desk fell behind what an earlier round said: those plates go, so this ends.
        barred.extend(broken);
    }
}

/// All rounds once through.
fn round(
    setting: &Setting<'_>,
    desk: &DeskWork<'_>,
    within: &Bounds,
    barred: &mut BTreeMap<PlateId, Reasons>,
) -> (ShootPlan, DeskPlan) {
    let depth = |plate: &PlateId| setting.depth(*plate);
    let taken = &setting.model.record.taken;
    let all: Vec<PlateId> = setting.breakdown.plates.ids().filter(|plate| !taken.contains(plate)).collect();
    let depths: BTreeSet<usize> = all.iter().map(depth).chain([0]).collect();
    let mut bounds = within.clone();
    let mut last: Option<(ShootPlan, DeskPlan)> = None;
    for deep in depths {
        if let Some((shot, planned)) = &last {
            for (&plate, &(day, _, _)) in &shot.shot {
                let allowed = shot.days.get(day).map_or(0, |day| day.allowed);
                bounds.insert(plate, (allowed, allowed));
            }
            for &plate in all.iter().filter(|plate| depth(plate) == deep) {
                match first_day(setting, planned, plate) {
                    Ok(first) => {
                        let (known, last) = within.get(&plate).copied().unwrap_or((0, usize::MAX));
                        bounds.insert(plate, (known.max(first), last));
                    }
                    Err(reasons) => {
                        barred.entry(plate).or_insert(reasons);
                    }
                }
            }
        }
        let wanted: BTreeSet<PlateId> = all.iter().copied().filter(|plate| depth(plate) <= deep).collect();
        let shot = shoot(setting, &wanted, &bounds, barred);
        let planned = desk.plan(&shot, &due(setting, &shot, &bounds));
        last = Some((shot, planned));
    }
    last.expect("there is always a round for what waits for no desk work")
}

/// By when plates want the passes that they wait for: the day on which they
/// are shot begins then, or the last on which they could be.
fn due(setting: &Setting<'_>, shot: &ShootPlan, bounds: &Bounds) -> BTreeMap<PassId, i64> {
    let mut wanted = BTreeMap::new();
    for (plate, waits) in setting.waits.iter().filter(|(_, waits)| !waits.passes.is_empty()) {
        let planned = shot.shot.get(plate).and_then(|&(day, _, _)| shot.days.get(day));
        let last = setting.days.len().saturating_sub(1);
        let last =
            planned.map_or(bounds.get(plate).map_or(last, |bound| bound.1.min(last)), |day| day.allowed);
        let Some(begins) = setting.days.get(last).and_then(|day| day_range(day, &setting.zone)) else {
            continue;
        };
        for (pass, _) in &waits.passes {
            let known = wanted.entry(*pass).or_insert(begins.from);
            *known = begins.from.min(*known);
        }
    }
    wanted
}

/// The first allowed day that begins after every pass that a plate waits for.
fn first_day(setting: &Setting<'_>, planned: &DeskPlan, plate: PlateId) -> Result<usize, Reasons> {
    let mut first = 0;
    let mut reasons = Reasons::new();
    for (pass, reason) in setting.waits.get(&plate).into_iter().flat_map(|waits| &waits.passes) {
        let name = setting.pass_name(*pass);
        let Some(done) = planned.done.get(pass) else {
            reasons
                .push((format!("it waits for {name}, which is not planned: {}", reason.text), reason.span));
            continue;
        };
        let begins = |day: &crate::model::DayPlan| day_range(day, &setting.zone).map(|range| range.from);
        match setting.days.iter().position(|day| begins(day).is_some_and(|from| from >= done.0)) {
            Some(day) => first = first.max(day),
            None => reasons.push((
                format!(
                    "it waits for {name}, which is done on {}, after the last allowed day begins: {}",
                    done.civil(&setting.zone).date(),
                    reason.text
                ),
                reason.span,
            )),
        }
    }
    if reasons.is_empty() { Ok(first) } else { Err(reasons) }
}

/// Plates that the final desk plan serves too late.
fn too_early(setting: &Setting<'_>, shot: &ShootPlan, planned: &DeskPlan) -> BTreeMap<PlateId, Reasons> {
    let mut broken = BTreeMap::new();
    for (&plate, &(_, start, _)) in &shot.shot {
        for (pass, reason) in setting.waits.get(&plate).into_iter().flat_map(|waits| &waits.passes) {
            let done: Option<Minute> = planned.done.get(pass).copied();
            if done.is_none_or(|done| done > start) {
                let name = setting.pass_name(*pass);
                let text = format!("it waits for {name}, which the desk cannot do in time: {}", reason.text);
                broken.entry(plate).or_insert_with(Vec::new).push((text, reason.span));
            }
        }
    }
    broken
}
