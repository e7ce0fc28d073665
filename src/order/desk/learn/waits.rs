//! Waits between starts, in the working minutes of each task's hand.

use super::super::hours::Hours;
use std::rc::Rc;

/// A task starts after another has ended.
#[derive(Debug, Clone)]
pub(super) struct Edge {
    /// The place of the task that is waited for.
    pub(super) from: usize,
    /// The place of the task that waits.
    pub(super) to: usize,
    /// Minutes of work of the one that is waited for, and of the gap after it.
    work: i64,
    gap: i64,
    hours: Option<(Rc<Hours>, Rc<Hours>)>,
}

impl Edge {
    /// A wait; hours of both where they differ from all the time.
    pub(super) fn new(
        (from, to): (usize, usize),
        (work, gap): (i64, i64),
        hours: Option<(Rc<Hours>, Rc<Hours>)>,
    ) -> Self {
        Self { from, to, work, gap, hours }
    }

    /// The first start of what waits, if the other starts then.
    pub(super) fn after(&self, start: i32) -> i32 {
        let worked = i64::from(start) + self.work;
        small(match &self.hours {
            None => worked + self.gap,
            Some(hours) => hours.1.worked(hours.0.end(worked) + self.gap),
        })
    }

    /// The first start of what is waited for, after which the other starts then or later.
    pub(super) fn before(&self, start: i32) -> i32 {
        small(match &self.hours {
            None => i64::from(start) - self.work - self.gap,
            Some(_) if start <= 0 => i64::from(-FAR),
            Some(hours) => {
                let ends = hours.1.end(i64::from(start)) - self.gap;
                // Before the first hours nothing ends.
                let worked = if ends <= hours.0.begin(0) { 0 } else { hours.0.worked(ends - 1) + 1 };
                worked - self.work
            }
        })
    }
}

/// No start lies further off than this.
pub(super) const FAR: i32 = 1 << 29;

/// A value within the range that starts have.
pub(super) fn small(value: i64) -> i32 {
    value.clamp(i64::from(-FAR), i64::from(FAR)) as i32
}
