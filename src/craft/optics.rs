//! What a lens sees: pixels for each degree, width at a distance, angle covered.
//!
//! In: picture width, field of view, projection. Out: focal length in pixels and
//! what follows from it, always positive and finite.

use crate::quantity::{Angle, FrameSize, Length, Pixels, Projection};

/// Widest flat picture that is still taken at its word, degrees; a rectilinear
/// field of 180° would be infinitely wide.
const FLAT_LIMIT: f64 = 179.0;

/// Focal length in pixels, which is also the pixels for one radian at the centre
/// of the picture.
///
/// Rectilinear: `W / (2 tan(hfov/2))`; equidistant: `W / hfov` with the field in
/// radians (PanoTools, *Fisheye Projection*: `R = f θ`). Fields are kept to
/// 0.1°..179° (flat) or 0.1°..360°.
pub fn focal(width: u32, view: Angle, projection: Projection) -> Pixels {
    let width = f64::from(width.max(1));
    let view = view.0.abs().max(0.1);
    Pixels(match projection {
        Projection::Rectilinear => width / (2.0 * (view.min(FLAT_LIMIT) / 2.0).to_radians().tan()),
        Projection::Equidistant => width / view.min(360.0).to_radians(),
    })
}

/// Pixels for each degree at the centre of the picture: `f π / 180`.
pub fn pixels_per_degree(focal: Pixels) -> f64 {
    focal.0 * std::f64::consts::PI / 180.0
}

/// Width of what is seen on a wall at a distance: `2 D tan(hfov/2)`. `None` for a
/// field of 180° and more, which no wall fills.
pub fn field_width(distance: Length, view: Angle) -> Option<Length> {
    let half = view.0 / 2.0;
    (half > 0.0 && half < 89.9).then(|| Length(2.0 * distance.0 * half.to_radians().tan()))
}

/// Angle that something of a width covers, seen from the middle: `2 atan(W / 2D)`;
/// 180° from a distance of nothing.
pub fn angle_covered(width: Length, distance: Length) -> Angle {
    Angle((2.0 * (width.0 / 2.0).atan2(distance.0.max(0.0))).to_degrees())
}

/// Field of view down the picture, from the one across it.
///
/// Rectilinear: `2 atan(H / 2f)`; equidistant: `H / f`.
pub fn view_down(frame: FrameSize, view: Angle, projection: Projection) -> Angle {
    let focal = focal(frame.width, view, projection).0;
    let height = f64::from(frame.height);
    Angle(match projection {
        Projection::Rectilinear => (2.0 * (height / (2.0 * focal)).atan()).to_degrees(),
        Projection::Equidistant => (height / focal).to_degrees(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Stereo camera maker's calibration reader: 640 px at 71.9° is 441.25 px,
    /// 1280 px is 882.5 px.
    #[test]
    fn a_flat_focal_length_is_that_of_the_calibration_reader() {
        let focal = |width| focal(width, Angle(71.9), Projection::Rectilinear).0;
        assert!((focal(640) - 441.25).abs() < 0.1);
        assert!((focal(1280) - 882.5).abs() < 0.2);
    }

    /// Own arithmetic: 3,840 px over 120° is 32 px a degree everywhere; a flat
    /// picture of 90° has 33.51 px a degree at its centre.
    #[test]
    fn pixels_for_a_degree() {
        let round = focal(3840, Angle(120.0), Projection::Equidistant);
        assert!((pixels_per_degree(round) - 32.0).abs() < 1e-9);
        let flat = focal(3840, Angle(90.0), Projection::Rectilinear);
        assert!((flat.0 - 1920.0).abs() < 1e-9);
        assert!((pixels_per_degree(flat) - 33.51).abs() < 0.005);
    }

    /// Claff, *Angle of View Values* (2006), 36×24 mm: 24 mm sees 73.7° × 53.1°,
    /// 50 mm 39.6° × 27.0°. Width of view by the same formula: 50 mm at 10 m is
    /// 7.20 m, 24 mm at 3 m is 4.50 m.
    #[test]
    fn fields_are_those_of_the_lens_tables() {
        for (millimetres, across, down) in [(24.0, 73.7, 53.1), (50.0, 39.6, 27.0), (100.0, 20.4, 13.7)] {
            let view = angle_covered(Length(0.036), Length(millimetres / 1000.0));
            assert!((view.0 - across).abs() < 0.05);
            let frame = FrameSize { width: 3600, height: 2400 };
            assert!((view_down(frame, view, Projection::Rectilinear).0 - down).abs() < 0.06);
        }
        let wide = |millimetres: f64| angle_covered(Length(0.036), Length(millimetres / 1000.0));
        assert!((field_width(Length(10.0), wide(50.0)).unwrap().0 - 7.2).abs() < 1e-9);
        assert!((field_width(Length(3.0), wide(24.0)).unwrap().0 - 4.5).abs() < 1e-9);
        assert_eq!(field_width(Length(1.0), Angle(200.0)), None);
    }

    #[test]
    fn no_field_breaks_the_sums() {
        for view in [0.0, -5.0, 180.0, 359.0, 1e9] {
            for projection in [Projection::Rectilinear, Projection::Equidistant] {
                let focal = focal(1920, Angle(view), projection).0;
                assert!(focal.is_finite() && focal > 0.0);
            }
        }
    }
}
