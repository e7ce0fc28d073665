//! A graph in rows: which node stands in which row, and in which order.
//!
//! In: nodes by number and arrows between them, without circles. Out: rows from top to
//! bottom, each of at most so many nodes, every arrow leading down; and places where an
//! arrow passes a row. Layers of a bounded width by list scheduling from below (after
//! Coffman and Graham, 1972), order within rows by barycentres (Sugiyama, Tagawa and
//! Toda, 1981). The same graph gives the same rows.

use std::collections::{BTreeMap, BTreeSet};

/// One arrow: from what is waited for to what waits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Arrow {
    /// Its beginning.
    pub(crate) from: usize,
    /// Its end.
    pub(crate) to: usize,
    /// Drawn in another way: binds the order of the shoot alone.
    pub(crate) loose: bool,
}

/// What stands in a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Item {
    /// A node.
    Node(usize),
    /// Where all arrows to one node that come from above pass this row.
    Pass {
        /// The node that they lead to.
        to: usize,
        /// Whether they are loose ones.
        loose: bool,
    },
}

/// A piece of one or more arrows, from a row to the next: places within both rows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Hop {
    /// Its upper row.
    pub(crate) row: usize,
    /// What it leaves.
    pub(crate) from: Item,
    /// What it reaches in the row below.
    pub(crate) to: Item,
    /// Whether it belongs to loose arrows.
    pub(crate) loose: bool,
}

/// Rows and the pieces of arrows between them.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Rows {
    /// From top to bottom, each from left to right.
    pub(crate) rows: Vec<Vec<Item>>,
    /// Each once.
    pub(crate) hops: Vec<Hop>,
}

/// How often order is improved, down and up; it settles long before.
const SWEEPS: usize = 24;

/// Arrows without those that others already say, directly or through more than one.
/// Loose arrows all stay, since they say something else.
pub(crate) fn told_once(count: usize, arrows: &[Arrow]) -> Vec<Arrow> {
    let firm: BTreeSet<(usize, usize)> =
        arrows.iter().filter(|one| !one.loose).map(|one| (one.from, one.to)).collect();
    let mut after: Vec<Vec<usize>> = vec![Vec::new(); count];
    for &(from, to) in &firm {
        if let Some(list) = after.get_mut(from) {
            list.push(to);
        }
    }
    let mut reached: Vec<BTreeSet<usize>> = vec![BTreeSet::new(); count];
    for node in downwards(count, arrows).into_iter().rev() {
        let mut all = BTreeSet::new();
        for &next in after.get(node).into_iter().flatten() {
            all.insert(next);
            all.extend(reached.get(next).into_iter().flatten());
        }
        if let Some(own) = reached.get_mut(node) {
            *own = all;
        }
    }
    let said = |from: usize, to: usize| {
        let mut others = after.get(from).into_iter().flatten().filter(|next| **next != to);
        others.any(|next| reached.get(*next).is_some_and(|all| all.contains(&to)))
    };
    let mut kept: BTreeSet<Arrow> = arrows.iter().copied().filter(|one| one.loose).collect();
    let firm = firm.into_iter().filter(|&(from, to)| from != to && !said(from, to));
    kept.extend(firm.map(|(from, to)| Arrow { from, to, loose: false }));
    kept.into_iter().collect()
}

/// Nodes so that every arrow leads to a later one; of those that are free, the first.
fn downwards(count: usize, arrows: &[Arrow]) -> Vec<usize> {
    let mut before = vec![0_usize; count];
    let mut after: Vec<Vec<usize>> = vec![Vec::new(); count];
    for arrow in arrows.iter().filter(|one| one.from != one.to) {
        if let (Some(waits), Some(list)) = (before.get_mut(arrow.to), after.get_mut(arrow.from)) {
            *waits += 1;
            list.push(arrow.to);
        }
    }
    let mut free: BTreeSet<usize> = (0..count).filter(|node| before.get(*node) == Some(&0)).collect();
    let mut order = Vec::new();
    while let Some(node) = free.pop_first() {
        order.push(node);
        for &next in after.get(node).into_iter().flatten() {
            if let Some(waits) = before.get_mut(next) {
                *waits -= 1;
                if *waits == 0 {
                    free.insert(next);
                }
            }
        }
    }
    order
}

/// The row of every node, from the top: each below all that it waits for, at most
/// `most` in one, and as low as that allows, so that arrows are short.
fn layers(count: usize, arrows: &[Arrow], most: usize) -> Vec<usize> {
    let order = downwards(count, arrows);
    // How many follow one another before a node: what has most above it goes lowest first.
    let mut depth = vec![0_usize; count];
    let mut after: Vec<Vec<usize>> = vec![Vec::new(); count];
    let mut before: Vec<Vec<usize>> = vec![Vec::new(); count];
    for arrow in arrows.iter().filter(|one| one.from != one.to) {
        if let (Some(down), Some(up)) = (after.get_mut(arrow.from), before.get_mut(arrow.to)) {
            down.push(arrow.to);
            up.push(arrow.from);
        }
    }
    let value = |of: &[usize], node: usize| of.get(node).copied().unwrap_or_default();
    for &node in &order {
        let own = value(&depth, node);
        for &next in after.get(node).into_iter().flatten() {
            if let Some(deeper) = depth.get_mut(next) {
                *deeper = (*deeper).max(own + 1);
            }
        }
    }
    let mut waits: Vec<usize> = after.iter().map(Vec::len).collect();
    let mut open: BTreeSet<(usize, usize)> =
        (0..count).filter(|node| value(&waits, *node) == 0).map(|node| (value(&depth, node), node)).collect();
    let mut from_below = vec![0_usize; count];
    let mut level = 0;
    while !open.is_empty() {
        let mut row = Vec::new();
        while row.len() < most.max(1)
            && let Some((_, node)) = open.pop_last()
        {
            row.push(node);
        }
        for &node in &row {
            if let Some(own) = from_below.get_mut(node) {
                *own = level;
            }
        }
        for &above in row.iter().flat_map(|node| before.get(*node).into_iter().flatten()) {
            if let Some(left) = waits.get_mut(above) {
                *left -= 1;
                if *left == 0 {
                    open.insert((value(&depth, above), above));
                }
            }
        }
        level += 1;
    }
    from_below.into_iter().map(|own| level.saturating_sub(1).saturating_sub(own)).collect()
}

/// Rows of at most `most` nodes, ordered so that few lines cross.
pub(crate) fn rows(count: usize, arrows: &[Arrow], most: usize) -> Rows {
    let row_of = layers(count, arrows, most);
    let at = |node: usize| row_of.get(node).copied().unwrap_or_default();
    let high = row_of.iter().max().map_or(0, |last| last + 1);
    let mut rows: Vec<Vec<Item>> = vec![Vec::new(); high];
    for node in 0..count {
        if let Some(row) = rows.get_mut(at(node)) {
            row.push(Item::Node(node));
        }
    }
    let mut hops: BTreeSet<Hop> = BTreeSet::new();
    let mut passes: BTreeSet<(usize, Item)> = BTreeSet::new();
    for arrow in arrows.iter().filter(|one| one.from != one.to) {
        let (first, last) = (at(arrow.from), at(arrow.to));
        let pass = Item::Pass { to: arrow.to, loose: arrow.loose };
        let mut from = Item::Node(arrow.from);
        for row in first..last {
            let to = if row + 1 == last { Item::Node(arrow.to) } else { pass };
            hops.insert(Hop { row, from, to, loose: arrow.loose });
            if to == pass {
                passes.insert((row + 1, pass));
            }
            from = to;
        }
    }
    for (row, pass) in passes {
        if let Some(row) = rows.get_mut(row) {
            row.push(pass);
        }
    }
    let hops = hops.into_iter().collect();
    uncross(Rows { rows, hops })
}

/// The order with the fewest crossings that sweeps of barycentres meet.
fn uncross(mut rows: Rows) -> Rows {
    let mut best = rows.clone();
    let mut fewest = crossings(&rows);
    for sweep in 0..SWEEPS {
        let down = sweep % 2 == 0;
        let count = rows.rows.len();
        let order: Vec<usize> =
            if down { (1..count).collect() } else { (0..count.saturating_sub(1)).rev().collect() };
        for row in order {
            let beside = if down { row - 1 } else { row + 1 };
            let places = places(rows.rows.get(beside).map_or(&[], Vec::as_slice));
            let mut sums: BTreeMap<Item, (f64, f64)> = BTreeMap::new();
            for hop in rows.hops.iter().filter(|hop| hop.row == row.min(beside)) {
                let (own, other) = if down { (hop.to, hop.from) } else { (hop.from, hop.to) };
                if let Some(place) = places.get(&other) {
                    let sum = sums.entry(own).or_default();
                    *sum = (sum.0 + *place as f64, sum.1 + 1.0);
                }
            }
            let Some(own) = rows.rows.get_mut(row) else { continue };
            let middle = places.len().max(1) as f64 / own.len().max(1) as f64;
            let mut keyed: Vec<(f64, usize, Item)> = own
                .iter()
                .enumerate()
                .map(|(place, item)| {
                    let own = (place as f64 + 0.5) * middle - 0.5;
                    (sums.get(item).map_or(own, |(sum, count)| sum / count), place, *item)
                })
                .collect();
            keyed.sort_by(|one, other| one.0.total_cmp(&other.0).then(one.1.cmp(&other.1)));
            *own = keyed.into_iter().map(|(_, _, item)| item).collect();
        }
        let now = crossings(&rows);
        if now < fewest {
            fewest = now;
            best = rows.clone();
        }
    }
    best
}

/// The place of each item in its row.
pub(crate) fn places(row: &[Item]) -> BTreeMap<Item, usize> {
    row.iter().enumerate().map(|(place, item)| (*item, place)).collect()
}

/// How many pairs of pieces cross.
pub(crate) fn crossings(rows: &Rows) -> usize {
    let mut count = 0;
    for (row, pair) in rows.rows.windows(2).enumerate() {
        let [upper, lower] = pair else { continue };
        let (upper, lower) = (places(upper), places(lower));
        let lines: Vec<(usize, usize)> = rows
            .hops
            .iter()
            .filter(|hop| hop.row == row)
            .filter_map(|hop| Some((*upper.get(&hop.from)?, *lower.get(&hop.to)?)))
            .collect();
        for (number, one) in lines.iter().enumerate() {
            let crossed = |other: &&(usize, usize)| {
                (one.0 < other.0 && one.1 > other.1) || (one.0 > other.0 && one.1 < other.1)
            };
            count += lines.iter().skip(number + 1).filter(crossed).count();
        }
    }
    count
}
