//! The search against going through everything, on random small problems.

use super::problem::*;
use super::score::{Effort, Scored};
use super::search::{Solved, Zeal};
use crate::model::Arena;
use crate::model::arena::Id;
use crate::order::Weights;
use proptest::prelude::*;

pub(crate) mod invented;
mod proofs;
mod room;

/// The order, and whether it is proven.
fn solve(problem: &Problem) -> (Scored, bool) {
    let solved: Solved = super::search::solve(problem, Zeal::of(crate::order::Effort::default()));
    let proven = solved.proven();
    (solved.scored, proven)
}

/// One block of a random problem.
#[derive(Debug, Clone)]
struct Draft {
    spot: usize,
    setup: usize,
    work: i64,
    window: Option<(i64, i64)>,
    person: Option<usize>,
    state: Option<(usize, usize)>,
    piece: i64,
    waits: Option<usize>,
    linked: Option<usize>,
}

fn draft() -> impl Strategy<Value = Draft> {
    (
        (0usize..2, 0usize..3, 5i64..60),
        proptest::option::of((0i64..300, 60i64..240)),
        proptest::option::of(0usize..2),
        proptest::option::of((0usize..2, 0usize..2)),
        (0i64..900, proptest::option::of(0usize..4), proptest::option::of(0usize..4)),
    )
        .prop_map(|((spot, setup, work), window, person, state, (piece, waits, linked))| Draft {
            spot,
            setup: spot * 3 + setup,
            work,
            window,
            person,
            state: state.map(|(from, by)| (from, (from + by).min(1))),
            piece,
            waits,
            linked,
        })
}

fn day(start: i64) -> Day {
    Day {
        call: start,
        wrap: start + 480,
        base: Some(SpotId::from_index(0)),
        meal: 30,
        meal_within: 300,
        rest: 660,
        chargers: 1,
        long: 400,
    }
}

fn problem(drafts: &[Draft], days: usize) -> Problem {
    let starts: Vec<i64> = (0..days as i64).map(|at| 300 + at * 1440).collect();
    let mut classes = Arena::default();
    let mut blocks: Arena<BlockId, Block> = Arena::default();
    for (at, draft) in drafts.iter().enumerate() {
        let chance = |start: &i64| Chance {
            windows: vec![draft.window.map_or(Window { from: *start, to: start + 480 }, |(from, long)| {
                Window { from: start + from, to: (start + from + long).min(start + 480) }
            })],
            people: draft.person.map(crate::model::PersonId::from_index).into_iter().collect(),
        };
        let class = classes.push(Class { days: collected(starts.iter().map(chance)) });
        let earlier = |one: Option<usize>| one.filter(|&one| one < at).map(BlockId::from_index);
        let id = blocks.push(Block {
            spot: SpotId::from_index(draft.spot),
            setup: draft.setup,
            fit: draft.setup % 2,
            fitting: 12,
            turning: 2,
            parts: vec![Part {
                work: draft.work,
                states: draft.state.map(|(from, to)| (VarId::from_index(0), from, to)).into_iter().collect(),
            }],
            class,
            draws: vec![Draw { store: StoreId::from_index(0), piece: draft.piece, times: 1 }],
            bytes: Vec::new(),
            before: earlier(draft.waits).into_iter().collect(),
            after: Vec::new(),
            links: Vec::new(),
            first: 0,
            last: usize::MAX,
            rank: at as i64,
            danger: 0,
        });
        if let Some(one) = earlier(draft.waits) {
            blocks[one].after.push(id);
        }
        if let Some(one) = earlier(draft.linked) {
            let link = |to| Link { to, minute: 50, close: 20, beyond: 70 };
            blocks[one].links.push(link(id));
            blocks[id].links.push(link(one));
        }
    }
    let way = |from: usize, to: usize| if from == to { 0 } else { 20 };
    Problem {
        blocks,
        days: collected(starts.iter().copied().map(day)),
        classes,
        access: collected(
            (0..2).map(|_| {
                collected(starts.iter().map(|&start| vec![Window { from: start, to: start + 480 }]))
            }),
        ),
        travel: collected((0..2).map(|from| collected((0..2).map(|to| way(from, to))))),
        stores: collected([Store { packs: 2, holds: 900, gains: 20 }]),
        cards: Arena::default(),
        vars: collected([Var { states: 2, items: 1, back: super::state::ways_back(2, &[(1, 0, 25)]) }]),
        weights: Weights::default(),
        arrive: 15,
        pack: 15,
        margin: 0,
    }
}

/// The least cost over every choice of blocks, days and orders.
fn least(problem: &Problem) -> i64 {
    fn go(problem: &Problem, orders: &mut Vec<Vec<BlockId>>, left: &[BlockId], effort: &Effort) -> i64 {
        let changes: Vec<_> = problem.days.ids().zip(orders.iter().cloned()).collect();
        let empty = Scored::empty(problem);
        let here = empty.with(problem, changes, left.to_vec(), effort).map_or(i64::MAX, |one| one.cost);
        let mut best = here;
        // The next block always goes behind the last used place, so that each order is seen once.
        let used = orders.iter().rposition(|order| !order.is_empty()).unwrap_or(0);
        for (at, &block) in left.iter().enumerate() {
            let rest: Vec<BlockId> =
                left.iter().enumerate().filter(|(one, _)| *one != at).map(|(_, &block)| block).collect();
            for day in used..orders.len() {
                orders[day].push(block);
                best = best.min(go(problem, orders, &rest, effort));
                orders[day].pop();
            }
        }
        best
    }
    let blocks: Vec<BlockId> = problem.blocks.ids().collect();
    let mut orders = vec![Vec::new(); problem.days.len()];
    go(problem, &mut orders, &blocks, &Effort::new(i64::MAX))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    /// "Proven" is checked against an exhaustive search.
    #[test]
    fn a_proven_order_costs_the_least_there_is(
        drafts in proptest::collection::vec(draft(), 1..6),
        days in 1usize..3,
    ) {
        let problem = problem(&drafts, days);
        let (scored, proven) = solve(&problem);
        let least = least(&problem);
        prop_assert!(proven);
        prop_assert_eq!(scored.cost, least);
    }

    #[test]
    fn the_same_problem_has_the_same_order(drafts in proptest::collection::vec(draft(), 1..14)) {
        let problem = problem(&drafts, 2);
        let (one, _) = solve(&problem);
        let (two, _) = solve(&problem);
        prop_assert_eq!(one.days.values().collect::<Vec<_>>(), two.days.values().collect::<Vec<_>>());
        prop_assert_eq!(one.cost, two.cost);
    }
}

/// Two set-ups of one rig and one of another, all day long: the rig is fitted once.
#[test]
fn what_shares_a_rig_is_shot_together() {
    let plain = |setup| Draft {
        spot: 0,
        setup,
        work: 30,
        window: None,
        person: None,
        state: None,
        piece: 0,
        waits: None,
        linked: None,
    };
    let problem = problem(&[plain(0), plain(1), plain(2)], 1);
    let (scored, proven) = solve(&problem);
    assert!(proven && scored.left.is_empty());
    let day = scored.worked.values().flatten().next().unwrap();
    // Set-ups 0 and 2 share fit 0: two fits of 12 min and one change of 2 min.
    assert_eq!(day.spent.fitting, 26);
}

/// Golden light first, whatever the story says; the day then starts as late as it can.
#[test]
fn a_window_at_dawn_sets_the_call() {
    let mut drafts: Vec<Draft> = (0..2)
        .map(|setup| Draft {
            spot: 0,
            setup,
            work: 30,
            window: None,
            person: None,
            state: None,
            piece: 0,
            waits: None,
            linked: None,
        })
        .collect();
    drafts[1].window = Some((120, 40));
    let problem = problem(&drafts, 1);
    let (scored, _) = solve(&problem);
    let day = scored.worked.values().flatten().next().unwrap();
    // Light from 300 + 120; one fit of 12 min before it, and what needs no light comes before or after
    // without a wait.
    assert_eq!(day.spent.waiting, 0);
    assert!(day.start >= 300 + 120 - 12 - 30 - 12);
}

/// CSPLib prob039, the rehearsal problem (B. M. Smith): nine pieces, five
/// players, least waiting 17.
#[test]
fn the_rehearsal_waits_seventeen_minutes() {
    let plays: [&[usize]; 9] = [
        &[0, 1, 2, 3],
        &[0, 1, 2],
        &[4],
        &[0, 1],
        &[1, 3, 4],
        &[0, 1, 3, 4],
        &[0, 2, 4],
        &[1, 2, 4],
        &[0, 3],
    ];
    let lasts = [2, 4, 1, 3, 3, 2, 5, 7, 6];
    let drafts: Vec<Draft> = lasts
        .iter()
        .map(|&work| Draft {
            spot: 0,
            setup: 0,
            work,
            window: None,
            person: None,
            state: None,
            piece: 0,
            waits: None,
            linked: None,
        })
        .collect();
    let mut problem = problem(&drafts, 1);
    problem.weights = Weights { people: 100, story_order: 0, ..Weights::default() };
    let day = problem.days.ids().next().unwrap();
    for (class, players) in problem.classes.ids().zip(plays) {
        let people = players.iter().map(|&one| crate::model::PersonId::from_index(one)).collect();
        problem.classes[class].days[day].people = people;
    }
    let (scored, _) = solve(&problem);
    assert_eq!(scored.worked[day].as_ref().unwrap().spent.people, 17);
}
