//! What effects bind and ask: their quantities, the plates of their roles, their demands.
//!
//! In: effects and the breakdown. Out: the number behind a word, the plate in a
//! role, and for each plate what is asked of it.

use crate::model::{Effect, EffectId, PlateId};
use crate::recipe::Demand;
use crate::rule::Subject;
use crate::source::Span;
use std::collections::BTreeMap;

/// The quantity that a word of an effect names, in base units, with its line.
pub(in crate::rule) fn amount(effect: &Effect, word: &str) -> Option<(f64, Span)> {
    let binding = effect.bindings.iter().find(|binding| binding.word.value == word)?;
    binding.amount.map(|amount| (amount.value.value, binding.span))
}

/// The first plate in a role of an effect.
pub(in crate::rule) fn plate(subject: &Subject<'_>, effect: EffectId, role: &str) -> Option<PlateId> {
    subject
        .breakdown
        .roles
        .iter()
        .find(|filled| filled.effect == effect && filled.role == role)
        .and_then(|filled| filled.plates.first().copied())
}

/// What is asked of each plate of which anything is asked; one pass over all
/// demands, so that rules stay linear in long sequences.
pub(in crate::rule) fn demands<'a>(subject: &Subject<'a>) -> BTreeMap<PlateId, Vec<&'a Demand>> {
    let mut asked: BTreeMap<PlateId, Vec<&Demand>> = BTreeMap::new();
    for demand in &subject.breakdown.demands {
        asked.entry(demand.plate).or_default().push(demand);
    }
    asked
}
