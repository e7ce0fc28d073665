//! What an effect binds: its quantities and the plates of its roles.
//!
//! In: effects and the breakdown. Out: the number behind a word, the plate in a role.

use crate::model::{Effect, EffectId, PlateId};
use crate::rule::Subject;
use crate::source::Span;

/// The quantity that a word of an effect names, in base units, with its line.
pub(super) fn amount(effect: &Effect, word: &str) -> Option<(f64, Span)> {
    let binding = effect.bindings.iter().find(|binding| binding.word.value == word)?;
    binding.amount.map(|amount| (amount.value.value, binding.span))
}

/// The first plate in a role of an effect.
pub(super) fn plate(subject: &Subject<'_>, effect: EffectId, role: &str) -> Option<PlateId> {
    subject
        .breakdown
        .roles
        .iter()
        .find(|filled| filled.effect == effect && filled.role == role)
        .and_then(|filled| filled.plates.first().copied())
}
