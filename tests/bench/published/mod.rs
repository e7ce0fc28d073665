//! Published instances as problems of the shoot's core.
//!
//! Everything that a set does not speak of costs nothing and never runs out:
//! one day without a meal, without overtime, without packing.

pub(crate) mod sop;
pub(crate) mod talent;
pub(crate) mod tsptw;

use seamster::model::arena::Id;
use seamster::model::{Arena, PersonId};
use seamster::order::Weights;
use seamster::order::shoot::problem::{Block, BlockId, Chance, Class, Day, Part, Problem, SpotId, Window};

/// Longer than any instance lasts, in minutes.
const NEVER: i64 = 100_000_000;

/// An instance with what is known of it.
pub(crate) struct Instance {
    pub(crate) name: String,
    pub(crate) problem: Problem,
    /// Cost of the best order that anybody has published, in the set's own coin.
    pub(crate) best: i64,
    /// What an order costs by the set's own words, or why it is none. It looks at
    /// nothing but the file and the order.
    pub(crate) price: Price,
}

impl Instance {
    /// What days of blocks cost by the set's own words, or why they are no order of all.
    pub(crate) fn told(&self, days: &[Vec<(BlockId, i64, i64)>]) -> Result<i64, String> {
        let order: Vec<usize> = days.iter().flatten().map(|(block, _, _)| block.index()).collect();
        let mut all = order.clone();
        all.sort_unstable();
        if !all.iter().copied().eq(0..self.problem.blocks.len()) {
            return Err(format!("{}: not every block once", self.name));
        }
        (self.price)(&order).map_err(|why| format!("{}: {why}", self.name))
    }
}

/// From the blocks in order to their cost.
type Price = Box<dyn Fn(&[usize]) -> Result<i64, String>>;

/// One block as the sets have them.
struct Draft {
    work: i64,
    window: Window,
    people: Vec<PersonId>,
    before: Vec<usize>,
}

impl Default for Draft {
    fn default() -> Self {
        Self { work: 0, window: Window { from: 0, to: NEVER }, people: Vec::new(), before: Vec::new() }
    }
}

/// One day of those blocks, each a set-up of its own at a place of its own.
fn problem(drafts: &[Draft], ways: &[Vec<i64>], base: Option<usize>, weights: Weights) -> Problem {
    let day = Day {
        call: 0,
        wrap: NEVER,
        base: base.map(SpotId::from_index),
        meal: 0,
        meal_within: NEVER,
        rest: 0,
        chargers: 0,
        long: NEVER,
    };
    let mut blocks: Arena<BlockId, Block> = Arena::default();
    let mut classes = Arena::default();
    let first = usize::from(base.is_some());
    for (at, draft) in drafts.iter().enumerate() {
        let chance = Chance { windows: vec![draft.window], people: draft.people.clone() };
        let class = classes.push(Class { days: table([chance]) });
        blocks.push(Block {
            spot: SpotId::from_index(at + first),
            setup: at,
            fit: 0,
            fitting: 0,
            turning: 0,
            parts: vec![Part { work: draft.work, states: Vec::new() }],
            class,
            draws: Vec::new(),
            bytes: Vec::new(),
            before: draft.before.iter().map(|&one| BlockId::from_index(one)).collect(),
            after: Vec::new(),
            links: Vec::new(),
            first: 0,
            last: 0,
            rank: 0,
            danger: 0,
        });
    }
    for (at, draft) in drafts.iter().enumerate() {
        for &one in &draft.before {
            blocks[BlockId::from_index(one)].after.push(BlockId::from_index(at));
        }
    }
    let open = || table([vec![Window { from: 0, to: NEVER }]]);
    Problem {
        blocks,
        days: table([day]),
        classes,
        access: table(ways.iter().map(|_| open())),
        travel: table(ways.iter().map(|row| table(row.iter().copied()))),
        stores: Arena::default(),
        cards: Arena::default(),
        vars: Arena::default(),
        weights,
        arrive: 0,
        pack: 0,
        margin: 0,
    }
}

/// The values in order.
pub(crate) fn table<I: Id, T>(values: impl IntoIterator<Item = T>) -> Arena<I, T> {
    let mut table = Arena::default();
    for value in values {
        table.push(value);
    }
    table
}

/// The numbers of a text; what follows a `#` on its line is a remark.
fn numbers(text: &str) -> Vec<i64> {
    let plain = text.lines().filter_map(|line| line.split('#').next());
    plain.flat_map(str::split_whitespace).map(|word| word.parse::<f64>().unwrap() as i64).collect()
}
