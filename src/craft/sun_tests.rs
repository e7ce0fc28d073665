use super::*;
use crate::quantity::Seconds;
use jiff::civil::date;
use jiff::tz::Offset;

fn at(latitude: f64, longitude: f64) -> GeoPosition {
    GeoPosition { latitude, longitude }
}

fn hours(hours: i8) -> TimeZone {
    TimeZone::fixed(Offset::from_hours(hours).unwrap())
}

fn minute(year: i16, month: i8, day: i8, hour: i8, minute: i8, zone: &TimeZone) -> Minute {
    Minute::from_civil(date(year, month, day).at(hour, minute, 0, 0), zone).unwrap()
}

#[track_caller]
fn near(found: Option<Minute>, expected: Minute, within: i64) {
    let found = found.expect("the sun does this here");
    assert!((found.0 - expected.0).abs() <= within, "{} min off", found.0 - expected.0);
}

const GOLDEN: GeoPosition = GeoPosition { latitude: 39.742476, longitude: -105.1786 };

/// NREL/TP-560-34302, worked example of 2003-10-17 12:30:30, azimuth 194.340241°,
/// elevation without refraction 39.872046°. The sun moves 0.2° of azimuth in the
/// half minute that whole minutes lose, so the two minutes around it bracket it.
#[test]
fn the_position_is_that_of_the_algorithms_worked_example() {
    let zone = hours(-7);
    let before = position(GOLDEN, minute(2003, 10, 17, 12, 30, &zone));
    let after = position(GOLDEN, minute(2003, 10, 17, 12, 31, &zone));
    let azimuth = (before.azimuth.0 + after.azimuth.0) / 2.0;
    let elevation = (before.elevation.0 + after.elevation.0) / 2.0;
    assert!((azimuth - 194.340241).abs() < 0.003, "{azimuth}");
    assert!((elevation - 39.872046).abs() < 0.003, "{elevation}");
}

/// USNO rows for Golden, Colorado, as kept in pvlib's tests.
#[test]
fn sunrise_sunset_and_noon_are_the_observatorys() {
    let zone = hours(-7);
    for (day, rise, set, noon) in [
        ((2015, 1, 1), (7, 22), (16, 47), (12, 4)),
        ((2015, 1, 2), (7, 22), (16, 48), (12, 5)),
        ((2015, 1, 3), (7, 22), (16, 49), (12, 5)),
        ((2015, 8, 2), (5, 0), (19, 13), (12, 7)),
    ] {
        let (year, month, number) = day;
        let sun = sun_day(GOLDEN, date(year, month, number), &zone);
        near(sun.sunrise, minute(year, month, number, rise.0, rise.1, &zone), 1);
        near(sun.sunset, minute(year, month, number, set.0, set.1, &zone), 1);
        near(sun.noon, minute(year, month, number, noon.0, noon.1, &zone), 1);
    }
}

/// USNO rows for 39° N 105° W, as kept in pvlib's tests.
#[test]
fn the_year_is_the_observatorys() {
    let zone = hours(-7);
    for (month, day, rise, set) in [
        (1, 2, (7, 19), (16, 49)),
        (4, 2, (5, 43), (18, 24)),
        (8, 2, (5, 1), (19, 10)),
        (12, 2, (7, 1), (16, 38)),
    ] {
        let sun = sun_day(at(39.0, -105.0), date(2015, month, day), &zone);
        near(sun.sunrise, minute(2015, month, day, rise.0, rise.1, &zone), 1);
        near(sun.sunset, minute(2015, month, day, set.0, set.1, &zone), 1);
    }
}

/// USNO, Washington 38.9° N 77.0° W, 2002-03-20, as quoted on a school's page; its
/// coordinates are rounded, so 2 minutes are allowed.
#[test]
fn civil_twilight_is_the_observatorys() {
    let zone = hours(-5);
    let sun = sun_day(at(38.9, -77.0), date(2002, 3, 20), &zone);
    let when = |hour, min| minute(2002, 3, 20, hour, min, &zone);
    near(sun.first_light, when(5, 45), 2);
    near(sun.sunrise, when(6, 12), 2);
    near(sun.noon, when(12, 16), 2);
    near(sun.sunset, when(18, 21), 2);
    near(sun.last_light, when(18, 47), 2);
}

/// Los Angeles, one hour after sunrise: the sun is at about 10 to 12° (an
/// encyclopedia's article on the golden hour).
#[test]
fn an_hour_after_sunrise_the_sun_is_ten_degrees_high() {
    let (here, zone) = (at(34.05, -118.24), hours(-8));
    let rise = sun_day(here, date(2024, 3, 20), &zone).sunrise.unwrap();
    let height = position(here, rise.plus(60)).elevation.0;
    assert!((10.0..=12.5).contains(&height), "{height}");
}

/// The algorithm's own sample prints 17:20:19, which is the sunset of the 16th,
/// since it works on the day at Greenwich. A root search gives 17:18:51.
#[test]
fn events_belong_to_the_local_date() {
    let zone = hours(-7);
    let sun = sun_day(GOLDEN, date(2003, 10, 17), &zone);
    near(sun.sunset, minute(2003, 10, 17, 17, 19, &zone), 0);
    near(sun.sunrise, minute(2003, 10, 17, 6, 13, &zone), 0);
    let auckland = TimeZone::get("Pacific/Auckland").unwrap();
    let far = sun_day(at(-36.85, 174.76), date(2027, 1, 10), &auckland);
    for event in [far.first_light, far.sunrise, far.noon, far.sunset, far.last_light] {
        assert_eq!(event.unwrap().civil(&auckland).date(), date(2027, 1, 10));
    }
}

/// Root finding with pvlib's Solar Position Algorithm (run for this check) at
/// Greenwich, 2024-06-20; golden hour by astral 3.2, which also refracts the
/// depression, so 2 minutes are allowed.
#[test]
fn twilight_and_golden_hour_are_those_of_other_programs() {
    let zone = hours(1);
    let when = |hour, min| minute(2024, 6, 20, hour, min, &zone);
    let sun = sun_day(at(51.4779, 0.0), date(2024, 6, 20), &zone);
    near(sun.first_light, when(3, 55), 1);
    near(sun.last_light, when(22, 8), 1);
    near(sun.sunrise, when(4, 43), 1);
    near(sun.noon, when(13, 2), 1);
    let (morning, evening) = (sun.golden_morning.unwrap(), sun.golden_evening.unwrap());
    near(Some(morning.from), when(4, 14), 2);
    near(Some(morning.to), when(5, 36), 2);
    near(Some(evening.from), when(20, 28), 2);
    near(Some(evening.to), when(21, 50), 2);
}

/// pvlib's regression values for 40° N 80° W, 2000-01-01; root finding with its
/// Solar Position Algorithm (run for this check) at New York and London.
#[test]
fn winter_and_equinox_are_those_of_other_programs() {
    for (place, zone, day, rise, set) in [
        (at(40.0, -80.0), -5, (2000, 1, 1), (7, 42), (17, 5)),
        (at(40.7128, -74.006), -5, (2024, 12, 21), (7, 17), (16, 32)),
        (at(51.5, -0.1167), 0, (2024, 3, 20), (6, 2), (18, 14)),
    ] {
        let (zone, (year, month, number)) = (hours(zone), day);
        let sun = sun_day(place, date(year, month, number), &zone);
        near(sun.sunrise, minute(year, month, number, rise.0, rise.1, &zone), 1);
        near(sun.sunset, minute(year, month, number, set.0, set.1, &zone), 1);
    }
    let transit = sun_day(at(40.0, -80.0), date(2000, 1, 1), &hours(-5)).noon;
    near(transit, minute(2000, 1, 1, 12, 23, &hours(-5)), 1);
    let noon =
        |place, zone: &TimeZone, day| position(place, sun_day(place, day, zone).noon.unwrap()).elevation.0;
    assert!((noon(at(40.7128, -74.006), &hours(-5), date(2024, 12, 21)) - 25.847).abs() < 0.05);
    assert!((noon(at(51.5, -0.1167), &hours(0), date(2024, 3, 20)) - 38.65).abs() < 0.05);
}

/// astral 3.2 at New York and London; it refracts twilights and golden hours, too, so
/// that 2 minutes are allowed.
#[test]
fn winter_and_equinox_twilights_are_those_of_another_program() {
    for (place, zone, day, civil, morning, evening) in [
        (
            at(40.7128, -74.006),
            -5,
            (2024, 12, 21),
            [(6, 46), (17, 3)],
            [(6, 57), (8, 0)],
            [(15, 49), (16, 52)],
        ),
        (at(51.5, -0.1167), 0, (2024, 3, 20), [(5, 29), (18, 48)], [(5, 41), (6, 45)], [(17, 31), (18, 35)]),
    ] {
        let (zone, (year, month, number)) = (hours(zone), day);
        let when = |(hour, min)| minute(year, month, number, hour, min, &zone);
        let sun = sun_day(place, date(year, month, number), &zone);
        let (golden_morning, golden_evening) = (sun.golden_morning.unwrap(), sun.golden_evening.unwrap());
        for (found, expected) in [
            (sun.first_light, civil[0]),
            (sun.last_light, civil[1]),
            (Some(golden_morning.from), morning[0]),
            (Some(golden_morning.to), morning[1]),
            (Some(golden_evening.from), evening[0]),
            (Some(golden_evening.to), evening[1]),
        ] {
            near(found, when(expected), 2);
        }
    }
}

/// Tromsø never sets at midsummer and never rises at midwinter (stored test of a
/// public rise-and-set library; astral and SPA agree, noon elevation 43.79° and −3.09°).
#[test]
fn polar_day_and_night_have_no_events() {
    let here = at(69.6492, 18.9553);
    let (june, december) = (date(2024, 6, 21), date(2024, 12, 21));
    let zone = TimeZone::get("Europe/Oslo").unwrap();
    let day = sun_day(here, june, &zone);
    assert_eq!((day.sunrise, day.sunset, day.first_light), (None, None, None));
    near(day.noon, minute(2024, 6, 21, 12, 46, &zone), 1);
    assert!((position(here, day.noon.unwrap()).elevation.0 - 43.79).abs() < 0.02);
    // By SPA its midnight is at +3.09°, twelve hours before noon.
    assert!((position(here, day.noon.unwrap().plus(-720)).elevation.0 - 3.09).abs() < 0.02);
    assert_eq!(light_windows(Light::Sky, Some(here), None, june, &zone).len(), 1);
    assert!(light_windows(Light::Night, Some(here), None, june, &zone).is_empty());
    let night = sun_day(here, december, &zone);
    assert_eq!((night.sunrise, night.sunset), (None, None));
    near(night.first_light, minute(2024, 12, 21, 9, 30, &zone), 2);
    assert!((position(here, night.noon.unwrap()).elevation.0 + 3.09).abs() < 0.02);
    assert!(light_windows(Light::Sun, Some(here), None, december, &zone).is_empty());
    // The sun climbs above −4° and never to +6°: the golden morning ends at noon.
    assert_eq!(night.golden_morning.unwrap().to, night.noon.unwrap());
}

#[test]
fn lamps_hold_all_day_and_long_days_are_long() {
    let lisbon = TimeZone::get("Europe/Lisbon").unwrap();
    let windows = light_windows(Light::Lamp, None, None, date(2027, 3, 28), &lisbon);
    // Clocks go forward that night, so the date has 23 hours.
    assert_eq!(windows.iter().map(|window| window.to.0 - window.from.0).sum::<i64>(), 23 * 60);
}

#[test]
fn a_place_between_houses_loses_the_low_sun() {
    let (here, day) = (at(38.7056, -9.1657), date(2027, 5, 14));
    let lisbon = TimeZone::get("Europe/Lisbon").unwrap();
    let open = light_windows(Light::Sun, Some(here), None, day, &lisbon);
    let narrow = light_windows(Light::Sun, Some(here), Some(Angle(15.0)), day, &lisbon);
    let from = narrow.first().unwrap().from;
    assert!(from > open.first().unwrap().from);
    assert!((position(here, from).elevation.0 - 15.0).abs() < 0.15);
}

#[test]
fn a_window_over_midnight_shows_on_both_dates() {
    let (here, day) = (at(51.5, -0.1), date(2027, 6, 20));
    let zone = hours(1);
    let edge = |event, minutes| LightEdge { event, offset: Seconds::minutes(minutes) };
    let light = Light::Between(edge(SunEvent::Sunset, 30.0), edge(SunEvent::Sunrise, -30.0));
    let windows = light_windows(light, Some(here), None, day, &zone);
    assert_eq!(windows.len(), 2);
    assert_eq!(windows[0].from.clock(&zone), "00:00");
    assert_eq!(windows[1].to.clock(&zone), "00:00");
    let early = Light::Between(edge(SunEvent::Sunrise, 20.0), edge(SunEvent::Noon, 0.0));
    let window = light_windows(early, Some(here), None, day, &zone)[0];
    assert_eq!(window.from.0 - sun_day(here, day, &zone).sunrise.unwrap().0, 20);
}

/// astral 3.2: Tromsø's sun stands at 43.79° at noon and at +3.09° at midnight on
/// 2024-06-21, and no higher than −3.09° on 2024-12-21; New York's at 25.847° at
/// noon of that day.
#[test]
fn the_lowest_and_the_highest_are_those_of_the_reference_library() {
    for (place, day, offset, low, high) in [
        (at(69.6492, 18.9553), date(2024, 6, 21), 2, Some(3.09), 43.79),
        (at(69.6492, 18.9553), date(2024, 12, 21), 1, None, -3.09),
        (at(40.7128, -74.006), date(2024, 12, 21), -5, None, 25.847),
    ] {
        let (lowest, highest) = heights(place, day, &hours(offset)).unwrap();
        assert!((highest.0 - high).abs() < 0.03, "{highest}");
        assert!(low.is_none_or(|low| (lowest.0 - low).abs() < 0.03), "{lowest}");
    }
}

/// Shadow length is height over tan(elevation): 9.51 heights at 6°, 1 at 45°.
#[test]
fn shadows_shorten_as_the_sun_climbs() {
    assert!((shadow_length(Angle(6.0)) - 9.51).abs() < 0.005);
    assert!((shadow_length(Angle(45.0)) - 1.0).abs() < 1e-9);
    assert!((shadow(Length(1.7), Angle(6.0)).unwrap().0 - 1.7 * 9.51).abs() < 0.01);
    assert_eq!(shadow(Length(1.7), Angle(-1.0)), None);
    let (zone, here) = (hours(0), at(51.5, -0.1167));
    let change = shadow_change(here, minute(2024, 3, 20, 8, 0, &zone), minute(2024, 3, 20, 9, 0, &zone));
    assert!(change.length.unwrap() < 1.0 && change.rise.0 > 5.0 && change.turn.0 > 10.0);
    let night = shadow_change(here, minute(2024, 3, 20, 0, 0, &zone), minute(2024, 3, 20, 9, 0, &zone));
    assert_eq!(night.length, None);
}

/// Every light on every tenth day at hard places answers in order, within its
/// date, and never with a number that is none.
#[test]
fn no_date_and_place_breaks_it() {
    let zone = TimeZone::get("America/St_Johns").unwrap();
    for latitude in [-90.0, -66.6, 0.0, 66.6, 89.99, 90.0] {
        for step in 0..18 {
            let day = date(2027, 1, 1).checked_add(jiff::Span::new().days(step * 20)).unwrap();
            for light in [
                Light::Sun,
                Light::Sky,
                Light::GoldenMorning,
                Light::GoldenEvening,
                Light::Dusk,
                Light::Night,
            ] {
                let windows = light_windows(light, Some(at(latitude, 179.9)), None, day, &zone);
                assert!(windows.iter().all(|window| window.from < window.to
                    && position(at(latitude, 179.9), window.from).elevation.0.is_finite()));
                assert!(windows.windows(2).all(|pair| pair[0].to <= pair[1].from));
            }
        }
    }
}
