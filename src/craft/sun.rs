//! Where the sun stands, when it rises and sets, and when a wanted light holds.
//!
//! In: a position on the Earth, a minute or a civil date with its zone. Out:
//! angles, events and windows in whole minutes. Events always belong to the
//! local date that was asked for, never to the day at Greenwich. Where the sun
//! does not do a thing (polar day and night) the answer is `None` or no window.
//!
//! Elevations are those of the sun's centre without refraction, as twilights
//! are defined; sunrise and sunset are where the centre is at −50′ (34′ of
//! refraction and 16′ of radius, U.S. Naval Observatory). Positions come from
//! NREL's Solar Position Algorithm (Reda and Andreas, NREL/TP-560-34302); from
//! 2010 to 2110 from Grena's third algorithm (Solar Energy 86, 2012), which is
//! within 0.01°, a few seconds of a sunrise, and thirty times as fast.

use crate::model::{Light, LightEdge, SunEvent};
use crate::quantity::{Angle, GeoPosition, Length, Minute, Range};
use jiff::civil::Date;
use jiff::tz::TimeZone;
use solar_positioning::time::JulianDate;
use solar_positioning::{Horizon, Location, SolarEvents, SolarPositions, delta_t};

/// Elevation of the sun's centre at sunrise and sunset, degrees (USNO: zenith
/// distance 90°50′).
pub const RISE: f64 = -50.0 / 60.0;
/// Elevation at which civil twilight begins and ends, degrees (USNO).
pub const CIVIL: f64 = -6.0;
/// Lower edge of the golden hour, degrees (common practice, no standard).
pub const GOLDEN_LOW: f64 = -4.0;
/// Upper edge of the golden hour, degrees (common practice, no standard).
pub const GOLDEN_HIGH: f64 = 6.0;

/// Julian day of 1970-01-01T00:00Z.
const EPOCH: f64 = 2_440_587.5;

/// Where the sun stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SunPosition {
    /// Compass direction, 0° north, 90° east.
    pub azimuth: Angle,
    /// Above the horizon, −90° to 90°; without refraction.
    pub elevation: Angle,
}

/// Sun events of a day; `None` where the sun does not do that.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SunDay {
    /// Civil twilight begins.
    pub first_light: Option<Minute>,
    /// Upper limb rises.
    pub sunrise: Option<Minute>,
    /// Sun from −4° to +6°, rising.
    pub golden_morning: Option<Range<Minute>>,
    /// Highest.
    pub noon: Option<Minute>,
    /// Sun from +6° to −4°, setting.
    pub golden_evening: Option<Range<Minute>>,
    /// Upper limb sets.
    pub sunset: Option<Minute>,
    /// Civil twilight ends.
    pub last_light: Option<Minute>,
}

/// What a shadow does between two moments.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShadowChange {
    /// How far shadows turn, 0° to 180°.
    pub turn: Angle,
    /// Change of the sun's height, later minus earlier.
    pub rise: Angle,
    /// Later length divided by earlier length of the shadow of an upright thing
    /// (length = height / tan of the elevation); `None` while the sun is down at
    /// either moment.
    pub length: Option<f64>,
}

/// Where the sun stands at a minute. Years outside −2000 to 6000 are taken as
/// the nearest of those; coordinates are brought into their range.
pub fn position(at: GeoPosition, when: Minute) -> SunPosition {
    let place = location(at);
    let day = julian(when).clamp(990_600.0, 3_912_500.0);
    let time = JulianDate::new(day, lag(day));
    let with = |model: SolarPositions| time.clone().and_then(|at| model.at_from_julian(at, place, 0.0, None));
    with(SolarPositions::grena3()).or_else(|_| with(SolarPositions::new())).map_or(
        SunPosition { azimuth: Angle(0.0), elevation: Angle(-90.0) },
        |sun| SunPosition { azimuth: Angle(sun.azimuth()), elevation: Angle(sun.elevation_angle()) },
    )
}

/// Events of the sun on a local date, each rounded to the nearest minute.
pub fn sun_day(at: GeoPosition, date: Date, zone: &TimeZone) -> SunDay {
    let Some(day) = LocalDay::new(at, date, zone) else { return SunDay::default() };
    let golden = |rising| day.band(GOLDEN_LOW, GOLDEN_HIGH, Some(rising)).first().copied();
    SunDay {
        first_light: day.rises(CIVIL).first().copied(),
        sunrise: day.rises(RISE).first().copied(),
        golden_morning: golden(true),
        noon: day.noon(),
        golden_evening: golden(false),
        sunset: day.sets(RISE).last().copied(),
        last_light: day.sets(CIVIL).last().copied(),
    }
}

/// When a light holds on a local date, in order, within that date. Lamps need no
/// position; any other light without one is taken to hold all day, since nothing
/// can be said. `horizon` is the place's own and matters for direct sun only.
pub fn light_windows(
    light: Light,
    at: Option<GeoPosition>,
    horizon: Option<Angle>,
    date: Date,
    zone: &TimeZone,
) -> Vec<Range<Minute>> {
    let Some(bounds) = local_bounds(date, zone) else { return Vec::new() };
    let Some(at) = at.filter(|_| light != Light::Lamp) else { return vec![bounds] };
    let Some(day) = LocalDay::new(at, date, zone) else { return Vec::new() };
    match (light, wanted_heights(light, horizon)) {
        (Light::Between(from, to), _) => between(at, date, zone, bounds, from, to),
        (Light::GoldenMorning, Some((low, high))) => day.band(low, high, Some(true)),
        (Light::GoldenEvening | Light::Dusk, Some((low, high))) => day.band(low, high, Some(false)),
        (_, Some((low, high))) if high < 90.0 => day.band(low, high, None),
        (_, Some((low, _))) => day.above(low),
        (_, None) => vec![bounds],
    }
}

/// The lowest and the highest that the sun's centre stands on a local date; `None`
/// for a date that does not exist in the zone.
pub fn heights(at: GeoPosition, date: Date, zone: &TimeZone) -> Option<(Angle, Angle)> {
    let day = LocalDay::new(at, date, zone)?;
    let ends = [day.bounds.from, day.bounds.to];
    let moments = day.turns().into_iter().chain(ends);
    let mut heights = moments.map(|when| position(at, when).elevation);
    let first = heights.next()?;
    Some(heights.fold((first, first), |(low, high), one| (low.min(one), high.max(one))))
}

/// Heights of the sun's centre between which a light holds, in degrees; `None` for
/// lamps and for what lies between two events. `horizon` is the place's own.
pub fn wanted_heights(light: Light, horizon: Option<Angle>) -> Option<(f64, f64)> {
    match light {
        Light::Sun => Some((horizon.map_or(RISE, |own| own.0.max(RISE)), 90.0)),
        Light::Sky => Some((RISE, 90.0)),
        Light::GoldenMorning | Light::GoldenEvening => Some((GOLDEN_LOW, GOLDEN_HIGH)),
        Light::Dusk => Some((CIVIL, RISE)),
        Light::Night => Some((-90.0, CIVIL)),
        Light::Lamp | Light::Between(..) => None,
    }
}

/// How shadows change from one moment to another at one place.
pub fn shadow_change(at: GeoPosition, first: Minute, second: Minute) -> ShadowChange {
    change_between(position(at, first), position(at, second))
}

/// How shadows change from one position of the sun to another.
pub fn change_between(one: SunPosition, two: SunPosition) -> ShadowChange {
    let apart = (two.azimuth.0 - one.azimuth.0).rem_euclid(360.0);
    let up = one.elevation.0 > 0.0 && two.elevation.0 > 0.0;
    ShadowChange {
        turn: Angle(apart.min(360.0 - apart)),
        rise: two.elevation - one.elevation,
        length: up.then(|| shadow_length(two.elevation) / shadow_length(one.elevation)),
    }
}

/// Length of the shadow of an upright thing one metre high on level ground:
/// `1 / tan(elevation)`. Only for a sun above the horizon.
fn shadow_length(elevation: Angle) -> f64 {
    1.0 / elevation.radians().tan()
}

/// The shadow of an upright thing on level ground: `height / tan(elevation)`.
/// `None` while the sun is not above the horizon.
pub fn shadow(height: Length, elevation: Angle) -> Option<Length> {
    (elevation.0 > 0.0).then(|| height * shadow_length(elevation))
}

/// The windows between two moments tied to the sun: those that begin on the day
/// before, on this one or on the next, cut to this one.
fn between(
    at: GeoPosition,
    date: Date,
    zone: &TimeZone,
    bounds: Range<Minute>,
    from: LightEdge,
    to: LightEdge,
) -> Vec<Range<Minute>> {
    // Only the event that is asked for: a whole day of them costs six times as much.
    let moment = |date: Date, edge: LightEdge| {
        let day = LocalDay::new(at, date, zone)?;
        let event = match edge.event {
            SunEvent::FirstLight => day.rises(CIVIL).first().copied(),
            SunEvent::Sunrise => day.rises(RISE).first().copied(),
            SunEvent::Noon => day.noon(),
            SunEvent::Sunset => day.sets(RISE).last().copied(),
            SunEvent::LastLight => day.sets(CIVIL).last().copied(),
        };
        event.map(|event| event.plus((edge.offset.0 / 60.0).round() as i64))
    };
    let mut windows: Vec<Range<Minute>> = Vec::new();
    for date in [date.yesterday(), Ok(date), date.tomorrow()].into_iter().flatten() {
        let Some(start) = moment(date, from) else { continue };
        // An end before its start belongs to the next morning: `sunset .. sunrise`.
        let same = moment(date, to).filter(|&end| end >= start);
        let end = same.or_else(|| date.tomorrow().ok().and_then(|next| moment(next, to)));
        let Some(end) = end else { continue };
        let cut = Range { from: start.max(bounds.from), to: end.min(bounds.to) };
        if cut.from < cut.to {
            windows.push(cut);
        }
    }
    windows
}

/// From local midnight to the next.
fn local_bounds(date: Date, zone: &TimeZone) -> Option<Range<Minute>> {
    let from = Minute::from_civil(date.at(0, 0, 0, 0), zone)?;
    let to = Minute::from_civil(date.tomorrow().ok()?.at(0, 0, 0, 0), zone)?;
    (from < to).then_some(Range { from, to })
}

/// One local date at one place.
struct LocalDay {
    at: GeoPosition,
    bounds: Range<Minute>,
}

/// Where the sun crosses one elevation during a local day.
struct Crossings {
    above_at_start: bool,
    rises: Vec<Minute>,
    sets: Vec<Minute>,
    noons: Vec<Minute>,
}

impl LocalDay {
    fn new(at: GeoPosition, date: Date, zone: &TimeZone) -> Option<Self> {
        Some(Self { at, bounds: local_bounds(date, zone)? })
    }

    fn crossings(&self, elevation: f64, place: Location) -> Crossings {
        let (start, end) = (julian(self.bounds.from), julian(self.bounds.to));
        let (lag, horizon) = (lag(start), Horizon::Custom(elevation));
        let found = SolarEvents::grena3()
            .for_interval_from_julian(start, end, place, lag, horizon)
            .or_else(|_| SolarEvents::new().for_interval_from_julian(start, end, place, lag, horizon));
        let minutes = |days: &[f64]| days.iter().map(|&day| self.minute(day)).collect();
        match found {
            Ok(events) => Crossings {
                above_at_start: position(self.at, self.bounds.from).elevation.0 > elevation,
                rises: minutes(&events.rises),
                sets: minutes(&events.sets),
                noons: minutes(&events.transits),
            },
            Err(_) => {
                Crossings { above_at_start: false, rises: Vec::new(), sets: Vec::new(), noons: Vec::new() }
            }
        }
    }

    /// The nearest whole minute that still belongs to the date.
    fn minute(&self, day: f64) -> Minute {
        let nearest = Minute(((day - EPOCH) * 1440.0).round() as i64);
        nearest.clamp(self.bounds.from, self.bounds.to.plus(-1))
    }

    fn rises(&self, elevation: f64) -> Vec<Minute> {
        self.crossings(elevation, location(self.at)).rises
    }

    fn sets(&self, elevation: f64) -> Vec<Minute> {
        self.crossings(elevation, location(self.at)).sets
    }

    fn noon(&self) -> Option<Minute> {
        self.crossings(RISE, location(self.at)).noons.first().copied()
    }

    /// When the sun is above an elevation, in order, without overlaps.
    fn above(&self, elevation: f64) -> Vec<Range<Minute>> {
        let crossings = self.crossings(elevation, location(self.at));
        let mut edges: Vec<(Minute, bool)> = crossings.rises.iter().map(|&at| (at, true)).collect();
        edges.extend(crossings.sets.iter().map(|&at| (at, false)));
        edges.sort();
        let mut windows = Vec::new();
        let mut since = crossings.above_at_start.then_some(self.bounds.from);
        for (at, up) in edges {
            match (up, since) {
                (true, None) => since = Some(at),
                (false, Some(from)) => {
                    since = None;
                    if from < at {
                        windows.push(Range { from, to: at });
                    }
                }
                _ => {}
            }
        }
        if let Some(from) = since.filter(|&from| from < self.bounds.to) {
            windows.push(Range { from, to: self.bounds.to });
        }
        windows
    }

    /// When the sun is between two elevations; of these, where asked, only while
    /// it rises or only while it sinks.
    fn band(&self, low: f64, high: f64, rising: Option<bool>) -> Vec<Range<Minute>> {
        let inside = if low <= -90.0 { vec![self.bounds] } else { self.above(low) };
        let mut windows = without(inside, &self.above(high));
        if let Some(rising) = rising {
            let mut pieces = Vec::new();
            for window in windows {
                pieces.extend(split(window, &self.turns()));
            }
            pieces.retain(|piece| {
                let climb =
                    position(self.at, piece.to).elevation.0 - position(self.at, piece.from).elevation.0;
                (climb > 0.0) == rising
            });
            windows = pieces;
        }
        windows
    }

    /// When the sun turns from rising to sinking and back: its upper and lower
    /// transits. The lower one is the upper one of the opposite meridian.
    fn turns(&self) -> Vec<Minute> {
        let here = location(self.at);
        let opposite = if here.longitude > 0.0 { here.longitude - 180.0 } else { here.longitude + 180.0 };
        let mut turns = self.crossings(RISE, here).noons;
        turns.extend(self.crossings(RISE, Location { longitude: opposite, ..here }).noons);
        turns.sort();
        turns
    }
}

/// What is left of windows after taking others away; both in order.
fn without(windows: Vec<Range<Minute>>, away: &[Range<Minute>]) -> Vec<Range<Minute>> {
    let mut left = Vec::new();
    for window in windows {
        let mut from = window.from;
        for gone in away.iter().filter(|gone| gone.from < window.to && gone.to > window.from) {
            if from < gone.from {
                left.push(Range { from, to: gone.from });
            }
            from = from.max(gone.to);
        }
        if from < window.to {
            left.push(Range { from, to: window.to });
        }
    }
    left
}

/// A window cut at the moments inside it.
fn split(window: Range<Minute>, at: &[Minute]) -> Vec<Range<Minute>> {
    let mut pieces = Vec::new();
    let mut from = window.from;
    for &cut in at.iter().filter(|&&cut| window.from < cut && cut < window.to) {
        pieces.push(Range { from, to: cut });
        from = cut;
    }
    pieces.push(Range { from, to: window.to });
    pieces
}

/// Coordinates brought into the range that the algorithm takes.
fn location(at: GeoPosition) -> Location {
    let finite = |value: f64| if value.is_finite() { value } else { 0.0 };
    Location {
        latitude: finite(at.latitude).clamp(-90.0, 90.0),
        longitude: (finite(at.longitude) + 180.0).rem_euclid(360.0) - 180.0,
    }
}

/// Julian day (universal time) of a minute.
fn julian(when: Minute) -> f64 {
    EPOCH + when.0 as f64 / 1440.0
}

/// Terrestrial minus universal time on a Julian day, in seconds; 69 s, today's
/// value, where no estimate exists.
fn lag(day: f64) -> f64 {
    delta_t::estimate(2000.0 + (day - 2_451_545.0) / 365.25).unwrap_or(69.0)
}

#[cfg(test)]
#[path = "sun_tests.rs"]
mod tests;
