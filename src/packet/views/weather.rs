//! What a day is when its weather fails: who decides when, the day under cover,
//! whose call is another, what to bring for it, and what becomes of the rest.

use super::call_sheet::{self, Doing, PlaceView};
use super::care;
use super::day_step::{self as step, StepView};
use super::kit;
use super::shape::{Cautions, Fact, LeftOut, and, count, fact};
use crate::model::{Covered, PersonId, PlateId, Weather, WeatherNeed};
use crate::order::{Aftermath, Cover, PersonCall, Plan, PlannedDay, Step, StepKind, Unplanned};
use crate::packet::Input;
use crate::packet::index::{Index, long_date, minutes, short_date};
use jiff::civil::Date;
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// What a day is when its weather fails.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct WeatherView {
    /// What the day needs: `no rain, and little wind`.
    pub needs: String,
    /// By when it is decided, and what to do where nobody said.
    pub decide: String,
    /// What the cover names, by title; empty where nothing is named.
    pub names: Vec<String>,
    /// First call under cover; empty where nothing can be shot.
    pub call: String,
    /// When all is packed, under cover; empty where nothing can be shot.
    pub wrap: String,
    /// Where to be at the call, under cover; empty where nobody said or nothing can be shot.
    pub base: String,
    /// Everybody who is called either way, in order of their calls under cover.
    pub people: Vec<CalledUnder>,
    /// The day under cover, in order; empty where nothing can be shot.
    pub steps: Vec<StepView>,
    /// Places that are reached under cover only.
    pub places: Vec<PlaceView>,
    /// What can hurt someone under cover and not on the day as planned.
    pub cautions: Cautions,
    /// What is named and not shot under cover, with why.
    pub not_shot: Vec<LeftOut>,
    /// Which plates change their day, by dates, with their titles.
    pub moved: Vec<Fact>,
    /// What finds no day any more, with why.
    pub lost: Vec<LeftOut>,
    /// What it does to days and finish, a sentence each.
    pub after: Vec<String>,
    /// The command that answers in full.
    pub ask: String,
}

/// Someone's call, as planned and under cover.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct CalledUnder {
    /// Who.
    pub name: String,
    /// `06:33 to 07:49`, under cover; empty where they are not called.
    pub under: String,
    /// As planned; empty where they are called under cover only.
    pub planned: String,
    /// What is different: `31 min later`, `not called: stay at home`.
    pub says: String,
    /// What for, under cover.
    pub does: Vec<Doing>,
}

/// The cover of a planned day; `None` where the day does not depend on the weather.
pub(crate) fn view(index: &Index<'_>, at: usize, day: &PlannedDay) -> Option<WeatherView> {
    let cover = cover_of(index, at)?;
    let allowed = index.model.days.as_ref()?.each.get(cover.allowed)?;
    let weather = allowed.weather.as_ref()?;
    let plan = under_cover(index, cover);
    let input = Input { plan: &plan, ..*index.input };
    let under = Index::new(&input);
    let (steps, places, cautions) = match cover.day() {
        Some(covered) => {
            let mut places = call_sheet::places(&under, covered);
            let known = call_sheet::places(index, day);
            places.retain(|place| !known.iter().any(|one| one.title == place.title));
            let cautions = more(care::for_day(&under, at, covered), &care::for_day(index, at, day));
            (step::all(&under, covered), places, cautions)
        }
        None => (Vec::new(), Vec::new(), more(care::for_plates(index, &[]), &care::for_plates(index, &[]))),
    };
    let clock = |of: fn(&PlannedDay) -> crate::order::Minute| {
        cover.day().map(|day| under.clock_on(of(day), day.date)).unwrap_or_default()
    };
    let base = cover.day().and_then(|day| day.base);
    let aftermath = index.input.aftermaths.get(&cover.date);
    Some(WeatherView {
        needs: needs(weather),
        decide: decide(index, weather, day, cover),
        names: weather.cover.iter().map(|one| title(index, one.value)).collect(),
        call: clock(|day| day.call),
        wrap: clock(|day| day.wrap),
        base: base.map(|base| index.model.places[base].named.label().to_owned()).unwrap_or_default(),
        people: people(index, day, &under, cover),
        steps,
        places,
        cautions,
        not_shot: not_shot(index, cover),
        moved: aftermath.map(|after| moved(index, after)).unwrap_or_default(),
        lost: aftermath.map(|after| left_out(index, &after.lost)).unwrap_or_default(),
        after: aftermath.map(|after| told(index, after)).unwrap_or_default(),
        ask: ask(index, cover.date),
    })
}

/// The cover of the planned day at that place in the plan.
pub(crate) fn cover_of<'a>(index: &Index<'a>, at: usize) -> Option<&'a Cover> {
    index.input.plan.covers.iter().find(|cover| cover.planned == at)
}

/// The plan of the day under cover, for the views that tell days.
fn under_cover(index: &Index<'_>, cover: &Cover) -> Plan {
    Plan { shoot: cover.shoot.clone(), desk: index.input.plan.desk.clone(), covers: Vec::new() }
}

/// `no rain, and little wind`.
fn needs(weather: &Weather) -> String {
    let words: Vec<String> = weather
        .needs
        .iter()
        .map(|need| match need {
            WeatherNeed::Dry => "no rain".to_owned(),
            WeatherNeed::Clear => "sun".to_owned(),
            WeatherNeed::Calm => "little wind".to_owned(),
        })
        .collect();
    and(&words)
}

/// `18:00 on Thursday 13 May 2027, the day before`.
pub(crate) fn decision(weather: &Weather, day: Date) -> Option<String> {
    let decide = weather.decide?;
    let clock = decide.at.strftime("%H:%M");
    Some(if decide.day_before {
        format!("{clock} the day before, {}", long_date(decide.date(day)))
    } else {
        format!("{clock} on the day")
    })
}

fn decide(index: &Index<'_>, weather: &Weather, day: &PlannedDay, cover: &Cover) -> String {
    if let Some(said) = decision(weather, day.date) {
        return format!("Decided by {said}; everybody is told which of the two it is.");
    }
    let first = cover.day().map_or(day.call, |under| under.call.min(day.call));
    format!(
        "No time is written for the decision: decide, and tell everybody, before anyone sets out for {}.",
        index.clock_on(first, day.date)
    )
}

fn title(index: &Index<'_>, covered: Covered) -> String {
    let model = index.model;
    match covered {
        Covered::Beat(id) => model.beats[id].named.label(),
        Covered::Plate(id) => model.plates[id].named.label(),
        Covered::Place(id) => model.places[id].named.label(),
    }
    .to_owned()
}

/// Everybody with both calls.
fn people(index: &Index<'_>, day: &PlannedDay, under: &Index<'_>, cover: &Cover) -> Vec<CalledUnder> {
    let of = |day: Option<&PlannedDay>| -> BTreeMap<PersonId, PersonCall> {
        day.into_iter().flat_map(|day| &day.people).map(|call| (call.person, call.clone())).collect()
    };
    let (planned, covered) = (of(Some(day)), of(cover.day()));
    let mut all: Vec<PersonId> = planned.keys().chain(covered.keys()).copied().collect();
    all.sort_by_key(|who| (covered.get(who).map_or(i64::MAX, |call| call.call.0), *who));
    all.dedup();
    let span = |call: &PersonCall| {
        format!("{} to {}", index.clock_on(call.call, day.date), index.clock_on(call.release, day.date))
    };
    all.into_iter()
        .map(|who| {
            let (before, then) = (planned.get(&who), covered.get(&who));
            CalledUnder {
                name: index.model.people[who].named.label().to_owned(),
                under: then.map(span).unwrap_or_default(),
                planned: before.map(span).unwrap_or_default(),
                says: differs(before, then),
                does: then.map(|call| call_sheet::doings(under, &call.for_plates)).unwrap_or_default(),
            }
        })
        .collect()
}

/// How somebody's call under cover differs from the planned one.
pub(crate) fn differs(before: Option<&PersonCall>, then: Option<&PersonCall>) -> String {
    match (before, then) {
        (Some(before), Some(then)) if before.call == then.call => "same call".to_owned(),
        (Some(before), Some(then)) => {
            let by = then.call.0 - before.call.0;
            format!("{} {}", minutes(by.abs()), if by > 0 { "later" } else { "earlier" })
        }
        (Some(_), None) => "not called: stay at home".to_owned(),
        (None, _) => "called only under cover".to_owned(),
    }
}

/// Cautions that the others do not hold.
fn more(mut cautions: Cautions, known: &Cautions) -> Cautions {
    cautions.usual.retain(|one| !known.usual.iter().any(|other| other.title == one.title));
    cautions.own.retain(|one| !known.own.iter().any(|other| other.value == one.value));
    cautions.told.clear();
    cautions
}

/// What is named and not shot, with why.
fn not_shot(index: &Index<'_>, cover: &Cover) -> Vec<LeftOut> {
    let one = |plate: PlateId, why: String| LeftOut { what: index.plate_link(plate), reasons: vec![why] };
    let spent = cover.spent.iter().map(|(plate, date)| {
        let captured = index.model.record.taken.contains(plate);
        let how = if captured { "captured" } else { "planned for an earlier day" };
        let on = date.map(|date| format!(", {}", long_date(date))).unwrap_or_default();
        one(*plate, format!("{how}{on}"))
    });
    let exposed = cover
        .exposed
        .iter()
        .map(|(plate, why)| one(*plate, format!("it needs the weather too: {}", index.spoken.say(why))));
    let mut all: Vec<LeftOut> = spent.chain(exposed).collect();
    all.extend(left_out(index, &cover.unfit));
    all.extend(left_out(index, &cover.shoot.unplanned));
    all
}

fn left_out(index: &Index<'_>, left: &[Unplanned<PlateId>]) -> Vec<LeftOut> {
    left.iter()
        .map(|one| LeftOut {
            what: index.plate_link(one.what),
            reasons: one.reasons.iter().map(|reason| super::reason(index, reason)).collect(),
        })
        .collect()
}

/// Plates that change their day, those of one way together.
fn moved(index: &Index<'_>, after: &Aftermath) -> Vec<Fact> {
    let mut ways: BTreeMap<(Date, Date), Vec<&str>> = BTreeMap::new();
    for (plate, from, to) in &after.moved {
        ways.entry((*from, *to)).or_default().push(index.plate(*plate).named.label());
    }
    let told = |((from, to), titles): ((Date, Date), Vec<&str>)| {
        fact(&format!("from {} to {}", long_date(from), long_date(to)), titles.join("; "))
    };
    ways.into_iter().map(told).collect()
}

/// What becomes of days and finish.
fn told(index: &Index<'_>, after: &Aftermath) -> Vec<String> {
    let dates = |dates: &[Date]| {
        let words: Vec<String> = dates.iter().copied().map(long_date).collect();
        and(&words)
    };
    let mut told = Vec::new();
    if after.moved.is_empty() && after.lost.is_empty() {
        told.push("Nothing changes its day.".to_owned());
    }
    if !after.lost.is_empty() {
        let many = count(after.lost.len(), "plate or reference", "plates and references");
        told.push(format!("{many} find no day any more; they are named below."));
    }
    if !after.more.is_empty() {
        told.push(format!("One more day is used: {}.", dates(&after.more)));
    }
    if !after.fewer.is_empty() {
        told.push(format!("No longer used: {}.", dates(&after.fewer)));
    }
    told.push(match after.finish {
        (Some(before), Some(then)) if before == then => "The finish does not move.".to_owned(),
        (Some(before), Some(then)) => {
            let owed = if after.lost.is_empty() { "" } else { ", without what finds no day" };
            let late = match after.late.1 {
                0 => String::new(),
                late => {
                    format!(", {} late", count(late.unsigned_abs() as usize, "working day", "working days"))
                }
            };
            format!(
                "The desk is done {} instead of {}{late}{owed}.",
                index.moment(then),
                index.moment(before)
            )
        }
        _ => "The desk has nothing planned.".to_owned(),
    });
    told
}

/// The command that answers in full.
fn ask(index: &Index<'_>, date: Date) -> String {
    // The first file that was read is the one that the sequence begins with.
    let root = index.input.sources.files().first().map_or("FILE", |file| file.name.as_str());
    format!("seamster suppose {root} \"weather {date}\"")
}

/// Of the plates under cover, those that the day as planned does not shoot.
pub(crate) fn extra(index: &Index<'_>, at: usize, day: &PlannedDay) -> Vec<PlateId> {
    let known: BTreeSet<PlateId> = kit::shot(day).into_iter().collect();
    let covered = cover_of(index, at).and_then(Cover::day);
    covered.map(kit::shot).unwrap_or_default().into_iter().filter(|plate| !known.contains(plate)).collect()
}

/// When each plate of the day under cover is shot, under the name of its card.
pub(crate) fn times(index: &Index<'_>, at: usize, day: &PlannedDay) -> Vec<Fact> {
    let covered = cover_of(index, at).and_then(Cover::day);
    let steps = covered.map(|under| under.steps.as_slice()).unwrap_or_default();
    let time = |step: &Step| match step.kind {
        StepKind::Shoot(plate) => {
            let (start, end) = (index.clock_on(step.start, day.date), index.clock_on(step.end, day.date));
            let says = format!("If the weather fails on {}: {start} to {end}.", short_date(day.date));
            Some(fact(&index.plate_file(plate), says))
        }
        _ => None,
    };
    steps.iter().filter_map(time).collect()
}

/// What a day's entry in a calendar says of the weather.
pub(crate) fn for_everybody(index: &Index<'_>, at: usize, day: &PlannedDay) -> Option<String> {
    let cover = cover_of(index, at)?;
    let weather = index.model.days.as_ref()?.each.get(cover.allowed)?.weather.as_ref()?;
    let then = match cover.day() {
        Some(under) => format!("first call {}", index.clock_on(under.call, day.date)),
        None => "nothing can be shot".to_owned(),
    };
    let decided = decision(weather, day.date).map(|by| format!("; decided by {by}")).unwrap_or_default();
    Some(format!("Needs {}. If the weather fails: {then}{decided}", needs(weather)))
}

/// What somebody's call in a calendar says of the weather.
pub(crate) fn for_one(index: &Index<'_>, at: usize, day: &PlannedDay, called: &PersonCall) -> Option<String> {
    let cover = cover_of(index, at)?;
    let then = cover.day().and_then(|under| under.people.iter().find(|one| one.person == called.person));
    let says = differs(Some(called), then);
    Some(match then {
        Some(then) => {
            let clock = |at| index.clock_on(at, day.date);
            format!("If the weather fails: {} to {}, {says}", clock(then.call), clock(then.release))
        }
        None => format!("If the weather fails: {says}"),
    })
}
