//! What a plan pays for what, so that it can be read and compared.

use super::shoot::spent::Spent;
use crate::model::Weights;
use serde::Serialize;

/// What a plan pays for one kind of thing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Paid {
    /// For what, in words.
    pub what: &'static str,
    /// How much of it: minutes, or how often where `counted`.
    pub amount: i64,
    /// Whether the amount counts times and not minutes.
    pub counted: bool,
    /// What it costs, in hundredths of a minute on the way.
    pub cost: i64,
}

impl Paid {
    fn minutes(what: &'static str, amount: i64, cost: i64) -> Self {
        Self { what, amount, counted: false, cost }
    }

    fn times(what: &'static str, amount: i64, cost: i64) -> Self {
        Self { what, amount, counted: true, cost }
    }
}

/// What is spent on a day or on all of them, kind by kind; nothing is left out,
/// so the costs add up to the price.
pub(crate) fn paid(spent: &Spent, weights: &Weights) -> Vec<Paid> {
    vec![
        Paid::minutes("on the way", spent.moving, spent.moving * weights.travel),
        Paid::minutes("fitting", spent.fitting, spent.fitting * weights.fitting),
        Paid::minutes(
            "everybody waiting for light, access or people",
            spent.waiting,
            spent.waiting * weights.waiting,
        ),
        Paid::minutes("everybody waiting for charge", spent.charging, spent.charging * weights.waiting),
        Paid::minutes("resets", spent.resetting, spent.resetting * weights.resetting),
        Paid::minutes("people waiting", spent.people, spent.kept),
        Paid::minutes("between both sides of joins", spent.apart, spent.links),
        Paid::minutes("work too long before or after the meal", spent.hunger, spent.hunger * weights.meal),
        Paid::minutes("overtime", spent.overtime, spent.overtime * weights.overtime),
        Paid::times("steps against story order", spent.story, spent.story * weights.story_order),
        Paid::minutes("hazards later in the day", spent.danger, spent.danger * weights.danger / 60),
    ]
}

/// What is paid for the days themselves and for what lies between them.
pub(crate) fn paid_between(days: usize, split: i64, apart: i64, weights: &Weights) -> Vec<Paid> {
    let mut paid = vec![Paid::times("joins over different days", split, apart)];
    // By default a day outweighs all minutes, and its price says nothing.
    if weights.extra_day < Weights::default().extra_day {
        let more = days.saturating_sub(1) as i64;
        paid.push(Paid::times("days after the first", more, more * weights.extra_day));
    }
    paid
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_paid_adds_up_and_names_every_kind() {
        let spent = Spent {
            moving: 1,
            fitting: 2,
            waiting: 3,
            charging: 4,
            resetting: 5,
            hunger: 6,
            overtime: 7,
            people: 8,
            kept: 200,
            links: 450,
            apart: 9,
            story: 10,
            danger: 660,
        };
        let weights = Weights { danger: 100, story_order: 50, ..Weights::default() };
        let paid = paid(&spent, &weights);
        // 1 + 2 + 5 on the way, fitting, resets; 7 waits at 0.8; meal and overtime at 1.
        let minutes = 800 + 560 + 200 + 450 + 600 + 700 + 500 + 1100;
        assert_eq!(paid.iter().map(|one| one.cost).sum::<i64>(), minutes);
        assert!(paid.iter().all(|one| one.amount > 0));
    }

    #[test]
    fn a_day_has_a_price_only_where_one_was_written() {
        assert_eq!(paid_between(3, 0, 0, &Weights::default()).len(), 1);
        let weights = Weights { extra_day: 1000, ..Weights::default() };
        assert_eq!(paid_between(3, 1, 50, &weights).iter().map(|one| one.cost).sum::<i64>(), 2050);
    }
}
