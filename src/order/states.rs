//! Props and looks as states of the plain problem.
//!
//! A plate that shows a state needs it and leaves it; a plate that turns a
//! state needs the first and leaves the second. Bringing a state back between
//! the takes of one plate is part of the time between takes, which the writer
//! sets; between plates it is a reset, or takes a spare.

use super::shoot::problem::{Block, BlockId, Var, VarId};
use super::shoot::state::ways_back;
use crate::model::{Arena, Model, Plate, Reset, StateOf};
use crate::order::duration::minutes;
use std::collections::BTreeMap;

/// Props and looks, as variables.
#[derive(Debug, Clone)]
pub(crate) struct Timeline {
    /// The variables.
    pub(crate) vars: Arena<VarId, Var>,
    /// Whose each is, with the words of its states.
    pub(crate) whose: Arena<VarId, (StateOf, Vec<String>)>,
    known: BTreeMap<StateOf, VarId>,
}

/// Spares that are told apart; more than these never run out.
const SPARES: u32 = 63;

/// Blocks with states beyond this number are kept in order by the search alone.
const PAIRS: usize = 400;

/// Every prop and look.
pub(crate) fn variables(model: &Model) -> Timeline {
    let mut timeline = Timeline { vars: Arena::default(), whose: Arena::default(), known: BTreeMap::new() };
    for (id, prop) in model.props.iter() {
        timeline.add(StateOf::Prop(id), &prop.states, &prop.resets, prop.spares);
    }
    for (id, look) in model.looks.iter() {
        timeline.add(StateOf::Look(id), &look.states, &look.resets, 0);
    }
    timeline
}

impl Timeline {
    fn add(&mut self, of: StateOf, states: &[String], resets: &[Reset], spares: u32) {
        let at = |word: &String| states.iter().position(|state| state == word);
        let resets: Vec<(usize, usize, i64)> = resets
            .iter()
            .filter_map(|reset| Some((at(&reset.from)?, at(&reset.to)?, minutes(reset.takes))))
            .collect();
        let items = spares.min(SPARES) as usize + 1;
        let var = self.vars.push(Var { states: states.len(), items, back: ways_back(states.len(), &resets) });
        self.whose.push((of, states.to_vec()));
        self.known.insert(of, var);
    }

    /// What a plate needs and leaves.
    pub(crate) fn of(&self, plate: &Plate) -> Vec<(VarId, usize, usize)> {
        let state = |of: StateOf, word: &str| {
            let var = *self.known.get(&of)?;
            Some((var, self.whose[var].1.iter().position(|state| state == word)?))
        };
        let mut needs: Vec<(VarId, usize, usize)> = Vec::new();
        for turn in &plate.turns {
            if let (Some((var, from)), Some((_, to))) = (state(turn.of, &turn.from), state(turn.of, &turn.to))
            {
                match needs.iter_mut().find(|(one, _, _)| *one == var) {
                    // Turned twice in one plate: from the first, to the last.
                    Some((_, _, left)) => *left = to,
                    None => needs.push((var, from, to)),
                }
            }
        }
        for (of, word, _) in &plate.shows {
            if let Some((var, shown)) = state(*of, word)
                && !needs.iter().any(|(one, _, _)| *one == var)
            {
                needs.push((var, shown, shown));
            }
        }
        needs
    }

    /// The word of a state.
    pub(crate) fn word(&self, var: VarId, state: usize) -> &str {
        self.whose[var].1.get(state).map_or("", String::as_str)
    }
}

/// Adds an order where a state cannot go back and there is no spare: what
/// needs the earlier state comes before what leaves a later one.
pub(crate) fn lasting(blocks: &mut Arena<BlockId, Block>, vars: &Arena<VarId, Var>) {
    for (id, var) in vars.iter() {
        if var.items > 1 {
            continue;
        }
        let uses: Vec<(BlockId, usize, usize)> = blocks
            .iter()
            .filter_map(|(block, it)| {
                let mut states = it.parts.iter().flat_map(|part| &part.states).filter(|state| state.0 == id);
                let first = states.next()?;
                let last = states.next_back().unwrap_or(first);
                Some((block, first.1, last.2))
            })
            .collect();
        if uses.len() > PAIRS {
            continue;
        }
        let bars = |before: (usize, usize), after: (usize, usize)| var.resets(after.1, before.0).is_none();
        for &(a, needs_a, leaves_a) in &uses {
            for &(b, needs_b, leaves_b) in &uses {
                let forced = bars((needs_a, leaves_a), (needs_b, leaves_b));
                let both = bars((needs_b, leaves_b), (needs_a, leaves_a));
                // Where each bars the other only one can be planned; the search finds out which.
                if a != b && forced && !both && !blocks[b].before.contains(&a) {
                    blocks[b].before.push(a);
                    blocks[a].after.push(b);
                }
            }
        }
    }
}

impl Timeline {
    /// The name of the prop or look behind a variable.
    pub(crate) fn name<'a>(&self, model: &'a Model, var: VarId) -> &'a str {
        match self.whose[var].0 {
            StateOf::Prop(id) => model.props[id].named.label(),
            StateOf::Look(id) => model.looks[id].named.label(),
        }
    }
}
