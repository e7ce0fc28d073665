//! One step after another through a day, as [`Run`](super::run::Run) does, with
//! nothing written down, so that an order is priced in one go.
//!
//! A day that waits in its midst is called later, as far as windows leave room.
//! Instead of working such a day twice, the pace keeps by how much its call has
//! been moved so far and by how much more it could be. Times that are kept count
//! from the moved call, so that they need no correction when it moves again.
//!
//! Prices are in sixtieths of a hundredth, since hazards are paid by the hour.

use super::lean::{Lean, Marks};
use super::problem::{BlockId, Day, DayId};

/// Sixtieths in a hundredth.
pub(crate) const FINE: i64 = 60;
/// No meal so far.
const HUNGRY: i64 = i64::MIN;

/// Where a day stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Pace {
    /// The time, if the call had not been moved.
    pub(crate) now: i64,
    /// First step, likewise.
    start: i64,
    /// By how much the call is moved.
    shift: i64,
    /// By how much more it could be.
    pub(crate) room: i64,
    /// End of the meal, counted from the moved call.
    over: i64,
    /// States.
    pub(crate) marks: Marks,
    /// The last block.
    pub(crate) last: Option<BlockId>,
    /// Paid so far, without people's waiting and links.
    pub(crate) cost: i64,
}

/// A block as worked: when, counted from the moved call, and what everybody waited for it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Stop {
    pub(crate) begin: i64,
    pub(crate) end: i64,
    pub(crate) waited: i64,
}

/// One day of a problem, with what it begins with.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Morning<'l, 'p> {
    pub(crate) lean: &'l Lean<'p>,
    pub(crate) id: DayId,
    pub(crate) day: Day,
    not_before: i64,
    marks: Marks,
}

impl<'l, 'p> Morning<'l, 'p> {
    /// A day with the earliest call after the night's rest, and the states of the morning.
    pub(crate) fn new(lean: &'l Lean<'p>, id: DayId, (rested, marks): (i64, Marks)) -> Self {
        let day = lean.problem.days[id];
        let not_before = day.call.max(rested) + lean.problem.arrive;
        Self { lean, id, day, not_before, marks }
    }

    /// The day before its first step.
    pub(crate) fn pace(&self) -> Pace {
        Pace {
            now: self.not_before,
            start: self.not_before,
            shift: 0,
            room: 0,
            over: HUNGRY,
            marks: self.marks,
            last: None,
            cost: 0,
        }
    }

    /// Minutes since the moved call.
    pub(crate) fn elapsed(&self, pace: &Pace) -> i64 {
        if pace.last.is_none() { 0 } else { pace.at() - pace.start + self.lean.problem.arrive }
    }

    /// Works a block next; `None` where it cannot be.
    pub(crate) fn step(&self, pace: &Pace, id: BlockId) -> Option<(Pace, Stop)> {
        let lean = self.lean;
        let price = &lean.problem.weights;
        let flat = &lean.blocks[id];
        let (marks, opening, inner) = lean.pass(pace.marks, id)?;
        let (way, fit) = lean.between(pace.last, self.day.base, flat);
        let (arrived, prepare, span) = (pace.now + way, fit + opening, flat.work + inner);
        let (begin, closes) = lean.slots(self.id, id).iter().find_map(|slot| {
            let window = slot.window;
            if window.to - window.from < span || window.to < arrived + span {
                return None;
            }
            let fit_at = if prepare > 0 { arrived.max(slot.open) } else { arrived };
            let begin = (fit_at + prepare).max(window.from);
            (begin + span <= window.to).then_some((begin, window.to))
        })?;
        let end = begin + span;
        if end + self.pack_up(id) > self.day.wrap {
            return None;
        }
        let mut next = Pace { now: end, marks, last: Some(id), ..*pace };
        let idle = begin - arrived - prepare;
        let free = (closes - end - lean.problem.margin).max(0);
        let mut waited = 0;
        if pace.last.is_none() {
            next.start += idle;
            next.room = free;
            if pace.over != HUNGRY {
                next.over += idle;
            }
        } else {
            let moved = idle.min(pace.room);
            waited = idle - moved;
            next.shift += moved;
            next.room = if waited > 0 { 0 } else { (pace.room - moved).min(free) };
        }
        let stop = Stop { begin: begin - next.shift, end: end - next.shift, waited };
        let back = pace.last.is_some_and(|last| flat.rank < lean.blocks[last].rank);
        next.cost += FINE
            * (way * price.travel
                + fit * price.fitting
                + (opening + inner) * price.resetting
                + waited * price.waiting
                + i64::from(back) * price.story_order)
            + flat.danger * price.danger * (stop.begin - next.start);
        Some((next, stop))
    }

    fn pack_up(&self, last: BlockId) -> i64 {
        self.lean.problem.pack + self.home(last)
    }

    /// Minutes from a block back to the base.
    pub(crate) fn home(&self, last: BlockId) -> i64 {
        self.day.base.map_or(0, |base| self.lean.problem.way(self.lean.blocks[last].spot, base))
    }

    /// Eats next; `None` where it is too late for that.
    pub(crate) fn eat(&self, pace: &Pace) -> Option<Pace> {
        (self.elapsed(pace) <= self.day.meal_within).then(|| {
            let now = pace.now + self.day.meal;
            Pace { now, over: now - pace.shift, ..*pace }
        })
    }

    /// Packs and goes home: what the day costs in hundredths with so much paid
    /// besides, and when it ends. `Err` where there was no meal in time, or one too
    /// many; the same with or without a meal is then still to be tried.
    pub(crate) fn close(&self, pace: &Pace, besides: i64) -> Result<(i64, i64), Misfed> {
        let price = &self.lean.problem.weights;
        let home = pace.last.map_or(0, |last| self.home(last));
        let wrap = pace.now + self.lean.problem.pack + home;
        let at = wrap - pace.shift;
        let whole = at - pace.start + self.lean.problem.arrive;
        // A long day has a meal, and a short one has none, even where it would fill a wait.
        if pace.fed() != (whole > self.day.meal_within) {
            return Err(Misfed);
        }
        let hunger = if pace.fed() { (at - pace.over - self.day.meal_within).max(0) } else { 0 };
        let close =
            home * price.travel + hunger * price.meal + (whole - self.day.long).max(0) * price.overtime;
        Ok(((pace.cost + besides + FINE * close).div_euclid(FINE), wrap))
    }
}

/// There was no meal in time, or one that the day is too short for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Misfed;

impl Pace {
    /// The time, counted from the moved call.
    pub(crate) fn at(&self) -> i64 {
        self.now - self.shift
    }

    /// Minutes since the first step.
    pub(crate) fn worked(&self) -> i64 {
        self.at() - self.start
    }

    /// Whether the meal has been.
    pub(crate) fn fed(&self) -> bool {
        self.over != HUNGRY
    }

    /// Minutes since the meal; nothing before it.
    pub(crate) fn since_meal(&self) -> i64 {
        if self.fed() { self.at() - self.over } else { 0 }
    }

    /// The latest time at which what is done so far could be done.
    pub(crate) fn latest(&self) -> i64 {
        self.now + self.room
    }
}
