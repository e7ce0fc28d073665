//! What the two plans of each version do differently.
//!
//! In: both versions. Out: days, moves, passes in the plan of the desk, the
//! finish, and what it costs. Times are told in each version's own zone.

use super::derived;
use super::pairs::Renames;
use super::{Cost, Difference, Moved, Work};
use crate::Compiled;
use crate::model::{LoggedDay, PersonId, PlateId};
use crate::order::{Minute, PlannedDay};
use crate::quantity::show;
use crate::record;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use std::collections::{BTreeMap, BTreeSet};

/// The zone in which a version is told.
pub(super) fn zone(compiled: &Compiled) -> TimeZone {
    TimeZone::get(&compiled.model.sequence.zone).unwrap_or(TimeZone::UTC)
}

/// `Fri 14 May`.
pub(super) fn day(date: Date) -> String {
    date.strftime("%a %-d %b").to_string()
}

/// `Fri 14 May, 06:42`.
fn moment(at: Minute, zone: &TimeZone) -> String {
    format!("{}, {}", day(at.civil(zone).date()), at.clock(zone))
}

/// `Fri 14 May, 10:13 to 10:27`, or both with their days.
fn span(from: Minute, to: Minute, zone: &TimeZone) -> String {
    let end =
        if from.civil(zone).date() == to.civil(zone).date() { to.clock(zone) } else { moment(to, zone) };
    format!("{} to {end}", moment(from, zone))
}

/// A day's plates as they are called now.
fn plates(compiled: &Compiled, at: usize, renames: &Renames) -> BTreeSet<String> {
    let shot = compiled.plan.shoot.shot.iter().filter(|(_, (day, ..))| *day == at);
    shot.map(|(id, _)| renames.path(&compiled.breakdown.plates[*id].named.path)).collect()
}

/// Which new day is which old one: by date, else by most of its plates.
fn same_days(old: &Compiled, new: &Compiled, renames: &Renames) -> BTreeMap<usize, usize> {
    let (before, after) = (&old.plan.shoot.days, &new.plan.shoot.days);
    let mut pairs: BTreeMap<usize, usize> = BTreeMap::new();
    for (at, day) in after.iter().enumerate() {
        if let Some(then) = before.iter().position(|then| then.date == day.date) {
            pairs.insert(at, then);
        }
    }
    let mut left: Vec<usize> =
        (0..before.len()).filter(|at| !pairs.values().any(|taken| taken == at)).collect();
    for at in (0..after.len()).filter(|at| !pairs.contains_key(at)).collect::<Vec<_>>() {
        let now = plates(new, at, &Renames::default());
        let found = left.iter().position(|then| {
            let then = plates(old, *then, renames);
            let shared = now.intersection(&then).count();
            shared * 2 > now.len().max(then.len())
        });
        if let Some(found) = found {
            pairs.insert(at, left.remove(found));
        }
    }
    pairs
}

fn told_day(compiled: &Compiled, planned: &PlannedDay) -> String {
    let zone = zone(compiled);
    let base = planned.base.map(|base| compiled.model.places[base].named.label());
    let base = base.map(|base| format!(", base {base}")).unwrap_or_default();
    format!("{}, {} to {}{base}", day(planned.date), planned.call.clock(&zone), planned.wrap.clock(&zone))
}

/// `shot, wrapped 18:40`.
fn shot_day(compiled: &Compiled, log: &LoggedDay) -> String {
    let wrapped = log.wrapped.map(|at| format!(", wrapped {}", at.clock(&zone(compiled))));
    format!("shot{}", wrapped.unwrap_or_default())
}

/// Shoot days that are new, gone, moved, longer or shorter.
pub(super) fn days(old: &Compiled, new: &Compiled, renames: &Renames) -> Vec<Difference> {
    let (before, after) = (&old.plan.shoot.days, &new.plan.shoot.days);
    let pairs = same_days(old, new, renames);
    let what = |day: &PlannedDay| format!("day {}", day.number);
    let mut found = Vec::new();
    for (at, day) in before.iter().enumerate() {
        if !pairs.values().any(|then| *then == at) {
            let new = new.model.record.day(day.date).map(|log| shot_day(new, log));
            found.push(Difference { what: what(day), old: Some(told_day(old, day)), new });
        }
    }
    for (at, day) in after.iter().enumerate() {
        let then = pairs.get(&at).and_then(|then| before.get(*then));
        let (then, now) = (then.map(|then| told_day(old, then)), Some(told_day(new, day)));
        if then != now {
            found.push(Difference { what: what(day), old: then, new: now });
        }
    }
    found
}

/// Plates that are shot at another time, in the order of the new shoot; what is
/// shot no more comes first.
pub(super) fn moved(old: &Compiled, new: &Compiled, renames: &Renames) -> Vec<Moved> {
    let before = times(old, renames);
    let after = times(new, &Renames::default());
    let captured = captured(new);
    let again = again(new);
    let mut found: Vec<(Option<Minute>, Moved)> = Vec::new();
    for path in before.keys().chain(after.keys()).collect::<BTreeSet<_>>() {
        let (then, now) = (before.get(path), after.get(path));
        let told = |shot: Option<&Shot>| shot.map(|shot| shot.told.clone());
        let (old, new) = (told(then), told(now));
        if old == new {
            continue;
        }
        let any = now.or(then);
        let people = then.iter().chain(&now).flat_map(|shot| shot.people.iter().cloned());
        found.push((
            now.map(|shot| shot.start),
            Moved {
                path: path.clone(),
                title: any.map(|shot| shot.title.clone()).unwrap_or_default(),
                again: again.contains_key(path) && now.is_some(),
                again_with: again.get(path).filter(|_| now.is_some()).cloned().flatten(),
                captured: captured.get(path).filter(|_| now.is_none()).cloned(),
                old,
                new,
                other_day: then.map(|shot| shot.date) != now.map(|shot| shot.date),
                people: people.collect::<BTreeSet<_>>().into_iter().collect(),
            },
        ));
    }
    found.sort_by(|(a, one), (b, other)| (a, &one.path).cmp(&(b, &other.path)));
    found.into_iter().map(|(_, moved)| moved).collect()
}

/// The dates of what is captured, by path.
fn captured(compiled: &Compiled) -> BTreeMap<String, String> {
    let dates = compiled.model.record.dates();
    dates.map(|(id, date)| (compiled.breakdown.plates[id].named.path.clone(), day(date))).collect()
}

/// Paths of what was logged and is owed all the same, with the title of what it falls with.
fn again(compiled: &Compiled) -> BTreeMap<String, Option<String>> {
    let (record, plates) = (&compiled.model.record, &compiled.breakdown.plates);
    let owed = record.plates.keys().filter(|plate| !record.taken.contains(plate));
    owed.map(|plate| {
        let with = record::falls_with(&compiled.breakdown, record, *plate);
        (plates[*plate].named.path.clone(), with.map(|other| plates[other].named.label().to_owned()))
    })
    .collect()
}

/// When a plate is shot, and with whom.
struct Shot {
    start: Minute,
    date: Date,
    told: String,
    title: String,
    people: Vec<String>,
}

fn times(compiled: &Compiled, renames: &Renames) -> BTreeMap<String, Shot> {
    let zone = zone(compiled);
    let with = people(compiled);
    let shot = compiled.plan.shoot.shot.iter().map(|(id, (_, start, _))| {
        let named = &compiled.breakdown.plates[*id].named;
        let path = |person: &PersonId| renames.path(&compiled.model.people[*person].named.path);
        let shot = Shot {
            start: *start,
            date: start.civil(&zone).date(),
            told: moment(*start, &zone),
            title: named.label().to_owned(),
            people: with.get(id).into_iter().flatten().map(path).collect(),
        };
        (renames.path(&named.path), shot)
    });
    shot.collect()
}

/// Who is called for each plate.
fn people(compiled: &Compiled) -> BTreeMap<PlateId, BTreeSet<PersonId>> {
    let mut with: BTreeMap<PlateId, BTreeSet<PersonId>> = BTreeMap::new();
    for call in compiled.plan.shoot.days.iter().flat_map(|day| &day.people) {
        for (plate, _) in &call.for_plates {
            with.entry(*plate).or_default().insert(call.person);
        }
    }
    with
}

/// Passes that somebody else does, or at another time, by the new time; what is done no
/// more comes last.
pub(super) fn desk(old: &Compiled, new: &Compiled, renames: &Renames) -> Vec<Work> {
    let before = assigned(old, renames);
    let after = assigned(new, &Renames::default());
    let mut found: Vec<(bool, Option<Minute>, Work)> = Vec::new();
    for path in before.keys().chain(after.keys()).collect::<BTreeSet<_>>() {
        let (then, now) = (before.get(path), after.get(path));
        if then.map(|one| (&one.who, &one.when)) == now.map(|one| (&one.who, &one.when)) {
            continue;
        }
        let work = Work {
            pass: path.clone(),
            title: now.or(then).map(|one| one.title.clone()).unwrap_or_default(),
            same_days: then.zip(now).is_some_and(|(then, now)| then.days == now.days && then.who == now.who),
            old_who: then.map(|one| one.who.clone()),
            old: then.map(|one| one.when.clone()),
            new_who: now.map(|one| one.who.clone()),
            new: now.map(|one| one.when.clone()),
        };
        found.push((now.is_none(), now.or(then).map(|one| one.start), work));
    }
    found.sort_by(|(a, one, work), (b, two, other)| (a, one, &work.pass).cmp(&(b, two, &other.pass)));
    found.into_iter().map(|(.., work)| work).collect()
}

struct Assigned {
    who: String,
    start: Minute,
    days: (Date, Date),
    when: String,
    title: String,
}

fn assigned(compiled: &Compiled, renames: &Renames) -> BTreeMap<String, Assigned> {
    let zone = zone(compiled);
    let work = compiled.plan.desk.work.iter().map(|work| {
        let pass = &compiled.breakdown.passes[work.pass];
        let one = Assigned {
            who: renames.path(&compiled.model.desks[work.desk].named.path),
            start: work.start,
            days: (work.start.civil(&zone).date(), work.end.civil(&zone).date()),
            when: span(work.start, work.end, &zone),
            title: derived::pass_title(compiled, pass),
        };
        (renames.path(&pass.path), one)
    });
    work.collect()
}

/// When the last pass is done, and how that stands to the finish date.
pub(super) fn finish(old: &Compiled, new: &Compiled) -> Option<Difference> {
    let told = |compiled: &Compiled| {
        let zone = zone(compiled);
        let desk = &compiled.plan.desk;
        desk.finish.map(|at| {
            let by = compiled.model.finish.as_ref().map(|finish| day(finish.by));
            let stands = match (by, desk.late_days) {
                (None, _) => String::new(),
                (Some(by), 1) => format!(", 1 working day after {by}"),
                (Some(by), late) if late > 1 => format!(", {late} working days after {by}"),
                (Some(by), _) => format!(", in time for {by}"),
            };
            format!("{}{stands}", moment(at, &zone))
        })
    };
    let (old, new) = (told(old), told(new));
    (old != new).then(|| Difference { what: "the last pass is done".to_owned(), old, new })
}

/// Work at the desk, time on location, shoot days.
pub(super) fn costs(old: &Compiled, new: &Compiled) -> Vec<Cost> {
    let work = |compiled: &Compiled| derived::hours(compiled.breakdown.passes.values()).0;
    // What is shot costs nothing any more.
    let shot = |date: Date| [old, new].iter().any(|side| side.model.record.day(date).is_some());
    let shoot = |compiled: &Compiled| -> i64 {
        let left = compiled.plan.shoot.days.iter().filter(|day| !shot(day.date));
        left.map(|day| day.wrap.0 - day.call.0).sum()
    };
    let days = |compiled: &Compiled| compiled.plan.shoot.in_all as f64;
    let dayless = |compiled: &Compiled| compiled.plan.shoot.unplanned.len() as f64;
    let timeless = |compiled: &Compiled| compiled.plan.desk.unplanned.len() as f64;
    let on_location = if new.model.record.days.is_empty() {
        "time on location, call to wrap"
    } else {
        "time on location still to come, call to wrap"
    };
    let hours = |hours: f64| format!("{} h", show::number(hours, 1));
    let minutes = |minutes: f64| crate::packet::minutes(minutes.round() as i64);
    let days_told = |days: f64| crate::packet::count(days.round() as usize, "day", "days");
    [
        cost("work at the desk", work(old), work(new), &hours),
        cost(on_location, shoot(old) as f64, shoot(new) as f64, &minutes),
        cost("shoot days", days(old), days(new), &days_told),
        cost("plates without a day", dayless(old), dayless(new), &|count| show::number(count, 0)),
        cost("passes without a time", timeless(old), timeless(new), &|count| show::number(count, 0)),
    ]
    .into_iter()
    .flatten()
    .collect()
}

fn cost(what: &str, old: f64, new: f64, told: &dyn Fn(f64) -> String) -> Option<Cost> {
    let by = new - old;
    // Less than a minute of work is a rounding of sums, not a cost.
    if by.abs() < 0.01 {
        return None;
    }
    let more = if by > 0.0 { "more" } else { "less" };
    Some(Cost {
        what: what.to_owned(),
        old: told(old),
        new: told(new),
        by: format!("{} {more}", told(by.abs())),
    })
}
