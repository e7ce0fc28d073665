//! When a plate can be shot: the hours of the day, of the place, of the light
//! and of the people, laid over each other.
//!
//! In: model, a plate, one allowed day. Out: [`Limits`], each with its words
//! and its line, so that what rules a plate out can be named. Guaranteed:
//! windows are in order of time and apart from each other.

use super::helper::{Helper, flyer, helpers_for};
use super::shoot::problem::Window;
use super::{Minute, daylight, pins, weather};
use crate::model::{DayPlan, Light, Model, PersonId, PlaceId, Plate, PlateId, RigId};
use crate::quantity::Range;
use crate::recipe::Breakdown;
use crate::source::Span;
use jiff::civil::{Date, Time};
use jiff::tz::TimeZone;

/// What kind of thing limits when a plate can be shot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LimitKind {
    /// The hours of a place.
    Access(PlaceId),
    /// The light at a place.
    Light(PlaceId),
    /// A person's hours, or that they are away.
    Person(PersonId),
    /// That a rig is away.
    Rig(RigId),
    /// Nobody can help who must.
    Nobody,
    /// Somebody pinned this plate in the plan file.
    Pin(PlateId),
    /// The day is over, or so far over, by its log.
    Over,
    /// The weather of this day or of an earlier one is supposed to fail.
    Weather,
}

/// One thing that limits when a plate can be shot on a day.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// What kind of thing it is.
    pub kind: LimitKind,
    /// When it allows work.
    pub windows: Vec<Window>,
    /// What it is: `golden morning light at quay`.
    pub what: String,
    /// The line behind it.
    pub span: Option<Span>,
    /// The person whose hours it is, if it is a person's.
    pub who: Option<PersonId>,
}

/// What is in both.
pub(crate) fn both(a: &[Window], b: &[Window]) -> Vec<Window> {
    let mut common = Vec::new();
    let (mut left, mut right) = (a.iter().peekable(), b.iter().peekable());
    while let (Some(one), Some(other)) = (left.peek(), right.peek()) {
        let window = Window { from: one.from.max(other.from), to: one.to.min(other.to) };
        if window.from < window.to {
            common.push(window);
        }
        if one.to <= other.to {
            left.next();
        } else {
            right.next();
        }
    }
    common
}

/// In order of time, with what touches made one.
pub(crate) fn tidy(mut windows: Vec<Window>) -> Vec<Window> {
    windows.retain(|window| window.from < window.to);
    windows.sort_by_key(|window| (window.from, window.to));
    let mut tidy: Vec<Window> = Vec::new();
    for window in windows {
        match tidy.last_mut() {
            Some(last) if window.from <= last.to => last.to = last.to.max(window.to),
            _ => tidy.push(window),
        }
    }
    tidy
}

/// A range of clock times on a date; one that ends before it starts goes on past midnight.
pub(crate) fn clock_range(date: Date, range: Range<Time>, zone: &TimeZone) -> Option<Window> {
    let from = Minute::from_civil(date.to_datetime(range.from), zone)?;
    let end = if range.to > range.from { date } else { date.tomorrow().ok()? };
    let to = Minute::from_civil(end.to_datetime(range.to), zone)?;
    Some(Window { from: from.0, to: to.0 })
}

/// From the earliest call to the latest wrap.
pub(crate) fn day_range(day: &DayPlan, zone: &TimeZone) -> Option<Window> {
    clock_range(day.date, Range { from: day.call, to: day.wrap }, zone)
}

/// Whether a day goes on past midnight.
fn past_midnight(day: &DayPlan) -> bool {
    day.wrap <= day.call
}

/// The dates that a day's hours touch.
fn dates(day: &DayPlan) -> Vec<Date> {
    let next = if past_midnight(day) { day.date.tomorrow().ok() } else { None };
    std::iter::once(day.date).chain(next).collect()
}

/// Clock ranges on the dates of a day, and those of the evening before that go on past midnight.
fn clock_ranges(day: &DayPlan, ranges: &[Range<Time>], zone: &TimeZone) -> Vec<Window> {
    let mut all = dates(day);
    all.extend(day.date.yesterday().ok());
    let on = |range: Range<Time>| all.iter().filter_map(move |&date| clock_range(date, range, zone));
    tidy(ranges.iter().flat_map(|&range| on(range)).collect())
}

/// When one may be at a place on a day.
pub(crate) fn access(model: &Model, place: PlaceId, day: &DayPlan, zone: &TimeZone) -> Vec<Window> {
    let Some(whole) = day_range(day, zone) else { return Vec::new() };
    let open = &model.places[place].open;
    if open.is_empty() {
        return vec![whole];
    }
    let ranges: Vec<Range<Time>> = open.iter().map(|range| range.value).collect();
    both(&[whole], &clock_ranges(day, &ranges, zone))
}

/// When there is that light at a place on a day.
pub(crate) fn light(
    model: &Model,
    place: PlaceId,
    light: Light,
    day: &DayPlan,
    zone: &TimeZone,
) -> Vec<Window> {
    let Some(whole) = day_range(day, zone) else { return Vec::new() };
    if !light.under_sky() {
        return vec![whole];
    }
    let place = &model.places[place];
    let at = place.at.map(|at| at.value);
    let of = |date: Date| daylight::windows(light, at, place.horizon, date, zone);
    both(&[whole], &tidy(dates(day).into_iter().flat_map(of).collect()))
}

/// When a person is there on a day.
fn presence(model: &Model, person: PersonId, day: &DayPlan, zone: &TimeZone) -> Limit {
    let who = &model.people[person];
    let away = who.away.iter().find(|away| away.value.from <= day.date && day.date <= away.value.to);
    if let Some(away) = away {
        let what = format!("{} is away on {}", who.named.label(), day.date);
        let kind = LimitKind::Person(person);
        return Limit { kind, windows: Vec::new(), what, span: Some(away.span), who: Some(person) };
    }
    let whole: Vec<Window> = day_range(day, zone).into_iter().collect();
    match &who.hours {
        None => Limit {
            kind: LimitKind::Person(person),
            windows: whole,
            what: format!("{} is there", who.named.label()),
            span: None,
            who: Some(person),
        },
        Some(hours) => Limit {
            kind: LimitKind::Person(person),
            windows: both(&whole, &clock_ranges(day, &[hours.value], zone)),
            what: format!(
                "{} is there {:02}:{:02} to {:02}:{:02}",
                who.named.label(),
                hours.value.from.hour(),
                hours.value.from.minute(),
                hours.value.to.hour(),
                hours.value.to.minute()
            ),
            span: Some(hours.span),
            who: Some(person),
        },
    }
}

/// That a rig is away on a day.
fn missing(model: &Model, rig: RigId, day: &DayPlan) -> Option<Limit> {
    let known = &model.rigs[rig];
    let away = known.away.iter().find(|away| away.value.from <= day.date && day.date <= away.value.to)?;
    let what = format!("{} is away on {}", known.named.label(), day.date);
    Some(Limit { kind: LimitKind::Rig(rig), windows: Vec::new(), what, span: Some(away.span), who: None })
}

/// What is left of a day by the logs; `None` where it has not begun.
fn rest_of(model: &Model, day: &DayPlan, zone: &TimeZone) -> Option<Limit> {
    let record = &model.record;
    let limit = |windows, what, span| Limit { kind: LimitKind::Over, windows, what, span, who: None };
    let logged = record.day(day.date);
    if record.over().is_some_and(|over| day.date <= over) {
        let what = format!("{} is over by the logs", day.date);
        return Some(limit(Vec::new(), what, logged.map(|logged| logged.span)));
    }
    let (logged, whole) = (logged?, day_range(day, zone)?);
    let from = logged.last?.0.max(whole.from);
    let what = format!("{} is left from {}", day.date, Minute(from).clock(zone));
    Some(limit(tidy(vec![Window { from, to: whole.to }]), what, Some(logged.span)))
}

/// All that limits a plate on a day, and who is then there for it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Limits {
    /// Each limit.
    pub each: Vec<Limit>,
    /// What they leave together.
    pub windows: Vec<Window>,
    /// Performers, then helpers, each with what they do: `performs`, `spots`, `flies`, `pulls`.
    pub people: Vec<(PersonId, String)>,
}

/// Limits of a plate on a day.
pub fn limits(
    model: &Model,
    breakdown: &Breakdown,
    plate: crate::model::PlateId,
    day: &DayPlan,
    zone: &TimeZone,
) -> Limits {
    let helpers = helpers_for(model, breakdown, plate);
    let pin = pins::limit(model, breakdown, plate, day, zone);
    let plate = &breakdown.plates[plate];
    let lit = light(model, plate.place, plate.light, day, zone);
    let mut limits = limits_with(model, plate, (&helpers, &lit), day, zone);
    pin.into_iter().chain(weather::limit(model, &plate.named, day)).for_each(|pin| limits.add(pin));
    limits
}

/// As [`limits`], with the helpers and the windows of light already known.
pub(crate) fn limits_with(
    model: &Model,
    plate: &Plate,
    (helpers, lit): (&[Helper], &[Window]),
    day: &DayPlan,
    zone: &TimeZone,
) -> Limits {
    let place = &model.places[plate.place];
    let mut limits = Limits::default();
    let opens = Limit {
        kind: LimitKind::Access(plate.place),
        windows: access(model, plate.place, day, zone),
        what: if place.open.is_empty() {
            format!("{} from call to wrap", place.named.label())
        } else {
            format!("{} is open", place.named.label())
        },
        span: place.open.first().map_or(Some(day.span), |open| Some(open.span)),
        who: None,
    };
    limits.windows = opens.windows.clone();
    limits.each.push(opens);
    if let Some(rest) = rest_of(model, day, zone) {
        limits.windows = both(&limits.windows, &rest.windows);
        limits.each.push(rest);
    }
    if plate.light.under_sky() {
        let found = Limit {
            kind: LimitKind::Light(plate.place),
            windows: lit.to_vec(),
            what: if place.at.is_some() {
                format!("{} at {}", daylight::words(plate.light), place.named.label())
            } else {
                format!(
                    "{} at {}, whose position nobody wrote",
                    daylight::words(plate.light),
                    place.named.label()
                )
            },
            span: plate.light_span.or(Some(place.named.span)),
            who: None,
        };
        limits.add(found);
    }
    if let Some(away) = missing(model, plate.rig, day) {
        limits.add(away);
    }
    for &person in &plate.people {
        limits.add(presence(model, person, day, zone));
        let role = if flyer(model, plate) == Some(person) { "flies" } else { "performs" };
        limits.people.push((person, role.into()));
    }
    for helper in helpers {
        limits.choose(model, helper, day, zone);
    }
    limits
}

impl Limits {
    pub(crate) fn add(&mut self, limit: Limit) {
        self.windows = both(&self.windows, &limit.windows);
        self.each.push(limit);
    }

    /// Takes the helper who leaves the most time; the first of equals.
    fn choose(&mut self, model: &Model, helper: &Helper, day: &DayPlan, zone: &TimeZone) {
        let free =
            helper.candidates.iter().copied().filter(|one| !self.people.iter().any(|(who, _)| who == one));
        let mut best: Option<(i64, PersonId, Limit)> = None;
        for person in free {
            let limit = presence(model, person, day, zone);
            let minutes = both(&self.windows, &limit.windows).iter().map(|one| one.to - one.from).sum();
            if best.as_ref().is_none_or(|(known, _, _)| minutes > *known) {
                best = Some((minutes, person, limit));
            }
        }
        match best {
            Some((_, person, limit)) => {
                self.add(limit);
                self.people.push((person, helper.word.into()));
            }
            // A helper whose lack a rule reports holds nothing up.
            None if !helper.must => {}
            None => self.add(Limit {
                kind: LimitKind::Nobody,
                windows: Vec::new(),
                what: format!("nobody can {} for it: {}", helper.skill, helper.why),
                span: helper.span,
                who: None,
            }),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn window(from: i64, to: i64) -> Window {
        Window { from, to }
    }

    #[test]
    fn windows_overlap_where_both_are_open() {
        let open = [window(0, 10), window(20, 30)];
        let light = [window(5, 25)];
        assert_eq!(both(&open, &light), [window(5, 10), window(20, 25)]);
        assert_eq!(both(&open, &[window(10, 20)]), []);
    }

    #[test]
    fn hours_past_midnight_end_on_the_next_day() {
        let zone = TimeZone::get("Europe/Lisbon").unwrap();
        let date = Date::new(2027, 5, 14).unwrap();
        let range = Range { from: Time::new(22, 0, 0, 0).unwrap(), to: Time::new(2, 0, 0, 0).unwrap() };
        let found = clock_range(date, range, &zone).unwrap();
        assert_eq!(found.to - found.from, 240);
    }

    /// Lisbon's clocks skip from 01:00 to 02:00 on 2027-03-28 (EU Directive 2000/84/EC).
    #[test]
    fn a_day_on_which_clocks_change_is_as_long_as_it_is() {
        let zone = TimeZone::get("Europe/Lisbon").unwrap();
        let date = Date::new(2027, 3, 28).unwrap();
        let range = Range { from: Time::new(0, 0, 0, 0).unwrap(), to: Time::new(6, 0, 0, 0).unwrap() };
        let found = clock_range(date, range, &zone).unwrap();
        assert_eq!(found.to - found.from, 300);
    }

    #[test]
    fn touching_windows_are_one() {
        assert_eq!(tidy(vec![window(10, 20), window(0, 10), window(5, 5)]), [window(0, 20)]);
    }
}
