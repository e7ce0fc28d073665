//! Plans the shoot: builds the problem, takes out what cannot be, solves the
//! rest, and tells it.
//!
//! In: the setting, the plates to plan, on which days each may be. Out: a
//! [`ShootPlan`] in which every one of those plates is either shot or named
//! with its reasons.

use super::blocks::{Bounds, Built, build};
use super::plan::{Minute, PlannedDay, Quality, ShootPlan, StepKind, Unplanned};
use super::price::{Paid, paid, paid_between};
use super::reasons::{Reasons, impossible, waits_for};
use super::setting::Setting;
use super::shoot::problem::{BlockId, DayId};
use super::shoot::score::Scored;
use super::shoot::search::Solved;
use super::shoot::spent::Spent;
use super::steady;
use super::telling;
use crate::model::arena::Id;
use crate::model::{PlateId, Record};
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};

/// Plans those plates. `barred` are plates that are known not to be possible.
pub(crate) fn shoot(
    setting: &Setting<'_>,
    plates: &BTreeSet<PlateId>,
    bounds: &Bounds,
    barred: &BTreeMap<PlateId, Reasons>,
) -> ShootPlan {
    let mut unplanned = barred.clone();
    let all: BTreeSet<PlateId> = plates.iter().copied().filter(|plate| !barred.contains_key(plate)).collect();
    let all = with_hosts(setting, all, &mut unplanned);
    let whole = build(setting, &all, bounds);
    let mut gone = impossible(setting, &whole);
    bar(setting, &whole, barred, &mut gone);
    for (block, reasons) in gone {
        for plate in whole.rolling.whole(&whole.plates[block]) {
            unplanned.entry(plate).or_insert_with(|| reasons.clone());
        }
    }
    let rest: BTreeSet<PlateId> = all.into_iter().filter(|plate| !unplanned.contains_key(plate)).collect();
    let built = if rest.len() == whole.block_of.len() { whole } else { build(setting, &rest, bounds) };
    let solved = steady::shoot::solve(setting, &built);
    left_over(setting, &built, &solved.scored, &mut unplanned);
    assemble(setting, &built, &solved, unplanned)
}

/// Those of the plates whose host is among them; the others are named.
fn with_hosts(
    setting: &Setting<'_>,
    plates: BTreeSet<PlateId>,
    unplanned: &mut BTreeMap<PlateId, Reasons>,
) -> BTreeSet<PlateId> {
    let missing = |plate: &PlateId| setting.rolling.host(*plate).filter(|host| !plates.contains(host));
    for plate in &plates {
        let Some(host) = missing(plate) else { continue };
        let span = setting.breakdown.plates[*plate].rolls_with.map(|host| host.span);
        let text = format!("it rolls with {}, which is not planned", setting.name(host));
        unplanned.insert(*plate, vec![(text, span)]);
    }
    plates.iter().copied().filter(|plate| missing(plate).is_none()).collect()
}

/// Adds what waits for a barred plate, one after the other.
fn bar(
    setting: &Setting<'_>,
    built: &Built,
    barred: &BTreeMap<PlateId, Reasons>,
    gone: &mut BTreeMap<BlockId, Reasons>,
) {
    let mut out: BTreeSet<PlateId> = barred.keys().copied().collect();
    out.extend(gone.keys().flat_map(|&block| built.rolling.whole(&built.plates[block])));
    loop {
        let mut more: BTreeMap<BlockId, Reasons> = BTreeMap::new();
        for (&plate, &block) in built.block_of.iter().filter(|(_, block)| !gone.contains_key(block)) {
            let waits = setting.waits.get(&plate).into_iter().flat_map(|waits| &waits.plates);
            for (before, reason) in waits.filter(|(before, _)| out.contains(before)) {
                let text =
                    format!("it waits for {}, which is not planned: {}", setting.name(*before), reason.text);
                more.entry(block).or_default().push((text, reason.span));
            }
        }
        if more.is_empty() {
            return;
        }
        out.extend(more.keys().flat_map(|&block| built.rolling.whole(&built.plates[block])));
        gone.extend(more);
    }
}

/// Reasons for what each could be planned alone but found no room together.
fn left_over(
    setting: &Setting<'_>,
    built: &Built,
    scored: &Scored,
    unplanned: &mut BTreeMap<PlateId, Reasons>,
) {
    for &id in &scored.left {
        let block = &built.problem.blocks[id];
        let before = block.before.iter().find(|&&one| scored.at[one].is_none());
        let reasons = match before {
            Some(&gone) => vec![waits_for(setting, built, id, gone)],
            None => vec![no_room(setting, built, scored, id)],
        };
        for plate in built.rolling.whole(&built.plates[id]) {
            unplanned.insert(plate, reasons.clone());
        }
    }
}

fn no_room(
    setting: &Setting<'_>,
    built: &Built,
    scored: &Scored,
    id: BlockId,
) -> (String, Option<crate::source::Span>) {
    let block = &built.problem.blocks[id];
    let class = &built.problem.classes[block.class];
    let open = built.problem.days.ids().filter(|&day| !class.days[day].windows.is_empty());
    let mut rivals: Vec<String> = open
        .flat_map(|day| &scored.days[day])
        .filter(|other| {
            let states = |id: BlockId| {
                let parts = &built.problem.blocks[id].parts;
                parts.iter().flat_map(|part| part.states.iter().map(|state| state.0)).collect::<BTreeSet<_>>()
            };
            let same_light = built.problem.blocks[**other].class == block.class;
            same_light || !states(**other).is_disjoint(&states(id))
        })
        .filter_map(|&other| built.plates[other].first())
        .map(|&plate| setting.name(plate))
        .collect();
    rivals.sort_unstable();
    rivals.dedup();
    rivals.truncate(5);
    let with = if rivals.is_empty() { "what else is planned".into() } else { rivals.join(", ") };
    let span = built.plates[id].first().map(|&plate| setting.breakdown.plates[plate].named.span);
    (format!("no allowed day has room for its {} min beside {with}", block.work()), span)
}

fn assemble(
    setting: &Setting<'_>,
    built: &Built,
    solved: &Solved,
    unplanned: BTreeMap<PlateId, Reasons>,
) -> ShootPlan {
    let scored = &solved.scored;
    let mut days = telling::days(setting, built, scored);
    for day in &mut days {
        day.proven = solved.sure.contains(&DayId::from_index(day.allowed));
    }
    let in_all = number(&mut days, &setting.model.record);
    let shot = shot(built, &days);
    let mut setups = setting.setups.all.clone();
    let ids: Vec<_> = setups.ids().collect();
    for id in ids {
        // What is captured needs no set-up any more.
        setups[id].plates.retain(|plate| !setting.model.record.taken.contains(plate));
        // In the order in which they are shot; what is not shot comes last, in story order.
        setups[id].plates.sort_by_key(|plate| match shot.get(plate) {
            Some(&(_, start, _)) => (0, start.0, 0),
            None => (1, 0, setting.ranks.get(plate).copied().unwrap_or(0)),
        });
    }
    ShootPlan {
        setups,
        shot,
        unplanned: unplanned.into_iter().map(|(what, reasons)| Unplanned { what, reasons }).collect(),
        quality: if solved.proven() { Quality::Proven } else { Quality::Found },
        price: price(built, scored),
        cost: scored.cost,
        bound: solved.bound,
        days,
        in_all,
    }
}

/// Numbers the days by date among those that are logged, and gives their count.
fn number(days: &mut [PlannedDay], record: &Record) -> usize {
    let mut dates: BTreeSet<Date> = record.days.iter().map(|day| day.date).collect();
    dates.extend(days.iter().map(|day| day.date));
    for day in days {
        day.number = dates.range(..=day.date).count();
    }
    dates.len()
}

fn shot(built: &Built, days: &[PlannedDay]) -> BTreeMap<PlateId, (usize, Minute, Minute)> {
    let mut shot = BTreeMap::new();
    for (day, planned) in days.iter().enumerate() {
        for step in &planned.steps {
            if let StepKind::Shoot(plate) = step.kind {
                shot.insert(plate, (day, step.start, step.end));
                for &companion in built.rolling.with(plate) {
                    shot.insert(companion, (day, step.start, step.end));
                }
            }
        }
    }
    shot
}

/// What the plan pays for what.
pub(crate) fn price(built: &Built, scored: &Scored) -> Vec<Paid> {
    let (problem, weights) = (&built.problem, &built.problem.weights);
    let mut sum = Spent::default();
    for worked in scored.worked.values().flatten() {
        sum.add(&worked.spent);
    }
    let split = problem
        .blocks
        .iter()
        .flat_map(|(id, block)| block.links.iter().map(move |link| (id, link.to)))
        .filter(|(id, other)| id < other)
        .filter(|(id, other)| match (scored.at[*id], scored.at[*other]) {
            (Some((one, _)), Some((two, _))) => one != two,
            _ => false,
        })
        .count() as i64;
    let days = scored.worked.values().flatten().count();
    let mut price = paid(&sum, weights);
    price.extend(paid_between(days, split, scored.apart(problem), weights));
    price
}
