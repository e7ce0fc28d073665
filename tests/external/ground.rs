//! Distances over the ground against another formula.

use crate::random::Random;
use crate::script::{agree, case};
use seamster::craft::ground::distance;
use seamster::quantity::GeoPosition;
use serde_json::{Value, json};

#[test]
fn distances_agree_with_another_formula() {
    let mut random = Random::new("distances");
    let cases: Vec<Value> = (0..1000)
        .map(|_| {
            let one = GeoPosition {
                latitude: random.between(-89.0, 89.0),
                longitude: random.between(-180.0, 180.0),
            };
            // From across the yard to across the country.
            let apart = random.scaled(1e-5, 10.0);
            let other = GeoPosition {
                latitude: (one.latitude + random.between(-apart, apart)).clamp(-90.0, 90.0),
                longitude: (one.longitude + random.between(-apart, apart)).clamp(-180.0, 180.0),
            };
            case(
                json!({"one": [one.latitude, one.longitude], "other": [other.latitude, other.longitude]}),
                json!({"distance": distance(one, other).0}),
            )
        })
        .collect();
    agree("ground", "distance", &cases);
}
