//! Times tasks one after the other in a given order.
//!
//! In: a net and an order in which no task comes before what it waits for.
//! Out: for each task who does it and when, each as early as can be after
//! those before it in the order (serial schedule generation; Kelley 1963).
//! On the mirrored net the same does all as late as can be; one after the other
//! is justification (Wiest 1964; Valls, Ballestín and Quintanilla 2005), which
//! never makes a schedule longer.

use super::load::{Load, Seats};
use super::net::Net;
use super::problem::{HandId, TaskId};
use crate::model::Arena;
use crate::model::arena::Id;
use crate::order::shoot::problem::filled;

/// Who does a task, and when.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Done {
    /// Who; nobody for a moment.
    pub(super) hand: Option<HandId>,
    /// Start.
    pub(super) start: i64,
    /// End.
    pub(super) end: i64,
}

/// All tasks timed.
pub(super) type Schedule = Arena<TaskId, Done>;

/// Wished hands; where there is none, whoever is done first.
pub(super) type Wished = Arena<TaskId, Option<HandId>>;

/// Free seats of every hand, kept from one schedule to the next.
#[derive(Debug)]
pub(super) struct Space {
    loads: Vec<Load>,
    words: usize,
    /// Tasks timed so far.
    pub(super) timed: u64,
    buckets: Vec<u32>,
    /// Whether who has one seat takes tasks strictly one after the other.
    strict: bool,
}

impl Space {
    /// Empty.
    pub(super) fn new(net: &Net) -> Self {
        let words = net.seats.values().map(Vec::len).max().unwrap_or(1);
        let loads = net.seats.values().flatten().map(|&seats| Load::free(seats, net.reach)).collect();
        let size = net.len();
        Self { loads, words, timed: 0, buckets: Vec::with_capacity(size), strict: false }
    }

    /// Empty; who has one seat then does tasks in the order in which they come,
    /// and no gap before the last is filled.
    pub(super) fn in_order(net: &Net) -> Self {
        Self { strict: true, ..Self::new(net) }
    }

    /// Frees all seats; nothing is asked for before `floor`.
    pub(super) fn clear(&mut self, net: &Net, floor: i64) {
        for (hand, hours) in net.hours.iter() {
            let base = hours.worked(floor);
            self.of(hand).iter_mut().for_each(|load| load.clear(base));
        }
    }

    fn of(&mut self, hand: HandId) -> &mut [Load] {
        let first = hand.index() * self.words;
        self.loads.get_mut(first..first + self.words).unwrap_or_default()
    }

    /// Takes the seats of a task from a working minute on.
    pub(super) fn take(&mut self, net: &Net, id: TaskId, hand: HandId, at: i64) -> Done {
        let work = net.work[id];
        for (load, need) in self.of(hand).iter_mut().zip(&net.need[id]) {
            if !need.is_none() {
                load.take(at, at + work, *need);
            }
        }
        let hours = &net.hours[hand];
        Done { hand: Some(hand), start: hours.begin(at), end: hours.end(at + work) }
    }

    /// The first working minute of a hand from `from` on at which a task fits.
    pub(super) fn fit(&mut self, net: &Net, id: TaskId, hand: HandId, from: i64) -> i64 {
        let (need, work) = (&net.need[id], net.work[id]);
        let strict = self.strict && net.seats[hand].first() == Some(&Seats::new([1]));
        let loads = self.of(hand);
        if let ([load], [need]) = (&mut *loads, need.as_slice()) {
            let from = if strict { from.max(load.end()) } else { from };
            return load.fit(from, work, *need);
        }
        let mut at = from;
        loop {
            let fits = loads.iter().zip(need).filter(|(_, need)| !need.is_none());
            let next = fits.fold(at, |at, (load, need)| load.fit(at, work, *need));
            if next == at {
                return at;
            }
            at = next;
        }
    }
}

/// Times the tasks of an order; nothing starts before `floor`. Where a hand's
/// hours run out another is taken; where all run out, the one who is done first goes on after them.
pub(super) fn time(
    net: &Net,
    order: &[TaskId],
    wished: &Wished,
    floor: i64,
    space: &mut Space,
    schedule: &mut Schedule,
) {
    space.clear(net, floor);
    space.timed += order.len() as u64;
    for &id in order {
        let waits = net.before[id].iter().map(|&(one, gap)| schedule[one].end + gap);
        let from = waits.fold(net.release[id].max(floor), i64::max);
        let work = net.work[id];
        if work == 0 {
            schedule[id] = Done { hand: None, start: from, end: from };
            continue;
        }
        let able = match &wished[id] {
            Some(hand) => std::slice::from_ref(hand),
            None => net.able[id].as_slice(),
        };
        let mut best: Option<(bool, i64, i64, HandId)> = None;
        for &hand in able {
            let hours = &net.hours[hand];
            let at = space.fit(net, id, hand, hours.worked(from));
            let beyond = at + work > hours.capacity();
            let end = hours.end(at + work);
            if best.is_none_or(|known| (beyond, end) < (known.0, known.1)) {
                best = Some((beyond, end, at, hand));
            }
        }
        if let Some((_, _, at, hand)) = best {
            schedule[id] = space.take(net, id, hand, at);
        }
    }
}

/// Times every task as if it were alone: as early as what it waits for allows,
/// with the hand who is done first. No schedule has any task end sooner.
pub(super) fn alone(net: &Net, floor: i64) -> Schedule {
    let mut schedule = blank(net);
    for &id in &net.order {
        let waits = net.before[id].iter().map(|&(one, gap)| schedule[one].end + gap);
        let from = waits.fold(net.release[id].max(floor), i64::max);
        let work = net.work[id];
        let with = |&hand: &HandId| {
            let hours = &net.hours[hand];
            let at = hours.worked(from);
            Done { hand: Some(hand), start: hours.begin(at), end: hours.end(at + work) }
        };
        let done = net.able[id].iter().filter(|_| work > 0).map(with);
        // Who begins first need not end first.
        let start = done.clone().map(|done| done.start).min().unwrap_or(from);
        let end = done.map(|done| done.end).min().unwrap_or(from);
        schedule[id] = Done { hand: None, start, end };
    }
    schedule
}

/// No schedule yet.
pub(super) fn blank(net: &Net) -> Schedule {
    filled(net.len(), Done::default())
}

/// When all is done.
pub(super) fn finish(schedule: &Schedule) -> i64 {
    schedule.values().map(|done| done.end).max().unwrap_or(0)
}

/// Sorts tasks by start, in an order in which nothing comes before what it waits for.
pub(super) fn by_start(net: &Net, schedule: &Schedule, space: &mut Space, order: &mut [TaskId]) {
    sort(net, |id| schedule[id].start, space, order);
}

/// Sorts tasks by end, the last first: the same with time running back.
pub(super) fn by_end(mirrored: &Net, schedule: &Schedule, space: &mut Space, order: &mut [TaskId]) {
    sort(mirrored, |id| -schedule[id].end, space, order);
}

/// Sorts by a key, and by rank where it is the same; in one sweep where keys lie close.
fn sort(net: &Net, key: impl Fn(TaskId) -> i64, space: &mut Space, order: &mut [TaskId]) {
    let (mut least, mut most) = (i64::MAX, i64::MIN);
    for &id in order.iter() {
        (least, most) = (least.min(key(id)), most.max(key(id)));
    }
    let wide = most.saturating_sub(least) as usize;
    if wide >= 4 * order.len() || order.len() != net.order.len() {
        order.sort_unstable_by_key(|&id| (key(id), net.rank[id]));
        return;
    }
    let buckets = &mut space.buckets;
    buckets.clear();
    buckets.resize(wide + 2, 0);
    for &id in order.iter() {
        if let Some(bucket) = buckets.get_mut((key(id) - least) as usize + 1) {
            *bucket += 1;
        }
    }
    let mut before = 0;
    for bucket in buckets.iter_mut() {
        before += *bucket;
        *bucket = before;
    }
    for &id in &net.order {
        let Some(place) = buckets.get_mut((key(id) - least) as usize) else { continue };
        if let Some(slot) = order.get_mut(*place as usize) {
            *slot = id;
        }
        *place += 1;
    }
}

/// The nearest order in which nothing comes before what it waits for: always
/// the task with the least key that waits for nothing open.
pub(super) fn in_order(net: &Net, key: &Arena<TaskId, i64>) -> Vec<TaskId> {
    let mut open: Arena<TaskId, usize> = filled(net.len(), 0);
    let mut ready = std::collections::BTreeSet::new();
    for &id in &net.order {
        open[id] = net.before[id].len();
        if open[id] == 0 {
            ready.insert((key[id], net.rank[id], id));
        }
    }
    let mut order = Vec::with_capacity(net.len());
    while let Some((_, _, id)) = ready.pop_first() {
        order.push(id);
        for &(after, _) in &net.after[id] {
            open[after] -= 1;
            if open[after] == 0 {
                ready.insert((key[after], net.rank[after], after));
            }
        }
    }
    order
}
