//! `light`: when the light is, where the sun stands, what shadows do.

use super::Trouble;
use super::answer::Answer;
use super::read;
use jiff::civil::{Date, Time};
use jiff::tz::TimeZone;
use seamster::craft::sun::{self, SunDay, light_windows, position, shadow, sun_day};
use seamster::diagnostic::nearest::nearest;
use seamster::diagnostic::text::plain;
use seamster::model::Light;
use seamster::quantity::{Angle, GeoPosition, Length, Minute, Range, show};

/// When is the light, and where does the sun stand?
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// Date, such as 2027-05-14
    #[arg(long, value_parser = read::date, value_name = "DATE")]
    date: Date,
    /// Latitude and longitude in degrees, such as "38.7056, -9.1657"
    #[arg(long, value_parser = read::position, value_name = "POSITION")]
    at: GeoPosition,
    /// Time zone by its IANA name, such as Europe/Lisbon
    #[arg(long, value_name = "NAME")]
    zone: String,
    /// Where the sun stands at this clock, such as 07:30
    #[arg(long, value_parser = read::clock, value_name = "CLOCK")]
    time: Option<Time>,
    /// How high a thing is whose shadow matters; needs --time
    #[arg(long, value_parser = read::length, value_name = "LENGTH", requires = "time")]
    thing: Option<Length>,
    /// When one light holds: sun, sky, "golden morning", "golden evening", dusk, night
    #[arg(long, value_parser = read::light, value_name = "LIGHT")]
    light: Option<Light>,
    /// Height of buildings or hills that hide the sun
    #[arg(long, value_parser = read::horizon, value_name = "ANGLE")]
    horizon: Option<Angle>,
}

/// A date at a place.
struct Here<'a> {
    args: &'a Args,
    zone: TimeZone,
    day: SunDay,
}

impl Here<'_> {
    fn clock(&self, at: Minute) -> String {
        at.clock(&self.zone)
    }

    fn window(&self, window: Range<Minute>) -> String {
        // Midnight at the end of the date is 24:00, not the next day's 00:00.
        let ends = window.to.civil(&self.zone).date() > self.args.date;
        format!(
            "{} to {}",
            self.clock(window.from),
            if ends { "24:00".into() } else { self.clock(window.to) }
        )
    }

    fn place(&self) -> String {
        format!("{}, {}", show::number(self.args.at.latitude, 4), show::number(self.args.at.longitude, 4))
    }

    /// The sun at its highest.
    fn highest(&self) -> Option<(Minute, Angle)> {
        self.day.noon.map(|noon| (noon, position(self.args.at, noon).elevation))
    }
}

pub(super) fn answer(args: &Args) -> Result<Answer, Trouble> {
    let zone = zone(&args.zone)?;
    // Lamps hold all of a date that there is; zones that cross the date line skip one.
    if light_windows(Light::Lamp, None, None, args.date, &zone).is_empty() {
        return Err(Trouble::new(format!("there is no {} in {}", args.date, plain(&args.zone)))
            .help("this zone skipped that date; choose another"));
    }
    let day = sun_day(args.at, args.date, &zone);
    let here = Here { args, zone, day };
    let mut answer = Answer::default();
    if let Some(light) = args.light {
        answer = one_light(answer, &here, light)?;
    }
    if let Some(time) = args.time {
        answer = at_time(answer, &here, time)?;
    }
    if args.light.is_none() && args.time.is_none() {
        answer = whole_day(answer, &here)?;
    }
    Ok(answer
        .formula(format!(
            "sunrise and sunset: the sun's centre at {}°; civil twilight to {}; golden hour from {} to {}",
            show::number(sun::RISE, 2),
            Angle(sun::CIVIL),
            Angle(sun::GOLDEN_LOW),
            Angle(sun::GOLDEN_HIGH)
        ))
        .formula("shadow = height / tan(height of the sun)")
        .input("date", args.date)
        .input("place", here.place())
        .input("zone", plain(&args.zone))
        .input_if("time", args.time.map(|time| format!("{:02}:{:02}", time.hour(), time.minute())))
        .input_if("horizon", args.horizon)
        .source("positions: NREL Solar Position Algorithm (TP-560-34302) and Grena (2012), no refraction")
        .source("rise, set and twilight as the U.S. Naval Observatory defines them, level horizon")
        .source("golden hour: common practice, no standard"))
}

fn zone(name: &str) -> Result<TimeZone, Trouble> {
    TimeZone::get(name).map_err(|_| {
        let names: Vec<String> = jiff::tz::db().available().map(|name| name.as_str().to_owned()).collect();
        let trouble = Trouble::new(format!("no time zone is called '{}'", plain(name)));
        trouble.help(match nearest(name, names.iter().map(String::as_str)) {
            Some(near) => format!("did you mean '{near}'?"),
            None => "write an IANA name such as Europe/Lisbon".into(),
        })
    })
}

/// What keeps the sun from rising, and what light there is.
fn never_rises(here: &Here<'_>) -> Trouble {
    let highest = here.highest().map_or_else(String::new, |(noon, height)| {
        format!(": at its highest, at {}, it is {} below the horizon", here.clock(noon), -height)
    });
    let trouble =
        Trouble::new(format!("the sun does not rise at {} on {}{highest}", here.place(), here.args.date));
    trouble.help(match (here.day.first_light, here.day.last_light) {
        (Some(first), Some(last)) => {
            format!(
                "twilight lasts from {} to {}; else choose another date or place",
                here.clock(first),
                here.clock(last)
            )
        }
        _ => "there is no civil twilight either; choose another date or place".into(),
    })
}

fn is_up_at_all(here: &Here<'_>) -> bool {
    let windows = light_windows(Light::Sky, Some(here.args.at), None, here.args.date, &here.zone);
    !windows.is_empty()
}

/// Every event of the date.
fn whole_day(answer: Answer, here: &Here<'_>) -> Result<Answer, Trouble> {
    if !is_up_at_all(here) {
        return Err(never_rises(here));
    }
    let day = here.day;
    let clock = |at: Option<Minute>| at.map_or("none".to_owned(), |at| here.clock(at));
    let window = |at: Option<Range<Minute>>| at.map_or("none".to_owned(), |at| here.window(at));
    let mut answer = match (day.sunrise, day.sunset) {
        (None, None) => answer.says("The sun does not set: it is up all day."),
        (rise, set) => answer.says(format!("Sunrise {}, sunset {}.", clock(rise), clock(set))),
    };
    answer = answer
        .says(format!(
            "Golden hour: {} in the morning, {} in the evening.",
            window(day.golden_morning),
            window(day.golden_evening)
        ))
        .says(format!("First light {}, last light {}.", clock(day.first_light), clock(day.last_light)));
    if let Some((noon, height)) = here.highest() {
        answer = answer
            .says(format!("Highest at {}: {height}.", here.clock(noon)))
            .value("highest", height.0, "deg");
    }
    if let Some(horizon) = here.args.horizon {
        let windows =
            light_windows(Light::Sun, Some(here.args.at), Some(horizon), here.args.date, &here.zone);
        answer = answer.says(match windows.as_slice() {
            [] => format!("No direct sun: it never climbs above {horizon}."),
            some => format!("Direct sun above {horizon}: {}.", listed(here, some)),
        });
    }
    Ok(answer)
}

fn listed(here: &Here<'_>, windows: &[Range<Minute>]) -> String {
    windows.iter().map(|&window| here.window(window)).collect::<Vec<_>>().join(" and ")
}

/// When one light holds.
fn one_light(answer: Answer, here: &Here<'_>, light: Light) -> Result<Answer, Trouble> {
    let args = here.args;
    let windows = light_windows(light, Some(args.at), args.horizon, args.date, &here.zone);
    if windows.is_empty() {
        if !is_up_at_all(here) && light != Light::Night {
            return Err(never_rises(here));
        }
        let highest = here.highest().map_or_else(String::new, |(noon, height)| {
            format!("; the sun is highest at {}, at {height}", here.clock(noon))
        });
        return Err(Trouble::new(format!(
            "there is no such light at {} on {}{highest}",
            here.place(),
            args.date
        ))
        .help("ask without --light for all that the date has, or choose another date"));
    }
    let minutes: i64 = windows.iter().map(|window| window.to.0 - window.from.0).sum();
    Ok(answer.says(format!("It holds from {}: {minutes} min.", listed(here, &windows))).value(
        "minutes",
        minutes as f64,
        "min",
    ))
}

/// Where the sun stands at a clock.
fn at_time(answer: Answer, here: &Here<'_>, time: Time) -> Result<Answer, Trouble> {
    let args = here.args;
    let when = Minute::from_civil(args.date.to_datetime(time), &here.zone)
        .ok_or_else(|| Trouble::new(format!("there is no such moment on {}", args.date)))?;
    let shown = format!("{:02}:{:02}", time.hour(), time.minute());
    if when.clock(&here.zone) != shown {
        return Err(Trouble::new(format!(
            "there is no {shown} on {} in {}: clocks go forward then",
            args.date,
            plain(&args.zone)
        ))
        .help(format!("the next minute there is {}", when.clock(&here.zone))));
    }
    let sun = position(args.at, when);
    let mut answer = answer.value("azimuth", sun.azimuth.0, "deg").value("elevation", sun.elevation.0, "deg");
    if sun.elevation.0 <= 0.0 {
        if args.thing.is_some() {
            return Err(Trouble::new(format!(
                "there is no shadow at {shown}: the sun is {} below the horizon",
                -sun.elevation
            ))
            .help("ask without --time for when it rises"));
        }
        return Ok(answer.says(format!(
            "At {shown} the sun is {} below the horizon, towards {}.",
            -sun.elevation,
            compass(sun.azimuth)
        )));
    }
    answer = answer.says(format!(
        "At {shown} the sun stands {} high, towards {}.",
        sun.elevation,
        compass(sun.azimuth)
    ));
    if let Some(horizon) = args.horizon.filter(|horizon| sun.elevation < *horizon) {
        return Ok(
            answer.says(format!("It is behind what stands {horizon} high, so nothing throws a shadow."))
        );
    }
    let away = Angle((sun.azimuth.0 + 180.0).rem_euclid(360.0));
    let thing = args.thing.unwrap_or(Length(1.0));
    if let Some(shadow) = shadow(thing, sun.elevation) {
        answer = answer
            .says(format!("The shadow of {thing} is {shadow} long and points {}.", compass(away)))
            .value("shadow", shadow.0, "m");
    }
    Ok(answer)
}

/// A compass direction: degrees, and the nearest of eight winds.
fn compass(azimuth: Angle) -> String {
    const WINDS: [&str; 8] =
        ["north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"];
    let wind = (azimuth.0.rem_euclid(360.0) / 45.0).round() as usize % 8;
    format!("{} ({}°)", WINDS.get(wind).unwrap_or(&"north"), show::number(azimuth.0.rem_euclid(360.0), 0))
}
