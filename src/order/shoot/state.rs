//! States along the days: what is wet, torn or eaten, and what it costs to go back.
//!
//! Guaranteed: a state only goes forward, unless a reset is paid for or a
//! spare is taken.

use super::problem::{Part, Var, VarId};
use crate::model::Arena;
use crate::model::arena::Id;

/// The state of every item of every variable.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct States {
    items: Vec<Vec<usize>>,
}

/// A reset that a part needs before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Going {
    /// Which part of the block.
    pub(crate) part: usize,
    /// Whose state.
    pub(crate) var: VarId,
    /// State now.
    pub(crate) from: usize,
    /// State wanted.
    pub(crate) to: usize,
    /// Minutes.
    pub(crate) takes: i64,
}

impl States {
    /// Everything in its first state.
    pub(crate) fn first(vars: &Arena<VarId, Var>) -> Self {
        Self { items: vars.values().map(|var| vec![0; var.items.max(1)]).collect() }
    }

    /// After a night: whatever a reset of at most `rest` minutes can undo is undone.
    pub(crate) fn rested(&self, vars: &Arena<VarId, Var>, rest: i64) -> Self {
        let items = self
            .items
            .iter()
            .zip(vars.values())
            .map(|(items, var)| {
                let earliest = |state: usize| {
                    (0..state).find(|&to| var.resets(state, to).is_some_and(|takes| takes <= rest))
                };
                items.iter().map(|&state| earliest(state).unwrap_or(state)).collect()
            })
            .collect();
        Self { items }
    }

    /// The same with the items of each variable in order, since nothing tells them apart.
    pub(crate) fn sorted(mut self) -> Self {
        self.items.iter_mut().for_each(|items| items.sort_unstable());
        self
    }

    /// Goes through the parts of a block; the resets they need, or the
    /// variable that cannot go back.
    pub(crate) fn pass(&mut self, vars: &Arena<VarId, Var>, parts: &[Part]) -> Result<Vec<Going>, VarId> {
        let mut resets = Vec::new();
        for (at, part) in parts.iter().enumerate() {
            for &(var, needed, left) in &part.states {
                let Some(items) = self.items.get_mut(var.index()) else { continue };
                // The item that has gone farthest and can still serve, so that fresh ones stay fresh.
                let serves = items.iter_mut().filter(|state| **state <= needed).max();
                if let Some(state) = serves {
                    *state = left;
                    continue;
                }
                let back = items
                    .iter_mut()
                    .filter_map(|state| vars[var].resets(*state, needed).map(|takes| (takes, state)))
                    .min();
                let Some((takes, state)) = back else { return Err(var) };
                resets.push(Going { part: at, var, from: *state, to: needed, takes });
                *state = left;
            }
        }
        Ok(resets)
    }
}

/// Shortest ways back among states, given single resets (from, to, minutes).
/// Going forward is free: a state can always be brought about.
pub(crate) fn ways_back(states: usize, resets: &[(usize, usize, i64)]) -> Vec<Vec<Option<i64>>> {
    let mut way: Vec<Vec<Option<i64>>> =
        (0..states).map(|from| (0..states).map(|to| (to >= from).then_some(0)).collect()).collect();
    let get = |way: &[Vec<Option<i64>>], from: usize, to: usize| {
        way.get(from).and_then(|row| row.get(to)).copied().flatten()
    };
    for &(from, to, takes) in resets {
        let shorter = get(&way, from, to).is_none_or(|known| takes < known);
        if shorter && let Some(cell) = way.get_mut(from).and_then(|row| row.get_mut(to)) {
            *cell = Some(takes);
        }
    }
    // All pairs by way of each state (Floyd 1962; Warshall 1962).
    for by in 0..states {
        for from in 0..states {
            for to in 0..states {
                let (Some(there), Some(on)) = (get(&way, from, by), get(&way, by, to)) else { continue };
                let shorter = get(&way, from, to).is_none_or(|known| there + on < known);
                if shorter && let Some(cell) = way.get_mut(from).and_then(|row| row.get_mut(to)) {
                    *cell = Some(there + on);
                }
            }
        }
    }
    way
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::order::shoot::problem::collected;

    fn coat(items: usize, resets: &[(usize, usize, i64)]) -> Arena<VarId, Var> {
        collected([Var { states: 3, items, back: ways_back(3, resets) }])
    }

    fn part(vars: &Arena<VarId, Var>, needed: usize, left: usize) -> Part {
        Part { work: 5, states: vec![(vars.ids().next().unwrap(), needed, left)] }
    }

    #[test]
    fn going_back_costs_the_shortest_chain_of_resets() {
        let vars = coat(1, &[(2, 1, 10), (1, 0, 20), (2, 0, 45)]);
        let mut states = States::first(&vars);
        let resets = states.pass(&vars, &[part(&vars, 0, 2), part(&vars, 0, 0)]).unwrap();
        assert_eq!(resets.iter().map(|one| one.takes).collect::<Vec<_>>(), [30]);
    }

    #[test]
    fn without_a_reset_a_spare_serves_once() {
        let vars = coat(2, &[]);
        let mut states = States::first(&vars);
        let torn = [part(&vars, 0, 2)];
        assert!(states.pass(&vars, &torn).unwrap().is_empty());
        assert!(states.pass(&vars, &torn).unwrap().is_empty());
        assert!(states.pass(&vars, &torn).is_err());
    }

    #[test]
    fn a_night_undoes_what_fits_into_it() {
        let vars = coat(1, &[(1, 0, 45)]);
        let mut states = States::first(&vars);
        states.pass(&vars, &[part(&vars, 0, 1)]).unwrap();
        assert!(states.rested(&vars, 44) == states);
        assert!(states.rested(&vars, 660) == States::first(&vars));
    }
}
