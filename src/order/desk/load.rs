//! How many seats of a hand are free along its working time.
//!
//! Seats of up to four kinds lie side by side in one word, each in 16 bits with
//! a guard bit above, so that one subtraction tells whether all kinds are
//! enough.

/// Kinds of seats in one word.
pub(super) const KINDS: usize = 4;
const GUARD: u64 = 0x8000_8000_8000_8000;

/// Seats of up to four kinds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Seats(u64);

impl Seats {
    /// Packs seats by kind; what lies beyond four kinds is left to another word.
    pub(super) fn new(kinds: impl IntoIterator<Item = u16>) -> Self {
        let pack = |(at, seats): (usize, u16)| u64::from(seats & 0x7fff) << (16 * at);
        Self(kinds.into_iter().take(KINDS).enumerate().map(pack).sum())
    }

    /// Seats of one kind.
    pub(super) fn of(self, kind: usize) -> i64 {
        i64::from((self.0 >> (16 * (kind % KINDS))) as u16 & 0x7fff)
    }

    /// Whether none is meant.
    pub(super) fn is_none(self) -> bool {
        self.0 == 0
    }

    /// Whether these are enough for so many.
    pub(super) fn hold(self, need: Self) -> bool {
        ((self.0 | GUARD) - need.0) & GUARD == GUARD
    }

    fn less(self, need: Self) -> Self {
        Self(self.0 - need.0)
    }
}

/// Free seats over working time from some moment on.
#[derive(Debug, Clone)]
pub(super) enum Load {
    /// A word for each minute: for problems that are short in time.
    Minutes(Minutes),
    /// A word wherever something changes.
    Steps(Steps),
}

impl Load {
    /// All seats free; `long` is how far the tasks can reach at most.
    pub(super) fn free(seats: Seats, long: i64) -> Self {
        match usize::try_from(long) {
            Ok(long) if long <= MOST_MINUTES => {
                Self::Minutes(Minutes { all: seats, base: 0, free: Vec::new() })
            }
            _ => Self::Steps(Steps { all: seats, steps: Vec::new() }),
        }
    }

    /// Frees all seats again; nothing is asked for before `base`.
    pub(super) fn clear(&mut self, base: i64) {
        match self {
            Self::Minutes(minutes) => {
                minutes.base = base;
                minutes.free.clear();
            }
            Self::Steps(steps) => {
                steps.steps.clear();
                steps.steps.push((base, steps.all));
            }
        }
    }

    /// The first moment from `from` on at which so many seats are free for so
    /// long. The seats that a load begins with are enough.
    pub(super) fn fit(&self, from: i64, long: i64, need: Seats) -> i64 {
        match self {
            Self::Minutes(minutes) => minutes.fit(from, long, need),
            Self::Steps(steps) => steps.fit(from, long, need),
        }
    }

    /// From here on all seats are free.
    pub(super) fn end(&self) -> i64 {
        match self {
            Self::Minutes(minutes) => minutes.base + minutes.free.len() as i64,
            Self::Steps(steps) => steps.steps.last().map_or(i64::MIN, |step| step.0),
        }
    }

    /// Takes seats that are free.
    pub(super) fn take(&mut self, from: i64, to: i64, need: Seats) {
        match self {
            Self::Minutes(minutes) => minutes.take(from, to, need),
            Self::Steps(steps) => steps.take(from, to, need),
        }
    }
}

/// So many minutes are kept one by one at most.
const MOST_MINUTES: usize = 4096;

/// Free seats minute by minute; all are free after the last.
#[derive(Debug, Clone)]
pub(super) struct Minutes {
    all: Seats,
    base: i64,
    free: Vec<Seats>,
}

impl Minutes {
    fn fit(&self, from: i64, long: i64, need: Seats) -> i64 {
        let known = self.free.len();
        let (mut at, long) = ((from - self.base) as usize, long as usize);
        // What lies before this is known to be free.
        let mut seen = at;
        while at < known {
            let window = self.free.get(seen..(at + long).min(known)).unwrap_or_default();
            let Some(full) = window.iter().rposition(|free| !free.hold(need)) else { break };
            let end = (at + long).min(known);
            at = seen + full + 1;
            seen = end;
        }
        at as i64 + self.base
    }

    fn take(&mut self, from: i64, to: i64, need: Seats) {
        let (from, to) = ((from - self.base) as usize, (to - self.base) as usize);
        if self.free.len() < to {
            self.free.resize(to, self.all);
        }
        for free in self.free.get_mut(from..to).into_iter().flatten() {
            *free = free.less(need);
        }
    }
}

/// Free seats: each step holds until the next.
#[derive(Debug, Clone)]
pub(super) struct Steps {
    all: Seats,
    steps: Vec<(i64, Seats)>,
}

impl Steps {
    fn fit(&self, from: i64, long: i64, need: Seats) -> i64 {
        let mut at = from;
        let first = self.steps.partition_point(|step| step.0 <= from).saturating_sub(1);
        let mut steps = self.steps.iter().skip(first).peekable();
        while let Some(step) = steps.next() {
            if step.0 >= at + long {
                break;
            }
            if !step.1.hold(need) {
                at = steps.peek().map_or(at, |next| next.0);
            }
        }
        at
    }

    fn take(&mut self, from: i64, to: i64, need: Seats) {
        let first = self.cut(from);
        let last = self.cut(to);
        for step in self.steps.get_mut(first..last).into_iter().flatten() {
            step.1 = step.1.less(need);
        }
    }

    /// The step that begins at a moment; one is made where there is none.
    fn cut(&mut self, at: i64) -> usize {
        let next = self.steps.partition_point(|step| step.0 < at);
        if self.steps.get(next).is_none_or(|step| step.0 != at) {
            let free = next.checked_sub(1).and_then(|before| self.steps.get(before));
            let free = free.map_or(self.all, |step| step.1);
            self.steps.insert(next, (at, free));
        }
        next
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn seats_of_all_kinds_must_be_enough() {
        let have = Seats::new([3, 0, 32_767, 7]);
        assert!(have.hold(Seats::new([3, 0, 32_767, 7])));
        assert!(have.hold(Seats::default()));
        for kind in [0, 1, 3] {
            let mut need = [0; 4];
            need[kind] = have.of(kind) as u16 + 1;
            assert!(!have.hold(Seats::new(need)));
        }
    }

    #[test]
    fn the_first_gap_that_is_long_enough_is_found() {
        for long in [100, i64::MAX] {
            let one = Seats::new([1]);
            let mut load = Load::free(one, long);
            load.clear(-3);
            load.take(10, 20, one);
            load.take(25, 40, one);
            assert_eq!(load.fit(-3, 10, one), -3);
            assert_eq!(load.fit(0, 10, one), 0);
            assert_eq!(load.fit(5, 5, one), 5);
            assert_eq!(load.fit(5, 6, one), 40);
            assert_eq!(load.fit(12, 5, one), 20);
            assert_eq!(load.fit(50, 5, one), 50);
            load.clear(5);
            assert_eq!(load.fit(5, 90, one), 5);
            let mut two = Load::free(Seats::new([2, 1]), long);
            two.clear(0);
            two.take(0, 10, Seats::new([1, 1]));
            two.take(5, 15, Seats::new([1, 0]));
            assert_eq!(two.fit(0, 5, Seats::new([1, 0])), 0);
            assert_eq!(two.fit(0, 6, Seats::new([1, 0])), 10);
            assert_eq!(two.fit(0, 1, Seats::new([1, 1])), 10);
            assert_eq!(two.fit(0, 1, Seats::new([2, 0])), 15);
        }
    }
}
