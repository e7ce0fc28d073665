//! What is learned from a clash.

use super::bounds::{Bounds, Fact, Half, Reason, Step};
use super::clauses::Clauses;
use super::model::Model;
use super::room::Clash;
use crate::model::Arena;
use crate::order::shoot::problem::filled;

/// What a clash teaches.
pub(super) struct Lesson {
    /// Facts of which one must hold; the first follows after going back.
    pub(super) facts: Vec<Fact>,
    /// To which trial to go back.
    pub(super) trial: usize,
    /// In how many trials its facts lie.
    pub(super) spread: u32,
}

/// Works back from clashes; keeps its tables from one to the next.
#[derive(Debug)]
pub(super) struct Analysis {
    /// What is needed of each half, and in which trial that became known.
    needed: Arena<Half, Option<(i32, usize)>>,
    halves: Vec<Half>,
    buffer: Vec<Fact>,
    /// Halves that took part.
    pub(super) seen: Vec<Half>,
}

impl Analysis {
    /// For so many halves.
    pub(super) fn new(halves: usize) -> Self {
        Self { needed: filled(halves, None), halves: Vec::new(), buffer: Vec::new(), seen: Vec::new() }
    }

    /// Takes steps back until one fact of the latest trial of the clash is left
    /// that makes it (first unique implication point).
    pub(super) fn learn(
        &mut self,
        (clash, latest): (&Clash, usize),
        bounds: &mut Bounds,
        clauses: &Clauses,
        model: &Model,
    ) -> Option<Lesson> {
        for &half in &self.halves {
            self.needed[half] = None;
        }
        self.halves.clear();
        self.seen.clear();
        bounds.back_to(latest);
        let mut open = 0;
        for &fact in clash {
            self.need(fact, latest, bounds, &mut open);
        }
        loop {
            let step = bounds.pop()?;
            let Some(fact) = self.made(&step) else { continue };
            open -= 1;
            self.needed[fact.half] = None;
            if open == 0 {
                return Some(self.lesson(fact));
            }
            let mut facts = std::mem::take(&mut self.buffer);
            facts.clear();
            explain(fact, step.reason, bounds, clauses, model, &mut facts);
            for &one in &facts {
                self.need(one, latest, bounds, &mut open);
            }
            self.buffer = facts;
        }
    }

    /// Whether a step made what is needed.
    fn made(&self, step: &Step) -> Option<Fact> {
        let half = step.fact.half;
        let (least, _) = self.needed[half]?;
        (step.before < least && least <= step.fact.least).then_some(Fact { half, least })
    }

    fn need(&mut self, fact: Fact, latest: usize, bounds: &Bounds, open: &mut usize) {
        let known = self.needed[fact.half];
        if known.is_some_and(|(least, _)| least >= fact.least) {
            return;
        }
        let trial = bounds.trial_of(fact);
        if trial == 0 {
            return;
        }
        self.seen.push(fact.half);
        let was_latest = known.is_some_and(|(_, trial)| trial == latest);
        if trial == latest && !was_latest {
            *open += 1;
        }
        if known.is_none() {
            self.halves.push(fact.half);
        }
        self.needed[fact.half] = Some((fact.least, trial));
    }

    fn lesson(&mut self, last: Fact) -> Lesson {
        let mut rest: Vec<(usize, Fact)> = Vec::new();
        self.halves.sort_unstable();
        self.halves.dedup();
        for &half in &self.halves {
            if let Some((least, trial)) = self.needed[half] {
                rest.push((trial, Fact { half, least }));
            }
        }
        rest.sort_by_key(|&(trial, _)| std::cmp::Reverse(trial));
        let trial = rest.first().map_or(0, |one| one.0);
        let mut spread = 1;
        for (at, one) in rest.iter().enumerate() {
            let before = at.checked_sub(1).and_then(|at| rest.get(at));
            spread += u32::from(before.is_none_or(|before| before.0 != one.0));
        }
        let mut facts = vec![last.not()];
        facts.extend(rest.into_iter().map(|(_, fact)| fact.not()));
        Lesson { facts, trial, spread }
    }
}

/// Facts from which a fact followed, as things stood right before.
fn explain(
    fact: Fact,
    reason: Reason,
    bounds: &Bounds,
    clauses: &Clauses,
    model: &Model,
    facts: &mut Vec<Fact>,
) {
    match reason {
        Reason::None => {}
        Reason::Clause(id) => {
            let Some(clause) = clauses.get(id) else { return };
            facts.extend(clause.facts.iter().skip(1).map(|one| one.not()));
        }
        Reason::Wait(id) => {
            if let Some(edge) = model.edges.get(id as usize) {
                facts.push(model.because(edge, fact));
            }
        }
        Reason::Seats(place, at) => {
            if let Some(room) = model.rooms.get(place as usize) {
                room.explain(bounds, fact.half, at, facts);
            }
        }
    }
}
