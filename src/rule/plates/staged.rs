//! A plate before its screen, for whoever draws it.
//!
//! In: plates with a screen, a sweep and a gap. Out: the numbers that the rules of
//! screens reckon with, as quantities.

use super::scene::{self, Scene};
use crate::craft::screen::{self, Area, Sweep};
use crate::model::{PlateId, Screen};
use crate::quantity::{Angle, Length};
use crate::rule::Subject;
use std::collections::BTreeMap;

/// A plate before its screen.
#[derive(Debug, Clone, Copy)]
pub struct Staged<'a> {
    /// The screen.
    pub screen: &'a Screen,
    /// The field that is swept in front of it.
    pub sweep: Sweep,
    /// Lens to subject.
    pub reach: Length,
    /// Whether the plate says so; else it is an arm's length.
    pub reach_known: bool,
    /// Subject to screen.
    pub gap: Length,
    /// Lens above the floor, where known: its own, else as the plate under it asks.
    pub lens: Option<Length>,
    /// How far the lens looks up.
    pub tilt: Angle,
    /// Whether the screen leans to face the lens; else it stands upright.
    pub leans: bool,
    /// What of a screen that faces the lens lies behind the sweep; `None` where no flat
    /// screen would do.
    pub needed: Option<Area>,
}

impl Staged<'_> {
    /// From the lens to the screen.
    pub fn distance(&self) -> Length {
        self.reach + self.gap
    }

    /// Where the lower and the upper edge of the sweep meet an upright screen, above the
    /// floor: `h + d tan(t ∓ b/2)`. `None` where it leans, or no height is known.
    pub fn edges(&self) -> Option<(Length, Length)> {
        let lens = self.lens.filter(|_| !self.leans)?;
        let at = |turn: f64| (turn.abs() < 85.0).then(|| Length(turn.to_radians().tan() * self.distance().0));
        let half = self.sweep.down.0 / 2.0;
        Some((lens + at(self.tilt.0 - half)?, lens + at(self.tilt.0 + half)?))
    }
}

/// Every plate before its screen.
pub fn staged<'a>(subject: &Subject<'a>) -> BTreeMap<PlateId, Staged<'a>> {
    scene::all(subject).into_iter().map(|scene| (scene.id, one(subject, &scene))).collect()
}

fn one<'a>(subject: &Subject<'a>, scene: &Scene<'a>) -> Staged<'a> {
    let own = scene.plate.height.map(|height| height.value);
    Staged {
        screen: scene.screen,
        sweep: scene.sweep,
        reach: scene.reach,
        reach_known: scene.reach_known,
        gap: scene.gap,
        lens: own.or_else(|| scene::lens_height(subject, scene)),
        tilt: scene.tilt(),
        leans: scene.leans(),
        needed: screen::needed(scene.sweep, scene.distance(), scene.projection),
    }
}
