//! Depth of field against light followed through a thin lens.

use crate::random::Random;
use crate::script::{agree, case};
use seamster::craft::focus::{Depth, Lens, setting_for};
use seamster::quantity::Length;
use serde_json::{Value, json};

#[test]
fn what_is_sharp_is_where_rays_meet_closely_enough() {
    let mut random = Random::new("depth");
    let cases: Vec<Value> = (0..1000)
        .map(|_| {
            let lens = Lens {
                focal: Length(random.scaled(0.002, 0.2)),
                stop: random.scaled(1.2, 22.0),
                circle: Length(random.scaled(0.000_003, 0.000_04)),
            };
            let at = Length(lens.focal.0 * random.scaled(3.0, 2000.0));
            let depth = lens.depth(at).unwrap();
            case(
                json!({"focal": lens.focal.0, "stop": lens.stop, "circle": lens.circle.0, "at": at.0}),
                json!({
                    "hyperfocal": lens.hyperfocal().unwrap().0,
                    "near": depth.near.0,
                    "far": depth.far.map(|far| far.0),
                }),
            )
        })
        .collect();
    agree("focus", "depth", &cases);
}

#[test]
fn a_setting_keeps_sharp_what_was_asked_for() {
    let mut random = Random::new("setting");
    let cases: Vec<Value> = (0..1000)
        .map(|_| {
            let (focal, circle) = (random.scaled(0.002, 0.2), random.scaled(0.000_003, 0.000_04));
            let near = focal * random.scaled(5.0, 1000.0);
            let far = near * random.between(1.05, 30.0);
            let wanted = Depth { near: Length(near), far: Some(Length(far)) };
            let setting = setting_for(wanted, Length(focal), Length(circle)).unwrap();
            case(
                json!({"focal": focal, "circle": circle, "at": setting.at.0, "stop": setting.stop}),
                json!({"near": near, "far": far}),
            )
        })
        .collect();
    agree("focus", "setting", &cases);
}
