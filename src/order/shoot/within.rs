//! Whether each day of a plan has the cheapest order of what it holds.
//!
//! In: a plan and the allowed work. Out: the plan with any cheaper order of a day that
//! was found, and the days of which it is certain that no order of the same blocks is
//! cheaper, with what the day begins with as it is. A plan over several days may be
//! too large to be proven whole, while each of its days is not.

use super::ground::Ground;
use super::layers::{Reach, order};
use super::pace::Morning;
use super::problem::DayId;
use super::rest::Rest;
use super::search::LAYERED;
use super::sketch::{Pencil, Sketch};
use std::collections::BTreeSet;

/// Beginnings of a layer at first.
const WIDTH: usize = 300;

/// Every day in turn, each with so many steps.
pub(crate) fn within(pencil: &mut Pencil<'_, '_>, best: &mut Sketch, steps: i64) -> BTreeSet<DayId> {
    let days = pencil.lean.problem.days.ids();
    // From the first day on: a day that changes may change what the next begins with.
    days.filter(|&day| !best.days[day].is_empty() && settle(pencil, day, best, steps)).collect()
}

/// Looks for a cheaper order of a day; whether it is certain that there is none.
fn settle(pencil: &mut Pencil<'_, '_>, day: DayId, best: &mut Sketch, steps: i64) -> bool {
    let blocks = best.days[day].clone();
    if blocks.len() > LAYERED {
        return false;
    }
    let dawn = pencil.dawn_of(best, day);
    let morning = Morning::new(pencil.lean, day, dawn);
    let ground = Ground::new(&morning, &blocks);
    let rest = Rest::new(&ground);
    let mut spent = rest.steps();
    let mut width = WIDTH;
    loop {
        let Some(known) = pencil.day(day, dawn, &best.days[day]) else { return false };
        let reach = Reach { width, steps: steps - spent, below: known.cost, hurry: 0 };
        let found = order(&ground, &rest, reach);
        spent += found.steps;
        pencil.spend(found.steps);
        let Some((order, cost)) = found.order else {
            if found.certain || spent >= steps || width == usize::MAX {
                return found.certain;
            }
            width = usize::MAX;
            continue;
        };
        let mut days = best.days.clone();
        days[day] = order;
        match pencil.sketch(&days).filter(|next| next.cost < best.cost) {
            Some(next) => *best = next,
            // Charge, or what it leaves for the next day, costs more than the day gains.
            None => return false,
        }
        if found.certain {
            return pencil.day(day, dawn, &best.days[day]).is_some_and(|now| now.cost <= cost);
        }
        if spent >= steps {
            return false;
        }
    }
}
