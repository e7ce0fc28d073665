//! What the search claims, against every order of invented shoots.

use super::invented::{Kind, least, shoot};
use crate::model::Arena;
use crate::model::arena::Id;
use crate::order::shoot::improve::Dice;
use crate::order::shoot::lean::Lean;
use crate::order::shoot::problem::{BlockId, DayId, Problem, filled};
use crate::order::shoot::score::{Effort, Scored};
use crate::order::shoot::search::{Zeal, solve};
use crate::order::shoot::sketch::Pencil;

/// Invented shoots for each check.
const SHOOTS: u64 = 64;

fn kind(dice: &mut Dice, most: usize) -> Kind {
    Kind {
        blocks: 1 + dice.below(most),
        days: if dice.below(3) == 0 { 2 } else { 1 },
        charge: dice.below(4) == 0,
        tight: dice.below(3) == 0,
        gentle: dice.below(5) == 0,
    }
}

/// Any order of some of the blocks.
fn any(problem: &Problem, dice: &mut Dice) -> (Arena<DayId, Vec<BlockId>>, Vec<BlockId>) {
    let mut days = filled(problem.days.len(), Vec::new());
    let (mut left, mut open) = (Vec::new(), problem.blocks.ids().collect::<Vec<_>>());
    while !open.is_empty() {
        let block = open.remove(dice.below(open.len()));
        if dice.below(6) == 0 {
            left.push(block);
        } else {
            days[DayId::from_index(dice.below(problem.days.len()))].push(block);
        }
    }
    (days, left)
}

/// The quick price is that of the day worked step by step. Run by hand over
/// 240,000 orders of 30,000 shoots of up to six blocks once.
#[test]
fn a_sketch_costs_what_the_same_order_costs_step_by_step() {
    let mut compared = 0;
    for seed in 0..SHOOTS {
        let mut dice = Dice::new(seed);
        let kind = kind(&mut dice, 6);
        let problem = shoot(seed, kind);
        let lean = Lean::new(&problem);
        let mut pencil = Pencil::new(&lean, i64::MAX);
        for _ in 0..20 {
            let (days, left) = any(&problem, &mut dice);
            let changes = days.iter().map(|(day, order)| (day, order.clone())).collect();
            let worked = Scored::empty(&problem).with(&problem, changes, left, &Effort::new(i64::MAX));
            let sketch = pencil.sketch(&days);
            assert_eq!(sketch.map(|one| one.cost), worked.as_ref().map(|one| one.cost), "{seed} {kind:?}");
            compared += u32::from(worked.is_some());
        }
    }
    assert!(compared > 100);
}

/// "Proven" and the bound against every choice of blocks, days and orders. Run by
/// hand over 30,000 shoots of up to six blocks once: all proven, none falsely.
#[test]
fn nothing_is_cheaper_than_what_is_proven_and_nothing_is_below_the_bound() {
    for seed in 0..SHOOTS {
        let mut dice = Dice::new(seed);
        let kind = kind(&mut dice, 5);
        let problem = shoot(seed, kind);
        let solved = solve(&problem, Zeal::of(crate::order::Effort::default()));
        let least = least(&problem);
        assert!(solved.bound <= least, "{seed} {kind:?}: {} is below {}", least, solved.bound);
        assert!(solved.proven(), "{seed} {kind:?}");
        assert_eq!(solved.scored.cost, least, "{seed} {kind:?}");
    }
}

/// Every order of some blocks.
fn orders(blocks: &[BlockId]) -> Vec<Vec<BlockId>> {
    let Some((&first, rest)) = blocks.split_first() else { return vec![Vec::new()] };
    let mut all = Vec::new();
    for shorter in orders(rest) {
        for at in 0..=shorter.len() {
            let mut order = shorter.clone();
            order.insert(at, first);
            all.push(order);
        }
    }
    all
}

/// A day that is proven by itself against every order of what it holds, the other days
/// as they are.
#[test]
fn no_order_of_a_proven_day_is_cheaper() {
    let (mut days, mut compared) = (0, 0);
    for seed in 0..SHOOTS {
        let mut dice = Dice::new(seed);
        // Too many blocks for the whole to be gone through.
        let kind = Kind { blocks: 11 + dice.below(3), days: 2, ..kind(&mut dice, 5) };
        let problem = shoot(seed, kind);
        let solved = solve(&problem, Zeal::of(crate::order::Effort::default()));
        let scored = &solved.scored;
        for &day in solved.sure.iter().filter(|day| scored.days[**day].len() <= 6) {
            let known = scored.worked[day].as_ref().expect("it is used").cost;
            days += 1;
            for order in orders(&scored.days[day]) {
                let changes = problem.days.ids().map(|one| (one, scored.days[one].clone()));
                let changes = changes.map(|(one, was)| (one, if one == day { order.clone() } else { was }));
                let effort = Effort::new(i64::MAX);
                let worked =
                    Scored::empty(&problem).with(&problem, changes.collect(), scored.left.clone(), &effort);
                let Some(cost) = worked.and_then(|one| Some(one.worked[day].as_ref()?.cost)) else {
                    continue;
                };
                assert!(cost >= known, "{seed} {kind:?}: {order:?} costs {cost}, less than {known}");
                compared += 1;
            }
        }
    }
    assert!(days > 10 && compared > 500, "{days} days, {compared} orders");
}
