//! The problem laid out for quick looking up, without what cannot run short.
//!
//! In: a problem. Out: ways, fits, slots and people as flat tables, and the
//! states as numbers. Guaranteed: nothing here changes what an order costs;
//! charge alone is left out, so where it may run short an order may cost more
//! than it does here, and never less.

use super::problem::{BlockId, CardId, DayId, Problem, SpotId, Window, collected, filled};
use super::state::States;
use crate::model::Arena;
use crate::model::arena::Id;
use std::cell::RefCell;
use std::collections::BTreeMap;

/// A chance to work a block.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Slot {
    /// The window.
    pub(crate) window: Window,
    /// From when one may be at the place.
    pub(crate) open: i64,
}

/// What is needed of a block at every step.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Flat {
    pub(crate) spot: SpotId,
    pub(crate) setup: usize,
    pub(crate) fit: usize,
    pub(crate) fitting: i64,
    pub(crate) turning: i64,
    pub(crate) work: i64,
    pub(crate) rank: i64,
    pub(crate) danger: i64,
    pub(crate) linked: bool,
    states: bool,
}

impl Flat {
    /// Whether it needs or leaves a state.
    pub(crate) fn has_states(&self) -> bool {
        self.states
    }
}

/// The states of everything, as a number of [`Book`].
pub(crate) type Marks = u32;

/// The states after a block, and the minutes of resets before it and inside it.
type Passed = Option<(Marks, i64, i64)>;

/// All states that were met, and what each block makes of them.
#[derive(Debug, Default)]
struct Book {
    known: Vec<States>,
    number: BTreeMap<States, Marks>,
    passed: BTreeMap<(Marks, BlockId), Passed>,
}

impl Book {
    fn enter(&mut self, states: States) -> Marks {
        if let Some(&known) = self.number.get(&states) {
            return known;
        }
        let number = self.known.len() as Marks;
        self.known.push(states.clone());
        self.number.insert(states, number);
        number
    }
}

/// The tables.
#[derive(Debug)]
pub(crate) struct Lean<'p> {
    pub(crate) problem: &'p Problem,
    pub(crate) blocks: Arena<BlockId, Flat>,
    /// Slots of each block on each day, one after the other.
    slots: Vec<Slot>,
    spans: Arena<DayId, Arena<BlockId, (u32, u32)>>,
    /// People of each block on each day: who, and what a minute of theirs costs.
    people: Arena<DayId, Arena<BlockId, Vec<(usize, i64)>>>,
    /// How many people there are.
    pub(crate) persons: usize,
    /// Cards that may run short.
    cards: Vec<CardId>,
    /// Whether charge may run short.
    pub(crate) powered: bool,
    book: RefCell<Book>,
}

impl<'p> Lean<'p> {
    /// Lays a problem out.
    pub(crate) fn new(problem: &'p Problem) -> Self {
        let flat = |id: BlockId| {
            let block = &problem.blocks[id];
            Flat {
                spot: block.spot,
                setup: block.setup,
                fit: block.fit,
                fitting: block.fitting,
                turning: block.turning,
                work: block.work(),
                rank: block.rank,
                danger: block.danger,
                linked: !block.links.is_empty(),
                states: block.parts.iter().any(|part| !part.states.is_empty()),
            }
        };
        let mut lean = Self {
            problem,
            blocks: collected(problem.blocks.ids().map(flat)),
            slots: Vec::new(),
            spans: Arena::default(),
            people: Arena::default(),
            persons: 0,
            cards: problem.cards.ids().filter(|&card| may_fill(problem, card)).collect(),
            powered: problem.stores.ids().any(|store| may_empty(problem, store)),
            book: RefCell::default(),
        };
        let first = States::first(&problem.vars).sorted();
        lean.book.borrow_mut().enter(first);
        for day in problem.days.ids() {
            lean.lay_out(day);
        }
        lean
    }

    fn lay_out(&mut self, day: DayId) {
        let problem = self.problem;
        let mut spans = filled(problem.blocks.len(), (0, 0));
        let mut people = filled(problem.blocks.len(), Vec::new());
        let mut known: BTreeMap<(usize, usize), (u32, u32)> = BTreeMap::new();
        for (id, block) in problem.blocks.iter() {
            let chance = &problem.classes[block.class].days[day];
            let price = |person| problem.weights.of(person);
            people[id] = chance.people.iter().map(|&person| (person.index(), price(person))).collect();
            let most = chance.people.iter().map(|person| person.index() + 1).max();
            self.persons = self.persons.max(most.unwrap_or(0));
            if day.index() < block.first || day.index() > block.last {
                continue;
            }
            let kind = (block.class.index(), block.spot.index());
            spans[id] = *known.entry(kind).or_insert_with(|| {
                let from = self.slots.len() as u32;
                for &window in &chance.windows {
                    let inside = |one: &&Window| one.from <= window.from && window.to <= one.to;
                    if let Some(opening) = problem.access[block.spot][day].iter().find(inside) {
                        self.slots.push(Slot { window, open: opening.from });
                    }
                }
                (from, self.slots.len() as u32)
            });
        }
        self.spans.push(spans);
        self.people.push(people);
    }

    /// When a block may be worked on a day, in order of time.
    pub(crate) fn slots(&self, day: DayId, block: BlockId) -> &[Slot] {
        let (from, to) = self.spans[day][block];
        self.slots.get(from as usize..to as usize).unwrap_or_default()
    }

    /// Who is needed, and what a minute of each costs.
    pub(crate) fn people(&self, day: DayId, block: BlockId) -> &[(usize, i64)] {
        &self.people[day][block]
    }

    /// Minutes on the way and of fitting between two blocks, or before the first.
    pub(crate) fn between(&self, before: Option<BlockId>, base: Option<SpotId>, to: &Flat) -> (i64, i64) {
        let Some(before) = before else {
            return (base.map_or(0, |base| self.problem.way(base, to.spot)), to.fitting);
        };
        let from = &self.blocks[before];
        if from.spot != to.spot {
            return (self.problem.way(from.spot, to.spot), to.fitting);
        }
        let fit = match (from.fit == to.fit, from.setup == to.setup) {
            (true, true) => 0,
            (true, false) => to.turning,
            (false, _) => to.fitting,
        };
        (0, fit)
    }

    /// What is paid for coming from one block to another whenever that is, in hundredths.
    pub(crate) fn arc(&self, before: Option<BlockId>, base: Option<SpotId>, to: BlockId) -> i64 {
        let price = &self.problem.weights;
        let flat = &self.blocks[to];
        let (way, fit) = self.between(before, base, flat);
        let back = before.is_some_and(|before| flat.rank < self.blocks[before].rank);
        way * price.travel + fit * price.fitting + i64::from(back) * price.story_order
    }

    /// States of a morning on which nothing has happened yet.
    pub(crate) fn first_marks(&self) -> Marks {
        0
    }

    /// What a block makes of the states, and the minutes of resets before it and
    /// inside it; `None` where a state cannot go back.
    pub(crate) fn pass(&self, marks: Marks, id: BlockId) -> Passed {
        if !self.blocks[id].states {
            return Some((marks, 0, 0));
        }
        let book = &mut *self.book.borrow_mut();
        if let Some(&known) = book.passed.get(&(marks, id)) {
            return known;
        }
        let mut states = book.known.get(marks as usize)?.clone();
        let parts = &self.problem.blocks[id].parts;
        let passed = states.pass(&self.problem.vars, parts).ok().map(|resets| {
            let opening = resets.iter().filter(|reset| reset.part == 0).map(|reset| reset.takes).sum();
            let inner = resets.iter().filter(|reset| reset.part > 0).map(|reset| reset.takes).sum();
            (book.enter(states.sorted()), opening, inner)
        });
        book.passed.insert((marks, id), passed);
        passed
    }

    /// The states after a night.
    pub(crate) fn rested(&self, marks: Marks, rest: i64) -> Marks {
        if self.problem.vars.is_empty() {
            return marks;
        }
        let book = &mut *self.book.borrow_mut();
        let Some(states) = book.known.get(marks as usize) else { return marks };
        let states = states.rested(&self.problem.vars, rest).sorted();
        book.enter(states)
    }

    /// The states behind a number.
    pub(crate) fn states(&self, marks: Marks) -> States {
        self.book.borrow().known.get(marks as usize).cloned().unwrap_or_default()
    }

    /// The number of some states.
    pub(crate) fn marks(&self, states: States) -> Marks {
        self.book.borrow_mut().enter(states.sorted())
    }

    /// Whether the cards hold what those blocks record in a day.
    pub(crate) fn holds(&self, blocks: &[BlockId]) -> bool {
        self.cards.iter().all(|&card| {
            let bytes = blocks.iter().flat_map(|&id| &self.problem.blocks[id].bytes);
            bytes.filter(|one| one.0 == card).map(|one| one.1).sum::<i64>() <= self.problem.cards[card]
        })
    }
}

/// Whether all blocks together would fill a card.
fn may_fill(problem: &Problem, card: CardId) -> bool {
    let bytes = problem.blocks.values().flat_map(|block| &block.bytes).filter(|one| one.0 == card);
    bytes.map(|one| one.1).fold(0, i64::saturating_add) > problem.cards[card]
}

/// Whether a store may run short where it is never charged: a pack is left with
/// less than the longest piece, at worst.
fn may_empty(problem: &Problem, store: super::problem::StoreId) -> bool {
    let it = problem.stores[store];
    let draws = problem.blocks.values().flat_map(|block| &block.draws);
    let draws = draws.filter(|draw| draw.store == store && draw.piece > 0);
    let (mut longest, mut total) = (0, 0i64);
    for draw in draws {
        longest = longest.max(draw.piece);
        total = total.saturating_add(draw.piece.saturating_mul(draw.times));
    }
    total > 0 && (longest > it.holds || total > (it.holds - longest + 1).saturating_mul(it.packs as i64))
}
