//! Exposure under lamps on the mains.
//!
//! In: exposure time and mains frequency. Out: how many pulses of light one
//! frame gathers, and the nearest exposures that gather whole ones. Lamps pulse
//! at twice the mains frequency; a frame that gathers whole pulses is as bright
//! as the next one at any frame rate.

use crate::quantity::{FrameRate, Frequency, Seconds};

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

/// Every even exposure that fits into a frame, shortest first: `n / (2 f)`. At
/// most a thousand of them.
pub fn even_exposures(mains: Frequency, rate: FrameRate) -> Vec<Seconds> {
    if mains.0 <= 0.0 {
        return Vec::new();
    }
    let most = (2.0 * mains.0 / rate.per_second().max(1e-9) * 1.000_001).floor().min(1000.0);
    (1..=most as u32).map(|count| Seconds(f64::from(count) / (2.0 * mains.0))).collect()
}

/// How often uneven frames go bright and dark: the distance of the lamps' pulses
/// from the nearest multiple of the frame rate, `|2f − k × rate|`. Nothing for 0.
pub fn beat(mains: Frequency, rate: FrameRate) -> Frequency {
    let (pulses, rate) = (2.0 * mains.0, rate.per_second().max(1e-9));
    Frequency((pulses - (pulses / rate).round() * rate).abs())
}

/// Bands across the picture of a short exposure: pulses during the readout, `2 f T`.
pub fn bands(mains: Frequency, readout: Seconds) -> f64 {
    2.0 * mains.0 * readout.0
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
        for (below, gathered) in [(48.0, 2.083), (60.0, 1.667), (200.0, 0.5)] {
            assert!((pulses(Seconds(1.0 / below), Frequency(50.0)) - gathered).abs() < 0.001);
        }
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
    /// Own arithmetic in degrees of a shutter; 172.8° and 144° at 24 frames stand in
    /// a cinema camera's guide.
    #[test]
    fn every_even_shutter_as_an_angle() {
        for (mains, rate, degrees) in [
            (50.0, 24.0, vec![86.4, 172.8, 259.2, 345.6]),
            (60.0, 24.0, vec![72.0, 144.0, 216.0, 288.0, 360.0]),
            (50.0, 25.0, vec![90.0, 180.0, 270.0, 360.0]),
            (60.0, 30.0, vec![90.0, 180.0, 270.0, 360.0]),
            (60.0, 25.0, vec![75.0, 150.0, 225.0, 300.0]),
            (50.0, 30.0, vec![108.0, 216.0, 324.0]),
            (50.0, 120.0, vec![]),
        ] {
            let rate = FrameRate::from_written(rate).unwrap();
            let found = even_exposures(Frequency(mains), rate);
            assert_eq!(found.len(), degrees.len(), "{mains} Hz, {rate}");
            for (exposure, degrees) in found.into_iter().zip(degrees) {
                assert!((crate::craft::shutter::angle(exposure, rate).0 - degrees).abs() < 1e-6);
            }
        }
        assert!(even_exposures(Frequency(0.0), FrameRate { num: 25, den: 1 }).is_empty());
    }

    /// Own arithmetic: 100 pulses against 24 frames beat at 4 Hz, 120 against 29.97
    /// at 0.12 Hz. A rolling-shutter measurer's notes: 50 ms on 60 Hz show 6 bands.
    #[test]
    fn uneven_frames_beat_and_band() {
        let beat = |mains, rate| beat(Frequency(mains), FrameRate::from_written(rate).unwrap()).0;
        assert!((beat(50.0, 24.0) - 4.0).abs() < 1e-9);
        assert!((beat(60.0, 29.97) - 0.12).abs() < 0.001);
        assert!(beat(50.0, 25.0) < 1e-9);
        assert!((bands(Frequency(60.0), Seconds(0.05)) - 6.0).abs() < 1e-9);
    }
}
