//! Charge and card space along a day, for people to see.
//!
//! In: a day as it is worked. Out: [`Level`]s of everything that the day draws from.
//! Guaranteed: they are drawn and charged as the planner does it (`shoot::run`), so the
//! lowest is the least that it allowed; between two moments a level is taken as straight.

use super::blocks::Built;
use super::duration::recorded;
use super::plan::{Level, LevelOf, Minute, Step, StepKind};
use super::setting::Setting;
use super::shoot::event::{Event, Happening};
use super::shoot::problem::{BlockId, DayId, StoreId};
use super::shoot::score::Worked;
use super::shoot::store::Charge;
use crate::model::CameraId;
use std::collections::BTreeMap;

/// What happens to charge, in order of time.
enum Turn {
    /// Packs charge while people eat.
    Meal,
    /// A block is worked after so many minutes of waiting for charge.
    Block(BlockId, i64),
}

/// Levels of what the day draws from: batteries, flight packs, cards.
pub(crate) fn along(
    (setting, built): (&Setting<'_>, &Built),
    day: DayId,
    (worked, events, steps): (&Worked, &[Event], &[Step]),
) -> Vec<Level> {
    let mut levels = charge((setting, built), day, (worked, events));
    levels.extend(cards(setting, Minute(worked.start), steps));
    levels
}

fn charge(
    (setting, built): (&Setting<'_>, &Built),
    day: DayId,
    (worked, events): (&Worked, &[Event]),
) -> Vec<Level> {
    let (stores, chargers) = (&built.problem.stores, built.problem.days[day].chargers);
    let mut turns: Vec<(i64, i64, Turn)> = Vec::new();
    for &(block, begin, end) in &worked.times {
        let waited = events.iter().find_map(|&(from, to, what)| match what {
            Happening::Charge(one, _) if one == block => Some(to - from),
            _ => None,
        });
        turns.push((begin, end, Turn::Block(block, waited.unwrap_or(0))));
    }
    let meals = events.iter().filter(|(_, _, what)| matches!(what, Happening::Meal));
    turns.extend(meals.map(|&(from, to, _)| (from, to, Turn::Meal)));
    turns.sort_by_key(|(from, to, _)| (*from, *to));

    let mut charge = Charge::full(stores);
    let mut now = worked.start;
    let mut points: BTreeMap<StoreId, Vec<(i64, i64)>> = BTreeMap::new();
    let mut note = |at: i64, charge: &Charge| {
        for store in stores.ids() {
            points.entry(store).or_default().push((at, charge.left(store)));
        }
    };
    note(now, &charge);
    for (from, to, turn) in turns {
        match turn {
            Turn::Meal => {
                note(from, &charge);
                charge.charge(stores, chargers, to - from);
            }
            Turn::Block(block, waited) => {
                charge.charge(stores, chargers, from - waited - now);
                if waited > 0 {
                    note(from - waited, &charge);
                    charge.charge(stores, chargers, waited);
                }
                note(from, &charge);
                // It was drawn so when the day was planned: there is enough.
                let _ = charge.draw(&built.problem.blocks[block].draws);
            }
        }
        note(to, &charge);
        now = to;
    }

    let mut levels = Vec::new();
    for (store, points) in points {
        let each = stores[store];
        let used = points.iter().any(|(_, left)| *left < each.holds * each.packs as i64);
        let camera = built.cameras.get(&store).copied();
        let of = camera.map(LevelOf::Charge).or_else(|| built.rigs.get(&store).copied().map(LevelOf::Packs));
        let Some(of) = of.filter(|_| used) else { continue };
        // What is kept back is there too.
        let full = camera.and_then(|id| setting.model.cameras[id].battery.as_ref()).map(|full| full.value.0);
        let kept = full.map_or(0.0, |full| full - each.holds as f64) * each.packs as f64;
        let minutes = |seconds: i64| (seconds as f64 + kept) / 60.0;
        levels.push(Level {
            of,
            most: minutes(each.holds * each.packs as i64),
            along: points.into_iter().map(|(at, left)| (Minute(at), minutes(left))).collect(),
        });
    }
    levels
}

/// Space left on the cards of every camera that records and whose cards are known.
fn cards(setting: &Setting<'_>, start: Minute, steps: &[Step]) -> Vec<Level> {
    let model = setting.model;
    let mut left: BTreeMap<CameraId, Level> = BTreeMap::new();
    for step in steps {
        let StepKind::Shoot(plate) = step.kind else { continue };
        let plate = &setting.breakdown.plates[plate];
        let mode = &model.modes[plate.mode];
        let camera = &model.cameras[mode.camera];
        let Some(card) = camera.card.as_ref() else { continue };
        let most = card.value.0 * f64::from(camera.cards.max(1)) * f64::from(camera.count.max(1));
        let bytes = recorded(plate) as f64
            * f64::from(plate.takes.max(1))
            * mode.stream.map_or(0.0, |stream| stream.0 / 8.0);
        if bytes <= 0.0 {
            continue;
        }
        let level = left.entry(mode.camera).or_insert_with(|| Level {
            of: LevelOf::Card(mode.camera),
            most,
            along: vec![(start, most)],
        });
        let before = level.along.last().map_or(most, |(_, left)| *left);
        level.along.push((step.start, before));
        level.along.push((step.end, before - bytes));
    }
    left.into_values().collect()
}
