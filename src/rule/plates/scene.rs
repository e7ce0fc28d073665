//! A plate before its screen, as several rules reckon with it.
//!
//! In: a plate with a screen and a swept field. Out: sizes, distances, and the
//! height and tilt of the lens that the plate under it asks for.

use super::lens;
use crate::craft::screen::{self, Area, Sweep};
use crate::model::{EffectId, Plate, PlateId, Screen};
use crate::quantity::{Angle, Length, Projection};
use crate::recipe::{DemandKind, Owner};
use crate::rule::Subject;
use std::collections::BTreeMap;

/// From the lens to hands that are held out, where the plate does not say (common
/// practice, no source).
const ARM: Length = Length(0.5);
/// Nearest that a screen is brought to the subject in advice (common practice, no source).
const CLOSEST: Length = Length(0.5);
/// A screen leans to face the lens when the lens is tilted more than this (common
/// practice, no source).
const UPRIGHT: f64 = 20.0;

/// One plate before its screen.
pub(super) struct Scene<'a> {
    pub(super) id: PlateId,
    pub(super) plate: &'a Plate,
    pub(super) screen: &'a Screen,
    pub(super) sweep: Sweep,
    pub(super) projection: Projection,
    pub(super) gap: Length,
    /// Lens to subject.
    pub(super) reach: Length,
    pub(super) reach_known: bool,
    /// The plate that it is laid over, whose view it must meet.
    pub(super) over: Option<&'a Plate>,
}

impl Scene<'_> {
    /// From the lens to the screen.
    pub(super) fn distance(&self) -> Length {
        self.reach + self.gap
    }

    /// The screen's size.
    pub(super) fn area(&self) -> Area {
        Area { width: self.screen.width, height: self.screen.height }
    }

    /// How far the lens looks up: its own tilt, else that of the plate under it.
    pub(super) fn tilt(&self) -> Angle {
        let own = self.plate.tilt.or(self.over.and_then(|over| over.tilt));
        own.map_or(Angle(0.0), |tilt| tilt.value)
    }

    /// Whether the screen leans to face the lens.
    pub(super) fn leans(&self) -> bool {
        self.tilt().0.abs() > UPRIGHT
    }
}

impl Scene<'_> {
    /// Whether the screen reaches past the sweep at another gap, and where it stands
    /// upright both edges meet it from that lens height.
    pub(super) fn covered_at(&self, gap: Length, lens: Option<Length>) -> bool {
        let distance = self.reach + gap;
        let wide = screen::needed(self.sweep, distance, self.projection)
            .is_some_and(|need| need.width <= self.screen.width && need.height <= self.screen.height);
        let (foot, tall) = (self.screen.foot, self.screen.height);
        let met = |lens: Length| {
            screen::lens_heights(foot, tall, distance, self.sweep.down, self.tilt())
                .is_some_and(|(low, high)| low <= lens && lens <= high)
        };
        wide && (self.leans() || lens.is_none_or(met))
    }

    /// The largest gap, in steps of five centimetres and not above what is written, at
    /// which the screen is enough; `None` below half a metre.
    pub(super) fn nearer(&self, lens: Option<Length>) -> Option<Length> {
        // Steps of five centimetres, as a tape sets them.
        let steps = (self.gap.0 * 20.0).floor().clamp(0.0, 2000.0) as u32;
        let gaps = (0..=steps).rev().map(|step| Length(f64::from(step) / 20.0));
        gaps.take_while(|gap| *gap >= CLOSEST).find(|&gap| self.covered_at(gap, lens))
    }
}

/// Every plate with a screen, a sweep and a gap.
pub(super) fn all<'a>(subject: &Subject<'a>) -> Vec<Scene<'a>> {
    let over = laid_over(subject);
    let scene = |(id, plate): (PlateId, &'a Plate)| {
        let (Some(screen), Some((across, down)), Some(gap)) = (plate.screen, plate.sweep, plate.gap) else {
            return None;
        };
        let reach = lens::near(subject, plate);
        Some(Scene {
            id,
            plate,
            screen: &subject.model.screens[screen],
            sweep: Sweep { across, down },
            projection: subject.model.modes[plate.mode].projection,
            gap: gap.value,
            reach: reach.unwrap_or(ARM),
            reach_known: reach.is_some(),
            over: over.get(&id).map(|&under| &subject.breakdown.plates[under]),
        })
    };
    subject.breakdown.plates.iter().filter_map(scene).collect()
}

/// For each plate that must meet another's view, that other plate.
fn laid_over(subject: &Subject<'_>) -> BTreeMap<PlateId, PlateId> {
    let mut filled: BTreeMap<EffectId, Vec<PlateId>> = BTreeMap::new();
    for role in &subject.breakdown.roles {
        filled.entry(role.effect).or_default().extend(role.plates.first());
    }
    let mut over = BTreeMap::new();
    for demand in subject.breakdown.demands.iter().filter(|one| one.kind == DemandKind::SameView) {
        let Owner::Effect(effect) = demand.by else { continue };
        let under = filled.get(&effect).into_iter().flatten().find(|&&plate| plate != demand.plate);
        over.extend(under.map(|&under| (demand.plate, under)));
    }
    over
}

/// Where the lens of a plate before a screen stands: as the plate under it asks, else
/// as its own lines say.
pub(super) fn lens_height(subject: &Subject<'_>, scene: &Scene<'_>) -> Option<Length> {
    let over = scene.over.and_then(|over| lens::height(subject, over));
    over.or_else(|| lens::height(subject, scene.plate))
}
