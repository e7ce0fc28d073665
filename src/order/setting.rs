//! What the shoot planner reads, looked up once: set-ups, helpers, waits, and
//! when each kind of plate can be shot on each day.

use super::effort::Effort;
use super::helper::{Helper, helpers_for};
use super::pins;
use super::rolling::Rolling;
use super::setup::{SetUps, group, story_ranks};
use super::shoot::problem::{DayId, Window};
use super::waits::{Waits, waits};
use super::weather;
use super::window::{Limits, access, light, limits_with};
use crate::graph::{self, Node, Work};
use crate::model::{Arena, DayPlan, Light, Model, PersonId, PlaceId, Plate, PlateId, Weights};
use crate::recipe::{Breakdown, PassId};
use jiff::civil::Date;
use jiff::tz::TimeZone;
use std::collections::BTreeMap;

/// Everything looked up once.
pub(crate) struct Setting<'a> {
    /// The sequence.
    pub(crate) model: &'a Model,
    /// Its work.
    pub(crate) breakdown: &'a Breakdown,
    /// Its zone.
    pub(crate) zone: TimeZone,
    /// Allowed days.
    pub(crate) days: &'a [DayPlan],
    /// Set-ups.
    pub(crate) setups: SetUps,
    /// Plates that roll together.
    pub(crate) rolling: Rolling,
    /// Place in the story of each plate.
    pub(crate) ranks: BTreeMap<PlateId, i64>,
    /// What each plate waits for.
    pub(crate) waits: BTreeMap<PlateId, Waits>,
    /// When each kind of plate can be shot, by day.
    pub(crate) kinds: Vec<Kind>,
    /// The kind of each plate, as a place in `kinds`.
    pub(crate) kind_of: BTreeMap<PlateId, usize>,
    /// When one may be at each place, by day.
    pub(crate) access: Arena<PlaceId, Arena<DayId, Vec<Window>>>,
    /// How hard the planners try.
    pub(crate) effort: Effort,
    /// What the plan pays for what.
    pub(crate) weights: Weights,
    /// Windows of each light at each place, by day.
    lights: Vec<(PlaceId, Light, Vec<Vec<Window>>)>,
}

/// Plates that can be shot at the same times with the same people.
pub(crate) struct Kind {
    place: PlaceId,
    light: Light,
    people: Vec<PersonId>,
    helpers: Vec<Helper>,
    /// The plate, where one alone is of this kind because it is pinned.
    pinned: Option<PlateId>,
    /// Where a day's weather is supposed to fail: the date that they are held to, if any.
    held: Option<Option<Date>>,
    /// Limits of each day.
    pub(crate) days: Arena<DayId, Limits>,
}

impl Kind {
    fn is_of(&self, plate: &Plate, helpers: &[Helper]) -> bool {
        let same =
            |a: &Helper, b: &Helper| (a.skill, a.must, &a.candidates) == (b.skill, b.must, &b.candidates);
        self.place == plate.place
            && self.light == plate.light
            && self.people == plate.people
            && self.helpers.len() == helpers.len()
            && self.helpers.iter().zip(helpers).all(|(a, b)| same(a, b))
    }
}

impl<'a> Setting<'a> {
    /// Looks everything up. A zone that is not known counts as UTC.
    pub(crate) fn new(model: &'a Model, breakdown: &'a Breakdown, work: &Work) -> Self {
        let days = model.days.as_ref().map_or(&[][..], |days| days.each.as_slice());
        let zone = TimeZone::get(&model.sequence.zone).unwrap_or(TimeZone::UTC);
        let mut by_place = Arena::default();
        for place in model.places.ids() {
            let mut by_day = Arena::default();
            for day in days {
                by_day.push(access(model, place, day, &zone));
            }
            by_place.push(by_day);
        }
        let mut setting = Self {
            model,
            breakdown,
            days,
            setups: group(breakdown),
            rolling: Rolling::new(breakdown),
            ranks: story_ranks(breakdown),
            waits: waits(work),
            kinds: Vec::new(),
            kind_of: BTreeMap::new(),
            access: by_place,
            effort: Effort::default(),
            weights: model.sequence.weights.clone(),
            lights: Vec::new(),
            zone,
        };
        for (id, plate) in breakdown.plates.iter() {
            let kind = setting.kind(id, plate);
            setting.kind_of.insert(id, kind);
        }
        setting
    }

    fn kind(&mut self, id: PlateId, plate: &Plate) -> usize {
        let helpers = helpers_for(self.model, self.breakdown, id);
        let pinned = self.model.kept.pin_of_plate(&plate.named.path).map(|_| id);
        let held = weather::held(self.model, &plate.named);
        let is_of = |kind: &Kind| kind.pinned.is_none() && kind.held == held && kind.is_of(plate, &helpers);
        if pinned.is_none()
            && let Some(known) = self.kinds.iter().position(is_of)
        {
            return known;
        }
        let lit = self.lit(plate);
        let mut days = Arena::default();
        for (day, lit) in self.days.iter().zip(&lit) {
            let mut limits = limits_with(self.model, plate, (&helpers, lit), day, &self.zone);
            let pin = pinned.and_then(|id| pins::limit(self.model, self.breakdown, id, day, &self.zone));
            let fails = weather::limit(self.model, &plate.named, day);
            pin.into_iter().chain(fails).for_each(|limit| limits.add(limit));
            days.push(limits);
        }
        let (place, light, people) = (plate.place, plate.light, plate.people.clone());
        self.kinds.push(Kind { place, light, people, helpers, pinned, held, days });
        self.kinds.len() - 1
    }

    /// Windows of a plate's light by day; the sun is asked once for each place and light.
    fn lit(&mut self, plate: &Plate) -> Vec<Vec<Window>> {
        let known = self.lights.iter().find(|(place, of, _)| (*place, *of) == (plate.place, plate.light));
        if let Some((_, _, windows)) = known {
            return windows.clone();
        }
        let on = |day: &DayPlan| light(self.model, plate.place, plate.light, day, &self.zone);
        let windows: Vec<Vec<Window>> = self.days.iter().map(on).collect();
        self.lights.push((plate.place, plate.light, windows.clone()));
        windows
    }

    /// Limits of a plate on an allowed day.
    pub(crate) fn limits(&self, plate: PlateId, day: usize) -> Option<&Limits> {
        let kind = self.kinds.get(*self.kind_of.get(&plate)?)?;
        kind.days.values().nth(day)
    }

    /// How many times the desk must have worked before a plate and what rolls with it can be shot.
    pub(crate) fn depth(&self, plate: PlateId) -> usize {
        let host = self.rolling.host(plate).unwrap_or(plate);
        let depth = |plate| self.waits.get(&plate).map_or(0, |waits| waits.depth);
        self.rolling.whole(&[host]).map(depth).max().unwrap_or(0)
    }

    /// The name of a plate as sentences use it: its title in quotes.
    pub(crate) fn name(&self, plate: PlateId) -> String {
        format!("'{}'", self.breakdown.plates[plate].named.label())
    }

    /// The name of a pass as sentences use it: its title, and what it belongs to.
    pub(crate) fn pass_name(&self, pass: PassId) -> String {
        format!("'{}'", graph::label(Node::Pass(pass), self.model, self.breakdown))
    }
}
