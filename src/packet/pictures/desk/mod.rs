//! The desk chart: people and days, passes as bars, what sets the finish, what can
//! slip, the finish line.
//!
//! In: the plan of the desk. Out: [`DeskChart`], times as days and parts of days since
//! a Monday, ready to be drawn. Working hours take most of a day's width, the evening
//! of a shoot day the rest, nights none, so that work that goes on tomorrow is one bar.

mod sheet;

use super::Picture;
use super::draw::Canvas;
use crate::model::DeskId;
use crate::order::Minute;
use crate::packet::index::{Index, long_date, short_date};
use crate::packet::views::desk::numbers;
use crate::packet::views::shape::count;
use crate::recipe::PassId;
use jiff::civil::{Date, Weekday};
pub(crate) use sheet::Layout;
use std::collections::{BTreeMap, BTreeSet};

/// Working hours begin at 10:00 (`order::desk::calendar`).
const OPEN: f64 = 10.0 * 60.0;
/// Share of a day's width that working hours take where somebody works on an evening.
const WORKING: f64 = 0.84;
/// A finish date so many days behind the last pass is told, not drawn.
const FAR: usize = 21;

/// How far a pass can slip.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Slip {
    /// Not at all: it sets the finish.
    None,
    /// By less than a day.
    Little,
    /// By a day or more.
    Much,
}

/// A pass on the chart.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Bar {
    pub(super) pass: PassId,
    /// Its number in the tables.
    pub(super) number: usize,
    pub(super) title: String,
    /// Start and end, in days since the first.
    pub(super) from: f64,
    pub(super) to: f64,
    /// Until when it may slip, in days.
    pub(super) until: f64,
    pub(super) slip: Slip,
}

/// A person on the chart.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Lane {
    pub(super) name: String,
    /// Days off and away.
    pub(super) off: BTreeSet<usize>,
    pub(super) bars: Vec<Bar>,
}

/// Everything that is drawn.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct DeskChart {
    /// A Monday.
    pub(super) first: Date,
    /// Whole weeks, in days.
    pub(super) days: usize,
    pub(super) lanes: Vec<Lane>,
    /// Lock and deliveries.
    pub(super) moments: Vec<(f64, String)>,
    /// The end of the finish date, and its words.
    pub(super) finish: Option<(usize, String)>,
    /// Whether it is missed.
    pub(super) late: bool,
    /// Days of the shoot.
    pub(super) shoots: BTreeSet<usize>,
    /// Days of the week on which nobody ever works.
    pub(super) idle: BTreeSet<usize>,
    /// Passes that wait for each other, from one person to another, both setting the finish.
    pub(super) links: Vec<(PassId, PassId)>,
    pub(super) desc: String,
}

/// The picture of the desk; nothing where nothing is planned.
pub(crate) fn picture(index: &Index<'_>) -> Option<Picture> {
    let chart = gather(index)?;
    Some(Picture {
        wide: draw(&chart, &Layout::WIDE).finish(),
        narrow: Some(draw(&chart, &Layout::NARROW).finish()),
    })
}

/// Draws the chart.
pub(crate) fn draw(chart: &DeskChart, layout: &Layout) -> Canvas {
    sheet::draw(chart, layout)
}

/// Where a moment is: the day, and which part of it has gone.
struct Scale<'a> {
    index: &'a Index<'a>,
    first: Date,
    /// Minute of the day at which the longest working day ends.
    close: f64,
    /// Whether anything ends later.
    evenings: bool,
}

impl Scale<'_> {
    fn at(&self, minute: Minute) -> f64 {
        let civil = minute.civil(&self.index.zone);
        let of_day = f64::from(civil.hour()) * 60.0 + f64::from(civil.minute());
        let working = if self.evenings { WORKING } else { 1.0 };
        let part = if of_day <= self.close {
            working * ((of_day - OPEN) / (self.close - OPEN)).clamp(0.0, 1.0)
        } else {
            working + (1.0 - working) * ((of_day - self.close) / (24.0 * 60.0 - self.close)).clamp(0.0, 1.0)
        };
        self.day(civil.date()) as f64 + part
    }

    /// Days since the first; 0 for what is before it.
    fn day(&self, date: Date) -> usize {
        usize::try_from((date - self.first).get_days()).unwrap_or(0)
    }
}

pub(crate) fn gather<'a>(index: &'a Index<'a>) -> Option<DeskChart> {
    let desk = &index.input.plan.desk;
    let date = |at: Minute| at.civil(&index.zone).date();
    let first = desk.work.iter().map(|work| date(work.start)).min()?;
    let last = desk.work.iter().map(|work| date(work.end)).chain(desk.finish.map(date)).max()?;
    let first =
        first.checked_sub(jiff::Span::new().days(i64::from(first.weekday().to_monday_zero_offset()))).ok()?;
    let close = index.model.desks.values().map(|one| OPEN + one.hours.0 * 60.0).fold(OPEN + 60.0, f64::max);
    let close = close.min(24.0 * 60.0);
    let minute = |at: Minute| {
        let civil = at.civil(&index.zone);
        f64::from(civil.hour()) * 60.0 + f64::from(civil.minute())
    };
    let evenings = desk.work.iter().any(|work| minute(work.end) > close || minute(work.start) > close);
    let scale = Scale { index, first, close, evenings };
    let by = index.model.finish.as_ref().map(|finish| finish.by);
    let drawn = by.filter(|by| scale.day(*by) <= scale.day(last) + FAR);
    let days = (scale.day(drawn.map_or(last, |by| by.max(last))) / 7 + 1) * 7;
    let lanes: Vec<Lane> = index
        .model
        .desks
        .ids()
        .map(|id| lane(&scale, id, days))
        .filter(|lane| !lane.bars.is_empty())
        .collect();
    let mut moments: Vec<(f64, String)> = Vec::new();
    for (id, pass) in
        index.input.breakdown.passes.iter().filter(|(_, pass)| pass.lock || pass.stage == "delivery")
    {
        moments.extend(desk.done.get(&id).map(|at| (scale.at(*at), pass.title.clone())));
    }
    moments.sort_by(|one, two| one.0.total_cmp(&two.0));
    let shoots = index.days().iter().filter(|day| day.date >= first).map(|day| scale.day(day.date));
    let shoots = shoots.filter(|day| *day < days).collect();
    Some(DeskChart {
        idle: idle(&lanes),
        links: links(index),
        desc: desc(index, &lanes),
        finish: drawn.map(|by| (scale.day(by) + 1, format!("finish by {}", short_date(by)))),
        late: desk.late_days > 0,
        first,
        days,
        lanes,
        moments,
        shoots,
    })
}

fn desc(index: &Index<'_>, lanes: &[Lane]) -> String {
    let bars: usize = lanes.iter().map(|lane| lane.bars.len()).sum();
    let tight = lanes.iter().flat_map(|lane| &lane.bars).filter(|bar| bar.slip == Slip::None).count();
    let by = index.model.finish.as_ref().map(|finish| format!(", finish date {}", long_date(finish.by)));
    format!(
        "{} of {} as bars over the days; {tight} set the finish{}. The tables of this page say the same, \
         under the same numbers.",
        count(bars, "pass", "passes"),
        count(lanes.len(), "person", "people"),
        by.unwrap_or_default()
    )
}

fn lane(scale: &Scale<'_>, id: DeskId, days: usize) -> Lane {
    let index = scale.index;
    let (desk, plan) = (&index.model.desks[id], &index.input.plan.desk);
    let numbers: BTreeMap<PassId, usize> = numbers(index);
    let critical: BTreeSet<PassId> = plan.critical.iter().copied().collect();
    let bars = plan.work.iter().filter(|work| work.desk == id).map(|work| {
        let float = plan.float.get(&work.pass).map_or(0.0, |hours| hours.0);
        let until = work.end.plus((float * 60.0).round() as i64);
        Bar {
            pass: work.pass,
            number: numbers.get(&work.pass).copied().unwrap_or_default(),
            title: index.input.breakdown.passes[work.pass].title.clone(),
            from: scale.at(work.start),
            to: scale.at(work.end),
            until: scale.at(until),
            slip: match float {
                _ if critical.contains(&work.pass) => Slip::None,
                float if float < 24.0 => Slip::Little,
                _ => Slip::Much,
            },
        }
    });
    let mut off = BTreeSet::new();
    for day in 0..days {
        let Ok(date) = scale.first.checked_add(jiff::Span::new().days(day as i64)) else { continue };
        let away = desk.away.iter().any(|away| away.value.from <= date && date <= away.value.to);
        if away || desk.off.contains(&date.weekday()) {
            off.insert(day);
        }
    }
    Lane { name: desk.named.label().to_owned(), off, bars: bars.collect() }
}

/// Days of the week, from Monday, on which nobody ever starts or ends anything.
fn idle(lanes: &[Lane]) -> BTreeSet<usize> {
    let week = usize::try_from(Weekday::Sunday.to_monday_zero_offset()).unwrap_or(6) + 1;
    let mut idle: BTreeSet<usize> = (0..week)
        .filter(|weekday| lanes.iter().all(|lane| lane.off.iter().any(|day| day % week == *weekday)))
        .collect();
    for bar in lanes.iter().flat_map(|lane| &lane.bars) {
        idle.remove(&(bar.from as usize % week));
        idle.remove(&(bar.to as usize % week));
    }
    idle
}

/// Passes of two people, one waiting for the other, that both set the finish.
fn links(index: &Index<'_>) -> Vec<(PassId, PassId)> {
    let critical: BTreeSet<PassId> = index.input.plan.desk.critical.iter().copied().collect();
    let mut links = Vec::new();
    for &pass in &index.input.plan.desk.critical {
        for (on, _) in &index.input.breakdown.passes[pass].waits {
            let desk = |id| index.assigned(id).map(|work| work.desk);
            if critical.contains(on) && desk(*on).is_some() && desk(*on) != desk(pass) {
                links.push((*on, pass));
            }
        }
    }
    links
}
