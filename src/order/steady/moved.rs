//! What a plan keeps of a kept one.
//!
//! In: two plans, one of them kept. Out: what both hold, and what of it moved.
//! Something has moved when it is on another day or with another person, or
//! when it is not among the most that can stay in their former order there.

use super::stay;
use crate::model::{Kept, KeptPass, KeptPlate, Model, PlateId};
use crate::order::{Plan, SetUpId, StepKind};
use crate::recipe::{Breakdown, Owner, PassId};
use std::collections::{BTreeMap, BTreeSet};

/// What moved of what both plans hold.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Moved {
    /// Set-ups of which both plans hold something.
    pub setups: BTreeSet<SetUpId>,
    /// Those of them of which something moved.
    pub moved_setups: BTreeSet<SetUpId>,
    /// Plates that moved.
    pub plates: BTreeSet<PlateId>,
    /// Passes that both plans hold.
    pub passes: BTreeSet<PassId>,
    /// Those of them that moved.
    pub moved_passes: BTreeSet<PassId>,
}

/// A plan as one to start from. Pins are no part of it.
pub fn keep(breakdown: &Breakdown, model: &Model, plan: &Plan) -> Kept {
    let mut kept = Kept::default();
    for day in &plan.shoot.days {
        for step in &day.steps {
            if let StepKind::Shoot(plate) = step.kind {
                let place = kept.plates.len();
                kept.plates.insert(path(breakdown, plate), KeptPlate { date: day.date, place });
            }
        }
    }
    for (place, one) in plan.desk.work.iter().enumerate() {
        let who = model.desks[one.desk].named.path.clone();
        kept.passes.insert(breakdown.passes[one.pass].path.clone(), KeptPass { who, place });
    }
    kept
}

/// What moved of a kept plan.
pub fn moved(kept: &Kept, breakdown: &Breakdown, model: &Model, plan: &Plan) -> Moved {
    let mut found = Moved::default();
    plates(kept, breakdown, plan, &mut found);
    passes(kept, (breakdown, model), plan, &mut found);
    for (id, setup) in plan.shoot.setups.iter() {
        let known = |plate: &PlateId| {
            plan.shoot.shot.contains_key(plate) && kept.plates.contains_key(&path(breakdown, *plate))
        };
        if setup.plates.iter().any(known) {
            found.setups.insert(id);
        }
        if setup.plates.iter().any(|plate| found.plates.contains(plate)) {
            found.moved_setups.insert(id);
        }
    }
    found
}

fn path(breakdown: &Breakdown, plate: PlateId) -> String {
    breakdown.plates[plate].named.path.clone()
}

fn plates(kept: &Kept, breakdown: &Breakdown, plan: &Plan, found: &mut Moved) {
    for day in &plan.shoot.days {
        let mut same: Vec<(PlateId, usize)> = Vec::new();
        for step in &day.steps {
            let StepKind::Shoot(plate) = step.kind else { continue };
            match kept.plates.get(&path(breakdown, plate)) {
                Some(home) if home.date == day.date => same.push((plate, home.place)),
                Some(_) => {
                    found.plates.insert(plate);
                }
                None => {}
            }
        }
        found.plates.extend(out_of_order(&same));
    }
}

fn passes(kept: &Kept, (breakdown, model): (&Breakdown, &Model), plan: &Plan, found: &mut Moved) {
    let mut same: BTreeMap<&str, Vec<(PassId, usize)>> = BTreeMap::new();
    for one in &plan.desk.work {
        let pass = &breakdown.passes[one.pass];
        let Some(home) = kept.passes.get(&pass.path) else { continue };
        found.passes.insert(one.pass);
        if home.who != model.desks[one.desk].named.path {
            found.moved_passes.insert(one.pass);
        } else if !matches!(pass.owner, Owner::Plate(_)) {
            // What comes in is worked at once, in any plan.
            same.entry(&home.who).or_default().push((one.pass, home.place));
        }
    }
    for own in same.values() {
        found.moved_passes.extend(out_of_order(own));
    }
}

/// What cannot stay in its former order.
fn out_of_order<T: Copy>(now: &[(T, usize)]) -> Vec<T> {
    let places: Vec<usize> = now.iter().map(|one| one.1).collect();
    let stays: BTreeSet<usize> = stay(&places).into_iter().collect();
    now.iter().enumerate().filter(|(at, _)| !stays.contains(at)).map(|(_, one)| one.0).collect()
}
