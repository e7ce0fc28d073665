//! What would do instead: fewer takes, another date, another clock.
//!
//! In: windows, minutes, allowed days. Out: numbers for advice, each checked with
//! the same sums that found the fault.

use crate::model::{DayPlan, Model, Plate};
use crate::order::Minute;
use crate::quantity::Range;
use jiff::ToSpan;
use jiff::civil::Date;
use jiff::tz::TimeZone;

/// How far ahead another date is looked for, in days.
const AHEAD: i32 = 366;

/// How many takes of a plate fit into so many minutes, where at least one does and
/// not all of them do.
pub(super) fn takes_in(plate: &Plate, minutes: i64) -> Option<u32> {
    let (take, between) = (plate.lasts.value.0, plate.between.0);
    let takes = ((minutes as f64 * 60.0 + between) / (take + between).max(1e-6)).floor();
    (takes >= 1.0 && takes < f64::from(plate.takes)).then_some(takes as u32)
}

/// The first date behind the allowed days on which, at the clocks of the last of
/// them, something would do.
pub(super) fn date_that(model: &Model, does: impl Fn(&DayPlan) -> bool) -> Option<Date> {
    let last = model.days.as_ref()?.each.last()?;
    let later = (1..=AHEAD).filter_map(|days| last.date.checked_add(days.days()).ok());
    later.map(|date| DayPlan { date, ..last.clone() }).find(|day| does(day)).map(|day| day.date)
}

/// The longest of several windows.
pub(super) fn widest(windows: &[Range<Minute>]) -> Option<Range<Minute>> {
    windows.iter().copied().max_by_key(|window| window.to.0 - window.from.0)
}

/// `takes 2`, where so many fit into the longest window.
pub(super) fn fewer_takes(plate: &Plate, minutes: i64) -> Option<String> {
    let takes = takes_in(plate, minutes)?;
    Some(format!("plan fewer takes, 'takes {takes}' in '{}'", plate.named.path))
}

/// `06:05` five minutes or less before a minute.
pub(super) fn clock_before(at: Minute, zone: &TimeZone) -> String {
    Minute(at.0.div_euclid(5) * 5).clock(zone)
}

/// `06:10` five minutes or less behind a minute.
pub(super) fn clock_after(at: Minute, zone: &TimeZone) -> String {
    Minute((at.0 + 4).div_euclid(5) * 5).clock(zone)
}
