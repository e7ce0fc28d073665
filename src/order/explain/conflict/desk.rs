//! Work that nobody does: who could, and what that would give.

use super::Search;
use crate::model::{Desk, DeskId};
use crate::order::explain::change::Change;
use crate::order::plan::Plan;
use crate::recipe::{Pass, PassId};
use std::collections::BTreeMap;

/// So many people are tried for one department.
const TRIED: usize = 3;

impl Search<'_, '_> {
    /// For the first pass of each department that nobody does: who could do it
    /// with the whole done soonest, in words.
    pub(super) fn nobody_does(&mut self, plan: &Plan) -> BTreeMap<PassId, String> {
        let (breakdown, desks) = (&self.world.breakdown, &self.world.model.desks);
        let does = |desk: &Desk, word: &str| desk.does.iter().any(|does| does.value == word);
        let done = |pass: &Pass| {
            desks.values().any(|desk| does(desk, &pass.department) || pass.or.iter().any(|or| does(desk, or)))
        };
        let mut first: BTreeMap<String, PassId> = BTreeMap::new();
        for left in &plan.desk.unplanned {
            let pass = &breakdown.passes[left.what];
            if !done(pass) && pass.effort.0 > 0.0 && !pass.lock {
                first.entry(pass.department.clone()).or_insert(left.what);
            }
        }
        let lacking: Vec<(String, PassId)> = first.into_iter().collect();
        lacking
            .iter()
            .filter_map(|(word, pass)| Some((*pass, self.who_could(&lacking, word, *pass)?)))
            .collect()
    }

    /// Whoever would have a pass done soonest, were the other lacking work done by the same.
    fn who_could(&mut self, lacking: &[(String, PassId)], word: &str, pass: PassId) -> Option<String> {
        let mut best: Option<(crate::order::Minute, DeskId)> = None;
        let desks: Vec<DeskId> = self.world.model.desks.ids().take(TRIED).collect();
        for desk in desks {
            self.spend(self.whole())?;
            let mut world = self.world.clone();
            for (word, _) in lacking {
                world.change(&Change::DeskToo(desk, word.clone()));
            }
            let plan = world.plan(self.effort);
            if let Some(&done) = plan.desk.done.get(&pass)
                && best.is_none_or(|(known, _)| done < known)
            {
                best = Some((done, desk));
            }
        }
        let (done, desk) = best?;
        let change = Change::DeskToo(desk, word.to_owned());
        let words = change.words(&self.world.model, &self.world.breakdown);
        let when = done.civil(&self.setting.zone);
        Some(format!("if {words}, it would be done on {}", when.date()))
    }
}
