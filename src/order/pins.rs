//! What people have pinned, as a limit of when a plate can be shot.
//!
//! In: the pins of the kept plan. Out: for a pinned plate one [`Limit`] a day:
//! nothing on any other day, and on its own the very minutes that it takes
//! where a time is said. A plate of a locked group holds the whole group.

use super::duration::shooting;
use super::plan::Minute;
use super::rolling::Rolling;
use super::shoot::problem::Window;
use super::window::{Limit, LimitKind, day_range};
use crate::model::{DayPlan, Model, PlateId};
use crate::recipe::Breakdown;
use jiff::civil::{Date, Time};
use jiff::tz::TimeZone;

/// The moment of a clock time on a shoot day; before the day's call it is on the next date.
pub(crate) fn moment(day: &DayPlan, at: Time, zone: &TimeZone) -> Option<Minute> {
    let past = day.wrap <= day.call && at < day.call;
    let date: Date = if past { day.date.tomorrow().ok()? } else { day.date };
    Minute::from_civil(date.to_datetime(at), zone)
}

/// What the pin of a plate leaves of a day; `None` where it is not pinned.
pub(crate) fn limit(
    model: &Model,
    breakdown: &Breakdown,
    plate: PlateId,
    day: &DayPlan,
    zone: &TimeZone,
) -> Option<Limit> {
    let named = &breakdown.plates[plate].named;
    let (pin, at) = model.kept.pin_of_plate(&named.path)?;
    let on = pin.on?;
    let clock = at.map_or(String::new(), |at| format!(" at {:02}:{:02}", at.hour(), at.minute()));
    let windows = if on != day.date {
        None
    } else if let Some(at) = at {
        moment(day, at, zone).map(|start| around(breakdown, plate, start.0))
    } else {
        day_range(day, zone)
    };
    Some(Limit {
        kind: LimitKind::Pin(plate),
        windows: windows.into_iter().collect(),
        what: format!("{} is pinned to {on}{clock}", named.label()),
        span: Some(pin.span),
        who: None,
    })
}

/// The minutes of the locked group, or of the plate that sets the length, so
/// that the pinned one begins at that minute.
fn around(breakdown: &Breakdown, plate: PlateId, start: i64) -> Window {
    let host = Rolling::new(breakdown).host(plate).unwrap_or(plate);
    let takes = |plate: &PlateId| shooting(&breakdown.plates[*plate]);
    let Some(group) = breakdown.group_of(host) else {
        return Window { from: start, to: start + takes(&host) };
    };
    let plates = &breakdown.groups[group].plates;
    let before: i64 = plates.iter().take_while(|one| **one != host).map(takes).sum();
    let whole: i64 = plates.iter().map(takes).sum();
    Window { from: start - before, to: start - before + whole }
}
