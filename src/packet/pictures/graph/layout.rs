//! Where the rows of a graph stand on a page.
//!
//! In: rows of nodes, what is written in each, the width of the page. Out: a box for
//! each node, and for each row where the arrows pass it. No box meets another, no
//! arrow passes through a box; boxes stand as near above and below their neighbours as
//! that allows (least squares, by pooling what would overlap).

use super::order::{Hop, Item, Rows};
use crate::packet::pictures::draw::Area;
use crate::packet::pictures::letters;
use std::collections::BTreeMap;

/// Between two boxes.
const GAP: f64 = 10.0;
/// Between an arrow that passes and its neighbours.
const PASS: f64 = 9.0;
/// Widest box.
const WIDEST: f64 = 150.0;
/// Inside a box, around its words.
pub(super) const INSET: f64 = 5.0;
/// From one line of words to the next.
pub(super) const LINE: f64 = 13.5;
/// Height of letters.
pub(super) const LETTERS: f64 = 11.5;
/// How often places are improved, down and up.
const SWEEPS: usize = 12;

/// What is written in a node.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Words {
    /// Its name, in soft letters.
    pub(crate) name: String,
    /// What it is.
    pub(crate) title: String,
}

/// A row on the page.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Row {
    /// Upper edge of its boxes.
    pub(crate) top: f64,
    /// Lower edge of its highest box.
    pub(crate) low: f64,
    /// The middle of each item.
    pub(crate) middles: BTreeMap<Item, f64>,
}

/// A graph on the page.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Layout {
    /// From top to bottom.
    pub(crate) rows: Vec<Row>,
    /// The box of each node, with its lines: name first, then title.
    pub(crate) boxes: BTreeMap<usize, (Area, Vec<String>, Vec<String>)>,
    /// Pieces of arrows.
    pub(crate) hops: Vec<Hop>,
}

/// Lays a graph out; `None` where a row holds more than the page is wide.
pub(crate) fn layout(rows: &Rows, words: &[Words], wide: f64, least: f64) -> Option<Layout> {
    let widths: Vec<BTreeMap<Item, f64>> =
        rows.rows.iter().map(|row| widths(row, wide, least)).collect::<Option<_>>()?;
    let middles = middles(rows, &widths, wide);
    let mut laid = Layout { hops: rows.hops.clone(), ..Layout::default() };
    let mut top = 2.0;
    for (number, (row, middles)) in rows.rows.iter().zip(middles).enumerate() {
        let mut low = top;
        for item in row {
            let Item::Node(node) = item else { continue };
            let wide = widths.get(number).and_then(|all| all.get(item)).copied().unwrap_or(least) - GAP;
            let middle = middles.get(item).copied().unwrap_or_default();
            let written = words.get(*node).cloned().unwrap_or_default();
            let name = letters::wrap(&loosened(&written.name), LETTERS, wide - 2.0 * INSET, 2);
            let name: Vec<String> =
                name.iter().map(|line| line.replace(". ", ".").replace("-> ", "->")).collect();
            let title = letters::wrap(&written.title, LETTERS, wide - 2.0 * INSET, 6);
            let high = LINE * (name.len() + title.len()).max(1) as f64 + 2.0 * INSET;
            laid.boxes.insert(*node, (Area::new(middle - wide / 2.0, top, wide, high), name, title));
            low = low.max(top + high);
        }
        laid.rows.push(Row { top, low, middles });
        let lines = rows.hops.iter().filter(|hop| hop.row == number).count();
        top = low + 24.0 + 2.0 * (lines as f64).min(16.0);
    }
    Some(laid)
}

/// A name that may be parted behind its points and arrows.
fn loosened(name: &str) -> String {
    name.replace('.', ". ").replace("->", "-> ")
}

/// How wide each item of a row is, with the gap that it keeps; `None` where that is
/// more than the page.
fn widths(row: &[Item], wide: f64, least: f64) -> Option<BTreeMap<Item, f64>> {
    let nodes = row.iter().filter(|item| matches!(item, Item::Node(_))).count();
    let passes = row.len() - nodes;
    // Lines stand closer where there are many, never closer than can be told apart.
    let room = wide - nodes as f64 * least;
    let pass = if passes == 0 { 0.0 } else { (room / passes as f64).min(PASS) };
    if room < 0.0 || (passes > 0 && pass < 4.0) {
        return None;
    }
    let left = wide - passes as f64 * pass;
    let node = if nodes == 0 { 0.0 } else { (left / nodes as f64).min(WIDEST) };
    let own = |item: &Item| if matches!(item, Item::Node(_)) { node } else { pass };
    Some(row.iter().map(|item| (*item, own(item))).collect())
}

/// The middle of every item, row by row.
fn middles(rows: &Rows, widths: &[BTreeMap<Item, f64>], wide: f64) -> Vec<BTreeMap<Item, f64>> {
    let mut all: Vec<BTreeMap<Item, f64>> = rows
        .rows
        .iter()
        .zip(widths)
        .map(|(row, widths)| spread(row, widths, wide, &BTreeMap::new()))
        .collect();
    for sweep in 0..SWEEPS {
        let down = sweep % 2 == 0;
        let count = all.len();
        let order: Vec<usize> = if down { (0..count).collect() } else { (0..count).rev().collect() };
        for row in order {
            let mut wanted: BTreeMap<Item, (f64, f64)> = BTreeMap::new();
            let mut pull = |own: Item, other: Item, beside: usize| {
                if let Some(middle) = all.get(beside).and_then(|row| row.get(&other)) {
                    // Long arrows should be straight before short ones are.
                    let weight = if matches!((own, other), (Item::Pass { .. }, Item::Pass { .. })) {
                        4.0
                    } else {
                        1.0
                    };
                    let sum = wanted.entry(own).or_default();
                    *sum = (sum.0 + weight * middle, sum.1 + weight);
                }
            };
            for hop in &rows.hops {
                if hop.row == row {
                    pull(hop.from, hop.to, row + 1);
                }
                if hop.row + 1 == row {
                    pull(hop.to, hop.from, hop.row);
                }
            }
            if let (Some(items), Some(widths)) = (rows.rows.get(row), widths.get(row)) {
                let placed = spread(items, widths, wide, &wanted);
                if let Some(own) = all.get_mut(row) {
                    *own = placed;
                }
            }
        }
    }
    all
}

/// Items of a row in their order, as near to where they are wanted as their widths and
/// the page allow. `wanted` holds sums of places and their weights.
fn spread(
    row: &[Item],
    widths: &BTreeMap<Item, f64>,
    wide: f64,
    wanted: &BTreeMap<Item, (f64, f64)>,
) -> BTreeMap<Item, f64> {
    let width = |item: &Item| widths.get(item).copied().unwrap_or_default();
    let total: f64 = row.iter().map(width).sum();
    // Without the widths before each item, all that is left is that places never fall.
    let mut before = Vec::new();
    let mut sum = 0.0;
    for item in row {
        before.push(sum + width(item) / 2.0);
        sum += width(item);
    }
    let spare = (wide - total).max(0.0);
    // Blocks of items that stand side by side: sum of wishes, their weight, how many.
    let mut blocks: Vec<(f64, f64, usize)> = Vec::new();
    for (item, before) in row.iter().zip(&before) {
        let (pulled, weight) = wanted.get(item).copied().unwrap_or((0.0, 0.0));
        let (wish, weight) =
            if weight > 0.0 { (pulled - before * weight, weight) } else { (spare / 2.0 * 0.01, 0.01) };
        let mut block = (wish, weight, 1);
        while let Some(last) = blocks.last() {
            if last.0 / last.1 <= block.0 / block.1 {
                break;
            }
            block = (last.0 + block.0, last.1 + block.1, last.2 + block.2);
            blocks.pop();
        }
        blocks.push(block);
    }
    let starts = blocks
        .iter()
        .flat_map(|(wish, weight, count)| std::iter::repeat_n((wish / weight).clamp(0.0, spare), *count));
    row.iter().zip(&before).zip(starts).map(|((item, before), start)| (*item, start + before)).collect()
}

impl Layout {
    /// How high all of it is.
    pub(crate) fn high(&self) -> f64 {
        self.rows.last().map_or(0.0, |row| row.low + 2.0)
    }

    /// Where a piece begins and ends.
    pub(crate) fn ends(&self, hop: &Hop) -> Option<((f64, f64), (f64, f64))> {
        let (upper, lower) = (self.rows.get(hop.row)?, self.rows.get(hop.row + 1)?);
        Some(((*upper.middles.get(&hop.from)?, upper.low), (*lower.middles.get(&hop.to)?, lower.top)))
    }
}

/// The fewest boxes in a row, from the most that are wanted, at which a graph fits.
pub(crate) fn fitting(
    count: usize,
    arrows: &[super::order::Arrow],
    words: &[Words],
    (wide, least): (f64, f64),
) -> Option<Layout> {
    let most = ((wide / least).floor() as usize).max(1);
    (1..=most).rev().find_map(|most| layout(&super::order::rows(count, arrows, most), words, wide, least))
}
