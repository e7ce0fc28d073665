//! What was learned: clauses, of each of which at least one fact must hold.
//!
//! Two facts of each clause are watched (Moskewicz et al. 2001): only when one
//! of the two becomes false is the clause looked at.

use super::bounds::{Bounds, Fact, Half, Reason};
use crate::model::Arena;
use crate::order::shoot::problem::filled;

/// A clause.
#[derive(Debug)]
pub(super) struct Clause {
    /// Its facts; the first two are watched, and the first is the one that it forces.
    pub(super) facts: Vec<Fact>,
    /// In how many trials its facts lay when it was learned: the fewer the better
    /// (Audemard and Simon 2009).
    pub(super) spread: u32,
}

/// Looks at a clause when a half reaches a value.
#[derive(Debug, Clone, Copy)]
struct Watch {
    at: i32,
    clause: u32,
    /// If this holds nothing need be looked at.
    other: Fact,
}

/// All clauses.
#[derive(Debug)]
pub(super) struct Clauses {
    all: Vec<Clause>,
    watched: Arena<Half, Vec<Watch>>,
}

impl Clauses {
    /// None yet.
    pub(super) fn new(halves: usize) -> Self {
        Self { all: Vec::new(), watched: filled(halves, Vec::new()) }
    }

    /// How many there are.
    pub(super) fn len(&self) -> usize {
        self.all.len()
    }

    /// One of them.
    pub(super) fn get(&self, clause: u32) -> Option<&Clause> {
        self.all.get(clause as usize)
    }

    /// Adds a clause; the first two facts are those that become free first.
    pub(super) fn add(&mut self, clause: Clause) -> u32 {
        let id = self.all.len() as u32;
        self.all.push(clause);
        self.watch(id);
        id
    }

    fn watch(&mut self, id: u32) {
        let Some(Clause { facts, .. }) = self.all.get(id as usize) else { return };
        let [one, other, ..] = facts.as_slice() else { return };
        for (fact, other) in [(one.not(), *other), (other.not(), *one)] {
            self.watched[fact.half].push(Watch { at: fact.least, clause: id, other });
        }
    }

    /// Forgets half of the clauses, those spread widest; none may be a reason now.
    pub(super) fn forget(&mut self) {
        let keep = self.all.len() / 2;
        let mut spreads: Vec<u32> = self.all.iter().map(|clause| clause.spread).collect();
        spreads.sort_unstable();
        let most = spreads.get(keep).copied().unwrap_or(u32::MAX).max(3);
        self.all.retain(|clause| clause.spread < most || clause.spread <= 2);
        let halves: Vec<Half> = self.watched.ids().collect();
        for half in halves {
            self.watched[half].clear();
        }
        for id in 0..self.all.len() {
            self.watch(id as u32);
        }
    }

    /// Follows a half that grew; a clause of which nothing can hold is returned.
    pub(super) fn follow(&mut self, half: Half, bounds: &mut Bounds) -> Option<u32> {
        let mut list = std::mem::take(&mut self.watched[half]);
        let now = bounds.least(half);
        let mut broken = None;
        let mut kept = 0;
        let mut at = 0;
        while let Some(&watch) = list.get(at) {
            at += 1;
            let stays = if broken.is_some() || watch.at > now || bounds.is_true(watch.other) {
                Some(watch)
            } else {
                self.look(half, watch, bounds, &mut broken)
            };
            if let (Some(watch), Some(slot)) = (stays, list.get_mut(kept)) {
                *slot = watch;
                kept += 1;
            }
        }
        list.truncate(kept);
        // Facts of the same clause may have been given to this half meanwhile.
        list.append(&mut self.watched[half]);
        self.watched[half] = list;
        broken
    }

    /// Looks for another fact to watch; the watch, where it stays.
    fn look(
        &mut self,
        half: Half,
        watch: Watch,
        bounds: &mut Bounds,
        broken: &mut Option<u32>,
    ) -> Option<Watch> {
        let facts = self.all.get_mut(watch.clause as usize)?.facts.as_mut_slice();
        let gone = Fact { half, least: watch.at }.not();
        if facts.first() == Some(&gone) {
            facts.swap(0, 1);
        }
        let &first = facts.first()?;
        if bounds.is_true(first) {
            return Some(Watch { other: first, ..watch });
        }
        let free = facts.iter().skip(2).position(|&fact| !bounds.is_false(fact));
        if let Some(place) = free {
            facts.swap(1, place + 2);
            let next = facts.get(1)?.not();
            self.watched[next.half].push(Watch { at: next.least, other: first, ..watch });
            return None;
        }
        if bounds.is_false(first) {
            *broken = Some(watch.clause);
        } else {
            bounds.set(first, Reason::Clause(watch.clause));
        }
        Some(watch)
    }
}
