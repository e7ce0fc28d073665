//! From metres to units of a picture, and the bar that says so.
//!
//! In: the largest length that must be seen, and the room for it. Out: a scale of the
//! series 1, 2, 5, so that drawings of one kind can be laid beside each other.

use super::draw::{Anchor, At, Canvas};
use crate::quantity::Length;

/// Units of the picture for each metre.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Scale(pub(crate) f64);

/// Finest and coarsest scale: a millimetre fills a drawing, or a kilometre does.
const FINEST: f64 = 100_000.0;
const COARSEST: f64 = 0.1;

impl Scale {
    /// The largest scale of the series at which a length fits.
    pub(crate) fn fitting(length: Length, room: f64) -> Self {
        if !(length.0 > 0.0 && length.0.is_finite()) {
            return Self(1000.0);
        }
        Self(down(room / length.0).clamp(COARSEST, FINEST))
    }

    /// A length in units of the picture.
    pub(crate) fn long(self, length: Length) -> f64 {
        length.0 * self.0
    }

    /// The bar: a length of the series, at most this long, with its words. Gives how wide
    /// it is.
    pub(crate) fn bar(self, canvas: &mut Canvas, at: At, most: f64) -> f64 {
        let length = Length(down(most / self.0));
        let (wide, (x, y)) = (self.long(length), at);
        canvas.line("thick", (x, y), (x + wide, y));
        for end in [x, x + wide] {
            canvas.line("stroke", (end, y - 4.0), (end, y + 4.0));
        }
        canvas.text("", (x + wide + 6.0, y + 4.0), Anchor::Start, 12.0, &length.to_string());
        wide
    }
}

/// The largest of 1, 2, 5 times a power of ten that is not above a value.
fn down(value: f64) -> f64 {
    let power = 10_f64.powf(value.log10().floor());
    let times = value / power * (1.0 + 1e-9);
    power
        * match times {
            many if many >= 5.0 => 5.0,
            some if some >= 2.0 => 2.0,
            _ => 1.0,
        }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scales_are_of_the_series_and_fit() {
        for (length, room, wanted) in [
            (0.06, 44.0, 500.0),
            (0.25, 44.0, 100.0),
            (0.005, 44.0, 5000.0),
            (2.0, 40.0, 20.0),
            (1.0, 1000.0, 1000.0),
        ] {
            let scale = Scale::fitting(Length(length), room);
            assert!((scale.0 - wanted).abs() < 1e-6, "{length}: {scale:?}");
            assert!(scale.long(Length(length)) <= room + 1e-6);
        }
        assert_eq!(Scale::fitting(Length(0.0), 44.0), Scale(1000.0));
        assert_eq!(Scale::fitting(Length(f64::NAN), 44.0), Scale(1000.0));
    }

    /// A tolerance of five centimetres is five hundredths of the scale.
    #[test]
    fn lengths_are_to_scale() {
        assert!((Scale(500.0).long(Length(0.05)) - 25.0).abs() < 1e-9);
    }
}
