//! Whether a screen covers what moves in front of it.
//!
//! In: screen size, distance from the lens, the field swept. Out: the size that
//! is needed, the distance from which a screen is enough, the lens height. The
//! screen is taken to face the lens, its middle on the axis.

use super::optics::angle_covered;
use crate::quantity::{Angle, Length, Projection};

/// A field swept in the picture, as angles across and down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sweep {
    /// Across.
    pub across: Angle,
    /// Down.
    pub down: Angle,
}

/// Width and height on a flat screen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Area {
    /// Width.
    pub width: Length,
    /// Height.
    pub height: Length,
}

/// The part of a flat screen, one metre from the lens, that lies behind a sweep.
///
/// Rectilinear: the rectangle in the picture is a rectangle on the screen,
/// `2 tan(a/2) × 2 tan(b/2)`. Equidistant: its corners lie at the angle
/// `θ = √((a/2)² + (b/2)²)` from the axis and land farther out on the screen, at
/// `tan θ` times their direction. `None` where a corner looks past the screen's
/// plane (`θ ≥ 85°`).
fn area_at_one_metre(sweep: Sweep, projection: Projection) -> Option<Area> {
    let (across, down) = (sweep.across.0 / 2.0, sweep.down.0 / 2.0);
    if !(across > 0.0 && down > 0.0) {
        return None;
    }
    let corner = across.hypot(down);
    match projection {
        Projection::Rectilinear if across < 85.0 && down < 85.0 => Some(Area {
            width: Length(2.0 * across.to_radians().tan()),
            height: Length(2.0 * down.to_radians().tan()),
        }),
        Projection::Equidistant if corner < 85.0 => {
            let reach = corner.to_radians().tan();
            Some(Area {
                width: Length(2.0 * reach * across / corner),
                height: Length(2.0 * reach * down / corner),
            })
        }
        _ => None,
    }
}

/// The screen that a sweep needs at a distance from the lens; `None` where no
/// flat screen would do.
pub fn needed(sweep: Sweep, distance: Length, projection: Projection) -> Option<Area> {
    let area = area_at_one_metre(sweep, projection)?;
    Some(Area { width: area.width * distance.0, height: area.height * distance.0 })
}

/// The farthest distance from the lens at which a screen covers a sweep; `None`
/// where none would do.
pub fn farthest(sweep: Sweep, screen: Area, projection: Projection) -> Option<Length> {
    let area = area_at_one_metre(sweep, projection)?;
    Some(Length((screen.width.0 / area.width.0).min(screen.height.0 / area.height.0)))
}

/// The angles that a screen covers from the middle of its axis: `2 atan(W / 2D)`.
pub fn covered(screen: Area, distance: Length) -> Sweep {
    Sweep { across: angle_covered(screen.width, distance), down: angle_covered(screen.height, distance) }
}

/// Lens heights at which the upper and lower edge of a sweep both fall on an
/// upright screen: `foot + d tan(b/2 − t)` to `foot + H − d tan(b/2 + t)`, with the
/// tilt `t` upwards. `None` where there is no such height.
pub fn lens_heights(
    foot: Length,
    height: Length,
    distance: Length,
    down: Angle,
    tilt: Angle,
) -> Option<(Length, Length)> {
    let (upper, lower) = (tilt.0 + down.0 / 2.0, tilt.0 - down.0 / 2.0);
    if upper >= 85.0 || lower <= -85.0 {
        return None;
    }
    let lowest = foot.0 - distance.0 * lower.to_radians().tan();
    let highest = foot.0 + height.0 - distance.0 * upper.to_radians().tan();
    (lowest <= highest).then_some((Length(lowest), Length(highest)))
}

/// Height that an upright screen needs at a distance, `d (tan(t + b/2) − tan(t − b/2))`,
/// with the tilt `t` upwards. `None` where an edge looks past it.
pub fn height_needed(distance: Length, down: Angle, tilt: Angle) -> Option<Length> {
    let (upper, lower) = (tilt.0 + down.0 / 2.0, tilt.0 - down.0 / 2.0);
    let looks = upper < 85.0 && lower > -85.0;
    looks.then(|| distance * (upper.to_radians().tan() - lower.to_radians().tan()))
}

/// Heights above the floor at which the lower edge of an upright screen may stand
/// so that a lens at that height sees both edges of a sweep on it; the equation of
/// [`lens_heights`] solved for the foot. `None` where there is none above the floor.
pub fn feet(
    lens: Length,
    height: Length,
    distance: Length,
    down: Angle,
    tilt: Angle,
) -> Option<(Length, Length)> {
    let (low, high) = lens_heights(Length(0.0), height, distance, down, tilt)?;
    let (lowest, highest) = (Length((lens - high).0.max(0.0)), lens - low);
    (lowest <= highest).then_some((lowest, highest))
}

/// The largest share of a sweep, across and down alike, that a screen covers; 1 is
/// all of it, `None` where not even a hundredth is.
pub fn share_covered(sweep: Sweep, screen: Area, distance: Length, projection: Projection) -> Option<f64> {
    let covers = |share: f64| {
        let part = Sweep { across: sweep.across * share, down: sweep.down * share };
        needed(part, distance, projection)
            .is_some_and(|need| need.width <= screen.width && need.height <= screen.height)
    };
    (1..=100).rev().map(|hundredth| f64::from(hundredth) / 100.0).find(|&share| covers(share))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sweep(across: f64, down: f64) -> Sweep {
        Sweep { across: Angle(across), down: Angle(down) }
    }

    fn area(width: f64, height: f64) -> Area {
        Area { width: Length(width), height: Length(height) }
    }

    /// Angle of view tables: 36 mm at 24 mm is 73.74°, so a 3 m screen at 2 m is too.
    #[test]
    fn a_screen_covers_the_angle_of_the_lens_tables() {
        assert!((covered(area(3.0, 2.0), Length(2.0)).across.0 - 73.74).abs() < 0.005);
        let back = farthest(sweep(73.739795, 10.0), area(3.0, 9.0), Projection::Rectilinear).unwrap();
        assert!((back.0 - 2.0).abs() < 1e-6);
    }

    #[test]
    fn need_and_distance_agree() {
        for projection in [Projection::Rectilinear, Projection::Equidistant] {
            let distance = farthest(sweep(50.0, 36.0), area(3.0, 2.0), projection).unwrap();
            let need = needed(sweep(50.0, 36.0), distance, projection).unwrap();
            assert!(need.width.0 <= 3.0 + 1e-9 && need.height.0 <= 2.0 + 1e-9);
            assert!((need.width.0 - 3.0).abs() < 1e-9 || (need.height.0 - 2.0).abs() < 1e-9);
        }
    }

    /// Equidistant mapping, `r = f θ` (PanoTools): the corner of 60° × 80° lies 50°
    /// off the axis, tan 50° = 1.19175, in the direction 3 : 4.
    #[test]
    fn a_fisheye_corner_reaches_farther_out() {
        let round = needed(sweep(60.0, 80.0), Length(1.0), Projection::Equidistant).unwrap();
        assert!((round.width.0 - 2.0 * 1.191754 * 0.6).abs() < 1e-5);
        assert!((round.height.0 - 2.0 * 1.191754 * 0.8).abs() < 1e-5);
        let flat = needed(sweep(60.0, 80.0), Length(1.0), Projection::Rectilinear).unwrap();
        assert!(flat.width < round.width && flat.height < round.height);
        assert_eq!(needed(sweep(170.0, 90.0), Length(1.0), Projection::Equidistant), None);
    }

    #[test]
    fn the_lens_stands_where_both_edges_meet_the_screen() {
        let level =
            lens_heights(Length(0.0), Length(2.0), Length(1.0), Angle(53.130102), Angle(0.0)).unwrap();
        // tan(26.565°) = 0.5
        assert!((level.0.0 - 0.5).abs() < 1e-6 && (level.1.0 - 1.5).abs() < 1e-6);
        assert_eq!(lens_heights(Length(0.0), Length(2.0), Length(5.0), Angle(53.0), Angle(0.0)), None);
    }

    /// tan 8.13° = 1/7 and tan −45° = −1: at 7 m a view from 45° down to 8.13° up
    /// takes 8 m of screen, and a lens at 3 m needs its foot 4 m under the floor.
    #[test]
    fn the_screen_stands_where_the_lens_wants_it() {
        let up = (1.0f64 / 7.0).atan().to_degrees();
        let (down, tilt) = (Angle(45.0 + up), Angle((up - 45.0) / 2.0));
        let tall = height_needed(Length(7.0), down, tilt).unwrap();
        assert!((tall.0 - 8.0).abs() < 1e-9);
        assert_eq!(feet(Length(3.0), tall, Length(7.0), down, tilt), None);
        let (low, high) = feet(Length(9.0), Length(8.5), Length(7.0), down, tilt).unwrap();
        assert!((low.0 - 1.5).abs() < 1e-9 && (high.0 - 2.0).abs() < 1e-9);
        let (low, high) = lens_heights(Length(1.8), Length(8.5), Length(7.0), down, tilt).unwrap();
        assert!(low.0 <= 9.0 && 9.0 <= high.0);
    }

    #[test]
    fn the_share_that_fits_just_fits() {
        for projection in [Projection::Rectilinear, Projection::Equidistant] {
            let share = share_covered(sweep(70.0, 45.0), area(3.0, 2.0), Length(3.1), projection).unwrap();
            let part = |share: f64| {
                needed(sweep(70.0 * share, 45.0 * share), Length(3.1), projection).unwrap().width.0
            };
            assert!(part(share) <= 3.0 && part(share + 0.02) > 3.0);
        }
    }
}
