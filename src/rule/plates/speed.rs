//! Retimes that lie on a plate.
//!
//! In: effects and what they are bound to. Out: for each plate the speed curves
//! played from it.

use crate::craft::retime;
use crate::model::{Effect, EffectId, PlateId, SpeedPoint};
use crate::rule::Subject;

/// A retime and the plate that it is played from.
pub(in crate::rule) struct Retimed<'a> {
    pub(in crate::rule) id: EffectId,
    pub(in crate::rule) effect: &'a Effect,
    pub(in crate::rule) plate: PlateId,
}

impl Retimed<'_> {
    /// Whether each object runs at its own speed within the range, so that any of
    /// them may run at the fastest; else the points are one curve.
    pub(in crate::rule) fn each_its_own(&self) -> bool {
        self.effect.each_its_own_speed()
    }

    /// The curve that eats most.
    pub(in crate::rule) fn hungriest(&self) -> Vec<SpeedPoint> {
        let fastest = retime::fastest(&self.effect.speed).filter(|_| self.each_its_own());
        match fastest {
            Some(speed) => self.effect.speed.iter().map(|point| SpeedPoint { speed, ..*point }).collect(),
            None => self.effect.speed.clone(),
        }
    }
}

/// Every retime of the sequence, in order of effect. The plate is the first one
/// that the effect is bound to.
pub(in crate::rule) fn all<'a>(subject: &Subject<'a>) -> Vec<Retimed<'a>> {
    let retimed = |(id, effect): (EffectId, &'a Effect)| {
        let plate = effect.retimes()?;
        Some(Retimed { id, effect, plate })
    };
    subject.model.effects.iter().filter_map(retimed).collect()
}

/// Mean speed at which a plate is played: the hungriest of its retimes; 1 for none.
pub(in crate::rule) fn mean_on(subject: &Subject<'_>, plate: PlateId) -> f64 {
    all(subject)
        .iter()
        .filter(|retimed| retimed.plate == plate)
        .map(|retimed| retime::mean_speed(&retimed.hungriest()))
        .reduce(f64::max)
        .unwrap_or(1.0)
}
