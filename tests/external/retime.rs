//! Speed curves against numerical integration.

use crate::random::Random;
use crate::script::{agree, case};
use seamster::craft::retime;
use seamster::model::SpeedPoint;
use seamster::quantity::{Seconds, Share};
use serde_json::{Value, json};

/// Points in order, one in five with a speed backwards.
fn curve(random: &mut Random) -> Vec<SpeedPoint> {
    let count = random.whole(1, 7);
    let mut at: Vec<f64> = (0..count).map(|_| random.between(0.0, 1.0)).collect();
    at.sort_by(f64::total_cmp);
    at.into_iter()
        .map(|at| {
            let sign = random.one_of(&[1.0, 1.0, 1.0, 1.0, -1.0]);
            SpeedPoint { at: Share(at), speed: Share(sign * random.scaled(0.05, 10.0)) }
        })
        .collect()
}

#[test]
fn curves_eat_what_integration_says() {
    let mut random = Random::new("curves");
    let cases: Vec<Value> = (0..1200)
        .map(|_| {
            let points = curve(&mut random);
            let (result, handles) = (random.between(0.2, 20.0), random.between(0.0, 2.0));
            let pairs: Vec<[f64; 2]> = points.iter().map(|point| [point.at.0, point.speed.0]).collect();
            case(
                json!({"points": pairs, "result": result, "handles": handles}),
                json!({
                    "mean": retime::mean_speed(&points),
                    "needed": retime::source_needed(Seconds(result), &points, Seconds(handles)).0,
                    "slowest": retime::slowest(&points).map(|speed| speed.0),
                    "fastest": retime::fastest(&points).map(|speed| speed.0),
                }),
            )
        })
        .collect();
    agree("retime", "curve", &cases);
}
