//! What a lens sees: pixels for each degree, width at a distance, angle covered.
//!
//! In: picture width, field of view, projection. Out: focal length in pixels and
//! what follows from it, always positive and finite.

use crate::quantity::{Angle, FrameSize, Length, Pixels, Projection};

/// The widest view that a flat picture may be said to have; at 180° it would be
/// infinitely wide (a convention).
pub const WIDEST_FLAT: Angle = Angle(170.0);

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

/// Pixels for each degree at an angle off the axis, along the way outwards: the
/// same everywhere when equidistant; over `cos²θ` when rectilinear, which `None`
/// says is beyond 89.9°.
pub fn pixels_per_degree_at(focal: Pixels, off: Angle, projection: Projection) -> Option<f64> {
    match projection {
        Projection::Equidistant => Some(pixels_per_degree(focal)),
        Projection::Rectilinear => {
            (off.0.abs() <= 89.9).then(|| pixels_per_degree(focal) / off.radians().cos().powi(2))
        }
    }
}

/// How far from the middle something appears that is an angle off the axis, in the
/// unit of the focal length: `f tan θ` when rectilinear, `f θ` when equidistant
/// (PanoTools, *Fisheye Projection*). `None` beyond 89.9° on a flat picture and
/// beyond 180° on any.
pub fn off_axis(off: Angle, focal: f64, projection: Projection) -> Option<f64> {
    match projection {
        Projection::Rectilinear => (off.0.abs() <= 89.9).then(|| focal * off.radians().tan()),
        Projection::Equidistant => (off.0.abs() <= 180.0).then(|| focal * off.radians()),
    }
}

/// Field across, of a lens of a real focal length on a sensor of a width:
/// `2 atan(w / 2f)` when rectilinear, `w / f` when equidistant. `None` for lengths
/// that are not positive and for an equidistant field beyond 360°.
pub fn view(sensor: Length, focal: Length, projection: Projection) -> Option<Angle> {
    if !(sensor.0 > 0.0 && focal.0 > 0.0) {
        return None;
    }
    let view = match projection {
        Projection::Rectilinear => angle_covered(sensor, focal),
        Projection::Equidistant => Angle((sensor.0 / focal.0).to_degrees()),
    };
    (view.0 > 0.0 && view.0 <= 360.0).then_some(view)
}

/// The real focal length that gives a field on a sensor: [`view`] turned round.
/// `None` for a flat field of 180° and more.
pub fn focal_length(sensor: Length, view: Angle, projection: Projection) -> Option<Length> {
    match projection {
        Projection::Rectilinear if view.0 > 0.0 && view.0 < 180.0 => {
            Some(Length(sensor.0 / (2.0 * (view.radians() / 2.0).tan())))
        }
        Projection::Equidistant if view.0 > 0.0 && view.0 <= 360.0 => Some(Length(sensor.0 / view.radians())),
        _ => None,
    }
}

/// The distance from which a field is as wide as that: `W / (2 tan(hfov/2))`.
/// `None` for a field of 180° and more.
pub fn distance_for(width: Length, view: Angle) -> Option<Length> {
    let at_one_metre = field_width(Length(1.0), view)?;
    Some(Length(width.0 / at_one_metre.0))
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
    /// 50 mm 39.6° × 27.0°, and so on. Width of view by the same formula: 50 mm at 10 m is
    /// 7.20 m, 24 mm at 3 m is 4.50 m.
    #[test]
    fn fields_are_those_of_the_lens_tables() {
        for (millimetres, across, down) in [
            (10.0, 121.9, 100.4),
            (18.0, 90.0, 67.4),
            (24.0, 73.7, 53.1),
            (28.0, 65.5, 46.4),
            (35.0, 54.4, 37.8),
            (50.0, 39.6, 27.0),
            (100.0, 20.4, 13.7),
        ] {
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

    /// The same table, and to six digits a converter's page; a public test of a
    /// renderer has 0.95002151 rad for 35 mm on 36 mm.
    #[test]
    fn fields_follow_from_focal_length_and_sensor() {
        let flat = |millimetres: f64| {
            view(Length(0.036), Length(millimetres / 1000.0), Projection::Rectilinear).unwrap()
        };
        for (millimetres, degrees, within) in [
            (10.0, 121.9, 0.05),
            (14.0, 104.3, 0.05),
            (18.0, 90.0, 0.05),
            (20.0, 84.0, 0.05),
            (24.0, 73.739795, 1e-5),
            (28.0, 65.470453, 1e-5),
            (35.0, 54.432223, 1e-5),
            (50.0, 39.597753, 1e-5),
            (85.0, 23.9, 0.05),
            (135.0, 15.189287, 1e-5),
        ] {
            assert!((flat(millimetres).0 - degrees).abs() < within, "{millimetres} mm");
            let back = focal_length(Length(0.036), flat(millimetres), Projection::Rectilinear).unwrap();
            assert!((back.0 * 1000.0 - millimetres).abs() < 1e-9);
        }
        assert!((flat(35.0).radians() - 0.950_021_51).abs() < 1e-8);
        assert!((distance_for(Length(7.2), flat(50.0)).unwrap().0 - 10.0).abs() < 1e-9);
        assert!((distance_for(Length(36.0 / 7.0), flat(35.0)).unwrap().0 - 5.0).abs() < 1e-9);
        assert_eq!(distance_for(Length(1.0), Angle(180.0)), None);
        for (sensor, focal) in [(0.0, 0.02), (0.036, 0.0), (-1.0, 0.02), (f64::NAN, 0.02)] {
            assert_eq!(view(Length(sensor), Length(focal), Projection::Rectilinear), None);
        }
        assert_eq!(view(Length(0.036), Length(0.001), Projection::Equidistant), None);
        assert_eq!(focal_length(Length(0.036), Angle(180.0), Projection::Rectilinear), None);
    }

    /// A survey maker's support page: pixels of 2.412 µm behind 8.8 mm, 3,648 of them
    /// down the picture, see 27.41 mm of ground each from 100 m (height / 3,648).
    #[test]
    fn a_pixel_sees_as_much_ground_as_survey_says() {
        let view = view(Length(3648.0 * 2.412e-6), Length(0.0088), Projection::Rectilinear).unwrap();
        let ground = field_width(Length(100.0), view).unwrap().0 / 3648.0;
        assert!((ground / 0.02741 - 1.0).abs() < 0.001);
    }

    /// PanoTools, *Fisheye Projection*, with f = 8 mm at 90°: equidistant 12.57 mm.
    /// Such a lens sees 180° on a sensor twice as wide.
    #[test]
    fn a_fisheye_lays_equal_angles_side_by_side() {
        let radius = off_axis(Angle(90.0), 8.0, Projection::Equidistant).unwrap();
        assert!((radius - 12.57).abs() < 0.005);
        let round = view(Length(2.0 * radius / 1000.0), Length(0.008), Projection::Equidistant).unwrap();
        assert!((round.0 - 180.0).abs() < 1e-9);
        let back = focal_length(Length(2.0 * radius / 1000.0), round, Projection::Equidistant).unwrap();
        assert!((back.0 - 0.008).abs() < 1e-12);
        assert!((off_axis(Angle(45.0), 8.0, Projection::Rectilinear).unwrap() - 8.0).abs() < 1e-9);
        assert_eq!(off_axis(Angle(90.0), 8.0, Projection::Rectilinear), None);
    }

    /// Own arithmetic: 3,840 px flat at 90° have 33.51 px a degree in the middle and
    /// 67.02 at the edge; the mean is 42.67. Equidistant 120°: 32 everywhere.
    #[test]
    fn a_flat_picture_stretches_towards_its_edge() {
        let flat = focal(3840, Angle(90.0), Projection::Rectilinear);
        let at = |off| pixels_per_degree_at(flat, Angle(off), Projection::Rectilinear);
        assert!((at(0.0).unwrap() - 33.51).abs() < 0.005);
        assert!((at(45.0).unwrap() - 67.02).abs() < 0.005);
        assert_eq!(at(90.0), None);
        let steps = 100_000;
        let mean =
            (0..steps).filter_map(|step| at(45.0 * (f64::from(step) + 0.5) / f64::from(steps))).sum::<f64>()
                / f64::from(steps);
        assert!((mean - 42.667).abs() < 0.001);
        let round = focal(3840, Angle(120.0), Projection::Equidistant);
        assert!(
            (pixels_per_degree_at(round, Angle(60.0), Projection::Equidistant).unwrap() - 32.0).abs() < 1e-9
        );
        assert!((round.0 - 1833.5).abs() < 0.05);
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
