//! Falls, slides and relative speed.
//!
//! In: heights and speeds. Out: times, speeds and lengths without air drag,
//! which is fair for a few metres.

use super::GRAVITY;
use crate::quantity::{Length, Seconds, Speed};

/// How long a free fall takes: `t = √(2h/g)`.
pub fn fall_time(height: Length) -> Seconds {
    Seconds((2.0 * height.0.max(0.0) / GRAVITY).sqrt())
}

/// How fast a free fall ends: `v = √(2gh)`.
pub fn fall_speed(height: Length) -> Speed {
    Speed((2.0 * GRAVITY * height.0.max(0.0)).sqrt())
}

/// How deep a free fall of that length goes: `h = g t² / 2`.
pub fn fall_height(time: Seconds) -> Length {
    Length(GRAVITY * time.0 * time.0 / 2.0)
}

/// How long a fall takes that begins with a speed downwards: `(v − v₀) / g`.
pub fn fall_time_from(start: Speed, height: Length) -> Seconds {
    Seconds((fall_speed_from(start, height).0 - start.0.max(0.0)) / GRAVITY)
}

/// How fast a fall ends that begins with a speed downwards: `v = √(v₀² + 2gh)`.
pub fn fall_speed_from(start: Speed, height: Length) -> Speed {
    Speed(start.0.max(0.0).hypot(fall_speed(height).0))
}

/// How far something slides until a speed difference is gone: `d = Δv² / (2μg)`
/// (Coulomb friction). `None` where nothing slows it.
pub fn slide_length(difference: Speed, friction: f64) -> Option<Length> {
    (friction > 0.0).then(|| Length(difference.0 * difference.0 / (2.0 * friction * GRAVITY)))
}

/// How long it slides until then: `t = Δv / (μg)`. `None` where nothing slows it.
pub fn slide_time(difference: Speed, friction: f64) -> Option<Seconds> {
    (friction > 0.0).then(|| Seconds(difference.0.abs() / (friction * GRAVITY)))
}

/// The speed difference that is gone after such a slide: `√(2μgd)`. `None` where
/// nothing slows it.
pub fn slide_speed(length: Length, friction: f64) -> Option<Speed> {
    (friction > 0.0).then(|| Speed((2.0 * friction * GRAVITY * length.0.max(0.0)).sqrt()))
}

/// How far something goes before it stands, when it is noticed first and slowed
/// then: `v t + v² / (2μg)`. `None` where nothing slows it.
pub fn stopping_length(speed: Speed, noticed: Seconds, friction: f64) -> Option<Length> {
    let slide = slide_length(speed, friction)?;
    Some(Length(speed.0.abs() * noticed.0.max(0.0)) + slide)
}

/// The greatest speed that such a way allows: `√(w² + 2μgd) − w`, with `w = μ g t`
/// for the time until it is noticed. `None` where nothing slows it.
pub fn stopping_speed(length: Length, noticed: Seconds, friction: f64) -> Option<Speed> {
    let brake = slide_speed(length, friction)?;
    let wait = friction * GRAVITY * noticed.0.max(0.0);
    Some(Speed(wait.hypot(brake.0) - wait))
}

/// Speed of one mover as seen from another on the same line: `|a − b|`;
/// opposite directions have opposite signs.
pub fn relative_speed(one: Speed, other: Speed) -> Speed {
    Speed((one.0 - other.0).abs())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Textbook values: half a metre takes 0.32 s, one metre 0.45 s; 50 m takes
    /// 3.2 s and ends at 31 m/s. Own arithmetic: 2 m takes 0.6387 s, 6.263 m/s.
    #[test]
    fn falls_take_as_long_as_in_the_textbook() {
        for (height, time, within) in
            [(0.5, 0.32, 0.005), (1.0, 0.45, 0.005), (50.0, 3.2, 0.05), (2.0, 0.6387, 0.0001)]
        {
            assert!((fall_time(Length(height)).0 - time).abs() < within);
        }
        assert!((fall_speed(Length(50.0)).0 - 31.0).abs() < 0.5);
        assert!((fall_speed(Length(2.0)).0 - 6.263).abs() < 0.001);
        assert_eq!(fall_time(Length(-1.0)).0, 0.0);
    }

    /// Galileo's odd numbers: distances in successive seconds are as 1 : 3 : 5.
    #[test]
    fn distances_grow_as_odd_numbers() {
        let depth = |time| fall_height(Seconds(time)).0;
        let first = depth(1.0);
        assert!(((depth(2.0) - depth(1.0)) / first - 3.0).abs() < 1e-9);
        assert!(((depth(3.0) - depth(2.0)) / first - 5.0).abs() < 1e-9);
        assert!((first - 4.903).abs() < 0.001);
        assert!((depth(2.0) - depth(1.0) - 14.710).abs() < 0.001);
        assert!((depth(3.0) - depth(2.0) - 24.517).abs() < 0.001);
    }

    /// A rail-braking text: from 80 km/h at 1.0 m/s² one needs "roughly 250" m;
    /// 1.0 m/s² is a friction of 0.102.
    #[test]
    fn a_slide_is_as_long_as_braking_with_the_same_force() {
        let length = slide_length(Speed(80.0 / 3.6), 1.0 / GRAVITY).unwrap();
        assert!((length.0 - 247.0).abs() < 1.0);
        assert_eq!(slide_length(Speed(3.0), 0.0), None);
        let time = slide_time(Speed(80.0 / 3.6), 1.0 / GRAVITY).unwrap();
        assert!((time.0 - 80.0 / 3.6).abs() < 1e-9, "22.2 s at 1.0 m/s²");
        assert_eq!(slide_time(Speed(3.0), 0.0), None);
    }

    /// Textbook exercises: of a fall of 19.6 m the last metre takes 0.05 s; one whose
    /// last second is 68 m (with g = 9.8) takes 7.4 s from 268 m.
    #[test]
    fn falls_are_fast_at_their_end() {
        let last = fall_time(Length(19.6)).0 - fall_time(Length(18.6)).0;
        assert!((last - 0.05).abs() < 0.003);
        let time = fall_time(Length(268.0));
        assert!((time.0 - 7.4).abs() < 0.01);
        let before = fall_height(Seconds(time.0 - 1.0));
        assert!((268.0 - before.0 - 68.0).abs() < 0.68);
    }

    /// Own arithmetic for falls that are told in frames: 2 m are 15.3 at 24, 16.0 at
    /// 25, 38.3 at 60, 76.6 at 120 frames a second; heights up to 20 m.
    #[test]
    fn falls_in_frames() {
        let time = fall_time(Length(2.0)).0;
        for (rate, frames) in [(24.0, 15.3), (25.0, 16.0), (60.0, 38.3), (120.0, 76.6)] {
            assert!((time * rate - frames).abs() < 0.05);
        }
        for (height, time) in [
            (0.5, 0.3193),
            (1.0, 0.4516),
            (3.0, 0.7822),
            (5.0, 1.0098),
            (10.0, 1.4281),
            (12.0, 1.564),
            (20.0, 2.0196),
        ] {
            assert!((fall_time(Length(height)).0 - time).abs() < 0.001);
        }
    }

    /// A tutor's exercise: thrown down at 2 m/s from 2.5 m it lands at 7.28 m/s.
    #[test]
    fn a_throw_ends_faster_and_sooner() {
        let speed = fall_speed_from(Speed(2.0), Length(2.5));
        assert!((speed.0 - 7.28).abs() < 0.01);
        let time = fall_time_from(Speed(2.0), Length(2.5));
        assert!((2.0 * time.0 + fall_height(time).0 - 2.5).abs() < 1e-9);
        assert!((fall_time_from(Speed(0.0), Length(2.0)).0 - fall_time(Length(2.0)).0).abs() < 1e-12);
    }

    /// The stopping distances of a national highway code, in miles an hour and
    /// metres; they imply 0.67 s of thinking and about 6.6 m/s² of braking (a road
    /// safety note), which is a friction of 0.673.
    #[test]
    fn cars_stop_as_the_highway_code_says() {
        for (miles, metres) in
            [(20.0, 12.0), (30.0, 23.0), (40.0, 36.0), (50.0, 53.0), (60.0, 73.0), (70.0, 96.0)]
        {
            let speed = Speed(miles * 1609.344 / 3600.0);
            let length = stopping_length(speed, Seconds(0.67), 6.6 / GRAVITY).unwrap();
            assert!((length.0 - metres).abs() < 1.0, "{miles} mph: {length}");
            let back = stopping_speed(length, Seconds(0.67), 6.6 / GRAVITY).unwrap();
            assert!((back.0 - speed.0).abs() < 1e-9);
        }
        assert_eq!(stopping_length(Speed(3.0), Seconds(0.67), 0.0), None);
        let speed = slide_speed(slide_length(Speed(2.8), 0.4).unwrap(), 0.4).unwrap();
        assert!((speed.0 - 2.8).abs() < 1e-9);
        assert_eq!(slide_speed(Length(3.0), 0.0), None);
    }

    /// Own arithmetic: head-on 30 and 5 km/h is 9.722 m/s; 90 past 80 km/h is 2.778 m/s.
    #[test]
    fn speeds_add_head_on_and_differ_side_by_side() {
        assert!((relative_speed(Speed(30.0 / 3.6), Speed(-5.0 / 3.6)).0 - 9.722).abs() < 0.001);
        assert!((relative_speed(Speed(90.0 / 3.6), Speed(80.0 / 3.6)).0 - 2.778).abs() < 0.001);
    }
}
