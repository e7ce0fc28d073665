//! Quantities as people read them. The one place where floats are rounded.

use super::{Angle, Celsius, Data, FrameRate, Hours, Length, Mass, Pixels, Seconds, Share, Speed, TurnRate};
use std::fmt::{Display, Formatter, Result};

/// A number with at most `places` decimals, without trailing zeros or a minus zero.
pub fn number(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    let text = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    if text == "-0" { "0".into() } else { text.into() }
}

impl Display for Length {
    fn fmt(&self, f: &mut Formatter<'_>) -> Result {
        match self.0.abs() {
            size if size > 0.0 && size < 0.01 => write!(f, "{} mm", number(self.0 * 1000.0, 1)),
            size if size > 0.0 && size < 1.0 => write!(f, "{} cm", number(self.0 * 100.0, 1)),
            size if size >= 1000.0 => write!(f, "{} km", number(self.0 / 1000.0, 1)),
            _ => write!(f, "{} m", number(self.0, 2)),
        }
    }
}

impl Display for Mass {
    fn fmt(&self, f: &mut Formatter<'_>) -> Result {
        if self.0.abs() < 1.0 {
            write!(f, "{} g", number(self.0 * 1000.0, 0))
        } else {
            write!(f, "{} kg", number(self.0, 2))
        }
    }
}

impl Display for Seconds {
    fn fmt(&self, f: &mut Formatter<'_>) -> Result {
        match self.0.abs() {
            span if span > 0.0 && span < 0.1 => write!(f, "{} ms", number(self.0 * 1000.0, 1)),
            span if span < 120.0 => write!(f, "{} s", number(self.0, 2)),
            span if span < 7200.0 => write!(f, "{} min", number(self.0 / 60.0, 1)),
            _ => {
                let minutes = (self.0 / 60.0).round() as i64;
                write!(f, "{} h {:02} min", minutes / 60, (minutes % 60).abs())
            }
        }
    }
}

macro_rules! show {
    ($($name:ident, $places:literal, $unit:literal;)*) => {$(
        impl Display for $name {
            fn fmt(&self, f: &mut Formatter<'_>) -> Result {
                write!(f, concat!("{}", $unit), number(self.0, $places))
            }
        }
    )*};
}

show! {
    Angle, 1, "°";
    TurnRate, 1, "°/s";
    Speed, 1, " m/s";
    Pixels, 1, " px";
    Hours, 1, " h";
    Celsius, 0, " °C";
}

impl Display for Share {
    fn fmt(&self, f: &mut Formatter<'_>) -> Result {
        write!(f, "{} %", number(self.0 * 100.0, 0))
    }
}

impl Display for Data {
    fn fmt(&self, f: &mut Formatter<'_>) -> Result {
        if self.0 >= 1e9 {
            write!(f, "{} GB", number(self.0 / 1e9, 1))
        } else {
            write!(f, "{} MB", number(self.0 / 1e6, 0))
        }
    }
}

impl Display for FrameRate {
    fn fmt(&self, f: &mut Formatter<'_>) -> Result {
        write!(f, "{} fps", number(self.per_second(), 3))
    }
}

/// An exposure time as a fraction of a second, as the trade writes it: `1/50 s`.
pub fn exposure(seconds: Seconds) -> String {
    if seconds.0 > 0.0 && seconds.0 < 0.5 {
        format!("1/{} s", number(1.0 / seconds.0, 0))
    } else {
        format!("{} s", number(seconds.0, 2))
    }
}

/// Pixels as people read them: whole ones from ten on.
pub fn px(pixels: Pixels) -> String {
    format!("{} px", number(pixels.0, if pixels.0.abs() < 10.0 { 1 } else { 0 }))
}

/// A tilt in words: `35° down`, `10° up`, `level`.
pub fn tilt(angle: Angle) -> String {
    match angle.0 {
        down if down <= -0.05 => format!("{} down", -angle),
        up if up >= 0.05 => format!("{angle} up"),
        _ => "level".into(),
    }
}

/// A tolerance that a tape can set, rounded down: whole centimetres from two on.
pub fn tape(tolerance: Length) -> String {
    format!("{} cm", number(on_tape(tolerance).0 * 100.0, 1))
}

/// The tolerance that [`tape`] prints.
pub fn on_tape(tolerance: Length) -> Length {
    let centimetres = tolerance.0 * 100.0 + 1e-9;
    let step = match centimetres {
        many if many >= 2.0 => 1.0,
        some if some >= 0.5 => 0.5,
        _ => 0.1,
    };
    Length((centimetres / step).floor() * step / 100.0)
}

/// A tolerance that a phone's level can set, rounded down: whole degrees from two
/// on, halves below.
pub fn level(tolerance: Angle) -> String {
    format!("{}°", number(on_level(tolerance).0, 1))
}

/// The tolerance that [`level`] prints.
pub fn on_level(tolerance: Angle) -> Angle {
    let degrees = tolerance.0 + 1e-9;
    let step = match degrees {
        many if many >= 2.0 => 1.0,
        some if some >= 0.5 => 0.5,
        _ => 0.1,
    };
    Angle((degrees / step).floor() * step)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantities_read_as_a_person_would_say_them() {
        assert_eq!(Length(0.04).to_string(), "4 cm");
        assert_eq!(Length(1.68).to_string(), "1.68 m");
        assert_eq!(Seconds(0.016).to_string(), "16 ms");
        assert_eq!(Seconds(9000.0).to_string(), "2 h 30 min");
        assert_eq!(Angle(-0.01).to_string(), "0°");
        assert_eq!(FrameRate { num: 24000, den: 1001 }.to_string(), "23.976 fps");
        assert_eq!(exposure(Seconds(0.02)), "1/50 s");
    }

    #[test]
    fn tolerances_are_rounded_down_to_what_can_be_set() {
        assert_eq!(tape(Length(0.0478)), "4 cm");
        assert_eq!(tape(Length(0.0199)), "1.5 cm");
        assert_eq!(tape(Length(0.004)), "0.4 cm");
        assert_eq!(level(Angle(2.9)), "2°");
        assert_eq!(level(Angle(1.4)), "1°");
        assert_eq!(tilt(Angle(-35.0)), "35° down");
        assert_eq!(tilt(Angle(0.0)), "level");
    }
}
