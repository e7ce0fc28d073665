//! Sequential ordering (TSPLIB 95): a path from the first node through all to
//! the last, where some must come before others.
//!
//! Node → a set-up at a place of its own, done in no time. Arc → the minutes of
//! the way. −1 from one to another → the other comes before it. Cost → the price
//! of the way, at one a minute; nothing else costs anything.

use super::{Draft, Instance, numbers, problem};
use seamster::order::Weights;

pub(crate) fn read(name: &str, text: &str, best: i64) -> Instance {
    let section = text.split("EDGE_WEIGHT_SECTION").nth(1).unwrap();
    let values = numbers(section.split("EOF").next().unwrap());
    let nodes = values[0] as usize;
    let ways: Vec<Vec<i64>> = values[1..].chunks(nodes).map(<[i64]>::to_vec).collect();
    assert!(ways.len() == nodes && ways.iter().all(|row| row.len() == nodes), "{name}");
    let before = |node: usize| (0..nodes).filter(|&one| ways[node][one] < 0).collect();
    let drafts: Vec<Draft> =
        (0..nodes).map(|node| Draft { before: before(node), ..Draft::default() }).collect();
    let minutes = ways.iter().map(|row| row.iter().map(|&way| way.max(0)).collect()).collect::<Vec<_>>();
    let weights = Weights { travel: 100, ..Weights::nothing() };
    Instance {
        name: name.to_owned(),
        problem: problem(&drafts, &minutes, None, weights),
        best,
        price: Box::new(move |order| price(&ways, order)),
    }
}

fn price(ways: &[Vec<i64>], order: &[usize]) -> Result<i64, String> {
    if order.first() != Some(&0) || order.last() != Some(&(ways.len() - 1)) {
        return Err("begins or ends elsewhere".into());
    }
    for (at, &node) in order.iter().enumerate() {
        if let Some(late) = order[at..].iter().find(|&&late| ways[node][late] < 0) {
            return Err(format!("{node} comes before {late}"));
        }
    }
    Ok(order.windows(2).map(|pair| ways[pair[0]][pair[1]]).sum())
}
