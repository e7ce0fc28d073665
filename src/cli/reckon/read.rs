//! Quantities as the language writes them, with the limits of what is possible.

use seamster::diagnostic::Diagnostic;
use seamster::diagnostic::text::plain;
use seamster::model::{Light, SpeedPoint, speed_curve};
use seamster::quantity::unit::Dimension;
use seamster::quantity::{
    Angle, Data, FrameRate, FrameSize, Frequency, GeoPosition, Length, Pixels, Seconds, Share, Speed, Stream,
    TimeSpan, TurnRate,
};
use seamster::schema::{Arg, Measure, Part, value};

/// What is wrong with a value, in one sentence with its mend.
fn told(wrong: &Diagnostic) -> String {
    let mut text = wrong.message.clone();
    if !wrong.label.is_empty() {
        text.push_str(&format!(" ({})", wrong.label));
    }
    if let Some(help) = &wrong.help {
        text.push_str(&format!("; {help}"));
    }
    plain(&text).into_owned()
}

fn read(text: &str, part: &Part) -> Result<Arg, String> {
    value(text, part).map_err(|wrong| told(&wrong))
}

fn measure(text: &str, part: &Part) -> Result<Measure, String> {
    match read(text, part)? {
        Arg::Number(number) => Ok(number.value),
        _ => Err("expected a quantity".into()),
    }
}

/// A quantity that frames of a picture cannot give.
fn plain_measure(text: &str, dimension: Dimension, least: f64, most: f64) -> Result<f64, String> {
    let measure = measure(text, &Part::Quantity(dimension, least, most))?;
    if measure.frames { Err("expected a time in seconds, not in frames".into()) } else { Ok(measure.value) }
}

macro_rules! readers {
    ($($(#[$doc:meta])* $name:ident: $kind:ident, $dimension:ident, $least:expr, $most:expr;)*) => {$(
        $(#[$doc])*
        pub(super) fn $name(text: &str) -> Result<$kind, String> {
            plain_measure(text, Dimension::$dimension, $least, $most).map($kind)
        }
    )*};
}

readers! {
    /// A field of view or of a sweep.
    field: Angle, Angle, 0.1, 360.0;
    /// A tilt; up is positive.
    tilt: Angle, Angle, -90.0, 90.0;
    /// An angle off, to either side.
    off: Angle, Angle, 0.0, 180.0;
    /// Height of what hides the sun.
    horizon: Angle, Angle, 0.0, 80.0;
    turn_rate: TurnRate, TurnRate, 0.0, 3600.0;
    /// A speed that is not nothing.
    speed: Speed, Speed, 0.001, 400.0;
    /// A speed of something else, which may stand or come towards.
    any_speed: Speed, Speed, -400.0, 400.0;
    /// A speed at a start.
    start_speed: Speed, Speed, 0.0, 400.0;
    /// A distance or size that is not nothing.
    length: Length, Length, 0.001, 100_000.0;
    /// A height above the ground.
    height: Length, Length, 0.0, 100_000.0;
    /// A height of a fall.
    drop: Length, Length, 0.001, 10_000.0;
    /// How far off a mark.
    offset: Length, Length, 0.0, 100.0;
    /// A length in a camera.
    glass: Length, Length, 0.000_001, 10.0;
    /// A time that is not nothing.
    some_time: Seconds, Time, 0.001, 864_000.0;
    time: Seconds, Time, 0.0, 864_000.0;
    readout: Seconds, Time, 0.000_01, 1.0;
    /// Pixels of a picture's width.
    width: Pixels, Pixels, 16.0, 32_768.0;
    pixels: Pixels, Pixels, 0.1, 32_768.0;
    any_pixels: Pixels, Pixels, 0.0, 32_768.0;
    mains: Frequency, Frequency, 1.0, 1000.0;
    data: Data, Data, 1e6, 1e16;
    stream: Stream, Stream, 1e3, 1e12;
    kept: Share, Share, 0.1, 1.0;
    reframe: Share, Share, 0.1, 10.0;
}

/// How many of something.
pub(super) fn count(text: &str) -> Result<u32, String> {
    measure(text, &Part::Count(1, 1000)).map(|measure| measure.value as u32)
}

/// A friction: 0.05 is ice, 1 is rubber on a dry road.
pub(super) fn friction(text: &str) -> Result<f64, String> {
    plain_measure(text, Dimension::Number, 0.01, 2.0)
}

/// The number behind `f/`; the `f/` may be written.
pub(super) fn stop(text: &str) -> Result<f64, String> {
    plain_measure(text.strip_prefix("f/").unwrap_or(text), Dimension::Number, 0.5, 128.0)
}

pub(super) fn rate(text: &str) -> Result<FrameRate, String> {
    let written = plain_measure(text, Dimension::FrameRate, 1.0, 10_000.0)?;
    FrameRate::from_written(written).ok_or_else(|| {
        "this frame rate cannot be counted exactly; write one such as 25fps or 29.97fps".into()
    })
}

/// A time span, in time or in frames of the picture.
pub(super) fn span(text: &str) -> Result<TimeSpan, String> {
    let measure = measure(text, &Part::Quantity(Dimension::Time, 0.0, 864_000.0))?;
    Ok(if measure.frames { TimeSpan::Frames(measure.value) } else { TimeSpan::Time(Seconds(measure.value)) })
}

/// A time span that is not nothing.
pub(super) fn some_span(text: &str) -> Result<TimeSpan, String> {
    match span(text)? {
        TimeSpan::Time(Seconds(nothing)) | TimeSpan::Frames(nothing) if nothing < 0.001 => {
            Err("expected a time span of at least 0.001 s, or of at least a frame".into())
        }
        span => Ok(span),
    }
}

/// An exposure: a time, or degrees of a shutter, which mean a time once the frame
/// rate is known.
#[derive(Debug, Clone, Copy)]
pub(super) enum Shutter {
    Time(Seconds),
    Angle(Angle),
}

/// `1/240`, `1/240s` or `180deg`.
pub(super) fn shutter(text: &str) -> Result<Shutter, String> {
    let bare = !text.chars().any(char::is_alphabetic);
    let written = if bare { format!("{text} s") } else { text.to_owned() };
    let measure = measure(&written, &Part::Shutter)?;
    match measure.dimension {
        Dimension::Angle => Ok(Shutter::Angle(Angle(measure.value))),
        _ if measure.frames => Err("expected an exposure such as 1/240 or 180deg, not frames".into()),
        _ => Ok(Shutter::Time(Seconds(measure.value))),
    }
}

pub(super) fn size(text: &str) -> Result<FrameSize, String> {
    match read(text, &Part::Size)? {
        Arg::Size(size) => Ok(size.value),
        _ => Err("expected a picture size such as 1920x1080".into()),
    }
}

/// A speed of playing, a range, or a curve of points.
#[derive(Debug, Clone)]
pub(super) struct Curve {
    pub(super) points: Vec<SpeedPoint>,
    /// As typed.
    pub(super) written: String,
}

pub(super) fn curve(text: &str) -> Result<Curve, String> {
    const SPEED: Part = Part::List(&[
        Part::Range(&Part::Quantity(Dimension::Share, -100.0, 100.0), true),
        Part::Maybe(&[Part::Word("at"), Part::Quantity(Dimension::Share, -100.0, 100.0)]),
    ]);
    let Arg::List(entries) = read(text, &SPEED)? else { return Err("expected a speed such as 200%".into()) };
    let (points, wrong) = speed_curve(&entries);
    match wrong.first() {
        Some(wrong) => Err(told(wrong)),
        None => Ok(Curve { points, written: text.trim().to_owned() }),
    }
}

/// `38.7056, -9.1657`.
pub(super) fn position(text: &str) -> Result<GeoPosition, String> {
    let Arg::List(parts) = read(text, &Part::Position)? else { return Err("expected a position".into()) };
    let number = |at: usize| parts.get(at).and_then(|part| part.first()?.number()).map(|n| n.value.value);
    match (number(0), number(1)) {
        (Some(latitude), Some(longitude)) => Ok(GeoPosition { latitude, longitude }),
        _ => Err("expected latitude and longitude such as 38.7056, -9.1657".into()),
    }
}

pub(super) fn date(text: &str) -> Result<jiff::civil::Date, String> {
    match read(text, &Part::Date)? {
        Arg::Date(date) => Ok(date.value),
        _ => Err("expected a date such as 2027-05-14".into()),
    }
}

pub(super) fn clock(text: &str) -> Result<jiff::civil::Time, String> {
    match read(text, &Part::Clock)? {
        Arg::Clock(clock) => Ok(clock.value),
        _ => Err("expected a clock such as 05:30".into()),
    }
}

pub(super) fn light(text: &str) -> Result<Light, String> {
    match read(text, &Part::Light)? {
        Arg::Light(light) => Ok(light.value),
        _ => Err("expected a light such as 'golden morning'".into()),
    }
}
