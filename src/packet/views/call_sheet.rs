//! One call sheet for each planned day: read at five in the morning on a phone.

use super::care;
use super::day_hours::{self, PlaceHours};
use super::day_step::{self as step, StepView};
use super::kit::{self, KitGroup};
use super::power::{Power, power};
use super::price::{self, PriceView};
use super::shape::{Cautions, Fact, Found, LeftOut, Link, Told, count, fact};
use super::weather::{self, WeatherView};
use crate::model::{DayPlan, PlaceId, PlateId, StateOf};
use crate::order::{PlannedDay, StepKind, SunDay};
use crate::packet::index::{Index, long_date, minutes};
use crate::quantity::{GeoPosition, show};
use crate::rule::About;
use schemars::JsonSchema;
use serde::Serialize;

/// A call sheet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct CallSheet {
    /// Name of the document without ending.
    pub file: String,
    /// Number of the day among all shoot days, from 1; days that are logged count.
    pub day: usize,
    /// How many shoot days there are, those that are logged among them.
    pub days: usize,
    /// `Friday 14 May 2027`.
    pub date: String,
    /// `2027-05-14`.
    pub iso_date: String,
    /// First call.
    pub call: String,
    /// When all is packed.
    pub wrap: String,
    /// From call to wrap.
    pub length: String,
    /// Where to be at the call; empty when not said.
    pub base: String,
    /// The places of the day, in the order in which they are reached.
    pub places: Vec<PlaceView>,
    /// The sun's times; empty where they are not known.
    pub sun: Vec<Fact>,
    /// What to look up the evening before and write down.
    pub look_up: Vec<String>,
    /// Who is called when.
    pub people: Vec<Called>,
    /// The day in order.
    pub steps: Vec<StepView>,
    /// What rules computed for the day, its places, people, looks and props.
    pub set: Vec<Told>,
    /// What to pack.
    pub kit: Vec<KitGroup>,
    /// Charge and card plan.
    pub power: Vec<Power>,
    /// What the order of the day pays for what.
    pub price: PriceView,
    /// Another order that is nearly as good, where there is one.
    pub instead: Option<Instead>,
    /// What can hurt someone.
    pub cautions: Cautions,
    /// Findings about the day.
    pub found: Vec<Found>,
    /// What the day is when its weather fails, where it depends on that.
    pub weather: Option<WeatherView>,
    /// What is in no plan.
    pub left_out: Vec<LeftOut>,
    /// The next planned day in short; empty on the last.
    pub tomorrow: Vec<Fact>,
    /// The writer's notes for the day.
    pub notes: Vec<String>,
    /// Cards of the day.
    pub cards: Link,
    /// The log sheet.
    pub log: Link,
}

/// Another order of the day: some of its set-ups otherwise.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Instead {
    /// What begins each set-up that comes elsewhere and those between, in the other order.
    pub order: Vec<String>,
    /// The same as it is planned.
    pub instead_of: Vec<String>,
    /// First call in that order.
    pub call: String,
    /// When all is packed in that order.
    pub wrap: String,
    /// What it costs more, and what it trades.
    pub costs: String,
}

/// A place on the sheet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct PlaceView {
    /// What it is called.
    pub title: String,
    /// `38.70560, -9.16570`; empty when not said.
    pub position: String,
    /// `geo:` address of the position (RFC 5870); empty when not said.
    pub geo: String,
    /// Access hours.
    pub open: String,
    /// The light that plates of the day want here, and when there is that light.
    pub lights: Vec<Fact>,
    /// How to get there, and from where.
    pub travel: Vec<String>,
    /// Nearest emergency department; empty when not said.
    pub hospital: String,
    /// Parking and meeting; empty when not said.
    pub parking: String,
    /// The writer's notes.
    pub notes: Vec<String>,
}

/// Someone's call.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Called {
    /// Who.
    pub name: String,
    /// When to be there.
    pub call: String,
    /// When free to go.
    pub release: String,
    /// What for, by what is done.
    pub does: Vec<Doing>,
}

/// What somebody does on a day.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Doing {
    /// `performs`.
    pub what: String,
    /// Of which plates, in order.
    pub plates: Vec<Link>,
}

/// The sheet of one day; `at` is its index in the plan.
pub(crate) fn sheet(index: &Index<'_>, at: usize, day: &PlannedDay) -> CallSheet {
    let allowed = index.model.days.as_ref().and_then(|days| days.each.get(day.allowed));
    CallSheet {
        file: format!("call-sheet-{}", day.number),
        day: day.number,
        days: index.input.plan.shoot.in_all,
        date: long_date(day.date),
        iso_date: day.date.to_string(),
        call: index.clock_on(day.call, day.date),
        wrap: index.clock_on(day.wrap, day.date),
        length: minutes(day.wrap.0 - day.call.0),
        base: day.base.map(|base| index.model.places[base].named.label().to_owned()).unwrap_or_default(),
        places: places(index, day),
        sun: day.sun.map(|sun| sun_facts(index, day, &sun)).unwrap_or_default(),
        look_up: look_up(index, day, allowed),
        people: people(index, day),
        steps: step::all(index, day),
        set: index.told_all(abouts(index, at, day)),
        kit: kit::pack(index, day, &weather::extra(index, at, day)),
        power: power(index, day),
        price: price::view(&day.price),
        instead: instead(index, at, day),
        cautions: care::for_day(index, at, day),
        found: index.found(About::Day(at)),
        weather: weather::view(index, at, day),
        left_out: super::left_out_plates(index),
        tomorrow: index.days().get(at + 1).map(|next| tomorrow(index, next)).unwrap_or_default(),
        notes: notes(index, day, allowed),
        cards: Link { text: "Cards of the day".to_owned(), file: format!("cards-{}", day.number) },
        log: Link { text: "Log sheet".to_owned(), file: format!("log-{}", day.number) },
    }
}

/// Another order, where a crew could as well take it.
fn instead(index: &Index<'_>, at: usize, day: &PlannedDay) -> Option<Instead> {
    let second = index.input.seconds.iter().find(|second| second.day == at && second.is_nearly_as_good())?;
    let titles =
        |plates: &[PlateId]| plates.iter().map(|&id| index.plate(id).named.label().to_owned()).collect();
    Some(Instead {
        order: titles(&second.order),
        instead_of: titles(&second.instead_of),
        call: index.clock_on(second.call, day.date),
        wrap: index.clock_on(second.wrap, day.date),
        costs: second.costs(),
    })
}

/// The writer's notes, and a word where the clocks change during the day.
fn notes(index: &Index<'_>, day: &PlannedDay, allowed: Option<&DayPlan>) -> Vec<String> {
    let mut notes = allowed.map(|allowed| allowed.notes.clone()).unwrap_or_default();
    if let Some(days) = &index.model.days {
        notes.extend(days.named.notes.iter().cloned());
    }
    if index.offset(day.call) != index.offset(day.wrap) {
        notes.push("The clocks change during this day: times are as the clocks show them then.".to_owned());
    }
    notes
}

/// What no text can know: to be looked up the evening before.
fn look_up(index: &Index<'_>, day: &PlannedDay, allowed: Option<&DayPlan>) -> Vec<String> {
    let plates: Vec<_> = kit::shot(day).into_iter().map(|id| index.plate(id)).collect();
    let hazard = |word: &str| {
        plates.iter().any(|plate| {
            let place = &index.model.places[plate.place].hazards;
            let rig = &index.model.rigs[plate.rig].hazards;
            place.iter().chain(rig).chain(&plate.hazards).any(|hazard| hazard.value == word)
        })
    };
    let mut lines = Vec::new();
    if plates.iter().any(|plate| plate.light.under_sky()) {
        let expected = allowed.and_then(|allowed| allowed.expects).map_or(String::new(), |expects| {
            format!(" (expected: {} to {})", expects.value.from, expects.value.to)
        });
        lines.push(format!("Weather and temperature{expected}"));
    }
    if hazard("water") {
        lines.push("Tide, current and water temperature".to_owned());
    }
    if hazard("aircraft") || plates.iter().any(|plate| index.model.rigs[plate.rig].flies) {
        lines.push("Wind and airspace notices".to_owned());
    }
    lines
}

/// Whatever the sheet must tell besides its cards.
fn abouts(index: &Index<'_>, at: usize, day: &PlannedDay) -> Vec<About> {
    let mut abouts = vec![About::Day(at)];
    abouts.extend(reached(day).into_iter().map(About::Place));
    abouts.extend(day.people.iter().map(|called| About::Person(called.person)));
    let states = kit::shot(day).into_iter().flat_map(|plate| &index.plate(plate).shows);
    abouts.extend(states.map(|(of, ..)| match of {
        StateOf::Prop(id) => About::Prop(*id),
        StateOf::Look(id) => About::Look(*id),
    }));
    abouts
}

/// The places of a day, base first, then as they are reached.
pub(super) fn places(index: &Index<'_>, day: &PlannedDay) -> Vec<PlaceView> {
    let (order, hours) = (reached(day), day_hours::hours(index, day));
    let none = PlaceHours::default();
    let view = |id: &PlaceId| {
        let lights = day_hours::lights(index, day, hours.get(id).unwrap_or(&none));
        place_view(index, *id, &order, lights)
    };
    order.iter().map(view).collect()
}

/// Base first, then each place as it is reached.
fn reached(day: &PlannedDay) -> Vec<PlaceId> {
    let mut order: Vec<PlaceId> = day.base.into_iter().collect();
    for step in &day.steps {
        let reached = match step.kind {
            StepKind::Move { to, .. } => to,
            _ => step.place,
        };
        if !order.contains(&reached) {
            order.push(reached);
        }
    }
    order
}

fn place_view(index: &Index<'_>, id: PlaceId, order: &[PlaceId], lights: Vec<Fact>) -> PlaceView {
    let place = &index.model.places[id];
    let geo = |at: GeoPosition| format!("{},{}", show::number(at.latitude, 6), show::number(at.longitude, 6));
    let open: Vec<String> = place
        .open
        .iter()
        .map(|open| format!("{} to {}", open.value.from.strftime("%H:%M"), open.value.to.strftime("%H:%M")))
        .collect();
    let travel = order
        .iter()
        .filter(|other| **other != id)
        .filter_map(|other| {
            let takes = index.model.travel(*other, id)?;
            Some(format!("{takes} from {}", index.model.places[*other].named.label()))
        })
        .collect();
    PlaceView {
        title: place.named.label().to_owned(),
        position: place.at.map(|at| geo(at.value).replace(',', ", ")).unwrap_or_default(),
        geo: place.at.map(|at| format!("geo:{}", geo(at.value))).unwrap_or_default(),
        open: open.join(", "),
        lights,
        travel,
        hospital: place.hospital.clone().unwrap_or_default(),
        parking: place.parking.clone().unwrap_or_default(),
        notes: place.named.notes.clone(),
    }
}

fn sun_facts(index: &Index<'_>, day: &PlannedDay, sun: &SunDay) -> Vec<Fact> {
    let clock = |at| index.clock_on(at, day.date);
    let golden = |range: crate::quantity::Range<_>| format!("{} to {}", clock(range.from), clock(range.to));
    [
        ("First light", sun.first_light.map(clock)),
        ("Sunrise", sun.sunrise.map(clock)),
        ("Golden, morning", sun.golden_morning.map(golden)),
        ("Highest", sun.noon.map(clock)),
        ("Golden, evening", sun.golden_evening.map(golden)),
        ("Sunset", sun.sunset.map(clock)),
        ("Last light", sun.last_light.map(clock)),
    ]
    .into_iter()
    .map(|(label, at)| fact(label, at.unwrap_or_else(|| "does not happen here today".to_owned())))
    .collect()
}

fn people(index: &Index<'_>, day: &PlannedDay) -> Vec<Called> {
    let mut calls: Vec<_> = day.people.iter().collect();
    calls.sort_by_key(|called| (called.call, called.person));
    calls
        .into_iter()
        .map(|called| Called {
            name: index.model.people[called.person].named.label().to_owned(),
            call: index.clock_on(called.call, day.date),
            release: index.clock_on(called.release, day.date),
            does: doings(index, &called.for_plates),
        })
        .collect()
}

pub(super) fn doings(index: &Index<'_>, plates: &[(PlateId, String)]) -> Vec<Doing> {
    let mut doings: Vec<Doing> = Vec::new();
    for (plate, what) in plates {
        let link = index.plate_link(*plate);
        match doings.iter_mut().find(|doing| doing.what == *what) {
            Some(doing) => doing.plates.push(link),
            None => doings.push(Doing { what: what.clone(), plates: vec![link] }),
        }
    }
    doings
}

fn tomorrow(index: &Index<'_>, next: &PlannedDay) -> Vec<Fact> {
    let shoots = kit::shot(next);
    let mut facts =
        vec![fact("Date", long_date(next.date)), fact("Call", index.clock_on(next.call, next.date))];
    facts.extend(next.base.map(|base| fact("Base", index.model.places[base].named.label())));
    facts.extend(shoots.first().map(|first| fact("First", index.plate(*first).named.label())));
    facts.push(fact("Plates", count(shoots.len(), "plate or reference", "plates and references")));
    facts.push(fact("Wrap", index.clock_on(next.wrap, next.date)));
    facts
}
