//! The sun as the planner asks for it: windows of light, in words and minutes.

use super::shoot::problem::Window;
use crate::model::Light;
use crate::quantity::{Angle, GeoPosition};
use jiff::civil::Date;
use jiff::tz::TimeZone;

/// When there is that light on a date; empty where its place is not known.
pub(crate) fn windows(
    light: Light,
    at: Option<GeoPosition>,
    horizon: Option<Angle>,
    date: Date,
    zone: &TimeZone,
) -> Vec<Window> {
    crate::craft::sun::light_windows(light, at, horizon, date, zone)
        .into_iter()
        .map(|range| Window { from: range.from.0, to: range.to.0 })
        .collect()
}

/// A light in words.
pub(crate) fn words(light: Light) -> String {
    match light {
        Light::Sun => "direct sun".into(),
        Light::Sky => "daylight".into(),
        Light::Lamp => "lamp light".into(),
        Light::GoldenMorning => "golden morning light".into(),
        Light::GoldenEvening => "golden evening light".into(),
        Light::Dusk => "dusk".into(),
        Light::Night => "night".into(),
        Light::Between(from, to) => format!("the light from {from} to {to}"),
    }
}
