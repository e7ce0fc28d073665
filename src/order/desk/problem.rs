//! The desk as a plain problem: tasks, hands that can do them, working hours.
//!
//! All times are whole minutes; absolute ones count as [`Minute`](crate::order::Minute) does.

use crate::model::{Arena, arena};

arena::ids! {
    /// A task.
    TaskId;
    /// Someone who works.
    HandId;
}

/// The whole problem. Every task that needs work names a hand that has enough hours.
#[derive(Debug, Clone, Default)]
pub struct Problem {
    /// What must be done.
    pub tasks: Arena<TaskId, Task>,
    /// Who can do it.
    pub hands: Arena<HandId, Hand>,
    /// When all should be done.
    pub due: Option<i64>,
}

/// A task.
#[derive(Debug, Clone, Default)]
pub struct Task {
    /// Minutes of work; 0 is a moment and needs no hand.
    pub work: i64,
    /// Who can do it, the likeliest first.
    pub able: Vec<HandId>,
    /// What must be done before.
    pub before: Vec<TaskId>,
    /// What waits for it.
    pub after: Vec<TaskId>,
    /// Not before this.
    pub release: i64,
}

/// Working hours of one hand: shifts in order of time, apart from each other.
#[derive(Debug, Clone, Default)]
pub struct Hand {
    shifts: Vec<Shift>,
}

/// One stretch of work, and how much working time lies before it.
#[derive(Debug, Clone, Copy)]
struct Shift {
    from: i64,
    to: i64,
    before: i64,
}

impl Hand {
    /// From shifts in order of time; empty and overlapping parts are left out.
    pub fn new(shifts: impl IntoIterator<Item = (i64, i64)>) -> Self {
        let mut hand = Self::default();
        for (from, to) in shifts {
            let last = hand.shifts.last().map_or(i64::MIN, |shift| shift.to);
            let from = from.max(last);
            if from < to {
                let before = hand.capacity();
                hand.shifts.push(Shift { from, to, before });
            }
        }
        hand
    }

    /// Working minutes in all.
    pub fn capacity(&self) -> i64 {
        self.shifts.last().map_or(0, |shift| shift.before + shift.to - shift.from)
    }

    /// Working minutes before a moment.
    pub fn worked(&self, at: i64) -> i64 {
        let next = self.shifts.partition_point(|shift| shift.from < at);
        let Some(shift) = next.checked_sub(1).and_then(|last| self.shifts.get(last)) else { return 0 };
        shift.before + at.min(shift.to) - shift.from
    }

    /// The moment at which work after so many working minutes goes on.
    pub fn begin(&self, worked: i64) -> i64 {
        let next = self.shifts.partition_point(|shift| shift.before <= worked);
        let shift = next.checked_sub(1).and_then(|last| self.shifts.get(last));
        shift.map_or(0, |shift| shift.from + worked - shift.before)
    }

    /// The moment at which so many working minutes are done.
    pub fn end(&self, worked: i64) -> i64 {
        let next = self.shifts.partition_point(|shift| shift.before < worked);
        let shift = next.checked_sub(1).and_then(|last| self.shifts.get(last));
        shift.map_or_else(|| self.begin(0), |shift| shift.from + worked - shift.before)
    }

    /// The date lines of its shifts: starts of all of them.
    pub fn starts(&self) -> impl Iterator<Item = i64> {
        self.shifts.iter().map(|shift| shift.from)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn work_goes_on_in_the_next_shift() {
        let hand = Hand::new([(600, 960), (2040, 2400)]);
        assert_eq!(hand.capacity(), 720);
        assert_eq!(hand.worked(0), 0);
        assert_eq!(hand.worked(700), 100);
        assert_eq!(hand.worked(1500), 360);
        // Six hours are done at 16:00; what comes next begins at 10:00.
        assert_eq!(hand.end(360), 960);
        assert_eq!(hand.begin(360), 2040);
        assert_eq!(hand.begin(0), 600);
        assert_eq!(hand.end(361), 2041);
    }
}
