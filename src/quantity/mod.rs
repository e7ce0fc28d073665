//! Typed quantities: what was a number with a unit in the text.
//!
//! Every type holds one base unit, named in its doc comment; no bare `f64`
//! with a unit crosses a stage.

use serde::Serialize;

mod minute;
pub mod show;
pub mod unit;

pub use minute::Minute;

macro_rules! quantity {
    ($($(#[$doc:meta])* $name:ident;)*) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default, Serialize)]
        pub struct $name(pub f64);

        impl std::ops::Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self { Self(self.0 + other.0) }
        }
        impl std::ops::Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self { Self(self.0 - other.0) }
        }
        impl std::ops::Mul<f64> for $name {
            type Output = Self;
            fn mul(self, by: f64) -> Self { Self(self.0 * by) }
        }
        impl std::ops::Neg for $name {
            type Output = Self;
            fn neg(self) -> Self { Self(-self.0) }
        }
        impl $name {
            /// The smaller of two.
            pub fn min(self, other: Self) -> Self { Self(self.0.min(other.0)) }
            /// The larger of two.
            pub fn max(self, other: Self) -> Self { Self(self.0.max(other.0)) }
        }
    )*};
}

quantity! {
    /// A length in metres.
    Length;
    /// A mass in kilograms.
    Mass;
    /// A time span in seconds.
    Seconds;
    /// An angle in degrees.
    Angle;
    /// A turn rate in degrees per second.
    TurnRate;
    /// A speed in metres per second.
    Speed;
    /// An amount of data in bytes; decimal, 1 GB is 10⁹ bytes.
    Data;
    /// A data stream in bits per second; decimal.
    Stream;
    /// A frequency in hertz.
    Frequency;
    /// A share; 1 is the whole (100 %).
    Share;
    /// A light level in photographic stops.
    Stops;
    /// A distance in a picture, in pixels of that picture.
    Pixels;
    /// Work at the desk, in hours.
    Hours;
    /// A temperature in degrees Celsius.
    Celsius;
}

impl Angle {
    /// In radians.
    pub fn radians(self) -> f64 {
        self.0.to_radians()
    }
}

impl TurnRate {
    /// In radians per second.
    pub fn radians(self) -> f64 {
        self.0.to_radians()
    }
}

impl Seconds {
    /// From minutes.
    pub fn minutes(minutes: f64) -> Self {
        Self(minutes * 60.0)
    }
}

/// A frame rate as an exact fraction; 23.976 means 24000/1001.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, schemars::JsonSchema)]
pub struct FrameRate {
    /// Numerator.
    pub num: u32,
    /// Denominator; never 0.
    pub den: u32,
}

impl FrameRate {
    /// Frames per second.
    pub fn per_second(self) -> f64 {
        f64::from(self.num) / f64::from(self.den.max(1))
    }

    /// From the number as written. The trade's decimal rates snap to their
    /// exact fraction (SMPTE practice): 23.97, 23.976, 23.98 → 24000/1001,
    /// 29.97 → 30000/1001, 59.94 → 60000/1001, likewise 47.95 and 119.88.
    /// `None` for a rate that is not positive, above 10 000, or not
    /// representable to a thousandth.
    pub fn from_written(rate: f64) -> Option<Self> {
        if !(rate > 0.0 && rate <= 10_000.0) {
            return None;
        }
        let whole = rate.round();
        for nominal in [24.0, 30.0, 48.0, 60.0, 120.0] {
            let exact = nominal * 1000.0 / 1001.0;
            if (rate - exact).abs() < 0.007 && (rate - nominal).abs() > 0.005 {
                return Some(Self { num: nominal as u32 * 1000, den: 1001 });
            }
        }
        if (rate - whole).abs() < 1e-9 {
            return Some(Self { num: whole as u32, den: 1 });
        }
        let thousandths = rate * 1000.0;
        ((thousandths - thousandths.round()).abs() < 1e-6)
            .then(|| Self { num: thousandths.round() as u32, den: 1000 })
    }
}

/// A time span as written: in time, or in frames of the picture's rate.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub enum TimeSpan {
    /// Seconds.
    Time(Seconds),
    /// Frames at the picture's rate.
    Frames(f64),
}

impl TimeSpan {
    /// In seconds, given the picture's rate.
    pub fn seconds(self, rate: FrameRate) -> Seconds {
        match self {
            TimeSpan::Time(seconds) => seconds,
            TimeSpan::Frames(frames) => Seconds(frames / rate.per_second()),
        }
    }
}

/// How a lens maps angle to the picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Projection {
    /// Straight lines stay straight: `r = f tan θ`.
    Rectilinear,
    /// Equal angles take equal lengths: `r = f θ`.
    Equidistant,
}

/// Width and height of a picture in pixels.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct FrameSize {
    /// Pixels across.
    pub width: u32,
    /// Pixels down.
    pub height: u32,
}

/// From one value to another; `from` may be above `to` only where a statement says so.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Range<T> {
    /// The start.
    pub from: T,
    /// The end.
    pub to: T,
}

/// A point on the Earth, WGS 84.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct GeoPosition {
    /// Degrees north.
    pub latitude: f64,
    /// Degrees east.
    pub longitude: f64,
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Rates as OpenTimelineIO's `test_nearest_smpte_timecode_rate` snaps them.
    #[test]
    fn decimal_rates_are_the_trades_fractions() {
        for (written, num, den) in [
            (23.97, 24000, 1001),
            (23.976, 24000, 1001),
            (23.98, 24000, 1001),
            (29.97, 30000, 1001),
            (59.94, 60000, 1001),
            (24.0, 24, 1),
            (25.0, 25, 1),
            (12.5, 12500, 1000),
        ] {
            assert_eq!(FrameRate::from_written(written), Some(FrameRate { num, den }), "{written}");
        }
        assert_eq!(FrameRate::from_written(0.0), None);
        assert_eq!(FrameRate::from_written(f64::NAN), None);
    }
}
