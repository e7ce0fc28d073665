//! The shoot as a plain problem: blocks to put in order on days, with no word
//! of film in it, so that published instances can be fed to the same planner.
//!
//! All times are whole minutes; absolute ones count as [`Minute`](crate::order::Minute) does.

use crate::model::{Arena, PersonId, arena};
use crate::order::Weights;

arena::ids! {
    /// A block: work that is done in one go.
    BlockId;
    /// A day.
    DayId;
    /// A place.
    SpotId;
    /// Blocks with the same windows and people.
    ClassId;
    /// A store of packs: a camera's batteries, a flying rig's packs.
    StoreId;
    /// Card space of one camera.
    CardId;
    /// Something whose state only goes forward.
    VarId;
}

/// From the first to the last minute of a chance; work must lie inside whole.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Window {
    /// Earliest start.
    pub from: i64,
    /// Latest end.
    pub to: i64,
}

/// The whole problem.
#[derive(Debug, Clone)]
pub struct Problem {
    /// What must be done.
    pub blocks: Arena<BlockId, Block>,
    /// When it may be done, in order of time.
    pub days: Arena<DayId, Day>,
    /// Windows and people.
    pub classes: Arena<ClassId, Class>,
    /// When one may be at each place, by day.
    pub access: Arena<SpotId, Arena<DayId, Vec<Window>>>,
    /// Minutes from each place to each other.
    pub travel: Arena<SpotId, Arena<SpotId, i64>>,
    /// Batteries and flight packs.
    pub stores: Arena<StoreId, Store>,
    /// Space on cards on one day, in bytes.
    pub cards: Arena<CardId, i64>,
    /// States.
    pub vars: Arena<VarId, Var>,
    /// What is paid for what.
    pub weights: Weights,
    /// Minutes between a call and the first step.
    pub arrive: i64,
    /// Minutes for packing before the way back.
    pub pack: i64,
    /// Minutes that a later call leaves between work and the end of its window,
    /// where there were so many.
    pub margin: i64,
}

/// One day.
#[derive(Debug, Clone, Copy)]
pub struct Day {
    /// Earliest call.
    pub call: i64,
    /// Latest time at which all is packed and back.
    pub wrap: i64,
    /// Where it starts and ends, if that is said.
    pub base: Option<SpotId>,
    /// Length of the meal.
    pub meal: i64,
    /// Latest start of the meal after the call; a shorter day needs none.
    pub meal_within: i64,
    /// Rest after the former wrap.
    pub rest: i64,
    /// Packs that can charge at once.
    pub chargers: usize,
    /// Minutes from call to wrap beyond which each is overtime.
    pub long: i64,
}

/// Work that is done in one go, unbroken by a meal, a move or a fit.
#[derive(Debug, Clone)]
pub struct Block {
    /// Where.
    pub spot: SpotId,
    /// Blocks of the same set-up follow each other without resetting.
    pub setup: usize,
    /// Blocks on the same rig and camera follow each other without fitting.
    pub fit: usize,
    /// Minutes to fit.
    pub fitting: i64,
    /// Minutes to change the set-up where the rig and camera stay.
    pub turning: i64,
    /// Its parts, in order.
    pub parts: Vec<Part>,
    /// Windows and people.
    pub class: ClassId,
    /// What it draws from stores.
    pub draws: Vec<Draw>,
    /// Bytes it records, by card store.
    pub bytes: Vec<(CardId, i64)>,
    /// Blocks that must be done before it.
    pub before: Vec<BlockId>,
    /// Blocks that must be done after it.
    pub after: Vec<BlockId>,
    /// Blocks that are better close to it; each names this one too.
    pub links: Vec<Link>,
    /// First day on which it may be done.
    pub first: usize,
    /// Last day on which it may be done.
    pub last: usize,
    /// Its place in the story, for ties.
    pub rank: i64,
    /// How dangerous or tiring it is, for ties: number of hazards.
    pub danger: i64,
}

/// Another block that is better close by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Link {
    /// Which.
    pub to: BlockId,
    /// Cost of a minute between the two, in hundredths.
    pub minute: i64,
    /// Minutes beyond which each costs more.
    pub close: i64,
    /// What each of those costs besides.
    pub beyond: i64,
}

impl Link {
    /// What so many minutes between the two cost, in hundredths.
    pub fn cost(&self, gap: i64) -> i64 {
        gap * self.minute + (gap - self.close).max(0) * self.beyond
    }
}

/// One part of a block.
#[derive(Debug, Clone)]
pub struct Part {
    /// Minutes.
    pub work: i64,
    /// States it needs and leaves: (whose, needed, left).
    pub states: Vec<(VarId, usize, usize)>,
}

impl Block {
    /// Minutes without resets.
    pub fn work(&self) -> i64 {
        self.parts.iter().map(|part| part.work).sum()
    }
}

/// When blocks of one kind can be done, and who is then there.
#[derive(Debug, Clone, Default)]
pub struct Class {
    /// One entry a day.
    pub days: Arena<DayId, Chance>,
}

/// The chances of one class on one day.
#[derive(Debug, Clone, Default)]
pub struct Chance {
    /// In order of time, apart from each other.
    pub windows: Vec<Window>,
    /// Who is needed.
    pub people: Vec<PersonId>,
}

/// Packs that are used up and charged again.
#[derive(Debug, Clone, Copy)]
pub struct Store {
    /// How many packs.
    pub packs: usize,
    /// What a full pack holds, in seconds of use.
    pub holds: i64,
    /// Seconds of use won in a minute on a charger; 0 where it cannot be charged.
    pub gains: i64,
}

/// A draw on a store: so many pieces, each from one pack.
#[derive(Debug, Clone, Copy)]
pub struct Draw {
    /// From which.
    pub store: StoreId,
    /// Seconds of use of one piece.
    pub piece: i64,
    /// Pieces.
    pub times: i64,
}

/// Something whose state only goes forward, unless it is reset or replaced.
#[derive(Debug, Clone)]
pub struct Var {
    /// Number of states.
    pub states: usize,
    /// How many there are of it; each starts in state 0.
    pub items: usize,
    /// Minutes from a state back to an earlier one by the shortest way:
    /// `back[from][to]`, `None` where there is none.
    pub back: Vec<Vec<Option<i64>>>,
}

impl Var {
    /// Minutes from a state back to an earlier one, if there is a way.
    pub fn resets(&self, from: usize, to: usize) -> Option<i64> {
        self.back.get(from).and_then(|row| row.get(to)).copied().flatten()
    }
}

/// A table with the same value everywhere.
pub(crate) fn filled<I: arena::Id, T: Clone>(len: usize, value: T) -> Arena<I, T> {
    collected(std::iter::repeat_n(value, len))
}

/// A table of the values in order.
pub(crate) fn collected<I: arena::Id, T>(values: impl IntoIterator<Item = T>) -> Arena<I, T> {
    let mut table = Arena::default();
    for value in values {
        table.push(value);
    }
    table
}

impl Problem {
    /// Minutes between two places.
    pub fn way(&self, from: SpotId, to: SpotId) -> i64 {
        self.travel[from][to]
    }
}
