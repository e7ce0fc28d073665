//! A shoot of any length, invented: nothing in it is published, and none of it happened.
//!
//! Twenty-four set-ups a day at six places (two of them open in the morning only),
//! on five rigs, with six people of whom one is away every fifth day. Every eighth
//! set-up needs the light of the first or of the last hour; some must come after
//! another, some are better close to one; each draws on three batteries, and
//! one coat only goes from dry to wet, or 25 min back.

use super::published::table;
use seamster::model::arena::Id;
use seamster::model::{Arena, PersonId};
use seamster::order::Weights;
use seamster::order::shoot::problem::{
    Block, BlockId, Chance, Class, ClassId, Day, DayId, Draw, Link, Part, Problem, SpotId, Store, StoreId,
    Var, VarId, Window,
};

const PLACES: usize = 6;
const PEOPLE: usize = 6;
/// The call.
const CALL: i64 = 315;
/// How long after it the day must end.
const HOURS: i64 = 825;

/// When a set-up may be shot.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Light {
    Any,
    First,
    Last,
}

/// Draws that are the same on every machine.
struct Draws(u64);

impl Draws {
    fn below(&mut self, many: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) % many as u64) as usize
    }
}

/// So many set-ups on so many days.
pub(crate) fn shoot(setups: usize, days: usize) -> Problem {
    let mut draws = Draws(1);
    let mut classes: Vec<(usize, Light, usize)> = Vec::new();
    let mut blocks: Arena<BlockId, Block> = Arena::default();
    for at in 0..setups {
        let spot = draws.below(PLACES);
        let light = match draws.below(16) {
            0 if spot > 1 => Light::First,
            1 if spot > 1 => Light::Last,
            _ => Light::Any,
        };
        let kind = (spot, light, draws.below(PEOPLE));
        let class = classes.iter().position(|one| *one == kind).unwrap_or_else(|| {
            classes.push(kind);
            classes.len() - 1
        });
        let fit = draws.below(5);
        let wet = draws.below(12) == 0;
        blocks.push(Block {
            spot: SpotId::from_index(spot),
            setup: at,
            fit,
            fitting: 3 + 3 * fit as i64,
            turning: 2,
            parts: vec![Part {
                work: 5 + draws.below(12) as i64,
                states: if draws.below(6) == 0 {
                    vec![(VarId::from_index(0), 0, usize::from(wet))]
                } else {
                    Vec::new()
                },
            }],
            class: ClassId::from_index(class),
            draws: vec![Draw {
                store: StoreId::from_index(0),
                piece: 60 + draws.below(240) as i64,
                times: 2,
            }],
            bytes: Vec::new(),
            before: Vec::new(),
            after: Vec::new(),
            links: Vec::new(),
            first: 0,
            last: usize::MAX,
            rank: at as i64,
            danger: i64::from(draws.below(20) == 0),
        });
        // Only what is near in the story hangs together.
        if let Some(near) = at.checked_sub(1 + draws.below(5)) {
            let (near, own) = (BlockId::from_index(near), BlockId::from_index(at));
            match draws.below(10) {
                0 => {
                    blocks[own].before.push(near);
                    blocks[near].after.push(own);
                }
                1 | 2 => {
                    let link = |to| Link { to, minute: 50, close: 20, beyond: 70 };
                    blocks[own].links.push(link(near));
                    blocks[near].links.push(link(own));
                }
                _ => {}
            }
        }
    }
    let starts: Vec<i64> = (0..days as i64).map(|day| CALL + 1440 * day).collect();
    let day = |&call: &i64| Day {
        call,
        wrap: call + HOURS,
        base: Some(SpotId::from_index(0)),
        meal: 30,
        meal_within: 330,
        rest: 600,
        chargers: 2,
        long: 600,
    };
    let class = |&(spot, light, person): &(usize, Light, usize)| Class {
        days: table::<DayId, _>(starts.iter().enumerate().map(|(day, &call)| {
            let away = day % 5 == 4 && person == PEOPLE - 1;
            let open = if away { Vec::new() } else { hours(spot, light, call) };
            Chance { windows: open, people: vec![PersonId::from_index(person)] }
        })),
    };
    let way = |from: usize, to: usize| {
        if from == to { 0 } else { 8 + 4 * from.abs_diff(to) as i64 }
    };
    Problem {
        blocks,
        days: table(starts.iter().map(day)),
        classes: table(classes.iter().map(class)),
        access: table(
            (0..PLACES).map(|spot| table(starts.iter().map(|&call| hours(spot, Light::Any, call)))),
        ),
        travel: table((0..PLACES).map(|from| table((0..PLACES).map(|to| way(from, to))))),
        stores: table([Store { packs: 3, holds: 3600, gains: 40 }]),
        cards: Arena::default(),
        vars: table([Var {
            states: 2,
            items: 1,
            back: vec![vec![Some(0), Some(0)], vec![Some(25), Some(0)]],
        }]),
        weights: Weights::default(),
        arrive: 15,
        pack: 15,
        margin: 5,
    }
}

fn hours(spot: usize, light: Light, call: i64) -> Vec<Window> {
    let closes = call + if spot < 2 { 420 } else { HOURS };
    vec![match light {
        Light::Any => Window { from: call, to: closes },
        Light::First => Window { from: call + 45, to: call + 120 },
        Light::Last => Window { from: call + 660, to: call + 750 },
    }]
}

/// Stops where a block is outside its hours or comes before what it waits for.
pub(crate) fn verify(problem: &Problem, days: &[Vec<(BlockId, i64, i64)>]) {
    let mut done: Vec<BlockId> = Vec::new();
    for (day, order) in problem.days.ids().zip(days) {
        let mut now = problem.days[day].call;
        for &(id, begin, end) in order {
            let block = &problem.blocks[id];
            assert!(now <= begin && begin + block.work() <= end && end <= problem.days[day].wrap);
            let open = &problem.classes[block.class].days[day].windows;
            assert!(open.iter().any(|one| one.from <= begin && end <= one.to));
            assert!(block.before.iter().all(|one| done.contains(one)));
            done.push(id);
            now = end;
        }
    }
}
