//! Days on which everything has its place, and only one order or few show it.

use super::{Draft, problem};
use crate::model::arena::Id;
use crate::order::shoot::ground::Ground;
use crate::order::shoot::improve::Dice;
use crate::order::shoot::in_time::in_time;
use crate::order::shoot::lean::Lean;
use crate::order::shoot::pace::Morning;
use crate::order::shoot::problem::*;
use crate::order::shoot::sketch::Pencil;

/// Set-ups of an invented day.
const SETUPS: usize = 18;

/// A day whose set-ups lie on a field and have windows round an order drawn at random.
fn day(seed: u64) -> Problem {
    let mut dice = Dice::new(seed);
    let mut between = |from: i64, to: i64| from + dice.below((to - from) as usize) as i64;
    let field: Vec<(i64, i64)> = (0..SETUPS).map(|_| (between(0, 30), between(0, 30))).collect();
    let way = |from: &(i64, i64), to: &(i64, i64)| (from.0 - to.0).abs() + (from.1 - to.1).abs();
    let mut now = 60;
    let mut drafts = Vec::new();
    for (at, spot) in field.iter().enumerate() {
        let work = between(5, 15);
        let before = at.checked_sub(1).and_then(|at| field.get(at));
        now += before.map_or(0, |before| way(before, spot));
        let (early, late) = (between(5, 40), between(5, 40));
        let window = Some(((now - early).max(0), early + work + late));
        now += work;
        let plain = Draft {
            spot: at,
            setup: 0,
            work,
            window,
            person: None,
            state: None,
            piece: 0,
            waits: None,
            linked: None,
        };
        drafts.push(plain);
    }
    // Listed in another order than that of the day.
    let drafts: Vec<Draft> = (0..SETUPS).filter_map(|at| drafts.get(at * 7 % SETUPS).cloned()).collect();
    let mut problem = problem(&drafts, 1);
    let blocks: Vec<BlockId> = problem.blocks.ids().collect();
    for (&id, draft) in blocks.iter().zip(&drafts) {
        let block = &mut problem.blocks[id];
        (block.setup, block.fit, block.fitting, block.turning) = (0, 0, 0, 0);
        block.spot = SpotId::from_index(draft.spot);
    }
    let id = DayId::from_index(0);
    let start = problem.days[id].call;
    let classes: Vec<ClassId> = problem.classes.ids().collect();
    for (&class, draft) in classes.iter().zip(&drafts) {
        let (from, long) = draft.window.unwrap_or_default();
        let window = Window { from: start + from, to: start + from + long };
        problem.classes[class].days[id].windows = vec![window];
    }
    let day = &mut problem.days[id];
    (day.wrap, day.meal_within, day.long, day.base) = (start + 1400, 2000, 2000, None);
    let whole = vec![Window { from: start, to: start + 1400 }];
    problem.access = collected(field.iter().map(|_| collected([whole.clone()])));
    problem.travel = collected(field.iter().map(|from| collected(field.iter().map(|to| way(from, to)))));
    problem
}

/// From an order that breaks windows to one that keeps them all. Days are made
/// round an order, so that one is known to exist; no source.
#[test]
fn a_day_is_turned_about_until_everything_is_in_time() {
    let mut late_at_first = 0;
    for seed in 0..24 {
        let problem = day(seed);
        let lean = Lean::new(&problem);
        let mut pencil = Pencil::new(&lean, i64::MAX);
        let (id, blocks) = (DayId::from_index(0), problem.blocks.ids().collect::<Vec<_>>());
        let morning = Morning::new(&lean, id, pencil.dawn_of(&pencil.empty(), id));
        let ground = Ground::new(&morning, &blocks);
        let as_listed = collected([blocks.clone()]);
        late_at_first += u32::from(pencil.sketch(&as_listed).is_none());
        let (order, steps) = in_time(&ground, (0..SETUPS).collect(), &mut Dice::new(1), 2_000_000);
        let order = order.unwrap_or_else(|| unreachable!("day {seed} has an order"));
        let order = collected([order.iter().map(|&at| blocks[at]).collect()]);
        assert!(pencil.sketch(&order).is_some(), "day {seed} breaks a window");
        assert!(steps <= 2_100_000, "day {seed} took {steps} steps");
    }
    assert_eq!(late_at_first, 24);
}

/// Where no order keeps all windows, none is claimed.
#[test]
fn no_order_is_made_up() {
    let mut problem = day(3);
    let (first, rest) = (ClassId::from_index(0), problem.classes.ids().skip(1).collect::<Vec<_>>());
    for class in rest {
        problem.classes[class] = problem.classes[first].clone();
    }
    let lean = Lean::new(&problem);
    let pencil = Pencil::new(&lean, i64::MAX);
    let (id, blocks) = (DayId::from_index(0), problem.blocks.ids().collect::<Vec<_>>());
    let morning = Morning::new(&lean, id, pencil.dawn_of(&pencil.empty(), id));
    let ground = Ground::new(&morning, &blocks);
    let (order, steps) = in_time(&ground, (0..SETUPS).collect(), &mut Dice::new(1), 50_000);
    assert_eq!(order, None);
    assert!(steps < 60_000);
}
