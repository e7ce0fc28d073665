//! How far apart two places lie.
//!
//! In: positions on the Earth. Out: the straight way over the ground, always
//! finite; roads are longer.

use crate::quantity::{GeoPosition, Length};

/// Mean radius of the Earth, metres (IUGG: (2 a + b) / 3 of GRS 80).
const RADIUS: f64 = 6_371_009.0;

/// The way along a great circle, by the haversine formula:
/// `2 R asin √(sin²(Δφ/2) + cos φ₁ cos φ₂ sin²(Δλ/2))`. The Earth is taken as a
/// sphere, which is within half a percent.
pub fn distance(one: GeoPosition, other: GeoPosition) -> Length {
    let half = |a: f64, b: f64| ((b - a).to_radians() / 2.0).sin().powi(2);
    let across = one.latitude.to_radians().cos() * other.latitude.to_radians().cos();
    let whole = half(one.latitude, other.latitude) + across * half(one.longitude, other.longitude);
    Length(2.0 * RADIUS * whole.clamp(0.0, 1.0).sqrt().asin())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Python's geopy 2.5.0, `great_circle`: Newport to Cleveland, Land's End to
    /// John o' Groats, and two places of a town, 705.5 m on the sphere and 705.7 m
    /// on the ellipsoid.
    #[test]
    fn distances_are_those_of_the_reference_library() {
        let at = |latitude, longitude| GeoPosition { latitude, longitude };
        for (one, other, metres) in [
            (at(41.49008, -71.312796), at(41.499498, -81.695391), 864_214.494),
            (at(50.066_388_9, -5.714_722_2), at(58.643_888_9, -3.07), 968_854.915),
            (at(38.7056, -9.1657), at(38.7102, -9.1601), 705.509),
        ] {
            assert!((distance(one, other).0 - metres).abs() < 0.01, "{metres}");
            assert_eq!(distance(one, one).0, 0.0);
        }
    }
}
