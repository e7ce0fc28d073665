//! What the order of the shoot pays for what, as a short table.

use super::shape::count;
use crate::order::Paid;
use crate::packet::index::minutes;
use schemars::JsonSchema;
use serde::Serialize;

/// The price of a day or of the shoot.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct PriceView {
    /// What is paid for; what costs less than a minute is left out.
    pub rows: Vec<PriceRow>,
    /// All of it, in minutes on the way.
    pub total: String,
}

/// One kind of thing that is paid for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct PriceRow {
    /// For what.
    pub what: String,
    /// How much of it: `25 min`, `2 times`.
    pub amount: String,
    /// What it counts as, in minutes on the way.
    pub counts: String,
}

/// The price as a table; empty where nothing is paid for.
pub(crate) fn view(paid: &[Paid]) -> PriceView {
    let rows = paid.iter().filter(|one| whole(one.cost) > 0).map(|one| PriceRow {
        what: one.what.to_owned(),
        amount: if one.counted {
            count(one.amount.max(0) as usize, "time", "times")
        } else {
            minutes(one.amount)
        },
        counts: minutes(whole(one.cost)),
    });
    PriceView { rows: rows.collect(), total: minutes(whole(paid.iter().map(|one| one.cost).sum())) }
}

/// Hundredths of a minute as whole minutes, rounded.
fn whole(hundredths: i64) -> i64 {
    (hundredths + 50).div_euclid(100)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_costs_less_than_a_minute_is_in_the_total_alone() {
        let paid = |what, counted, amount, cost| Paid { what, amount, counted, cost };
        let seen =
            view(&[paid("on the way", false, 65, 6500), paid("steps", true, 3, 30), paid("no", false, 0, 0)]);
        assert_eq!(seen.rows.len(), 1);
        assert_eq!(
            (seen.rows[0].amount.as_str(), seen.rows[0].counts.as_str()),
            ("1 h 05 min", "1 h 05 min")
        );
        assert_eq!(view(&[paid("steps", true, 3, 40), paid("way", false, 1, 100)]).total, "1 min");
        assert_eq!(view(&[]).total, "0 min");
    }
}
