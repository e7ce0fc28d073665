//! Exposure, as a time and as degrees of a shutter.
//!
//! In: exposures, angles, rates. Out: the other of the two, and the shutters that
//! cameras really offer.

use crate::quantity::{Angle, FrameRate, Seconds};

/// Shutters that cameras offer, as the number below the one.
const USUAL: &[u32] = &[
    25, 30, 50, 60, 100, 120, 160, 200, 240, 320, 400, 480, 640, 800, 960, 1000, 1250, 1600, 2000, 2500,
    3200, 4000, 5000, 6400, 8000,
];

/// Degrees of a turning shutter that expose for so long: `360° × e × rate`. Above
/// 360° the exposure is longer than the frame and cannot be.
pub fn angle(exposure: Seconds, rate: FrameRate) -> Angle {
    Angle(360.0 * exposure.0 * rate.per_second())
}

/// How long degrees of a shutter expose: `angle / 360° / rate`.
pub fn exposure(angle: Angle, rate: FrameRate) -> Seconds {
    Seconds(angle.0 / 360.0 / rate.per_second().max(1e-9))
}

/// The slowest shutter of a usual camera that is no slower than this.
pub fn usual(slowest: Seconds) -> Option<Seconds> {
    USUAL.iter().map(|&below| Seconds(1.0 / f64::from(below))).find(|usual| usual.0 <= slowest.0 * 1.000_001)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rate(written: f64) -> FrameRate {
        FrameRate::from_written(written).unwrap()
    }

    /// A cinema camera's operation guide, page on shutter angles at 23.98 (2020):
    /// to a tenth of a percent, as printed.
    #[test]
    fn angles_are_those_of_a_makers_table() {
        for (degrees, below) in [
            (360.0, 23.98),
            (270.0, 31.97),
            (180.0, 47.95),
            (172.8, 49.95),
            (144.0, 59.94),
            (120.0, 71.93),
            (90.0, 95.90),
            (72.0, 119.88),
            (45.0, 191.81),
            (22.5, 383.62),
            (11.2, 770.66),
        ] {
            let time = exposure(Angle(degrees), rate(23.976)).0;
            assert!((time * below - 1.0).abs() < 0.001, "{degrees}");
        }
    }

    /// A school's page for 24 frames (its 1/198 for 45° is a slip, 1/192 is right);
    /// a camera maker's questions page: 180° at 30, 120 and 25 is 1/60, 1/240, 1/50;
    /// another camera's manual: 24 frames at 180° integrate 20.833 ms.
    #[test]
    fn angles_at_whole_rates() {
        for (frames, degrees, below) in [
            (24.0, 180.0, 48.0),
            (24.0, 172.8, 50.0),
            (24.0, 144.0, 60.0),
            (24.0, 90.0, 96.0),
            (24.0, 72.0, 120.0),
            (24.0, 45.0, 192.0),
            (30.0, 180.0, 60.0),
            (120.0, 180.0, 240.0),
            (25.0, 180.0, 50.0),
        ] {
            assert!((exposure(Angle(degrees), rate(frames)).0 * below - 1.0).abs() < 1e-9);
            assert!((angle(Seconds(1.0 / below), rate(frames)).0 - degrees).abs() < 1e-9);
        }
        assert!((exposure(Angle(180.0), rate(24.0)).0 * 1000.0 - 20.833).abs() < 0.001);
    }

    /// An action camera maker's notes at 24 frames: 1/1500 s is 5.76°, 1/96 s is 90°.
    #[test]
    fn short_exposures_as_angles() {
        assert!((angle(Seconds(1.0 / 1500.0), rate(24.0)).0 - 5.76).abs() < 0.001);
        assert!((angle(Seconds(1.0 / 96.0), rate(24.0)).0 - 90.0).abs() < 1e-9);
    }

    #[test]
    fn a_usual_shutter_is_never_slower_than_asked() {
        assert_eq!(usual(Seconds(1.0 / 50.0)), Some(Seconds(1.0 / 50.0)));
        assert_eq!(usual(Seconds(1.0 / 333.0)), Some(Seconds(1.0 / 400.0)));
        assert_eq!(usual(Seconds(1e-6)), None);
    }
}
