//! How much of a kept plan moves when a sequence is edited a little.

#![allow(missing_docs, unreachable_pub, reason = "shared by a test and a benchmark")]

use super::edits::{self, Dice, Texts};
use super::project;
use seamster::Compiled;
use seamster::model::Kept;
use seamster::order::{self, Moved};
use std::collections::BTreeSet;

/// Counts over many edits.
#[derive(Debug, Default, Clone, Copy)]
pub struct Sum {
    pub edits: usize,
    pub setups: usize,
    pub moved_setups: usize,
    pub passes: usize,
    pub moved_passes: usize,
}

impl Sum {
    pub fn add(&mut self, other: Sum) {
        self.edits += other.edits;
        self.setups += other.setups;
        self.moved_setups += other.moved_setups;
        self.passes += other.passes;
        self.moved_passes += other.moved_passes;
    }

    /// The share of unaffected set-ups and passes that moved, in percent.
    pub fn percent(&self) -> f64 {
        100.0 * (self.moved_setups + self.moved_passes) as f64 / (self.setups + self.passes).max(1) as f64
    }
}

/// The plan file's name and text, as `build --keep` writes them.
fn plan_file(name: &str, compiled: &Compiled) -> (String, String) {
    let sequence = &compiled.model.sequence.named.path;
    let text = seamster::kept::renewed(None, sequence, &compiled.plan_text()).expect("there was none before");
    (seamster::kept::file_name(&format!("{name}.seam")), text)
}

/// What a plate asks of the plan, by its path; lines and titles left out.
fn plate(compiled: &Compiled, path: &str) -> Option<String> {
    let (model, breakdown) = (&compiled.model, &compiled.breakdown);
    let (id, plate) = breakdown.plates.iter().find(|(_, plate)| plate.named.path == path)?;
    let people: Vec<&str> = plate.people.iter().map(|id| model.people[*id].named.path.as_str()).collect();
    let group = breakdown.group_of(id).map(|group| {
        let plates = &breakdown.groups[group].plates;
        plates.iter().map(|id| breakdown.plates[*id].named.path.as_str()).collect::<Vec<_>>()
    });
    Some(format!(
        "{} {} {} {:?} {:?} {:?} {} {people:?} {group:?}",
        model.places[plate.place].named.path,
        model.rigs[plate.rig].named.path,
        model.modes[plate.mode].named.path,
        plate.mark.map(|mark| model.marks[mark].named.path.as_str()),
        plate.light,
        plate.lasts.value,
        plate.takes
    ))
}

/// What a pass asks of the plan, by its path.
fn pass(compiled: &Compiled, path: &str) -> Option<String> {
    let breakdown = &compiled.breakdown;
    let pass = breakdown.passes.values().find(|pass| pass.path == path)?;
    let inputs = pass.inputs.iter().map(|id| &breakdown.plates[*id].named.path);
    let waits = pass.waits.iter().map(|(id, _)| &breakdown.passes[*id].path);
    let (inputs, waits): (BTreeSet<_>, BTreeSet<_>) = (inputs.collect(), waits.collect());
    Some(format!("{} {:?} {:?} {inputs:?} {waits:?}", pass.department, pass.or, pass.effort))
}

/// What moved of what the edit does not touch.
fn count(before: &Compiled, after: &Compiled, kept: &Kept) -> Sum {
    let Moved { setups, moved_setups, passes, moved_passes, .. } =
        order::moved(kept, &after.breakdown, &after.model, &after.plan);
    let untouched = |id: &order::SetUpId| {
        after.plan.shoot.setups[*id].plates.iter().all(|plate_id| {
            let path = &after.breakdown.plates[*plate_id].named.path;
            plate(before, path) == plate(after, path)
        })
    };
    let alike = |id: &seamster::recipe::PassId| {
        let path = &after.breakdown.passes[*id].path;
        pass(before, path) == pass(after, path)
    };
    Sum {
        edits: 1,
        setups: setups.iter().filter(|id| untouched(id)).count(),
        moved_setups: moved_setups.iter().filter(|id| untouched(id)).count(),
        passes: passes.iter().filter(|id| alike(id)).count(),
        moved_passes: moved_passes.iter().filter(|id| alike(id)).count(),
    }
}

/// So many random edits of an example: what moved where the plan was kept, and
/// where each was planned afresh. Edits that give errors are drawn again.
pub fn run(name: &str, many: usize, seed: u64, watch: &mut dyn FnMut(&str, Sum, Sum)) -> (Sum, Sum) {
    let texts = edits::texts(name);
    let before = project::rewritten(name, Texts::new());
    assert!(!before.has_errors(), "{name} has errors");
    let kept = order::keep(&before.breakdown, &before.model, &before.plan);
    let (file, plan) = plan_file(name, &before);
    let mut dice = Dice::new(seed);
    let (mut steady, mut afresh) = (Sum::default(), Sum::default());
    for _ in 0..many * 20 {
        if steady.edits == many {
            break;
        }
        let Some((what, mut edited)) = edits::edit(&texts, &mut dice) else { continue };
        let free = project::rewritten(name, edited.clone());
        if free.has_errors() {
            continue;
        }
        edited.insert(file.clone(), plan.clone());
        let held = project::rewritten(name, edited);
        assert!(
            !held.has_errors(),
            "{what}: only with the kept plan there are errors: {:?}",
            held.diagnostics
        );
        let (one, other) = (count(&before, &held, &kept), count(&before, &free, &kept));
        watch(&what, one, other);
        steady.add(one);
        afresh.add(other);
    }
    assert_eq!(steady.edits, many, "too few edits of {name} compile");
    (steady, afresh)
}
