//! Exposure under lamps on the mains.
//!
//! In: exposure time and mains frequency. Out: how many pulses of light one
//! frame gathers, and the nearest exposures that gather whole ones. Lamps pulse
//! at twice the mains frequency; a frame that gathers whole pulses is as bright
//! as the next one at any frame rate.

use crate::quantity::{Frequency, Seconds};

/// How even frames are under lamps.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Evenness {
    /// Whole pulses, to half a hundredth of one.
    Even,
    /// Within a twentieth of whole pulses: a slow beat that may be seen
    /// (1/125 s on 60 Hz mains gathers 0.96 pulses).
    Nearly,
    /// Neither.
    Uneven,
}

/// Pulses of light that one frame gathers: `2 f e`.
pub fn pulses(exposure: Seconds, mains: Frequency) -> f64 {
    2.0 * mains.0 * exposure.0
}

/// How even frames are: exposure a multiple of `1 / (2 f)`.
pub fn evenness(exposure: Seconds, mains: Frequency) -> Evenness {
    let pulses = pulses(exposure, mains);
    let whole = pulses.round();
    match (pulses - whole).abs() {
        _ if whole < 1.0 => Evenness::Uneven,
        off if off <= 0.005 => Evenness::Even,
        off if off <= 0.05 => Evenness::Nearly,
        _ => Evenness::Uneven,
    }
}

/// The nearest even exposures that fit into a frame: the next shorter and the
/// next longer, either of which may not exist.
pub fn nearest_even(
    exposure: Seconds,
    mains: Frequency,
    frame: Seconds,
) -> (Option<Seconds>, Option<Seconds>) {
    if mains.0 <= 0.0 {
        return (None, None);
    }
    let pulses = pulses(exposure, mains);
    let one = 1.0 / (2.0 * mains.0);
    let shorter = (pulses + 1e-9).floor();
    let longer = (pulses - 1e-9).ceil().max(1.0);
    let fits =
        |count: f64| (count >= 1.0 && count * one <= frame.0 * 1.000_001).then_some(Seconds(count * one));
    (fits(shorter), fits(longer))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// photo-spectrum.info, measured by oscilloscope: on 50 Hz 1/100, 1/50, 3/100
    /// and 1/25 s are even; a camera manual for 60 Hz: 1/120, 1/60, 1/30 s.
    #[test]
    fn whole_pulses_are_even() {
        for exposure in [1.0 / 100.0, 1.0 / 50.0, 3.0 / 100.0, 1.0 / 25.0] {
            assert_eq!(evenness(Seconds(exposure), Frequency(50.0)), Evenness::Even);
        }
        for exposure in [1.0 / 120.0, 1.0 / 60.0, 1.0 / 40.0, 1.0 / 30.0] {
            assert_eq!(evenness(Seconds(exposure), Frequency(60.0)), Evenness::Even);
        }
    }

    /// The same pages: 1/48 s on 50 Hz is 2.083 pulses, 1/60 s is 1.667, 1/200 s
    /// half a pulse and near one stop of change. A maker's list calls 1/125 s safe
    /// on 60 Hz; it is 0.96 of a pulse, near but not even.
    #[test]
    fn broken_pulses_are_not() {
        for exposure in [1.0 / 48.0, 1.0 / 60.0, 1.0 / 200.0, 1.0 / 1000.0] {
            assert_eq!(evenness(Seconds(exposure), Frequency(50.0)), Evenness::Uneven);
        }
        assert!((pulses(Seconds(1.0 / 48.0), Frequency(50.0)) - 2.083).abs() < 0.001);
        assert_eq!(evenness(Seconds(1.0 / 125.0), Frequency(60.0)), Evenness::Nearly);
    }

    /// 172.8° at 24 frames is 1/50 s, 144° is 1/60 s (a cinema camera's guide).
    #[test]
    fn the_nearest_even_shutters_are_the_trades() {
        let frame = Seconds(1.0 / 24.0);
        let (shorter, longer) = nearest_even(Seconds(1.0 / 48.0), Frequency(50.0), frame);
        assert!((shorter.unwrap().0 - 172.8 / 360.0 / 24.0).abs() < 1e-9);
        assert!((longer.unwrap().0 - 0.03).abs() < 1e-9);
        let (shorter, _) = nearest_even(Seconds(1.0 / 48.0), Frequency(60.0), frame);
        assert!((shorter.unwrap().0 - 144.0 / 360.0 / 24.0).abs() < 1e-9);
        let fast = nearest_even(Seconds(1.0 / 400.0), Frequency(50.0), Seconds(1.0 / 120.0));
        assert_eq!(fast, (None, None));
    }
}
