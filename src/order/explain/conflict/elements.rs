//! What may keep something out of the plan: every line that limits it.
//!
//! In: the setting and plates that are worked in one go. Out: elements, each
//! with the change that takes it away. What is least natural to give as a
//! reason comes first, so that it is the first to be found needless.

use crate::model::{CameraId, DayPlan, PersonId, PlateId, StateOf};
use crate::order::daylight;
use crate::order::duration::{FLOWN, KEPT_BACK, minutes, recorded, shooting};
use crate::order::explain::change::Change;
use crate::order::reasons::hours;
use crate::order::setting::Setting;
use crate::order::window::{Limit, LimitKind};
use crate::quantity::Seconds;
use crate::source::Span;
use std::collections::BTreeSet;

/// So many more days are enough to find out whether days are what is missing.
const DAYS: u8 = 3;

/// A line that limits something.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Element {
    /// The change that takes the limit away.
    pub(crate) change: Change,
    /// The limit in words.
    pub(crate) text: String,
    /// The line.
    pub(crate) span: Option<Span>,
}

/// Gathers elements; each change once.
struct Elements<'e, 'a> {
    setting: &'e Setting<'a>,
    plates: &'e [PlateId],
    found: Vec<Element>,
}

/// Everything that limits plates that are worked in one go, and the order of all that lies behind them.
pub(crate) fn of(setting: &Setting<'_>, plates: &[PlateId], behind: &BTreeSet<PlateId>) -> Vec<Element> {
    let mut elements = Elements { setting, plates, found: Vec::new() };
    elements.days();
    elements.ways();
    elements.states();
    elements.kit();
    elements.lines(behind);
    elements.hours();
    elements.length();
    elements.people();
    elements.windows();
    elements.found
}

impl<'a> Elements<'_, 'a> {
    fn add(&mut self, change: Change, text: impl Into<String>, span: Option<Span>) {
        if !self.found.iter().any(|known| known.change == change) {
            self.found.push(Element { change, text: text.into(), span });
        }
    }

    /// Every limit on every allowed day.
    fn limits(&self) -> Vec<(usize, &Limit)> {
        let days = 0..self.setting.days.len();
        let of = |day: usize| {
            let plates = self.plates.iter().filter_map(move |&plate| self.setting.limits(plate, day));
            plates.flat_map(|limits| &limits.each).map(move |limit| (day, limit))
        };
        days.flat_map(of).collect()
    }

    fn days(&mut self) {
        let Some(days) = &self.setting.model.days else { return };
        let dates: Vec<String> = days.each.iter().map(|day| day.date.to_string()).collect();
        let text = match dates.as_slice() {
            [one] => format!("{one} is the only day that is allowed"),
            _ => format!("no day is allowed but {}", listed(&dates)),
        };
        self.add(Change::MoreDays(DAYS), text, Some(days.span));
        if let Some(day) = days.each.first() {
            let text = format!("a meal is due within {} min of the call", minutes(day.meal_within));
            self.add(Change::NoMeal, text, Some(day.span));
        }
    }

    fn ways(&mut self) {
        let model = self.setting.model;
        let Some(&first) = self.plates.first() else { return };
        let plate = &self.setting.breakdown.plates[first];
        let rig = &model.rigs[plate.rig];
        let takes = minutes(rig.fitting);
        if takes > 0 {
            let text = format!("setting up {} takes {takes} min", rig.named.label());
            self.add(Change::Ready(plate.rig), text, Some(rig.named.span));
        }
        let bases: BTreeSet<_> = self.setting.days.iter().filter_map(|day| day.base).collect();
        for base in bases.into_iter().filter(|base| *base != plate.place) {
            let (one, other) = (model.places[base].named.label(), model.places[plate.place].named.label());
            let is = |ends: (_, _)| ends == (base, plate.place) || ends == (plate.place, base);
            let line = model.travels.iter().find(|travel| is((travel.from, travel.to)));
            let text = match line {
                Some(line) => format!("the way from {one} to {other} takes {} min", minutes(line.takes)),
                None => format!("nobody wrote how long the way from {one} to {other} takes"),
            };
            self.add(Change::Near(base, plate.place), text, line.map(|line| line.span));
        }
    }

    fn states(&mut self) {
        let model = self.setting.model;
        for &id in self.plates {
            let plate = &self.setting.breakdown.plates[id];
            let shown = plate.shows.iter().map(|(of, _, span)| (*of, *span));
            for (of, span) in shown.chain(plate.turns.iter().map(|turn| (turn.of, turn.span))) {
                let named = match of {
                    StateOf::Prop(id) => &model.props[id].named,
                    StateOf::Look(id) => &model.looks[id].named,
                };
                let text = format!("{} cannot go back at once", named.label());
                self.add(Change::Fresh(of), text, Some(span));
            }
        }
    }

    fn kit(&mut self) {
        let model = self.setting.model;
        let Some(&first) = self.plates.first() else { return };
        let plate = &self.setting.breakdown.plates[first];
        let camera: CameraId = model.modes[plate.mode].camera;
        let named = &model.cameras[camera].named;
        if let Some(card) = &model.cameras[camera].card {
            let text = format!("a card of {} holds {}", named.label(), card.value);
            self.add(Change::EndlessCard(camera), text, Some(card.span));
        }
        if let Some(battery) = &model.cameras[camera].battery {
            let usable = battery.value * (1.0 - KEPT_BACK);
            let text = format!("a battery of {} gives {usable}, a reserve kept back", named.label());
            self.add(Change::Endless(camera), text, Some(battery.span));
        }
        let rig = &model.rigs[plate.rig];
        if let Some(endurance) = rig.endurance.as_ref().filter(|_| rig.flies) {
            let usable = endurance.value * FLOWN;
            let text = format!("a pack of {} gives {usable}, a reserve kept back", rig.named.label());
            self.add(Change::EndlessPack(plate.rig), text, Some(endurance.span));
        }
    }

    /// Lines that order the shoot.
    fn lines(&mut self, behind: &BTreeSet<PlateId>) {
        for &plate in behind {
            self.group(plate);
            let Some(waits) = self.setting.waits.get(&plate) else { continue };
            let reasons = waits.plates.iter().map(|one| &one.1).chain(waits.passes.iter().map(|one| &one.1));
            for reason in reasons {
                if let Some(span) = reason.span {
                    self.add(Change::Drop(span), reason.text.clone(), Some(span));
                }
            }
        }
    }

    /// The hours of the days, each line once.
    fn hours(&mut self) {
        let calls = self.setting.days.iter().map(|day| (day.call_span, true));
        let wraps = self.setting.days.iter().map(|day| (day.wrap_span, false));
        let lines: BTreeSet<(Span, bool)> = calls.chain(wraps).collect();
        for (span, call) in lines {
            let of = |day: &DayPlan| span == if call { day.call_span } else { day.wrap_span };
            let days = self.setting.days.iter().enumerate().filter(|(_, day)| of(day));
            let which: Vec<usize> = days.map(|(at, _)| at).collect();
            let each = which.iter().filter_map(|&at| self.setting.days.get(at));
            let dates: Vec<String> = each.map(|day| day.date.to_string()).collect();
            let Some(day) = which.first().and_then(|&at| self.setting.days.get(at)) else { continue };
            let (dates, verb) = (listed(&dates), if which.len() == 1 { "is" } else { "are" });
            if call {
                let text = format!("{dates} {verb} called at {} at the earliest", day.call.strftime("%H:%M"));
                self.add(Change::AnyCall(which), text, Some(span));
            } else {
                let text = format!("{dates} {verb} packed by {} at the latest", day.wrap.strftime("%H:%M"));
                self.add(Change::AnyWrap(which), text, Some(span));
            }
        }
    }

    fn length(&mut self) {
        let plates = &self.setting.breakdown.plates;
        let Some(&first) = self.plates.first() else { return };
        let work: i64 =
            self.plates.iter().map(|&plate| shooting(&plates[plate])).fold(0, i64::saturating_add);
        let span = Some(plates[first].lasts.span);
        let text = if self.plates.len() > 1 {
            let whole = |plate: &PlateId| {
                recorded(&plates[*plate]).saturating_mul(i64::from(plates[*plate].takes.max(1)))
            };
            let records = self.plates.iter().map(whole).fold(0, i64::saturating_add);
            format!("its locked group takes {work} min and records {} in all", Seconds(records as f64))
        } else {
            let plate = &plates[first];
            let takes = if plate.takes == 1 { "one take".into() } else { format!("{} takes", plate.takes) };
            let between = match plate.between {
                between if plate.takes > 1 && between.0 > 0.0 => format!(", {between} between"),
                _ => String::new(),
            };
            let name = self.setting.name(first);
            format!("{name} takes {work} min: {takes} of {}{between}", plate.lasts.value)
        };
        self.add(Change::Short(self.plates.to_vec()), text, span);
    }

    /// The locked group of a plate.
    fn group(&mut self, plate: PlateId) {
        let breakdown = self.setting.breakdown;
        let Some(group) = breakdown.groups.values().find(|group| group.plates.contains(&plate)) else {
            return;
        };
        let names: Vec<String> = group.plates.iter().map(|&plate| self.setting.name(plate)).collect();
        let text = format!("the camera may not be touched between {}", listed(&names));
        let effect = group.effects.first().map(|&effect| self.setting.model.effects[effect].named.span);
        let span = effect.or(Some(breakdown.plates[plate].hold.span));
        self.add(Change::Split(group.plates.clone()), text, span);
    }

    fn people(&mut self) {
        let model = self.setting.model;
        let who: BTreeSet<PersonId> = self.limits().iter().filter_map(|(_, limit)| limit.who).collect();
        for person in who {
            let known = &model.people[person];
            for (at, away) in known.away.iter().enumerate() {
                let missed = |day: &&DayPlan| away.value.from <= day.date && day.date <= away.value.to;
                if let Some(day) = self.setting.days.iter().find(missed) {
                    let text = format!("{} is away on {}", known.named.label(), day.date);
                    self.add(Change::There(person, at), text, Some(away.span));
                }
            }
            if let Some(hours) = &known.hours {
                let text = format!(
                    "{} is there from {} to {}",
                    known.named.label(),
                    hours.value.from.strftime("%H:%M"),
                    hours.value.to.strftime("%H:%M")
                );
                self.add(Change::AnyHour(person), text, Some(hours.span));
            }
        }
    }

    fn windows(&mut self) {
        let mut found: Vec<(Change, String, Option<Span>)> = Vec::new();
        for (day, limit) in self.limits() {
            let change = match limit.kind {
                LimitKind::Access(place) if !self.setting.model.places[place].open.is_empty() => {
                    Change::AlwaysOpen(place)
                }
                LimitKind::Light(_) => Change::AnyLight(self.plates.to_vec()),
                LimitKind::Rig(rig) => Change::RigThere(rig),
                LimitKind::Pin(plate) => Change::Unpin(plate),
                _ => continue,
            };
            let text = match limit.kind {
                LimitKind::Access(place) => self.opens(place),
                LimitKind::Light(_) => self.lit(day, limit),
                _ => limit.what.clone(),
            };
            found.push((change, text, limit.span));
        }
        // The place's hours first: a light is the more natural reason, and a pin more than that.
        found.sort_by_key(|(change, ..)| match change {
            Change::Unpin(_) => 2,
            Change::AnyLight(_) => 1,
            _ => 0,
        });
        for (change, text, span) in found {
            self.add(change, text, span);
        }
    }

    /// A light with its hours on a day, whatever call and wrap are.
    fn lit(&self, day: usize, limit: &Limit) -> String {
        let (Some(day), LimitKind::Light(place), Some(first)) =
            (self.setting.days.get(day), limit.kind, self.plates.first())
        else {
            return limit.what.clone();
        };
        let place = &self.setting.model.places[place];
        let light = self.setting.breakdown.plates[*first].light;
        let at = place.at.map(|at| at.value);
        let windows = daylight::windows(light, at, place.horizon, day.date, &self.setting.zone);
        match windows.as_slice() {
            [] => format!("{}: not on {}", limit.what, day.date),
            windows => format!("{}: {} on {}", limit.what, hours(self.setting, windows), day.date),
        }
    }

    fn opens(&self, place: crate::model::PlaceId) -> String {
        let place = &self.setting.model.places[place];
        let clocks = place.open.iter().map(|open| {
            let (from, to) = (open.value.from.strftime("%H:%M"), open.value.to.strftime("%H:%M"));
            format!("{from} to {to}")
        });
        format!("{} is open from {}", place.named.label(), clocks.collect::<Vec<_>>().join(", "))
    }
}

/// "a, b and c".
fn listed(parts: &[String]) -> String {
    match parts {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}
