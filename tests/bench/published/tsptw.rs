//! Tours with time windows: from a depot to every node within its window and back.
//!
//! Depot → the base, from which the day starts and to which it comes back before
//! the latest wrap. Node → a set-up at a place of its own, done in no time. Its
//! earliest and latest → the hours in which it may be shot. Arc → the minutes of
//! the way. Cost → the price of the way, at one a minute; waiting costs nothing.

use super::{Draft, Instance, numbers, problem};
use seamster::order::Weights;
use seamster::order::shoot::problem::Window;

pub(crate) fn read(name: &str, text: &str, best: i64) -> Instance {
    let values = numbers(text);
    let nodes = values[0] as usize;
    let ways: Vec<Vec<i64>> = values[1..=nodes * nodes].chunks(nodes).map(<[i64]>::to_vec).collect();
    let hours: Vec<(i64, i64)> =
        values[1 + nodes * nodes..].chunks(2).map(|pair| (pair[0], pair[1])).collect();
    assert_eq!(hours.len(), nodes, "{name}");
    let draft = |&(from, to): &(i64, i64)| Draft { window: Window { from, to }, ..Draft::default() };
    let drafts: Vec<Draft> = hours[1..].iter().map(draft).collect();
    let weights = Weights { travel: 100, ..Weights::nothing() };
    let mut problem = problem(&drafts, &ways, Some(0), weights);
    for day in problem.days.ids().collect::<Vec<_>>() {
        (problem.days[day].call, problem.days[day].wrap) = hours[0];
    }
    Instance {
        name: name.to_owned(),
        problem,
        best,
        price: Box::new(move |order| price(&ways, &hours, order)),
    }
}

fn price(ways: &[Vec<i64>], hours: &[(i64, i64)], order: &[usize]) -> Result<i64, String> {
    let (mut here, mut now, mut cost) = (0, hours[0].0, 0);
    for node in order.iter().map(|block| block + 1).chain([0]) {
        cost += ways[here][node];
        now += ways[here][node];
        if now > hours[node].1 {
            return Err(format!("{node} is reached at {now}, after {}", hours[node].1));
        }
        if node != 0 {
            now = now.max(hours[node].0);
        }
        here = node;
    }
    Ok(cost)
}
