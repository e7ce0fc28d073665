//! Seats over time: what must surely be going on, and what finds no seat beside it.
//!
//! A task whose last start lies before its first end surely goes on between the
//! two. Where those that surely go on leave no seat, another task moves past
//! them (time-table filtering; explained minute by minute as in Schutt, Feydt,
//! Stuckey and Wallace 2011).

use super::bounds::{Bounds, Fact, Half, Reason};

/// Seats of one kind at one hand.
#[derive(Debug)]
pub(super) struct Room {
    /// Its place among all.
    pub(super) place: u32,
    /// How many there are.
    pub(super) seats: i32,
    /// Tasks that take any: place, work, seats.
    pub(super) tasks: Vec<(usize, i32, i32)>,
    /// From when on, how many are surely taken.
    taken: Vec<(i32, i32)>,
    events: Vec<(i32, i32)>,
}

/// Something that cannot be: facts that hold and do not go together.
pub(super) type Clash = Vec<Fact>;

impl Room {
    /// Seats and who takes them.
    pub(super) fn new(place: u32, seats: i32, tasks: Vec<(usize, i32, i32)>) -> Self {
        Self { place, seats, tasks, taken: Vec::new(), events: Vec::new() }
    }

    /// Moves whatever finds no seat where it is.
    pub(super) fn follow(&mut self, bounds: &mut Bounds) -> Result<(), Clash> {
        self.fill(bounds);
        if let Some(&(at, _)) = self.taken.iter().find(|taken| taken.1 > self.seats) {
            let mut facts = Vec::new();
            self.surely(bounds, at, (usize::MAX, 0), &mut facts);
            return Err(facts);
        }
        let most = self.taken.iter().map(|taken| taken.1).max().unwrap_or(0);
        for place in 0..self.tasks.len() {
            let Some(&(task, work, need)) = self.tasks.get(place) else { break };
            if most + need <= self.seats {
                continue;
            }
            let (first, last) = bounds.range(task);
            if first == last {
                continue;
            }
            self.later((task, work, need), (first, last), bounds)?;
            self.sooner((task, work, need), bounds)?;
        }
        Ok(())
    }

    /// What is surely taken over time.
    fn fill(&mut self, bounds: &Bounds) {
        self.events.clear();
        for &(task, work, need) in &self.tasks {
            let (first, last) = bounds.range(task);
            if last < first + work {
                self.events.push((last, need));
                self.events.push((first + work, -need));
            }
        }
        self.events.sort_unstable();
        self.taken.clear();
        let mut sum = 0;
        for &(at, change) in &self.events {
            sum += change;
            match self.taken.last_mut() {
                Some(taken) if taken.0 == at => taken.1 = sum,
                _ => self.taken.push((at, sum)),
            }
        }
    }

    /// Moves the first start of a task past what leaves no seat.
    fn later(
        &self,
        (task, work, need): (usize, i32, i32),
        (first, last): (i32, i32),
        bounds: &mut Bounds,
    ) -> Result<(), Clash> {
        let own = (last, first + work);
        let mut start = first;
        let skip = self.taken.partition_point(|taken| taken.0 <= start).saturating_sub(1);
        let ends = self.taken.iter().skip(skip + 1).map(|taken| taken.0);
        for (&(from, taken), to) in self.taken.iter().skip(skip).zip(ends) {
            if from >= start + work {
                break;
            }
            let beside = if own.0 <= from && to <= own.1 { taken - need } else { taken };
            if beside + need <= self.seats {
                continue;
            }
            while start < to && from < start + work {
                let at = (to - 1).min(start + work - 1);
                let fact = Fact { half: Half::start(task), least: at + 1 };
                self.move_to(fact, at, bounds)?;
                start = at + 1;
            }
        }
        Ok(())
    }

    /// Moves the last start of a task before what leaves no seat.
    fn sooner(&self, (task, work, need): (usize, i32, i32), bounds: &mut Bounds) -> Result<(), Clash> {
        let (first, last) = bounds.range(task);
        let own = (last, first + work);
        let mut start = last;
        let keep = self.taken.partition_point(|taken| taken.0 < start + work);
        let ends = self.taken.iter().skip(1).map(|taken| taken.0).chain([i32::MAX]);
        let steps: Vec<((i32, i32), i32)> = self.taken.iter().copied().zip(ends).take(keep).collect();
        for &((from, taken), to) in steps.iter().rev() {
            if to <= start {
                break;
            }
            let beside = if own.0 <= from && to <= own.1 { taken - need } else { taken };
            if beside + need <= self.seats {
                continue;
            }
            while start < to && from < start + work {
                let at = from.max(start);
                let fact = Fact { half: Half::start(task).other(), least: work - at };
                self.move_to(fact, at, bounds)?;
                start = at - work;
            }
        }
        Ok(())
    }

    /// Makes a move known, or says what it goes against.
    fn move_to(&self, fact: Fact, at: i32, bounds: &mut Bounds) -> Result<(), Clash> {
        let reason = Reason::Seats(self.place, at);
        if bounds.is_true(fact) {
            return Ok(());
        }
        if bounds.is_false(fact) {
            let mut facts = vec![fact.not()];
            self.explain(bounds, fact.half, at, &mut facts);
            return Err(facts);
        }
        bounds.set(fact, reason);
        Ok(())
    }

    /// The facts from which a move follows: the task would go on at a minute at
    /// which others leave no seat.
    pub(super) fn explain(&self, bounds: &Bounds, half: Half, at: i32, facts: &mut Vec<Fact>) {
        let task = half.task();
        let own = self.tasks.iter().find(|one| one.0 == task).map_or((0, 0), |one| (one.1, one.2));
        let least = if half.is_negative() { -at } else { at - own.0 + 1 };
        facts.push(Fact { half, least });
        self.surely(bounds, at, (task, own.1), facts);
    }

    /// Facts by which enough others surely go on at a minute to leave less than `need` seats.
    fn surely(&self, bounds: &Bounds, at: i32, (except, need): (usize, i32), facts: &mut Vec<Fact>) {
        let goes_on = |&&(task, work, _): &&(usize, i32, i32)| {
            let (first, last) = bounds.range(task);
            task != except && last <= at && at < first + work
        };
        let sum: i32 = self.tasks.iter().filter(goes_on).map(|one| one.2).sum();
        let mut spare = sum + need - self.seats - 1;
        for &(task, work, seats) in self.tasks.iter().filter(goes_on) {
            if seats <= spare {
                spare -= seats;
                continue;
            }
            let half = Half::start(task);
            facts.push(Fact { half, least: at - work + 1 });
            facts.push(Fact { half: half.other(), least: -at });
        }
    }
}
