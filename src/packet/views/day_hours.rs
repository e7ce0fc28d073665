//! When one may be at the places of a day and has the light that is wanted there, and
//! what is left of charge and cards along it: for the sheet's words and for its picture.

use super::shape::{Fact, fact};
use crate::model::{CameraId, PlaceId};
use crate::order::{LevelOf, LimitKind, Minute, PlannedDay, StepKind, limits};
use crate::packet::index::Index;
use crate::quantity::{Data, show};
use std::collections::BTreeMap;

/// From when to when.
pub(crate) type Span = (Minute, Minute);

/// Hours of one place on a day.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct PlaceHours {
    /// When one may be there, from call to wrap at most.
    pub(crate) open: Vec<Span>,
    /// Each light that something shot there wants, and when there is that light.
    pub(crate) lights: Vec<(String, Vec<Span>)>,
}

/// Hours of every place at which something is shot, from the limits of what is shot there.
pub(crate) fn hours(index: &Index<'_>, day: &PlannedDay) -> BTreeMap<PlaceId, PlaceHours> {
    let mut all: BTreeMap<PlaceId, PlaceHours> = BTreeMap::new();
    let allowed = index.model.days.as_ref().and_then(|days| days.each.get(day.allowed));
    for (step, allowed) in day.steps.iter().zip(allowed.into_iter().cycle()) {
        let StepKind::Shoot(plate) = step.kind else { continue };
        for limit in limits(index.model, index.input.breakdown, plate, allowed, &index.zone).each {
            let windows = || limit.windows.iter().map(|one| (Minute(one.from), Minute(one.to))).collect();
            match limit.kind {
                LimitKind::Access(place) => all.entry(place).or_default().open = windows(),
                LimitKind::Light(place) if index.plate(plate).light.under_sky() => {
                    let words = crate::packet::index::light(index.plate(plate).light);
                    let lights = &mut all.entry(place).or_default().lights;
                    if !lights.iter().any(|(known, _)| *known == words) {
                        lights.push((words, windows()));
                    }
                }
                _ => {}
            }
        }
    }
    all
}

/// The light wanted at a place, in words.
pub(crate) fn lights(index: &Index<'_>, day: &PlannedDay, hours: &PlaceHours) -> Vec<Fact> {
    let clock = |at: Minute| index.clock_on(at, day.date);
    let told = hours.lights.iter().map(|(words, windows)| {
        let windows: Vec<String> =
            windows.iter().map(|(from, to)| format!("{} to {}", clock(*from), clock(*to))).collect();
        fact(words, if windows.is_empty() { "not on this day".to_owned() } else { windows.join(", ") })
    });
    told.collect()
}

/// What is left of a camera's charge and cards after each change, by the clock.
pub(crate) fn left(index: &Index<'_>, day: &PlannedDay, camera: CameraId) -> Vec<Fact> {
    let along = |of: LevelOf| day.levels.iter().find(|level| level.of == of).map(|level| &level.along);
    let (charge, cards) = (along(LevelOf::Charge(camera)), along(LevelOf::Card(camera)));
    let mut moments: Vec<Minute> = Vec::new();
    for pair in [charge, cards].into_iter().flatten().flat_map(|along| along.windows(2)) {
        if let [(_, before), (at, after)] = pair
            && before != after
        {
            moments.push(*at);
        }
    }
    moments.sort_unstable();
    moments.dedup();
    let at = |along: Option<&Vec<(Minute, f64)>>, moment: Minute| {
        along.and_then(|along| along.iter().rev().find(|(at, _)| *at <= moment)).map(|(_, left)| *left)
    };
    let told = moments.into_iter().map(|moment| {
        let charge = at(charge, moment).map(|left| format!("{} min", show::number(left, 1)));
        let cards = at(cards, moment).map(|left| Data(left).to_string());
        let words: Vec<String> = [charge, cards].into_iter().flatten().collect();
        fact(&index.clock_on(moment, day.date), words.join(" and "))
    });
    told.collect()
}
