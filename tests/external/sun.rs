//! The sun against NREL's algorithm in pvlib, and against astral.

use crate::random::Random;
use crate::script::{agree, case};
use jiff::civil::Date;
use jiff::tz::{Offset, TimeZone};
use jiff::{Span, civil};
use seamster::craft::sun;
use seamster::model::{Light, LightEdge, SunEvent};
use seamster::quantity::{Angle, GeoPosition, Minute, Range, Seconds};
use serde_json::{Value, json};

const ENOUGH: usize = 1080;

/// Anywhere; one place in four lies where polar days and nights are.
fn place(random: &mut Random) -> GeoPosition {
    let (low, high) = random.one_of(&[(-66.0, 66.0), (-66.0, 66.0), (0.0, 60.0), (-89.0, 89.0)]);
    GeoPosition { latitude: random.between(low, high), longitude: random.between(-180.0, 180.0) }
}

/// A date that somebody may plan for; one in four is of the other years that Seamster
/// takes, for most of which it uses another algorithm, which is slow.
fn day(random: &mut Random) -> Date {
    let (from, to) = random.one_of(&[(1970, 2199), (2020, 2060), (2020, 2060), (2020, 2060)]);
    let years = random.whole(0, to - from);
    civil::date((from + years) as i16, 1, 1).saturating_add(Span::new().days(random.whole(0, 365)))
}

/// A zone anywhere, so that noon may come at any hour of the local date.
fn zone(random: &mut Random) -> (String, TimeZone) {
    let names: Vec<String> = jiff::tz::db().available().map(|name| name.as_str().to_owned()).collect();
    let name = names[random.whole(0, names.len() as i64 - 1) as usize].clone();
    let zone = TimeZone::get(&name).unwrap();
    (name, zone)
}

fn given(at: GeoPosition, date: Date, zone: &str) -> Value {
    json!({"latitude": at.latitude, "longitude": at.longitude, "date": date.to_string(), "zone": zone})
}

fn ends(range: Range<Minute>) -> [i64; 2] {
    [range.from.0, range.to.0]
}

#[test]
fn the_sun_stands_where_nrels_algorithm_has_it() {
    let mut random = Random::new("position");
    let cases: Vec<Value> = (0..2 * ENOUGH)
        .map(|_| {
            let at = place(&mut random);
            let minute = random.whole(0, 120_000_000);
            let found = sun::position(at, Minute(minute));
            case(
                json!({"latitude": at.latitude, "longitude": at.longitude, "minute": minute}),
                json!({"place": [found.azimuth.0, found.elevation.0]}),
            )
        })
        .collect();
    agree("sun", "position", &cases);
}

#[test]
fn events_of_a_local_date_are_where_nrels_algorithm_crosses_their_height() {
    let mut random = Random::new("day");
    let cases: Vec<Value> = (0..ENOUGH)
        .map(|_| {
            let (at, date, (name, zone)) = (place(&mut random), day(&mut random), zone(&mut random));
            let found = sun::sun_day(at, date, &zone);
            let minute = |minute: Option<Minute>| minute.map(|minute| minute.0);
            case(
                given(at, date, &name),
                json!({
                    "first_light": minute(found.first_light),
                    "sunrise": minute(found.sunrise),
                    "noon": minute(found.noon),
                    "sunset": minute(found.sunset),
                    "last_light": minute(found.last_light),
                }),
            )
        })
        .collect();
    agree("sun", "day", &cases);
}

#[test]
fn the_sun_is_highest_and_lowest_as_nrels_algorithm_has_it() {
    let mut random = Random::new("heights");
    let cases: Vec<Value> = (0..ENOUGH)
        .map(|_| {
            let (at, date, (name, zone)) = (place(&mut random), day(&mut random), zone(&mut random));
            let heights = sun::heights(at, date, &zone).map(|(lowest, highest)| [lowest.0, highest.0]);
            case(given(at, date, &name), json!({"heights": heights}))
        })
        .collect();
    agree("sun", "heights", &cases);
}

#[test]
fn windows_of_light_are_where_nrels_algorithm_has_the_sun_between_their_heights() {
    let mut random = Random::new("light");
    let lights = [
        ("sky", Light::Sky),
        ("golden morning", Light::GoldenMorning),
        ("golden evening", Light::GoldenEvening),
        ("dusk", Light::Dusk),
        ("night", Light::Night),
    ];
    let cases: Vec<Value> = (0..ENOUGH)
        .map(|_| {
            let (at, date, (name, zone)) = (place(&mut random), day(&mut random), zone(&mut random));
            let (word, light) = random.one_of(&lights);
            let windows = sun::light_windows(light, Some(at), None, date, &zone);
            let mut given = given(at, date, &name);
            given["light"] = json!(word);
            case(given, json!({"windows": windows.into_iter().map(ends).collect::<Vec<_>>()}))
        })
        .collect();
    agree("sun", "light", &cases);
}

#[test]
fn direct_sun_is_where_nrels_algorithm_has_the_sun_above_the_places_own_horizon() {
    let mut random = Random::new("direct sun");
    let cases: Vec<Value> = (0..ENOUGH)
        .map(|_| {
            let (at, date, (name, zone)) = (place(&mut random), day(&mut random), zone(&mut random));
            let horizon = random.between(-2.0, 30.0);
            let windows = sun::light_windows(Light::Sun, Some(at), Some(Angle(horizon)), date, &zone);
            let mut given = given(at, date, &name);
            given["horizon"] = json!(horizon);
            case(given, json!({"windows": windows.into_iter().map(ends).collect::<Vec<_>>()}))
        })
        .collect();
    agree("sun", "direct_sun", &cases);
}

#[test]
fn light_between_two_events_is_where_nrels_algorithm_has_them() {
    let mut random = Random::new("between");
    let events = [
        ("first_light", SunEvent::FirstLight),
        ("sunrise", SunEvent::Sunrise),
        ("noon", SunEvent::Noon),
        ("sunset", SunEvent::Sunset),
        ("last_light", SunEvent::LastLight),
    ];
    let cases: Vec<Value> = (0..ENOUGH)
        .map(|_| {
            let longitude = random.between(-178.0, 178.0);
            let at = GeoPosition { latitude: random.between(-55.0, 55.0), longitude };
            // These zones are named after what to add to their clock: minus is east.
            let name = format!("Etc/GMT{:+}", -(longitude / 15.0).round());
            let (zone, date) = (TimeZone::get(&name).unwrap(), day(&mut random));
            let edge = |random: &mut Random| {
                let (word, event) = random.one_of(&events);
                let minutes = random.whole(-90, 90);
                (word, minutes, LightEdge { event, offset: Seconds::minutes(minutes as f64) })
            };
            let (from, to) = (edge(&mut random), edge(&mut random));
            let windows = sun::light_windows(Light::Between(from.2, to.2), Some(at), None, date, &zone);
            let mut given = given(at, date, &name);
            given["from"] = json!(from.0);
            given["from_later"] = json!(from.1);
            given["to"] = json!(to.0);
            given["to_later"] = json!(to.1);
            case(given, json!({"windows": windows.into_iter().map(ends).collect::<Vec<_>>()}))
        })
        .collect();
    agree("sun", "between", &cases);
}

#[test]
fn days_are_those_of_the_observatory_formulas() {
    let mut random = Random::new("other formulas");
    let cases: Vec<Value> = (0..ENOUGH)
        .map(|_| {
            let at = GeoPosition {
                latitude: random.between(-50.0, 50.0),
                longitude: random.between(-170.0, 170.0),
            };
            let hours = (at.longitude / 15.0).round() as i8;
            let zone = TimeZone::fixed(Offset::from_hours(hours).unwrap());
            let date = civil::date(random.whole(2000, 2060) as i16, 1, 1)
                .saturating_add(Span::new().days(random.whole(0, 364)));
            let found = sun::sun_day(at, date, &zone);
            let (morning, evening) = (found.golden_morning.map(ends), found.golden_evening.map(ends));
            let minute = |minute: Option<Minute>| minute.map(|minute| minute.0);
            let rising = [minute(found.first_light), minute(found.sunrise)];
            let setting = [minute(found.last_light), minute(found.sunset)];
            case(
                json!({"latitude": at.latitude, "longitude": at.longitude, "date": date.to_string(), "hours": hours}),
                json!({
                    "rising": [rising[0], rising[1], morning.map(|ends| ends[0]), morning.map(|ends| ends[1])],
                    "setting": [setting[0], setting[1], evening.map(|ends| ends[1]), evening.map(|ends| ends[0])],
                    "noon": minute(found.noon),
                }),
            )
        })
        .collect();
    agree("sun", "other_formulas", &cases);
}
