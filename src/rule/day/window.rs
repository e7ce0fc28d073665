//! Windows of time on an allowed day.
//!
//! In: clocks of days, places and people. Out: ranges of absolute minutes,
//! each with its start before its end. A range whose end is not after its
//! start runs into the next date: `20:00..02:00`.

use crate::model::{DayPlan, Model, PlaceId, Plate};
use crate::order::Minute;
pub(super) use crate::order::duration::shooting as shooting_minutes;
use crate::quantity::{Range, Seconds};
use jiff::civil::{Date, Time};
use jiff::tz::TimeZone;

/// The sequence's zone; UTC where its name is not known, which the model has reported.
pub(super) fn zone_of(model: &Model) -> TimeZone {
    TimeZone::get(&model.sequence.zone).unwrap_or(TimeZone::UTC)
}

/// From call to wrap.
pub(super) fn of_day(day: &DayPlan, zone: &TimeZone) -> Option<Range<Minute>> {
    of_clocks(day.date, Range { from: day.call, to: day.wrap }, zone)
}

/// A range of clocks on a date.
pub(super) fn of_clocks(date: Date, clocks: Range<Time>, zone: &TimeZone) -> Option<Range<Minute>> {
    let until = if clocks.to > clocks.from { date } else { date.tomorrow().ok()? };
    let from = Minute::from_civil(date.to_datetime(clocks.from), zone)?;
    let to = Minute::from_civil(until.to_datetime(clocks.to), zone)?;
    (from < to).then_some(Range { from, to })
}

/// When one may be at a place between call and wrap. Access that began the day
/// before and runs past midnight counts.
pub(super) fn of_access(model: &Model, place: PlaceId, day: &DayPlan, zone: &TimeZone) -> Vec<Range<Minute>> {
    let Some(whole) = of_day(day, zone) else { return Vec::new() };
    let open = &model.places[place].open;
    if open.is_empty() {
        return vec![whole];
    }
    let dates = [day.date.yesterday(), Ok(day.date), day.date.tomorrow()];
    let mut windows: Vec<Range<Minute>> = dates
        .into_iter()
        .flatten()
        .flat_map(|date| open.iter().filter_map(move |clocks| of_clocks(date, clocks.value, zone)))
        .filter_map(|window| meet(window, whole))
        .collect();
    windows.sort_by_key(|window| window.from);
    windows
}

/// What two windows share.
pub(super) fn meet(one: Range<Minute>, other: Range<Minute>) -> Option<Range<Minute>> {
    let (from, to) = (one.from.max(other.from), one.to.min(other.to));
    (from < to).then_some(Range { from, to })
}

/// What two lists of windows share.
pub(super) fn meet_all(some: &[Range<Minute>], others: &[Range<Minute>]) -> Vec<Range<Minute>> {
    some.iter().flat_map(|&one| others.iter().filter_map(move |&other| meet(one, other))).collect()
}

/// The longest of the windows, in whole minutes; 0 when there is none.
pub(super) fn longest(windows: &[Range<Minute>]) -> i64 {
    windows.iter().map(|window| window.to.0 - window.from.0).max().unwrap_or(0)
}

/// Whole minutes to fit the rig of a plate.
pub(super) fn fitting_minutes(model: &Model, plate: &Plate) -> i64 {
    (model.rigs[plate.rig].fitting.0 / 60.0 - 1e-9).ceil().clamp(0.0, 1e7) as i64
}

/// Whole minutes as a time span that prints itself.
pub(super) fn span(minutes: i64) -> Seconds {
    Seconds::minutes(minutes as f64)
}

/// `06:08 to 07:04` for each window, or `none`.
pub(super) fn words(windows: &[Range<Minute>], zone: &TimeZone) -> String {
    if windows.is_empty() {
        return "none".into();
    }
    let each: Vec<String> = windows
        .iter()
        .map(|window| format!("{} to {}", window.from.clock(zone), window.to.clock(zone)))
        .collect();
    each.join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::{date, time};

    fn range(from: i64, to: i64) -> Range<Minute> {
        Range { from: Minute(from), to: Minute(to) }
    }

    #[test]
    fn a_range_of_clocks_may_run_past_midnight() {
        let clocks = Range { from: time(20, 0, 0, 0), to: time(2, 0, 0, 0) };
        let window = of_clocks(date(2027, 5, 14), clocks, &TimeZone::UTC).expect("it exists");
        assert_eq!(window.to.0 - window.from.0, 6 * 60);
    }

    /// Lisbon leaves summer time on 31 October 2027 at 02:00 (EU rule: the last
    /// Sunday of October, Directive 2000/84/EC): that night is an hour longer.
    #[test]
    fn a_night_in_which_clocks_go_back_is_an_hour_longer() {
        let zone = TimeZone::get("Europe/Lisbon").expect("in the bundled table");
        let clocks = Range { from: time(22, 0, 0, 0), to: time(6, 0, 0, 0) };
        let window = of_clocks(date(2027, 10, 30), clocks, &zone).expect("it exists");
        assert_eq!(window.to.0 - window.from.0, 9 * 60);
    }

    #[test]
    fn windows_share_only_what_both_have() {
        assert_eq!(meet(range(0, 10), range(5, 20)), Some(range(5, 10)));
        assert_eq!(meet(range(0, 5), range(5, 20)), None);
        assert_eq!(longest(&meet_all(&[range(0, 10), range(20, 40)], &[range(8, 25)])), 5);
    }
}
