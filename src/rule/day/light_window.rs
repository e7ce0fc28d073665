//! `light-window`: the light that a plate asks for comes while one can be there.
//!
//! In: light and place of each plate, allowed days. Out: findings where no day
//! offers enough of it, and the window of each day for the plate's card.

use super::mend::{clock_after, clock_before, date_that, fewer_takes, widest};
use super::window::{
    fitting_minutes, longest, meet_all, of_access, of_day, shooting_minutes, span, words, zone_of,
};
use crate::craft::sun::{heights, light_windows, wanted_heights};
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::{DayPlan, Light, Model, PlaceId, Plate, PlateId};
use crate::order::Minute;
use crate::quantity::{Angle, Range};
use crate::rule::advice::light as light_words;
use crate::rule::{About, Check, Family, Report, Rule, Subject};
use jiff::civil::Date;
use jiff::tz::TimeZone;

/// The wanted light never meets access and working hours.
pub(super) const CODE: Code = Code { id: "D01", name: "light-window", severity: Severity::Error };

/// The rule.
pub(super) const RULE: Rule = Rule {
    code: CODE,
    family: Family::Day,
    page: include_str!("light_window.md"),
    check: Check::Work(check),
};

/// The windows of one light at one place on one date.
type Asked = ((PlaceId, Light, Date), Vec<Range<Minute>>);

fn check(subject: &Subject<'_>, report: &mut Report) {
    let model = subject.model;
    let Some(days) = &model.days else { return };
    let zone = zone_of(model);
    // Most plates share their place and light; the sun is asked once for each.
    let mut asked: Vec<Asked> = Vec::new();
    let mut dates = Dates { known: Vec::new() };
    for (id, plate) in subject.breakdown.plates.iter().filter(|(_, plate)| plate.light.under_sky()) {
        let place = &model.places[plate.place];
        if place.at.is_none() {
            find_without_position(model, (id, plate), report);
            continue;
        }
        let needed = shooting_minutes(plate);
        let windows: Vec<(&DayPlan, Vec<Range<Minute>>)> = days
            .each
            .iter()
            .map(|day| {
                let key = (plate.place, plate.light, day.date);
                let known = asked.iter().find(|(one, _)| *one == key).map(|(_, light)| light.clone());
                let light = known.unwrap_or_else(|| {
                    let light = light_of(model, plate, day, &zone);
                    asked.push((key, light.clone()));
                    light
                });
                (day, meet_all(&light, &ready(model, plate, day, &zone)))
            })
            .collect();
        for (day, window) in windows.iter().filter(|(_, window)| !window.is_empty()) {
            report.instruct(
                About::Plate(id),
                CODE.name,
                format!("light on {}", day.date),
                words(window, &zone),
                "the light as asked for, while the place is open, between call and wrap, once the rig is fitted",
            );
        }
        if windows.iter().all(|(_, window)| longest(window) < needed) {
            let other = dates.other(model, plate, &zone);
            find(model, (id, plate), (&days.each, other), &zone, report);
        }
    }
}

fn light_of(model: &Model, plate: &Plate, day: &DayPlan, zone: &TimeZone) -> Vec<Range<Minute>> {
    let place = &model.places[plate.place];
    let at = place.at.map(|at| at.value);
    // A day that runs past midnight sees the light of two dates.
    let next = (day.wrap <= day.call).then(|| day.date.tomorrow().ok()).flatten();
    [Some(day.date), next]
        .into_iter()
        .flatten()
        .flat_map(|date| light_windows(plate.light, at, place.horizon, date, zone))
        .collect()
}

fn find(
    model: &Model,
    (id, plate): (PlateId, &Plate),
    (days, other): (&[DayPlan], Option<Date>),
    zone: &TimeZone,
    report: &mut Report,
) {
    let place = &model.places[plate.place];
    let needed = shooting_minutes(plate);
    let span_at = plate.light_span.unwrap_or(place.named.span);
    let fitting = fitting_minutes(model, plate);
    let mut finding = Diagnostic::new(
        CODE,
        span_at,
        format!(
            "the light of plate '{}' is never there long enough while one can shoot it",
            plate.named.path
        ),
    )
    .label(format!(
        "{} needed for {} takes, behind {} of fitting",
        span(needed),
        plate.takes,
        span(fitting)
    ));
    if let Some(open) = place.open.first() {
        finding = finding.other(open.span, format!("when '{}' is open", place.named.path));
    }
    for day in days.iter().take(3) {
        let light = light_of(model, plate, day, zone);
        let access = ready(model, plate, day, zone);
        finding = match never(model, plate, day, zone) {
            Some(why) => finding.note(why),
            None => finding,
        };
        let shared = longest(&meet_all(&light, &access));
        finding = finding.note(format!(
            "{}: light {}; ready {}; together {}",
            day.date,
            words(&light, zone),
            words(&access, zone),
            if shared == 0 { "never".to_owned() } else { format!("{} at most", span(shared)) }
        ));
    }
    report.find(About::Plate(id), finding.help(ways(model, plate, (days, other), zone).join(", or ")));
}

/// How many kinds of plates another date is looked for at most: each asks the sun
/// for a year.
const KINDS: usize = 12;

/// The first later dates that would do, by what a plate asks of a day.
struct Dates {
    known: Vec<(Kind, Option<Date>)>,
}

/// Place, light, minutes of fitting and of shooting.
type Kind = (PlaceId, Light, i64, i64);

impl Dates {
    fn other(&mut self, model: &Model, plate: &Plate, zone: &TimeZone) -> Option<Date> {
        let needed = shooting_minutes(plate);
        let kind = (plate.place, plate.light, fitting_minutes(model, plate), needed);
        if let Some((_, date)) = self.known.iter().find(|(known, _)| *known == kind) {
            return *date;
        }
        if self.known.len() >= KINDS {
            return None;
        }
        let date = date_that(model, |day| shared(model, plate, day, zone) >= needed);
        self.known.push((kind, date));
        date
    }
}

/// The longest time on a day in which a plate has its light and can be shot.
fn shared(model: &Model, plate: &Plate, day: &DayPlan, zone: &TimeZone) -> i64 {
    longest(&meet_all(&light_of(model, plate, day, zone), &ready(model, plate, day, zone)))
}

/// When a plate can be shot on a day: while the place is open, once its rig is fitted there.
fn ready(model: &Model, plate: &Plate, day: &DayPlan, zone: &TimeZone) -> Vec<Range<Minute>> {
    let fitting = fitting_minutes(model, plate);
    let open = of_access(model, plate.place, day, zone).into_iter();
    let later = open.map(|window| Range { from: window.from.plus(fitting), ..window });
    later.filter(|window| window.from < window.to).collect()
}

/// Why a date has none of a light: how high the sun comes, against what it takes.
fn never(model: &Model, plate: &Plate, day: &DayPlan, zone: &TimeZone) -> Option<String> {
    let place = &model.places[plate.place];
    let at = place.at?.value;
    let (low, high) = wanted_heights(plate.light, place.horizon)?;
    let (lowest, highest) = heights(at, day.date, zone)?;
    let asked = light_words(plate.light);
    if highest.0 < low {
        let limit = Angle(low);
        return Some(format!(
            "{}: the sun comes no higher than {highest} at '{}', and '{asked}' takes {limit} or more",
            day.date, place.named.path
        ));
    }
    (lowest.0 > high).then(|| {
        format!(
            "{}: the sun goes no lower than {lowest} at '{}', and '{asked}' takes {} or less",
            day.date,
            place.named.path,
            Angle(high)
        )
    })
}

/// What would do, best first: fewer takes, another access or call, another date.
fn ways(
    model: &Model,
    plate: &Plate,
    (days, other): (&[DayPlan], Option<Date>),
    zone: &TimeZone,
) -> Vec<String> {
    let needed = shooting_minutes(plate);
    let mut ways = Vec::new();
    let best = days.iter().map(|day| shared(model, plate, day, zone)).max().unwrap_or(0);
    ways.extend(fewer_takes(plate, best));
    let lit = days.iter().find_map(|day| {
        let window = widest(&light_of(model, plate, day, zone))?;
        (window.to.0 - window.from.0 >= needed).then_some((day, window))
    });
    if let Some((day, window)) = lit {
        let from = window.from.plus(-fitting_minutes(model, plate));
        let until =
            if window.to.0 - window.from.0 > needed + 30 { window.from.plus(needed + 30) } else { window.to };
        let (from, until) = (clock_before(from, zone), clock_after(until, zone));
        let inside = of_day(day, zone)
            .is_some_and(|whole| whole.from <= window.from && until_fits(whole, window, needed));
        if model.places[plate.place].open.is_empty() || !inside {
            ways.push(format!("call earlier or wrap later: the light asks for work from {from} to {until}"));
        }
        if !model.places[plate.place].open.is_empty() {
            ways.push(format!(
                "ask for access, 'open {from}..{until}' in '{}'",
                model.places[plate.place].named.path
            ));
        }
    }
    ways.extend(other.map(|date| format!("shoot on another date, 'day {date}'")));
    ways.push("ask for another light".into());
    ways
}

/// Whether enough of a window lies before the wrap.
fn until_fits(whole: Range<Minute>, window: Range<Minute>, needed: i64) -> bool {
    whole.to.0.min(window.to.0) - window.from.0 >= needed
}

fn find_without_position(model: &Model, (id, plate): (PlateId, &Plate), report: &mut Report) {
    let place = &model.places[plate.place];
    // Plain daylight can be planned loosely; a light tied to the sun cannot.
    if plate.light == Light::Sky {
        return;
    }
    report.find(
        About::Plate(id),
        Diagnostic::new(
            CODE,
            plate.light_span.unwrap_or(place.named.span),
            format!(
                "nobody can say when plate '{}' has its light: '{}' has no position",
                plate.named.path, place.named.path
            ),
        )
        .label("depends on the sun")
        .other(place.named.span, "no 'at' here")
        .help(format!("add 'at LATITUDE, LONGITUDE' to place '{}'", place.named.path)),
    );
}
