//! Falls and slides against integration of the equations of motion.

use crate::random::Random;
use crate::script::{agree, case};
use seamster::craft::motion;
use seamster::quantity::{Length, Seconds, Speed};
use serde_json::{Value, json};

#[test]
fn falls_agree_with_integration() {
    let mut random = Random::new("falls");
    let cases: Vec<Value> = (0..1000)
        .map(|_| {
            let (height, time) = (random.scaled(0.01, 500.0), random.scaled(0.01, 10.0));
            case(
                json!({"height": height, "time": time}),
                json!({
                    "time": motion::fall_time(Length(height)).0,
                    "speed": motion::fall_speed(Length(height)).0,
                    "height": motion::fall_height(Seconds(time)).0,
                }),
            )
        })
        .collect();
    agree("motion", "fall", &cases);
}

#[test]
fn throws_agree_with_integration() {
    let mut random = Random::new("throws");
    let cases: Vec<Value> = (0..1000)
        .map(|_| {
            let (start, height) = (random.between(0.0, 15.0), random.scaled(0.01, 500.0));
            let (speed, length) = (Speed(start), Length(height));
            case(
                json!({"start": start, "height": height}),
                json!({
                    "time": motion::fall_time_from(speed, length).0,
                    "speed": motion::fall_speed_from(speed, length).0,
                }),
            )
        })
        .collect();
    agree("motion", "throw", &cases);
}

#[test]
fn slides_agree_with_integration() {
    let mut random = Random::new("slides");
    let cases: Vec<Value> = (0..1000)
        .map(|_| {
            let (speed, friction) = (random.between(0.1, 30.0), random.between(0.02, 1.2));
            let (noticed, way) = (random.between(0.05, 3.0), random.scaled(0.1, 200.0));
            let stopping = motion::stopping_length(Speed(speed), Seconds(noticed), friction);
            case(
                json!({"speed": speed, "friction": friction, "noticed": noticed, "way": way}),
                json!({
                    "length": motion::slide_length(Speed(speed), friction).map(|length| length.0),
                    "stopping": stopping.map(|length| length.0),
                    "speed": motion::slide_speed(Length(way), friction).map(|speed| speed.0),
                }),
            )
        })
        .collect();
    agree("motion", "slide", &cases);
}
