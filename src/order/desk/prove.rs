//! Looks for a schedule that ends sooner than any known, or proves that there is none.
//!
//! In: a schedule. Out: the best that was found with the same hands, and whether
//! none ends sooner.

use super::breed::{Made, Maker};
use super::learn::{Model, Outcome, Trials};
use super::net::Net;
use super::problem::{HandId, TaskId};
use super::schedule::{Wished, in_order};
use crate::model::Arena;
use crate::order::shoot::problem::collected;

/// Asks for an end before the known one again and again. True: none is possible
/// with these hands.
pub(super) fn prove(net: &Net, maker: &mut Maker<'_>, mut made: Made, limit: u64) -> (Made, bool) {
    let hands: Arena<TaskId, Option<HandId>> = collected(made.schedule.values().map(|done| done.hand));
    let model = Model::new(net, &hands);
    let liked = |model: &Model, made: &Made| -> Vec<i32> {
        made.schedule.iter().map(|(id, done)| model.start(id, done.start)).collect()
    };
    let starts = liked(&model, &made);
    let Some(bounds) = model.bounds(net, made.worth.finish - 1) else { return (made, true) };
    let mut trials = Trials::new(model, bounds, starts);
    loop {
        match trials.run(limit) {
            Outcome::Impossible => return (made, true),
            Outcome::Open => return (made, false),
            Outcome::Found(starts) => {
                let keys =
                    collected(hands.ids().zip(&starts).map(|(id, &start)| trials.model().moment(id, start)));
                let wished: Wished = collected(hands.values().copied());
                let next = maker.make(in_order(net, &keys), &wished);
                if next.worth.finish >= made.worth.finish {
                    return (made, false);
                }
                made = next;
                let starts = liked(trials.model(), &made);
                if !trials.sooner(net, made.worth.finish - 1, starts) {
                    return (made, true);
                }
            }
        }
    }
}
