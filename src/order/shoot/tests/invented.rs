//! Invented shoots with a bit of everything, small enough to go through every order.

use crate::model::arena::Id;
use crate::model::{Arena, PersonId};
use crate::order::Weights;
use crate::order::shoot::improve::Dice;
use crate::order::shoot::problem::*;
use crate::order::shoot::score::{Effort, Scored};
use crate::order::shoot::state::ways_back;

/// What an invented shoot holds.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Kind {
    pub(crate) blocks: usize,
    pub(crate) days: usize,
    /// Whether charge may run short.
    pub(crate) charge: bool,
    /// Whether a day may be too short for everything.
    pub(crate) tight: bool,
    /// Whether all of a long day's work finds room, as people plan it.
    pub(crate) gentle: bool,
}

fn some(dice: &mut Dice, one_in: usize) -> bool {
    dice.below(one_in) == 0
}

fn between(dice: &mut Dice, from: i64, to: i64) -> i64 {
    from + dice.below((to - from) as usize) as i64
}

/// An invented shoot.
pub(crate) fn shoot(seed: u64, kind: Kind) -> Problem {
    let mut dice = Dice::new(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ 0x5ea3);
    let dice = &mut dice;
    let long = if kind.tight { between(dice, 200, 420) } else { 720 };
    let starts: Vec<i64> = (0..kind.days as i64).map(|at| 300 + at * 1440).collect();
    let day = |&start: &i64, dice: &mut Dice| Day {
        call: start,
        wrap: start + long,
        base: some(dice, 2).then(|| SpotId::from_index(0)),
        meal: between(dice, 20, 50),
        meal_within: if kind.gentle { between(dice, 240, 400) } else { between(dice, 120, 400) },
        rest: between(dice, 600, 1000),
        chargers: dice.below(3),
        long: if kind.gentle { between(dice, 480, 660) } else { between(dice, 150, 500) },
    };
    let days = collected(starts.iter().map(|start| day(start, dice)));
    let spots = 1 + dice.below(3);
    let travel = collected(
        (0..spots)
            .map(|from| collected((0..spots).map(|to| if from == to { 0 } else { between(dice, 5, 45) }))),
    );
    let whole = |start: i64| vec![Window { from: start, to: start + long }];
    let access = collected((0..spots).map(|_| {
        collected(starts.iter().map(|&start| {
            let late = if some(dice, 3) && !kind.gentle { between(dice, 0, 150) } else { 0 };
            vec![Window { from: start + late, to: start + long }]
        }))
    }));
    let mut classes = Arena::default();
    let kinds = 1 + dice.below(4);
    for _ in 0..kinds {
        let choice = dice.below(5);
        let (from, wide) = if kind.gentle {
            (between(dice, 0, long / 4), between(dice, long / 2, long))
        } else {
            (between(dice, 0, long * 2 / 3), between(dice, 60, 200))
        };
        let people: Vec<PersonId> = (0..3).filter(|_| some(dice, 2)).map(PersonId::from_index).collect();
        let chance = |&start: &i64| {
            let part = |from: i64, to: i64| Window { from: start + from, to: start + to.min(long) };
            let windows = match choice {
                0 | 1 => whole(start),
                2 | 3 => vec![part(from, from + wide)],
                _ => vec![part(0, 80), part(90 + from / 2, 90 + from / 2 + wide)],
            };
            Chance { windows, people: people.clone() }
        };
        classes.push(Class { days: collected(starts.iter().map(chance)) });
    }
    let classes: Arena<ClassId, Class> = classes;
    let mut blocks: Arena<BlockId, Block> = Arena::default();
    let (ordered, linked, stated) = if kind.gentle {
        (2 + dice.below(4), 4, 5)
    } else {
        (2 + dice.below(4), 2 + dice.below(4), 2 + dice.below(3))
    };
    for at in 0..kind.blocks {
        let spot = dice.below(spots);
        let setup = spot * 3 + dice.below(3);
        let parts = 1 + usize::from(some(dice, 4));
        let part = |dice: &mut Dice| {
            let from = dice.below(3);
            let state = (VarId::from_index(0), from, from.max(dice.below(3)));
            let states = if some(dice, stated) { vec![state] } else { Vec::new() };
            Part { work: between(dice, 3, if kind.gentle { 28 } else { 50 }), states }
        };
        let draw = Draw { store: StoreId::from_index(0), piece: between(dice, 100, 800), times: 1 };
        let id = blocks.push(Block {
            spot: SpotId::from_index(spot),
            setup,
            fit: setup % 2,
            fitting: between(dice, 3, 25),
            turning: 2,
            parts: (0..parts).map(|_| part(dice)).collect(),
            class: ClassId::from_index(dice.below(classes.len())),
            draws: if kind.charge { vec![draw] } else { Vec::new() },
            bytes: vec![(CardId::from_index(0), between(dice, 1, 30))],
            before: Vec::new(),
            after: Vec::new(),
            links: Vec::new(),
            first: 0,
            last: usize::MAX,
            rank: dice.below(kind.blocks) as i64,
            danger: dice.below(3) as i64,
        });
        if at > 0 && some(dice, ordered) {
            let one = BlockId::from_index(dice.below(at));
            blocks[id].before.push(one);
            blocks[one].after.push(id);
        }
        if at > 0 && some(dice, linked) {
            let one = BlockId::from_index(dice.below(at));
            let (minute, close, beyond) = (between(dice, 5, 60), between(dice, 5, 40), between(dice, 0, 120));
            let link = |to| Link { to, minute, close, beyond };
            blocks[one].links.push(link(id));
            blocks[id].links.push(link(one));
        }
    }
    let resets = [(1, 0, between(dice, 5, 40)), (2, 1, between(dice, 5, 40))];
    let resets = if some(dice, 3) && !kind.gentle { &[][..] } else { &resets[..] };
    let person = (0..3).map(|one| (PersonId::from_index(one), between(dice, 0, 90))).collect();
    let weights = Weights {
        person,
        danger: between(dice, 0, 90),
        story_order: between(dice, 0, 40),
        waiting: if some(dice, 4) { 0 } else { between(dice, 20, 120) },
        extra_day: if some(dice, 3) { between(dice, 0, 9_000) } else { Weights::default().extra_day },
        ..Weights::default()
    };
    Problem {
        blocks,
        days,
        classes,
        access,
        travel,
        stores: collected([Store { packs: 2, holds: 900, gains: 20 }]),
        cards: collected([if some(dice, 3) && !kind.gentle { 60 } else { 10_000 }]),
        vars: collected([Var { states: 3, items: 1 + dice.below(2), back: ways_back(3, resets) }]),
        weights,
        arrive: 15,
        pack: 15,
        margin: if some(dice, 2) { 0 } else { between(dice, 1, 20) },
    }
}

/// The least cost over every choice of blocks, days and orders.
pub(crate) fn least(problem: &Problem) -> i64 {
    let blocks: Vec<BlockId> = problem.blocks.ids().collect();
    let mut orders = vec![Vec::new(); problem.days.len()];
    go(problem, &mut orders, &blocks, 0, &Effort::new(i64::MAX))
}

fn go(
    problem: &Problem,
    orders: &mut Vec<Vec<BlockId>>,
    left: &[BlockId],
    used: usize,
    effort: &Effort,
) -> i64 {
    let changes: Vec<_> = problem.days.ids().zip(orders.iter().cloned()).collect();
    let empty = Scored::empty(problem);
    let here = empty.with(problem, changes, left.to_vec(), effort);
    let mut best = here.map_or(i64::MAX, |one| one.cost);
    // The next block always goes behind the last used place, so that each order is seen once.
    for (at, &block) in left.iter().enumerate() {
        let mut rest = left.to_vec();
        rest.remove(at);
        for day in used..orders.len() {
            orders[day].push(block);
            best = best.min(go(problem, orders, &rest, day, effort));
            orders[day].pop();
        }
    }
    best
}
