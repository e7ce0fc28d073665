//! The day chart: the sun, where the unit is and what it does there, when one may be
//! there and has the light that is wanted, what is left of charge and cards.
//!
//! In: a planned day. Out: [`DayChart`], in minutes, ready to be drawn. Each place has
//! a line of its own; the unit is one path over them, that slants while it travels.

mod sheet;

use super::Picture;
use super::draw::Canvas;
use crate::craft::sun::{self, CIVIL, GOLDEN_HIGH, GOLDEN_LOW, RISE};
use crate::model::PlaceId;
use crate::order::{LevelOf, Minute, PlannedDay, StepKind};
use crate::packet::index::Index;
use crate::packet::views::day_hours::{Span, hours};
use crate::packet::views::shape::count;
use crate::quantity::{Data, GeoPosition, show};
pub(crate) use sheet::Layout;
use std::collections::BTreeMap;

/// Minutes that are shown before the call and after the wrap.
const AROUND: i64 = 10;

/// What somebody does in a stretch of the day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Doing {
    /// A camera rolls, or could at any moment.
    Shooting,
    /// A rig is fitted, a look or prop brought back.
    Preparing,
    /// Call, meal, packing.
    Resting,
    /// Waiting for light, access or charge.
    Waiting,
    /// On the way to the next place, or back to base.
    Moving,
}

/// A stretch of the day.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Stretch {
    pub(super) from: i64,
    pub(super) to: i64,
    pub(super) doing: Doing,
    /// Line of the place where it begins, and where it ends.
    pub(super) lane: usize,
    pub(super) into: usize,
    /// Its number in the order of the day, or a word.
    pub(super) words: String,
    /// Whether it rolls together with the plate before it.
    pub(super) beside: bool,
}

/// A place.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Lane {
    pub(super) name: String,
    /// When one may be there, within what is shown.
    pub(super) open: Vec<(i64, i64)>,
    /// When there is the light that plates of the day want.
    pub(super) lights: Vec<(String, Vec<(i64, i64)>)>,
}

/// The sun over what is shown.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Sky {
    /// Height of its centre in degrees, every few minutes.
    pub(super) heights: Vec<(i64, f64)>,
    /// Night, twilight, golden light, day: from, to, and which.
    pub(super) bands: Vec<(i64, i64, Band)>,
    /// Sunrise, noon, sunset, with their clocks.
    pub(super) events: Vec<(i64, String)>,
}

/// What kind of light the sun gives.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Band {
    /// Sun below −6°.
    Night,
    /// Sun from −6° to where golden light begins.
    Twilight,
    /// Sun from −4° to +6°.
    Golden,
    /// Higher sun.
    Day,
}

/// What is left of a kind of power or space.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Gauge {
    /// Of what.
    pub(super) name: String,
    /// The least, in words.
    pub(super) least: String,
    /// Share that is left, 0 to 1, at moments.
    pub(super) along: Vec<(i64, f64)>,
}

/// Everything that is drawn.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct DayChart {
    pub(super) file: String,
    pub(super) from: i64,
    pub(super) to: i64,
    pub(super) call: (i64, String),
    pub(super) wrap: (i64, String),
    /// Whole hours, or parts of them, with their clocks.
    pub(super) ticks: Vec<(i64, String)>,
    pub(super) sky: Option<Sky>,
    pub(super) lanes: Vec<Lane>,
    pub(super) stretches: Vec<Stretch>,
    pub(super) gauges: Vec<Gauge>,
    pub(super) desc: String,
}

/// The picture of a planned day.
pub(crate) fn picture(index: &Index<'_>, at: usize, day: &PlannedDay) -> Picture {
    let chart = gather(index, at, day);
    Picture {
        wide: draw(&chart, &Layout::WIDE).finish(),
        narrow: Some(draw(&chart, &Layout::NARROW).finish()),
    }
}

/// Draws the chart.
pub(crate) fn draw(chart: &DayChart, layout: &Layout) -> Canvas {
    sheet::draw(chart, layout)
}

/// Gathers what is drawn.
pub(crate) fn gather(index: &Index<'_>, at: usize, day: &PlannedDay) -> DayChart {
    let (from, to) = (day.call.0 - AROUND, day.wrap.0 + AROUND);
    let mut lanes = Lanes { known: BTreeMap::new(), all: Vec::new() };
    let stretches = stretches(index, day, &mut lanes);
    windows(index, day, (from, to), &mut lanes);
    let clock = |at: i64| Minute(at).clock(&index.zone);
    let place = day.base.or(day.steps.first().map(|step| step.place));
    let position = place.and_then(|place| index.model.places[place].at).map(|at| at.value);
    let shot = stretches.iter().filter(|one| one.doing == Doing::Shooting).count();
    DayChart {
        file: format!("call-sheet-{}", at + 1),
        from,
        to,
        call: (day.call.0, format!("call {}", clock(day.call.0))),
        wrap: (day.wrap.0, format!("wrap {}", clock(day.wrap.0))),
        ticks: ticks(from, to).map(|at| (at, clock(at))).collect(),
        sky: position.map(|position| sky(index, position, day, (from, to))),
        desc: format!(
            "From the call at {} to the wrap at {}: {} at {}, with the sun, the hours of the places, the light \
             that is wanted, charge and cards. The order of the day, the times of the sun and the charge and \
             card plan on this page say the same.",
            clock(day.call.0),
            clock(day.wrap.0),
            count(shot, "plate or reference", "plates and references"),
            count(lanes.all.len(), "place", "places")
        ),
        lanes: lanes.all,
        stretches,
        gauges: gauges(index, day),
    }
}

/// Places in the order in which the day reaches them.
struct Lanes {
    known: BTreeMap<PlaceId, usize>,
    all: Vec<Lane>,
}

impl Lanes {
    fn of(&mut self, index: &Index<'_>, place: PlaceId) -> usize {
        *self.known.entry(place).or_insert_with(|| {
            let name = index.model.places[place].named.label().to_owned();
            self.all.push(Lane { name, open: Vec::new(), lights: Vec::new() });
            self.all.len() - 1
        })
    }
}

fn stretches(index: &Index<'_>, day: &PlannedDay, lanes: &mut Lanes) -> Vec<Stretch> {
    let mut all = Vec::new();
    let mut number = 0;
    if let Some(first) = day.steps.first()
        && day.call < first.start
    {
        let lane = lanes.of(index, day.base.unwrap_or(first.place));
        let (from, to) = (day.call.0, first.start.0);
        let words = "call".to_owned();
        all.push(Stretch { from, to, doing: Doing::Resting, lane, into: lane, words, beside: false });
    }
    for step in &day.steps {
        let lane = match step.kind {
            StepKind::Move { from, .. } => lanes.of(index, from),
            _ => lanes.of(index, step.place),
        };
        let mut one = Stretch {
            from: step.start.0,
            to: step.end.0,
            doing: Doing::Waiting,
            lane,
            into: lane,
            words: String::new(),
            beside: false,
        };
        match &step.kind {
            StepKind::Move { to, .. } => (one.doing, one.into) = (Doing::Moving, lanes.of(index, *to)),
            StepKind::Fit(_) | StepKind::Reset { .. } => one.doing = Doing::Preparing,
            StepKind::Shoot(plate) => {
                number += 1;
                (one.doing, one.words) = (Doing::Shooting, number.to_string());
                if index.plate(*plate).rolls_with.is_some() {
                    one.beside = true;
                    one.to = index.day_of(*plate).map_or(one.to, |(.., end)| end.0);
                }
            }
            StepKind::Wait => {}
            StepKind::Charge { .. } => one.words = "charging".to_owned(),
            StepKind::Meal => (one.doing, one.words) = (Doing::Resting, "meal".to_owned()),
            StepKind::Pack => {
                (one.doing, one.words) = (Doing::Resting, "pack".to_owned());
                if let Some(base) = day.base.filter(|base| *base != step.place) {
                    // Packing first, then the way back.
                    let leaves = (one.from + crate::order::duration::PACK).min(one.to);
                    all.push(Stretch { to: leaves, ..one.clone() });
                    one = Stretch { from: leaves, doing: Doing::Moving, words: String::new(), ..one };
                    one.into = lanes.of(index, base);
                }
            }
        }
        if one.to > one.from {
            all.push(one);
        }
    }
    all
}

/// Hours of access and of light at each place, within what is shown.
fn windows(index: &Index<'_>, day: &PlannedDay, (from, to): (i64, i64), lanes: &mut Lanes) {
    let cut = |windows: &[Span]| -> Vec<(i64, i64)> {
        let cut = windows.iter().map(|(start, end)| (start.0.max(from), end.0.min(to)));
        cut.filter(|(from, to)| from < to).collect()
    };
    for (place, hours) in hours(index, day) {
        let lane = lanes.of(index, place);
        if let Some(lane) = lanes.all.get_mut(lane) {
            // The day's own hours end where the place's do not: nothing is closed then.
            let cut = |windows: &[Span]| stretched(cut(windows), (day, windows), (from, to));
            lane.open = cut(&hours.open);
            lane.lights = hours.lights.iter().map(|(words, windows)| (words.clone(), cut(windows))).collect();
        }
    }
}

/// Windows that end only with the day's own hours, to the ends of what is shown.
fn stretched(
    mut cut: Vec<(i64, i64)>,
    (day, windows): (&PlannedDay, &[Span]),
    (from, to): (i64, i64),
) -> Vec<(i64, i64)> {
    if let (Some(first), Some(one)) = (cut.first_mut(), windows.first())
        && one.0 >= day.call
        && first.0 <= day.call.0
    {
        first.0 = from;
    }
    if let (Some(last), Some(one)) = (cut.last_mut(), windows.last())
        && one.1 == day.latest
        && last.1 >= day.wrap.0
    {
        last.1 = to;
    }
    cut
}

/// Moments to name: so many apart that there are at most a dozen.
fn ticks(from: i64, to: i64) -> impl Iterator<Item = i64> {
    let step = [15, 30, 60, 120, 180, 240].into_iter().find(|step| (to - from) / step <= 12).unwrap_or(360);
    // Offsets of zones are whole quarters of an hour, so these are round clocks up to an hour.
    let first = from + (step - from.rem_euclid(step)) % step;
    (0..).map(move |count| first + count * step).take_while(move |at| *at <= to)
}

fn sky(index: &Index<'_>, at: GeoPosition, day: &PlannedDay, (from, to): (i64, i64)) -> Sky {
    let height = |minute: i64| sun::position(at, Minute(minute)).elevation.0;
    let step = ((to - from) / 160).max(1);
    let minutes = (0..).map(|count| from + count * step).take_while(|minute| *minute < to).chain([to]);
    let heights: Vec<(i64, f64)> = minutes.map(|minute| (minute, height(minute))).collect();
    let mut events = Vec::new();
    if let Some(known) = &day.sun {
        let named = [("sunrise", known.sunrise), ("highest", known.noon), ("sunset", known.sunset)];
        for (name, moment) in named {
            let shown = moment.filter(|moment| from <= moment.0 && moment.0 <= to);
            events.extend(shown.map(|moment| (moment.0, format!("{name} {}", moment.clock(&index.zone)))));
        }
    }
    Sky { bands: bands(&heights), heights, events }
}

/// Stretches of one kind of light.
fn bands(heights: &[(i64, f64)]) -> Vec<(i64, i64, Band)> {
    let kind = |height: f64| match height {
        height if height < CIVIL => Band::Night,
        height if height < GOLDEN_LOW => Band::Twilight,
        height if height < GOLDEN_HIGH => Band::Golden,
        _ => Band::Day,
    };
    let mut bands: Vec<(i64, i64, Band)> = Vec::new();
    for pair in heights.windows(2) {
        let [(from, one), (to, two)] = pair else { continue };
        let kind = kind((one + two) / 2.0);
        match bands.last_mut() {
            Some(last) if last.2 == kind => last.1 = *to,
            _ => bands.push((*from, *to, kind)),
        }
    }
    bands
}

fn gauges(index: &Index<'_>, day: &PlannedDay) -> Vec<Gauge> {
    let mut gauges = Vec::new();
    for level in &day.levels {
        let model = index.model;
        let least = level.along.iter().map(|(_, left)| *left).fold(level.most, f64::min);
        let (name, least) = match level.of {
            LevelOf::Charge(id) => {
                (format!("{}, charge", model.cameras[id].named.label()), lasts(least, level.most))
            }
            LevelOf::Packs(id) => {
                (format!("{}, packs", model.rigs[id].named.label()), lasts(least, level.most))
            }
            LevelOf::Card(id) => (
                format!("{}, cards", model.cameras[id].named.label()),
                format!("{} of {} free at the end", Data(least), Data(level.most)),
            ),
        };
        if level.most > 0.0 {
            let along = level.along.iter().map(|(at, left)| (at.0, (left / level.most).clamp(0.0, 1.0)));
            gauges.push(Gauge { name, least, along: along.collect() });
        }
    }
    gauges
}

fn lasts(least: f64, most: f64) -> String {
    format!("least {} of {} min", show::number(least, 0), show::number(most, 0))
}

/// Where the sun's upper edge meets the horizon, degrees of its centre.
pub(super) const HORIZON: f64 = RISE;
