//! Where a lens points, and what a phone's level may be out.
//!
//! In: heights, distances, angles off. Out: tilts, and shifts in pixels of the
//! picture that the focal length belongs to. Plain trigonometry.

use super::optics::off_axis;
use crate::quantity::{Angle, Length, Pixels, Projection};

/// Tilt that puts a point on the axis: `atan((target − lens) / distance)`; up is
/// positive. Straight up or down from a distance of nothing.
pub fn tilt_to(lens: Length, target: Length, distance: Length) -> Angle {
    Angle((target.0 - lens.0).atan2(distance.0.max(0.0)).to_degrees())
}

/// How far below (or above) the middle of the picture the horizon lies when the
/// lens is tilted up (or down). `None` where a flat picture does not show it.
pub fn horizon(tilt: Angle, focal: Pixels, projection: Projection) -> Option<Pixels> {
    off_axis(tilt, focal.0, projection).map(Pixels)
}

/// How far a roll lifts one edge of a picture: `W/2 × sin(roll)`; a quarter turn
/// at the most.
pub fn roll_shift(width: Pixels, roll: Angle) -> Pixels {
    Pixels(width.0 / 2.0 * roll.0.abs().min(90.0).to_radians().sin())
}

/// The roll that lifts one edge of a picture by so much; 90° at the most.
pub fn roll_for(width: Pixels, shift: Pixels) -> Angle {
    let share = if width.0 > 0.0 { (2.0 * shift.0.max(0.0) / width.0).min(1.0) } else { 1.0 };
    Angle(share.asin().to_degrees())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::craft::optics::focal;

    /// Own arithmetic by the 3-4-5 triangle and tan 45° = 1.
    #[test]
    fn a_lens_looks_down_at_what_is_lower() {
        assert!((tilt_to(Length(1.7), Length(0.7), Length(1.0)).0 + 45.0).abs() < 1e-9);
        assert!((tilt_to(Length(0.0), Length(3.0), Length(4.0)).0 - 36.869_898).abs() < 1e-6);
        assert_eq!(tilt_to(Length(1.0), Length(0.0), Length(0.0)).0, -90.0);
        assert_eq!(tilt_to(Length(1.2), Length(1.2), Length(2.0)).0, 0.0);
    }

    /// Own arithmetic: a flat picture 3,840 px wide at 90° has 1,920 px a radian, so
    /// a tilt by 45° puts the horizon on the edge of a square picture.
    #[test]
    fn the_horizon_stands_where_the_tilt_puts_it() {
        let flat = focal(3840, Angle(90.0), Projection::Rectilinear);
        assert!((horizon(Angle(45.0), flat, Projection::Rectilinear).unwrap().0 - 1920.0).abs() < 1e-9);
        let down = horizon(Angle(-10.0), flat, Projection::Rectilinear).unwrap();
        assert!((down.0 + 1920.0 * 0.176_327).abs() < 0.001);
        assert_eq!(horizon(Angle(90.0), flat, Projection::Rectilinear), None);
        let round = focal(3840, Angle(120.0), Projection::Equidistant);
        assert!((horizon(Angle(90.0), round, Projection::Equidistant).unwrap().0 - 2880.0).abs() < 1e-9);
    }

    /// sin 30° = 1/2: a picture 1,920 wide lifts its edge by 480.
    #[test]
    fn a_roll_lifts_the_edges() {
        assert!((roll_shift(Pixels(1920.0), Angle(-30.0)).0 - 480.0).abs() < 1e-9);
        assert!((roll_for(Pixels(1920.0), Pixels(480.0)).0 - 30.0).abs() < 1e-9);
        assert_eq!(roll_for(Pixels(1920.0), Pixels(5000.0)).0, 90.0);
        assert_eq!(roll_for(Pixels(0.0), Pixels(1.0)).0, 90.0);
    }
}
