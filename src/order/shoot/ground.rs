//! Some blocks on one day, numbered from 0, with sets of them as bits.
//!
//! In: a [`Morning`] and the blocks that are all done on that day. Out: who comes
//! before whom, who waits for whom, ways, and by when each must begin.

use super::pace::{FINE, Morning};
use super::problem::BlockId;

/// A set of blocks of a day.
pub(crate) type Set = u128;

/// So many blocks fit into a set.
pub(crate) const MOST: usize = Set::BITS as usize;

/// A square of numbers.
#[derive(Debug, Clone)]
pub(crate) struct Square {
    side: usize,
    cells: Vec<i64>,
}

impl Square {
    pub(crate) fn new(side: usize, mut cell: impl FnMut(usize, usize) -> i64) -> Self {
        let cells = (0..side * side).map(|at| cell(at / side, at % side)).collect();
        Self { side, cells }
    }

    pub(crate) fn side(&self) -> usize {
        self.side
    }

    #[inline]
    pub(crate) fn at(&self, from: usize, to: usize) -> i64 {
        self.cells.get(from * self.side + to).copied().unwrap_or(0)
    }

    fn set(&mut self, from: usize, to: usize, value: i64) {
        if let Some(cell) = self.cells.get_mut(from * self.side + to) {
            *cell = value;
        }
    }
}

/// Somebody who waits, or two sides of a join: from the first of the blocks to
/// the last, each minute costs.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Bond {
    /// The blocks.
    pub(crate) set: Set,
    /// Cost of a minute in hundredths.
    pub(crate) minute: i64,
    /// Minutes beyond which each costs more, between two sides of a join.
    pub(crate) close: i64,
    /// What a minute beyond `close` costs besides.
    pub(crate) beyond: i64,
}

/// The tables.
#[derive(Debug)]
pub(crate) struct Ground<'m, 'l, 'p> {
    pub(crate) morning: &'m Morning<'l, 'p>,
    pub(crate) blocks: Vec<Tile>,
    /// All of them.
    pub(crate) all: Set,
    pub(crate) bonds: Vec<Bond>,
    /// Cost of coming from one to another, in hundredths.
    pub(crate) arcs: Square,
    /// Minutes on the way and of fitting from one to another.
    pub(crate) gaps: Square,
    /// The shortest way from one to another, however it goes.
    ways: Square,
}

/// One block.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Tile {
    pub(crate) id: BlockId,
    /// What must be done before it.
    pub(crate) before: Set,
    pub(crate) work: i64,
    pub(crate) danger: i64,
    /// Nobody waits for it after this.
    pub(crate) opens: i64,
    /// Latest begin.
    due: i64,
    /// Whether it has several slots.
    pub(crate) choice: bool,
    /// Cost and minutes of coming to it, at least.
    pub(crate) least_arc: i64,
    pub(crate) least_gap: i64,
}

impl Tile {
    /// The latest begin after which it, and what waits for it, can still be in time.
    pub(crate) fn due(&self) -> i64 {
        self.due
    }
}

impl<'m, 'l, 'p> Ground<'m, 'l, 'p> {
    /// Lays out those blocks; at most [`MOST`].
    pub(crate) fn new(morning: &'m Morning<'l, 'p>, blocks: &[BlockId]) -> Self {
        let lean = morning.lean;
        let count = blocks.len().min(MOST);
        let blocks = blocks.get(..count).unwrap_or_default();
        let id = |at: usize| blocks.get(at).copied();
        let arc = |from: usize, to: usize| {
            id(to).map_or(0, |to| {
                if from == count {
                    lean.arc(None, morning.day.base, to)
                } else {
                    lean.arc(id(from), None, to)
                }
            })
        };
        let minutes = |from: usize, to: usize| {
            let Some(to) = id(to) else { return 0 };
            let (way, fit) = lean.between(id(from), morning.day.base, &lean.blocks[to]);
            way + fit
        };
        let arcs = Square::new(count + 1, arc);
        let gaps = Square::new(count + 1, minutes);
        let mut ground = Self {
            morning,
            blocks: Vec::with_capacity(count),
            all: if count == MOST { Set::MAX } else { (1 << count) - 1 },
            bonds: Vec::new(),
            arcs,
            gaps,
            ways: Square::new(0, |_, _| 0),
        };
        ground.tiles(blocks);
        ground.bind(blocks);
        ground.shorten();
        ground.narrow();
        ground
    }

    fn tiles(&mut self, blocks: &[BlockId]) {
        let (lean, day) = (self.morning.lean, self.morning.id);
        for &id in blocks {
            let before = &lean.problem.blocks[id].before;
            let set = blocks.iter().enumerate().filter(|(_, one)| before.contains(one));
            let slots = lean.slots(day, id);
            let flat = &lean.blocks[id];
            let closes = slots.last().map_or(i64::MIN / 4, |slot| slot.window.to);
            let back = self.morning.day.wrap - lean.problem.pack - self.morning.home(id);
            self.blocks.push(Tile {
                id,
                before: set.fold(0, |set, (at, _)| set | 1 << at),
                work: flat.work,
                danger: flat.danger,
                opens: slots.last().map_or(0, |slot| slot.window.from.max(slot.open)),
                due: closes.min(back) - flat.work,
                choice: slots.len() > 1,
                least_arc: 0,
                least_gap: 0,
            });
        }
        self.close_orders();
        for to in 0..self.blocks.len() {
            let from = (0..=self.blocks.len()).filter(|&from| self.may_follow(from, to));
            let (mut least_arc, mut least_gap) = (i64::MAX, i64::MAX);
            for from in from {
                least_arc = least_arc.min(self.arcs.at(from, to));
                least_gap = least_gap.min(self.gaps.at(from, to));
            }
            if let Some(tile) = self.blocks.get_mut(to) {
                tile.least_arc = if least_arc == i64::MAX { 0 } else { least_arc };
                tile.least_gap = if least_gap == i64::MAX { 0 } else { least_gap };
            }
        }
    }

    /// Whatever comes before what comes before comes before.
    fn close_orders(&mut self) {
        for by in 0..self.blocks.len() {
            let Some(through) = self.blocks.get(by).map(|tile| tile.before) else { continue };
            for tile in self.blocks.iter_mut().filter(|tile| tile.before >> by & 1 == 1) {
                tile.before |= through;
            }
        }
    }

    /// Whether one block may come right after another, or first, where `from` is their number.
    pub(crate) fn may_follow(&self, from: usize, to: usize) -> bool {
        let Some(next) = self.blocks.get(to) else { return false };
        let Some(last) = self.blocks.get(from) else { return next.before == 0 };
        // Something that comes before the next and after the last would lie between them.
        let between = (0..self.blocks.len()).any(|at| {
            next.before >> at & 1 == 1 && self.blocks.get(at).is_some_and(|tile| tile.before >> from & 1 == 1)
        });
        from != to && last.before >> to & 1 == 0 && !between
    }

    /// People who are needed more than once, and joins.
    fn bind(&mut self, blocks: &[BlockId]) {
        let (lean, day) = (self.morning.lean, self.morning.id);
        let mut people: Vec<(Set, i64)> = vec![(0, 0); lean.persons];
        for (at, &id) in blocks.iter().enumerate() {
            for &(person, price) in lean.people(day, id) {
                if let Some((set, minute)) = people.get_mut(person) {
                    (*set, *minute) = (*set | 1 << at, price);
                }
            }
            for link in &lean.problem.blocks[id].links {
                if let Some(other) = blocks.iter().position(|&one| one == link.to).filter(|&one| one > at) {
                    let set = 1 << at | 1 << other;
                    let (minute, close, beyond) = (link.minute, link.close, link.beyond);
                    self.bonds.push(Bond { set, minute, close, beyond });
                }
            }
        }
        let waits = people.into_iter().filter(|(set, minute)| set.count_ones() > 1 && *minute > 0);
        self.bonds.extend(waits.map(|(set, minute)| Bond { set, minute, close: 0, beyond: 0 }));
    }

    /// Shortest ways (Floyd 1962).
    fn shorten(&mut self) {
        let lean = self.morning.lean;
        let spot = |at: usize| self.blocks.get(at).map(|tile| lean.blocks[tile.id].spot);
        let mut ways = Square::new(self.blocks.len(), |from, to| match (spot(from), spot(to)) {
            (Some(from), Some(to)) if from != to => lean.problem.way(from, to),
            _ => 0,
        });
        for by in 0..self.blocks.len() {
            for from in 0..self.blocks.len() {
                for to in 0..self.blocks.len() {
                    let through = ways.at(from, by) + ways.at(by, to);
                    if through < ways.at(from, to) {
                        ways.set(from, to, through);
                    }
                }
            }
        }
        self.ways = ways;
    }

    /// What comes before something must begin in time for it.
    fn narrow(&mut self) {
        let mut order: Vec<usize> = (0..self.blocks.len()).collect();
        // What has most before it comes latest, so its own due time is settled first.
        order.sort_by_key(|&at| {
            std::cmp::Reverse(self.blocks.get(at).map_or(0, |tile| tile.before.count_ones()))
        });
        for &late in &order {
            let Some(&after) = self.blocks.get(late) else { continue };
            for at in bits(after.before) {
                let way = self.ways.at(at, late);
                if let Some(tile) = self.blocks.get_mut(at) {
                    tile.due = tile.due.min(after.due - way - tile.work);
                }
            }
        }
    }

    /// Whether all that is open can still begin in time on its own.
    pub(crate) fn in_time(&self, last: usize, now: i64, open: Set) -> bool {
        bits(open).all(|at| self.blocks.get(at).is_none_or(|tile| now + self.ways.at(last, at) <= tile.due))
    }

    /// What a minute before the next block costs, and what a minute of each block
    /// would cost besides: in [`FINE`] parts, with what is done so far.
    pub(crate) fn rate(&self, done: Set) -> i64 {
        let open = self.all & !done;
        let bonds = self.bonds.iter().filter(|bond| bond.set & done != 0 && bond.set & open != 0);
        FINE * bonds.map(|bond| bond.minute).sum::<i64>()
    }

    /// The same while a block is worked.
    pub(crate) fn rate_within(&self, done: Set, block: usize) -> i64 {
        let (here, open) = (1 << block, self.all & !done);
        let bonds = self
            .bonds
            .iter()
            .filter(|bond| bond.set & here == 0 && bond.set & done != 0 && bond.set & open != 0);
        FINE * bonds.map(|bond| bond.minute).sum::<i64>()
    }

    /// Hazards of a set.
    pub(crate) fn danger(&self, set: Set) -> i64 {
        bits(set).filter_map(|at| self.blocks.get(at)).map(|tile| tile.danger).sum::<i64>()
            * self.morning.lean.problem.weights.danger
    }
}

/// The members of a set, in order.
pub(crate) fn bits(mut set: Set) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        (set != 0).then(|| {
            let at = set.trailing_zeros() as usize;
            set &= set - 1;
            at
        })
    })
}
