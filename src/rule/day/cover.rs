//! Rules of covers: what is shot on a day whose weather fails.
//!
//! In: days that say what they need of the weather, the plan with its covers.
//! Out: findings where a cover minds the same weather, is shot by then, cannot
//! be that day, or leaves most of it empty.

use super::window::span;
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::{Covered, DayPlan, Model, Named, PlateId, Weather, WeatherNeed};
use crate::order::{Cover, Plan, PlannedDay, Unplanned, named_by, spoiled};
use crate::rule::{About, Check, Family, PRACTICE, Report, Rule, Subject};
use crate::source::{Span, Spanned};
use std::collections::BTreeSet;

/// A cover minds the weather that it is the cover for.
const WEATHER: Code = Code { id: "D09", name: "cover-weather", severity: Severity::Error };
/// Nothing of a cover is left to shoot by its day.
const SPENT: Code = Code { id: "D10", name: "cover-spent", severity: Severity::Warning };
/// A plate of a cover cannot be shot on its day.
const UNFIT: Code = Code { id: "D11", name: "cover-unfit", severity: Severity::Warning };
/// A cover leaves most of its day empty.
const SHORT: Code = Code { id: "D12", name: "cover-short", severity: Severity::Note };

const fn rule(code: Code, page: &'static str, check: Check) -> Rule {
    Rule { code, family: Family::Day, page, check }
}

/// What a cover needs of no weather.
pub(super) const OF_WEATHER: Rule =
    rule(WEATHER, include_str!("cover_weather.md"), Check::Work(check_weather));
/// What is left of it by then.
pub(super) const OF_SPENT: Rule = rule(SPENT, include_str!("cover_spent.md"), Check::Plan(check_spent));
/// What of it can be that day.
pub(super) const OF_UNFIT: Rule = rule(UNFIT, include_str!("cover_unfit.md"), Check::Plan(check_unfit));
/// How much of the day it fills.
pub(super) const OF_SHORT: Rule = rule(SHORT, include_str!("cover_short.md"), Check::Plan(check_short));

/// So many names are suggested, and so many plates told one by one.
const FEW: usize = 4;

fn check_weather(subject: &Subject<'_>, report: &mut Report) {
    let Some(days) = &subject.model.days else { return };
    // Days that take a line over from `days` say it once.
    let mut seen: BTreeSet<(Span, Span)> = BTreeSet::new();
    for weather in days.each.iter().filter_map(|day| day.weather.as_ref()) {
        for covered in weather.cover.iter().filter(|one| seen.insert((one.span, weather.span))) {
            if let Some(found) = minds(subject, weather, covered) {
                report.find(About::Sequence, found);
            }
        }
    }
}

/// The finding about one name of a cover, where what it names minds the weather.
fn minds(subject: &Subject<'_>, weather: &Weather, covered: &Spanned<Covered>) -> Option<Diagnostic> {
    let (model, plates) = (subject.model, &subject.breakdown.plates);
    let all = named_by(subject.breakdown, covered.value);
    let minds = |plate: &PlateId| spoiled(model, &plates[*plate], &weather.needs).map(|why| (*plate, why));
    let hurt: Vec<(PlateId, String)> = all.iter().filter_map(minds).collect();
    let (first, why) = hurt.first()?;
    let needs = words(&weather.needs);
    let path = &named(model, covered.value).path;
    let whole = hurt.len() == all.len();
    let message = if whole {
        format!("'{path}' needs {needs} itself, and is the cover for want of it")
    } else {
        format!("'{}' needs {needs} itself, and stays out of the cover", plates[*first].named.path)
    };
    let mut found = Diagnostic::new(WEATHER, covered.span, message)
        .label(if whole { why.clone() } else { format!("part of it: {why}") })
        .other(weather.span, "what the day needs")
        .note(format!("which plates mind which weather: {PRACTICE}"));
    if !whole {
        found.severity = Severity::Warning;
        for (plate, why) in hurt.iter().skip(1).take(FEW) {
            found = found.note(format!("'{}' stays out as well: {why}", plates[*plate].named.path));
        }
    }
    let mut ways = Vec::new();
    let fine: Vec<String> = if whole {
        fit_names(subject, weather, |_| true)
    } else {
        let written = all.iter().filter(|plate| model.plates.len() > crate::model::arena::Id::index(**plate));
        let fine = written.filter(|plate| minds(plate).is_none());
        fine.map(|plate| plates[*plate].named.path.clone()).take(FEW).collect()
    };
    if !fine.is_empty() {
        ways.push(format!("name what does not: 'cover {}'", fine.join(", ")));
    }
    let place = &model.places[plates[*first].place];
    if !place.roof && weather.needs.iter().any(|need| *need != WeatherNeed::Clear) {
        ways.push(format!("write 'roof yes' in place '{}' if rain and wind stay out", place.named.path));
    }
    if ways.is_empty() {
        ways.push("name plates in lamp light under a roof".to_owned());
    }
    Some(found.help(ways.join(", or ")))
}

fn check_spent(subject: &Subject<'_>, plan: &Plan, report: &mut Report) {
    for (cover, day, weather) in covers(subject.model, plan) {
        let Some(line) = weather.cover_span else { continue };
        let named = all_named(subject, weather);
        let left =
            named.iter().any(|plate| !cover.spent.contains_key(plate) && !cover.exposed.contains_key(plate));
        if left || cover.spent.is_empty() {
            continue;
        }
        let message = format!("nothing of the cover of {} is left to shoot by then", day.date);
        let mut found = Diagnostic::new(SPENT, line, message).label("shot already, should the weather fail");
        for (plate, date) in cover.spent.iter().take(FEW) {
            let path = &subject.breakdown.plates[*plate].named.path;
            let note = match date {
                Some(date) if subject.model.record.taken.contains(plate) => {
                    format!("'{path}' was captured on {date}")
                }
                Some(date) => format!("'{path}' is planned for {date}"),
                None => format!("'{path}' is captured"),
            };
            found = found.note(note);
        }
        let later = fit_names(subject, weather, |plate| is_later(plan, cover, plate));
        let ways = match later.as_slice() {
            [] => {
                "keep what needs no such weather for later, with a pin in the plan file, and name it".into()
            }
            later => format!("name what is planned for that day or later: 'cover {}'", later.join(", ")),
        };
        report.find(About::Day(cover.planned), found.help(ways));
    }
}

fn check_unfit(subject: &Subject<'_>, plan: &Plan, report: &mut Report) {
    for (cover, day, weather) in covers(subject.model, plan) {
        let mut told: BTreeSet<PlateId> = BTreeSet::new();
        for left in &cover.unfit {
            if told.contains(&left.what) {
                continue;
            }
            // What is impossible for the same reasons is told together.
            let same: Vec<&Unplanned<PlateId>> =
                cover.unfit.iter().filter(|one| one.reasons == left.reasons).collect();
            told.extend(same.iter().map(|one| one.what));
            let named =
                |covered: &&Spanned<Covered>| named_by(subject.breakdown, covered.value).contains(&left.what);
            let line = weather.cover.iter().find(named).map(|covered| covered.span).or(weather.cover_span);
            let path =
                |one: &&Unplanned<PlateId>| format!("'{}'", subject.breakdown.plates[one.what].named.path);
            let mut paths: Vec<String> = same.iter().map(path).collect();
            let more = paths.len().saturating_sub(FEW);
            paths.truncate(FEW);
            let others = if more > 0 { format!(" and {more} more") } else { String::new() };
            let message = format!("{}{others} cannot be shot on {} as its cover", paths.join(", "), day.date);
            let mut found =
                Diagnostic::new(UNFIT, line, message).label("impossible that day, whatever the weather");
            for (text, span) in &left.reasons {
                found = match span {
                    Some(span) => found.other(*span, text.clone()),
                    None => found.note(text.clone()),
                };
            }
            if cover.day().is_none() {
                found = found.note("nothing else is left to shoot that day when its weather fails");
            }
            let help = "give way on one of these lines, or name something else in 'cover'";
            report.find(About::Day(cover.planned), found.help(help));
        }
    }
}

/// A cover shorter than this share of its day leaves most of it empty; common practice, no source.
const SHARE: f64 = 0.5;

fn check_short(subject: &Subject<'_>, plan: &Plan, report: &mut Report) {
    for (cover, day, weather) in covers(subject.model, plan) {
        let (Some(line), Some(under), Some(planned)) =
            (weather.cover_span, cover.day(), plan.shoot.days.get(cover.planned))
        else {
            continue;
        };
        let (fills, whole) = (length(under), length(planned));
        report.instruct(
            About::Day(cover.planned),
            SHORT.name,
            "length of the day under cover",
            span(fills).to_string(),
            "from the first call to the last thing packed, should the weather fail",
        );
        if fills as f64 >= whole as f64 * SHARE {
            continue;
        }
        let message = format!("the cover of {} fills {} of a day of {}", day.date, span(fills), span(whole));
        let more = fit_names(subject, weather, |plate| is_later(plan, cover, plate));
        let help = match more.as_slice() {
            [] => "nothing else that needs no such weather is left for that day".to_owned(),
            more => format!("name more: 'cover …, {}'", more.join(", ")),
        };
        let found = Diagnostic::new(SHORT, line, message).label("less than half").help(help);
        report.find(About::Day(cover.planned), found.note(format!("half of the day: {PRACTICE}")));
    }
}

fn length(day: &PlannedDay) -> i64 {
    day.wrap.0 - day.call.0
}

/// Each cover with its day and that day's weather.
fn covers<'a>(
    model: &'a Model,
    plan: &'a Plan,
) -> impl Iterator<Item = (&'a Cover, &'a DayPlan, &'a Weather)> {
    plan.covers.iter().filter_map(|cover| {
        let day = model.days.as_ref()?.each.get(cover.allowed)?;
        Some((cover, day, day.weather.as_ref()?))
    })
}

fn all_named(subject: &Subject<'_>, weather: &Weather) -> BTreeSet<PlateId> {
    weather.cover.iter().flat_map(|covered| named_by(subject.breakdown, covered.value)).collect()
}

/// Whether a plate is planned for the day of a cover, or for a later one.
fn is_later(plan: &Plan, cover: &Cover, plate: PlateId) -> bool {
    plan.shoot.shot.get(&plate).is_some_and(|(day, ..)| *day >= cover.planned)
}

/// Beats, and of others plates, that could stand in a cover: all of it passes the test, none of it
/// minds the weather, and the cover does not name it already.
fn fit_names(subject: &Subject<'_>, weather: &Weather, is_open: impl Fn(PlateId) -> bool) -> Vec<String> {
    let (model, breakdown) = (subject.model, subject.breakdown);
    let known = all_named(subject, weather);
    let fits = |plates: &BTreeSet<PlateId>| {
        !plates.is_empty()
            && plates.iter().all(|plate| {
                !known.contains(plate)
                    && !model.record.taken.contains(plate)
                    && is_open(*plate)
                    && spoiled(model, &breakdown.plates[*plate], &weather.needs).is_none()
            })
    };
    let mut names = Vec::new();
    for (id, beat) in model.beats.iter() {
        if fits(&named_by(breakdown, Covered::Beat(id))) {
            names.push(beat.named.path.clone());
            continue;
        }
        for (plate, one) in model.plates.iter().filter(|(_, plate)| plate.beat == id) {
            if fits(&named_by(breakdown, Covered::Plate(plate))) {
                names.push(one.named.path.clone());
            }
        }
    }
    names.truncate(FEW);
    names
}

fn named(model: &Model, covered: Covered) -> &Named {
    match covered {
        Covered::Beat(id) => &model.beats[id].named,
        Covered::Plate(id) => &model.plates[id].named,
        Covered::Place(id) => &model.places[id].named,
    }
}

/// `dry weather`, `clear and calm weather`.
fn words(needs: &[WeatherNeed]) -> String {
    let words: Vec<&str> = needs.iter().map(|need| need.word()).collect();
    format!("{} weather", words.join(" and "))
}
