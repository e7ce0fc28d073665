//! `light-window`: the light that a plate asks for comes while one can be there.
//!
//! In: light and place of each plate, allowed days. Out: findings where no day
//! offers enough of it, and the window of each day for the plate's card.

use super::window::{longest, meet_all, of_access, shooting_minutes, span, words, zone_of};
use crate::craft::sun::light_windows;
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::{DayPlan, Light, Model, PlaceId, Plate, PlateId};
use crate::order::Minute;
use crate::quantity::Range;
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
                (day, meet_all(&light, &of_access(model, plate.place, day, &zone)))
            })
            .collect();
        for (day, window) in windows.iter().filter(|(_, window)| !window.is_empty()) {
            report.instruct(
                About::Plate(id),
                CODE.name,
                format!("light on {}", day.date),
                words(window, &zone),
                "the light as asked for, while the place is open, between call and wrap",
            );
        }
        if windows.iter().all(|(_, window)| longest(window) < needed) {
            find(model, (id, plate), &days.each, &zone, report);
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
    days: &[DayPlan],
    zone: &TimeZone,
    report: &mut Report,
) {
    let place = &model.places[plate.place];
    let needed = shooting_minutes(plate);
    let span_at = plate.light_span.unwrap_or(place.named.span);
    let mut finding = Diagnostic::new(
        CODE,
        span_at,
        format!(
            "the light of plate '{}' is never there long enough while one can shoot it",
            plate.named.path
        ),
    )
    .label(format!("{} needed for {} takes", span(needed), plate.takes));
    if let Some(open) = place.open.first() {
        finding = finding.other(open.span, format!("when '{}' is open", place.named.path));
    }
    for day in days.iter().take(3) {
        let light = light_of(model, plate, day, zone);
        let access = of_access(model, plate.place, day, zone);
        let shared = longest(&meet_all(&light, &access));
        finding = finding.note(format!(
            "{}: light {}; access {}; together {}",
            day.date,
            words(&light, zone),
            words(&access, zone),
            if shared == 0 { "never".to_owned() } else { format!("{} at most", span(shared)) }
        ));
    }
    let fit = if days.iter().any(|day| longest(&light_of(model, plate, day, zone)) >= needed) {
        "move call or wrap, ask for longer access, or ask for another light"
    } else {
        "no allowed day has this light for so long: plan fewer takes, or ask for another light or date"
    };
    report.find(About::Plate(id), finding.help(fit));
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
        .other(place.named.span, "no `at` here")
        .help(format!("add `at LATITUDE, LONGITUDE` to place '{}'", place.named.path)),
    );
}
