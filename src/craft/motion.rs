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

/// How far something slides until a speed difference is gone: `d = Δv² / (2μg)`
/// (Coulomb friction). `None` where nothing slows it.
pub fn slide_length(difference: Speed, friction: f64) -> Option<Length> {
    (friction > 0.0).then(|| Length(difference.0 * difference.0 / (2.0 * friction * GRAVITY)))
}

/// How long it slides until then: `t = Δv / (μg)`. `None` where nothing slows it.
pub fn slide_time(difference: Speed, friction: f64) -> Option<Seconds> {
    (friction > 0.0).then(|| Seconds(difference.0.abs() / (friction * GRAVITY)))
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

    /// Own arithmetic: head-on 30 and 5 km/h is 9.722 m/s; 90 past 80 km/h is 2.778 m/s.
    #[test]
    fn speeds_add_head_on_and_differ_side_by_side() {
        assert!((relative_speed(Speed(30.0 / 3.6), Speed(-5.0 / 3.6)).0 - 9.722).abs() < 0.001);
        assert!((relative_speed(Speed(90.0 / 3.6), Speed(80.0 / 3.6)).0 - 2.778).abs() < 0.001);
    }
}
