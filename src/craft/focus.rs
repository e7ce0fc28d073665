//! What is in focus: hyperfocal distance and depth of field.
//!
//! In: focal length, stop, circle of confusion, distances from the lens. Out:
//! distances, positive and finite; `None` for the far end means the horizon.
//! Formulas are those of a thin lens (Greenleaf, *Photographic Optics*, 1950, as
//! depth-of-field pages print them).

use crate::quantity::Length;

/// A lens as far as focus goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lens {
    /// Its real focal length, not one "as on 35 mm".
    pub focal: Length,
    /// Focal length divided by the width of the opening; `f/8` is 8.
    pub stop: f64,
    /// The largest disc on the sensor that still looks like a point.
    pub circle: Length,
}

/// From where to where things look sharp.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Depth {
    /// Nearest.
    pub near: Length,
    /// Farthest; `None` is the horizon.
    pub far: Option<Length>,
}

/// Where to focus, and how far to close the lens.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Setting {
    /// Distance to focus at.
    pub at: Length,
    /// The widest stop that does.
    pub stop: f64,
}

/// Circle of confusion of a sensor, in proportion to the 0.03 mm that worked
/// examples take for a picture 36 mm wide (a convention; who delivers larger
/// takes less).
pub fn usual_circle(sensor_width: Length) -> Length {
    sensor_width * (0.03 / 36.0)
}

impl Lens {
    fn is_real(self) -> bool {
        let positive = |value: f64| value > 0.0 && value.is_finite();
        positive(self.focal.0) && positive(self.stop) && positive(self.circle.0)
    }

    /// The nearest distance to focus at that keeps the horizon sharp:
    /// `H = f² / (N c) + f`. `None` for a lens without length, opening or circle.
    pub fn hyperfocal(self) -> Option<Length> {
        self.is_real().then(|| Length(self.focal.0.powi(2) / (self.stop * self.circle.0) + self.focal.0))
    }

    /// What is sharp when focused at a distance: `s(H − f) / (H + s − 2f)` to
    /// `s(H − f) / (H − s)`. `None` for a distance that is not beyond the focal length.
    pub fn depth(self, at: Length) -> Option<Depth> {
        let (hyperfocal, focal) = (self.hyperfocal()?.0, self.focal.0);
        if !(at.0 > focal && at.0.is_finite()) {
            return None;
        }
        let top = at.0 * (hyperfocal - focal);
        let near = Length(top / (hyperfocal + at.0 - 2.0 * focal));
        let far = (at.0 < hyperfocal).then(|| Length(top / (hyperfocal - at.0)));
        Some(Depth { near, far })
    }
}

/// How to keep everything from near to far sharp: `s = 2nF / (n + F)` (twice the
/// near distance for the horizon) and `N = f² (s − n) / (n c (s − f))`; both are
/// the limits of [`Lens::depth`] turned round. `None` where near is within the
/// focal length or not nearer than far.
pub fn setting_for(depth: Depth, focal: Length, circle: Length) -> Option<Setting> {
    let (near, focal) = (depth.near.0, focal.0);
    let at = match depth.far {
        None => 2.0 * near,
        Some(far) if far.0 > near => 2.0 * near * far.0 / (near + far.0),
        Some(_) => return None,
    };
    if !(focal > 0.0 && circle.0 > 0.0 && near > focal && at.is_finite()) {
        return None;
    }
    Some(Setting { at: Length(at), stop: focal.powi(2) * (at - near) / (near * circle.0 * (at - focal)) })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lens(focal: f64, stop: f64, circle: f64) -> Lens {
        Lens { focal: Length(focal / 1000.0), stop, circle: Length(circle / 1000.0) }
    }

    /// An encyclopedia's worked example: 50 mm at f/8 with 0.03 mm is 10,467 mm,
    /// 10,417 mm by the shorter formula without `+ f`. A photographer's table with
    /// 0.033 mm has 9,470 mm and an army course 20.8 ft for a 2 in lens at f/8 with
    /// 0.002 in, both by the shorter formula.
    #[test]
    fn the_hyperfocal_distance_is_that_of_the_worked_examples() {
        let hyperfocal = lens(50.0, 8.0, 0.03).hyperfocal().unwrap();
        assert!((hyperfocal.0 * 1000.0 - 10_467.0).abs() < 1.0);
        let shorter = |lens: Lens| lens.hyperfocal().unwrap().0 - lens.focal.0;
        assert!((shorter(lens(50.0, 8.0, 0.03)) * 1000.0 - 10_417.0).abs() < 1.0);
        assert!((shorter(lens(50.0, 8.0, 0.033)) * 1000.0 - 9470.0).abs() < 1.0);
        assert!((shorter(lens(50.8, 8.0, 0.0508)) / 0.3048 - 20.8).abs() < 0.05);
    }

    /// The same example: focused at 10,467 mm it is sharp from 5,233 mm to the
    /// horizon, focused at half of it from 3,494 mm (a third is 3,489) to 10,417 mm.
    /// The army course: from 10.4 ft on.
    #[test]
    fn half_and_a_third_of_it_are_the_near_limits() {
        let lens_50 = lens(50.0, 8.0, 0.03);
        let hyperfocal = lens_50.hyperfocal().unwrap();
        let at = |distance: Length| lens_50.depth(distance).unwrap();
        assert!((at(hyperfocal).near.0 * 1000.0 - 5233.0).abs() < 1.0);
        assert_eq!(at(hyperfocal).far, None);
        let half = at(hyperfocal * 0.5);
        assert!((half.near.0 * 1000.0 - 3494.0).abs() < 1.0);
        assert!((half.far.unwrap().0 * 1000.0 - 10_417.0).abs() < 3.0);
        let army = lens(50.8, 8.0, 0.0508);
        assert!((army.depth(army.hyperfocal().unwrap()).unwrap().near.0 / 0.3048 - 10.4).abs() < 0.1);
    }

    /// The equations of depth-of-field pages (Greenleaf 1950) at 3 m: 2,337.9 and
    /// 4,185.3 mm.
    #[test]
    fn both_limits_at_three_metres() {
        let depth = lens(50.0, 8.0, 0.03).depth(Length(3.0)).unwrap();
        assert!((depth.near.0 * 1000.0 - 2337.9).abs() < 0.1);
        assert!((depth.far.unwrap().0 * 1000.0 - 4185.3).abs() < 0.1);
    }

    #[test]
    fn a_setting_gives_exactly_the_depth_asked_for() {
        let focal = Length(0.05);
        let circle = Length(0.000_03);
        for far in [Some(Length(4.0)), Some(Length(100.0)), None] {
            let wanted = Depth { near: Length(2.0), far };
            let setting = setting_for(wanted, focal, circle).unwrap();
            // A hair wider, so that the horizon does not hang on the last digit.
            let lens = Lens { focal, stop: setting.stop * 1.000_000_1, circle };
            let got = lens.depth(setting.at).unwrap();
            assert!((got.near.0 - 2.0).abs() < 1e-5, "{got:?}");
            match (got.far, far) {
                (Some(got), Some(far)) => assert!((got.0 - far.0).abs() < 1e-3),
                (got, far) => assert_eq!(got, far),
            }
        }
        let turned = Depth { near: Length(4.0), far: Some(Length(2.0)) };
        assert_eq!(setting_for(turned, focal, circle), None);
        let inside = Depth { near: Length(0.04), far: None };
        assert_eq!(setting_for(inside, focal, circle), None);
    }

    #[test]
    fn no_lens_gives_a_number_that_is_none() {
        for (focal, stop, circle) in
            [(0.0, 8.0, 0.03), (50.0, 0.0, 0.03), (50.0, 8.0, 0.0), (f64::NAN, 8.0, 0.03)]
        {
            assert_eq!(lens(focal, stop, circle).hyperfocal(), None);
            assert_eq!(lens(focal, stop, circle).depth(Length(3.0)), None);
        }
        assert_eq!(lens(50.0, 8.0, 0.03).depth(Length(0.05)), None);
        assert!((usual_circle(Length(0.036)).0 - 0.000_03).abs() < 1e-12);
    }
}
