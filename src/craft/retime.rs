//! Retimes: how much source a speed curve eats, and what it does to frames and blur.
//!
//! In: points of a speed curve over the result, its length, rates. Out: source
//! length and effective values. Speed 1 is real time as captured, 2 is double.

use crate::model::SpeedPoint;
use crate::quantity::{Angle, FrameRate, Seconds, Share};

/// Mean of a piecewise-linear speed curve over its result: `∫ speed d(out)` with
/// out from 0 to 1. Before the first point and behind the last the speed is held.
/// Backwards eats as much as forwards. 1 for no points.
pub fn mean_speed(curve: &[SpeedPoint]) -> f64 {
    let (Some(first), Some(last)) = (curve.first(), curve.last()) else { return 1.0 };
    let (from, to) = (first.at.0.clamp(0.0, 1.0), last.at.0.clamp(0.0, 1.0));
    let held = from * first.speed.0.abs() + (1.0 - to) * last.speed.0.abs();
    let swept: f64 = curve
        .windows(2)
        .map(|pair| match pair {
            [one, two] => (two.at.0 - one.at.0).max(0.0) * mean_between(one.speed.0, two.speed.0),
            _ => 0.0,
        })
        .sum();
    held + swept
}

/// Mean of a speed that goes evenly from one to another, backwards counted as
/// forwards: of two triangles where it turns round on the way.
fn mean_between(one: f64, two: f64) -> f64 {
    let (from, to) = (one.abs(), two.abs());
    if one * two < 0.0 { (from * from + to * to) / (2.0 * (from + to)) } else { (from + to) / 2.0 }
}

/// Source that the result needs, with handles at both ends: `out × mean speed + 2h`.
pub fn source_needed(result: Seconds, curve: &[SpeedPoint], handles: Seconds) -> Seconds {
    Seconds(result.0 * mean_speed(curve) + 2.0 * handles.0)
}

/// The slowest speed of a curve that is not a freeze; `None` for no points.
pub fn slowest(curve: &[SpeedPoint]) -> Option<Share> {
    curve.iter().map(|point| point.speed.0.abs()).filter(|&speed| speed > 0.0).reduce(f64::min).map(Share)
}

/// The fastest speed of a curve; `None` for no points.
pub fn fastest(curve: &[SpeedPoint]) -> Option<Share> {
    curve.iter().map(|point| point.speed.0.abs()).reduce(f64::max).map(Share)
}

/// Captured frames for each frame of the picture: `speed × capture / picture`.
/// Below 1 frames must be invented between captured ones.
pub fn frames_each(speed: Share, capture: FrameRate, picture: FrameRate) -> Share {
    Share(speed.0.abs() * capture.per_second() / picture.per_second().max(1e-9))
}

/// The slowest speed at which every frame of the picture was captured: `picture / capture`.
pub fn full_frames_speed(capture: FrameRate, picture: FrameRate) -> Share {
    Share(picture.per_second() / capture.per_second().max(1e-9))
}

/// Shutter angle that the eye reads in the result: `360° × e × picture rate / speed`.
/// Blur stays as captured while the step from frame to frame grows with the speed.
pub fn effective_shutter(exposure: Seconds, picture: FrameRate, speed: Share) -> Angle {
    Angle(360.0 * exposure.0 * picture.per_second() / speed.0.abs().max(1e-6))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rate(frames: u32) -> FrameRate {
        FrameRate { num: frames, den: 1 }
    }

    fn curve(points: &[(f64, f64)]) -> Vec<SpeedPoint> {
        points.iter().map(|&(at, speed)| SpeedPoint { at: Share(at), speed: Share(speed) }).collect()
    }

    /// Calculus: a linear ramp of 1 to 4 over 48 frames eats 120, 0.5 to 2 over 60
    /// eats 75. The sample edit list `speed_effects.edl`: 36 frames at 47.6 of 24
    /// frames a second eat 71.4 (the list shows 70).
    #[test]
    fn a_curve_eats_its_integral() {
        let frames = |out: f64, points: &[(f64, f64)]| out * mean_speed(&curve(points));
        assert!((frames(48.0, &[(0.0, 1.0), (1.0, 4.0)]) - 120.0).abs() < 1e-9);
        assert!((frames(60.0, &[(0.0, 0.5), (1.0, 2.0)]) - 75.0).abs() < 1e-9);
        let listed = 47.6 / 24.0;
        assert!((frames(36.0, &[(0.0, listed), (1.0, listed)]) - 71.4).abs() < 1e-9);
        assert!((frames(48.0, &[(0.5, 2.0)]) - 96.0).abs() < 1e-9);
        assert!((frames(48.0, &[(0.5, 0.5)]) - 24.0).abs() < 1e-9);
        assert!((frames(40.0, &[(0.0, 1.0), (0.25, 1.0), (0.5, 3.0), (1.0, 3.0)]) - 90.0).abs() < 1e-9);
        assert!((frames(48.0, &[(0.0, -2.0), (1.0, -2.0)]) - 96.0).abs() < 1e-9);
        assert!((frames(48.0, &[(0.0, -1.0), (1.0, 1.0)]) - 24.0).abs() < 1e-9);
        assert_eq!(mean_speed(&[]), 1.0);
    }

    /// Own arithmetic: 48 frames at double speed with 8 frames of handles are 112.
    #[test]
    fn handles_come_on_top() {
        let needed = source_needed(Seconds(48.0), &curve(&[(0.0, 2.0), (1.0, 2.0)]), Seconds(8.0));
        assert!((needed.0 - 112.0).abs() < 1e-9);
    }

    /// Slow-motion pages: 60 captured for 24 shown plays at 40 %, 120 for 24 at 20 %,
    /// 240 for 24 ten times slower and for 30 eight times, 120 for 30 and 100 for 25 four.
    #[test]
    fn overcranked_frames_slow_down_without_inventing() {
        for (capture, picture, speed) in [
            (60, 24, 0.4),
            (120, 24, 0.2),
            (240, 24, 0.1),
            (240, 30, 0.125),
            (120, 30, 0.25),
            (100, 25, 0.25),
        ] {
            assert!((full_frames_speed(rate(capture), rate(picture)).0 - speed).abs() < 1e-9);
            assert!((frames_each(Share(speed), rate(capture), rate(picture)).0 - 1.0).abs() < 1e-9);
        }
    }

    /// Own arithmetic: 180° at 200 % reads as 90°, at 50 % as 360°; captured at 180° of
    /// twice the rate and played frame by frame it stays 180°.
    #[test]
    fn the_shutter_reads_shorter_when_sped_up() {
        let shutter = Seconds(1.0 / 50.0);
        assert!((effective_shutter(shutter, rate(25), Share(2.0)).0 - 90.0).abs() < 1e-9);
        assert!((effective_shutter(shutter, rate(25), Share(0.5)).0 - 360.0).abs() < 1e-9);
        assert!((effective_shutter(Seconds(1.0 / 100.0), rate(25), Share(0.5)).0 - 180.0).abs() < 1e-9);
    }
    /// Calculus, of curves that points only approach: from 1 to 4 at an even ratio
    /// eats 103.87 of 48 frames (`48 × 3 / ln 4`), an eased 1 to 3 eats 96.
    #[test]
    fn many_points_follow_any_curve() {
        let along = |speed: fn(f64) -> f64| {
            let points: Vec<(f64, f64)> =
                (0..=1000).map(|step| f64::from(step) / 1000.0).map(|at| (at, speed(at))).collect();
            48.0 * mean_speed(&curve(&points))
        };
        assert!((along(|at| 4.0_f64.powf(at)) - 103.87).abs() < 0.005);
        assert!((along(|at| 1.0 + 2.0 * at * at * (3.0 - 2.0 * at)) - 96.0).abs() < 1e-6);
    }
}
