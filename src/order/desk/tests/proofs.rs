//! What is proven, against every order of small desks.

use super::small::Exhaustive;
use super::{hand, wait};
use crate::model::arena::Id;
use crate::order::desk::breed::Maker;
use crate::order::desk::hours::Hours;
use crate::order::desk::net::Net;
use crate::order::desk::problem::{Hand, Problem, Task};
use crate::order::desk::prove::prove;
use crate::order::desk::schedule::in_order;
use crate::order::desk::value::{Terms, Worth};
use crate::order::shoot::problem::{collected, filled};
use proptest::prelude::*;

/// (work, first predecessor, second, release and wait, hand, seats of two kinds)
type Draft = (i64, usize, usize, i64, usize, (u16, u16));

/// Hands with nights, with days away, and with seats for several tasks of two kinds.
fn small(drafts: &[Draft], hands: usize, house: bool) -> Problem {
    let mut problem = Problem::default();
    for at in 0..hands as i64 {
        // Each is away for some days, and nobody works as long as another.
        let days = (0..40).filter(|day| (day + at) % 5 != 2);
        let shifts = days.map(|day| (day * 20 + at, day * 20 + 8 + 2 * at));
        let seats = if house && at == 0 { vec![2, 3] } else { vec![1, 1] };
        problem.hands.push(Hand { hours: Hours::new(shifts), seats, ..Hand::default() });
    }
    if house {
        problem.hands[hand(0)].hours = Hours::new([(0, 2000)]);
    }
    for (at, draft) in drafts.iter().enumerate() {
        let mut before: Vec<_> = [draft.1, draft.2].into_iter().filter(|&one| one < at).map(wait).collect();
        before.dedup();
        if let Some(wait) = before.first_mut() {
            wait.gap = draft.3 / 3;
        }
        let own = draft.4 % hands;
        let seats = if house && own == 0 { vec![draft.5.0, draft.5.1] } else { vec![1] };
        problem.tasks.push(Task {
            work: draft.0,
            able: vec![hand(own)],
            seats,
            before,
            release: draft.3,
            ..Task::default()
        });
    }
    problem
}

/// The end that is proven from a schedule on that does last things first, where it is proven.
fn proven_end(problem: &Problem) -> Option<i64> {
    let (net, terms) = (Net::new(problem), Terms::new(problem));
    let back = net.mirrored();
    let mut maker = Maker::new(&net, &back, &terms, Worth::default());
    let keys = collected(net.work.ids().map(|id| -(id.index() as i64)));
    let made = maker.make(in_order(&net, &keys), &filled(net.len(), None));
    let (made, proven) = prove(&net, &mut maker, made, 1_000_000);
    proven.then_some(made.worth.finish)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

    #[test]
    fn nothing_ends_sooner_than_what_is_proven(
        drafts in proptest::collection::vec(
            (0i64..14, 0usize..9, 0usize..9, 0i64..20, 0usize..3, (1u16..3, 0u16..4)), 1..7),
        hands in 1usize..4,
        house in any::<bool>(),
    ) {
        let problem = small(&drafts, hands, house);
        prop_assert_eq!(proven_end(&problem), Some(Exhaustive::best(&problem).1));
    }
}
