//! Hand-overs, blur and skew against points projected by OpenCV's pinhole camera.

use crate::random::Random;
use crate::script::{agree, case};
use seamster::craft::blur::{Movement, skew};
use seamster::craft::join::{self, Depth};
use seamster::quantity::{Angle, Length, Pixels, Seconds, Speed, TurnRate};
use serde_json::{Value, json};

const ENOUGH: usize = 1000;

#[test]
fn two_cameras_out_of_place_see_what_a_hand_over_is_said_to_show() {
    let mut random = Random::new("hand-over");
    let cases: Vec<Value> = (0..ENOUGH)
        .map(|_| {
            let (focal, offset) = (random.scaled(300.0, 4000.0), random.scaled(0.002, 0.5));
            let near = random.scaled(0.3, 30.0);
            let beyond = random.between(1.05, 50.0);
            let far = random.one_of(&[None, Some(near * beyond)]);
            let (turn, left, shift) =
                (random.between(0.1, 10.0), random.between(0.5, 80.0), random.between(0.5, 80.0));
            let depth = Depth { near: Length(near), far: far.map(Length) };
            let (pixels, off) = (Pixels(focal), Length(offset));
            case(
                json!({
                    "focal": focal, "offset": offset, "near": near, "far": far,
                    "turn": turn, "left": left, "shift": shift,
                }),
                json!({
                    "parallax": join::parallax(pixels, off, depth).0,
                    "turn": join::turn_error(pixels, Angle(turn)).0,
                    "turn_flat": join::turn_error(pixels, Angle(turn)).0,
                    "nearest": join::nearest_allowed(pixels, off, far.map(Length), Pixels(left)).map(|at| at.0),
                    "offset": join::offset_allowed(pixels, depth, Pixels(left)).map(|off| off.0),
                    "turn_allowed": join::turn_allowed(pixels, Pixels(shift)).0,
                }),
            )
        })
        .collect();
    agree("seen", "hand_over", &cases);
}

#[test]
fn points_smear_and_lean_as_far_as_blur_and_skew_say() {
    let mut random = Random::new("movement");
    let cases: Vec<Value> = (0..ENOUGH)
        .map(|_| {
            let (focal, exposure) = (random.scaled(300.0, 4000.0), 1.0 / random.scaled(24.0, 4000.0));
            let (turn, sway) = (random.between(0.0, 200.0), random.between(0.0, 40.0));
            // Nothing is passed by more than its distance while the shutter is open.
            let (travel, near) = (random.between(0.0, 12.0), random.scaled(1.0, 50.0));
            let readout = random.between(0.001, 0.035);
            let turning = Movement { turn: TurnRate(turn), sway: TurnRate(sway), ..Movement::default() };
            let passing = Movement { travel: Speed(travel), near: Some(Length(near)), ..Movement::default() };
            let both = Movement { travel: Speed(travel), near: Some(Length(near)), ..turning };
            let blur = |movement: Movement| movement.blur(Seconds(exposure), Pixels(focal)).0;
            case(
                json!({
                    "focal": focal, "exposure": exposure, "turn": turn, "sway": sway,
                    "travel": travel, "near": near, "readout": readout,
                }),
                json!({
                    "turning": blur(turning),
                    "passing": blur(passing),
                    "both": blur(both),
                    "skew": skew(TurnRate(turn), Seconds(readout), Pixels(focal)).0,
                }),
            )
        })
        .collect();
    agree("seen", "movement", &cases);
}
