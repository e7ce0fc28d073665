//! Working hours: shifts in order of time, and the working time between moments.
//!
//! Work is counted in working minutes from the first shift on; in these a
//! night has no length, so that plans need not know of nights.

/// Shifts in order of time, apart from each other.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Hours {
    shifts: Vec<Shift>,
}

/// One stretch of work, and how much working time lies before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Shift {
    from: i64,
    to: i64,
    before: i64,
}

impl Hours {
    /// From shifts in order of time; empty and overlapping parts are left out.
    pub fn new(shifts: impl IntoIterator<Item = (i64, i64)>) -> Self {
        let mut hours = Self::default();
        for (from, to) in shifts {
            let last = hours.shifts.last().map_or(i64::MIN, |shift| shift.to);
            let from = from.max(last);
            if from < to {
                let before = hours.capacity();
                hours.shifts.push(Shift { from, to, before });
            }
        }
        hours
    }

    /// Working minutes in all.
    pub fn capacity(&self) -> i64 {
        self.shifts.last().map_or(0, |shift| shift.before + shift.to - shift.from)
    }

    /// Working minutes before a moment.
    pub fn worked(&self, at: i64) -> i64 {
        if let [only] = self.shifts.as_slice() {
            return at.clamp(only.from, only.to) - only.from;
        }
        let next = self.shifts.partition_point(|shift| shift.from < at);
        let Some(shift) = next.checked_sub(1).and_then(|last| self.shifts.get(last)) else { return 0 };
        shift.before + at.min(shift.to) - shift.from
    }

    /// The moment at which work after so many working minutes goes on.
    pub fn begin(&self, worked: i64) -> i64 {
        if let [only] = self.shifts.as_slice() {
            return only.from + worked;
        }
        let next = self.shifts.partition_point(|shift| shift.before <= worked);
        let shift = next.checked_sub(1).and_then(|last| self.shifts.get(last));
        shift.map_or(0, |shift| shift.from + worked - shift.before)
    }

    /// The moment at which so many working minutes are done.
    pub fn end(&self, worked: i64) -> i64 {
        if let [only] = self.shifts.as_slice() {
            return only.from + worked;
        }
        let next = self.shifts.partition_point(|shift| shift.before < worked);
        let shift = next.checked_sub(1).and_then(|last| self.shifts.get(last));
        shift.map_or_else(|| self.begin(0), |shift| shift.from + worked - shift.before)
    }

    /// Each shift: when it begins and ends.
    pub fn shifts(&self) -> impl DoubleEndedIterator<Item = (i64, i64)> {
        self.shifts.iter().map(|shift| (shift.from, shift.to))
    }

    /// The same hours seen from their end, with time running back from 0.
    pub(crate) fn mirrored(&self) -> Self {
        Self::new(self.shifts().rev().map(|(from, to)| (-to, -from)))
    }

    /// What is left of these hours without the times taken, which are in order.
    pub(crate) fn without(&self, taken: &[(i64, i64)]) -> Self {
        let mut left = Vec::new();
        let mut open = taken.iter().copied().peekable();
        for (mut from, to) in self.shifts() {
            while open.next_if(|&(_, end)| end <= from).is_some() {}
            while let Some(&(start, end)) = open.peek().filter(|&&(start, _)| start < to) {
                left.push((from, start));
                from = end;
                if end > to {
                    break;
                }
                open.next();
            }
            left.push((from, to));
        }
        Self::new(left)
    }

    /// Both hours together.
    pub(crate) fn with(&self, other: &Self) -> Self {
        let mut all: Vec<(i64, i64)> = self.shifts().chain(other.shifts()).collect();
        all.sort_unstable();
        Self::new(all)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn work_goes_on_in_the_next_shift() {
        let hours = Hours::new([(600, 960), (2040, 2400)]);
        assert_eq!(hours.capacity(), 720);
        assert_eq!(hours.worked(0), 0);
        assert_eq!(hours.worked(700), 100);
        assert_eq!(hours.worked(1500), 360);
        // Six hours are done at 16:00; what comes next begins at 10:00.
        assert_eq!(hours.end(360), 960);
        assert_eq!(hours.begin(360), 2040);
        assert_eq!(hours.begin(0), 600);
        assert_eq!(hours.end(361), 2041);
        let back = hours.mirrored();
        assert_eq!(back.begin(0), -2400);
        assert_eq!((back.end(360), back.begin(360)), (-2040, -960));
    }

    #[test]
    fn hours_can_be_taken_out_and_put_together() {
        let hours = Hours::new([(0, 100), (200, 300)]);
        let left = hours.without(&[(0, 10), (50, 60), (90, 210), (290, 400)]);
        assert_eq!(left, Hours::new([(10, 50), (60, 90), (210, 290)]));
        assert_eq!(hours.without(&[]), hours);
        assert_eq!(hours.without(&[(-5, 500)]), Hours::default());
        assert_eq!(hours.with(&Hours::new([(100, 110), (150, 160)])).capacity(), 220);
    }
}
