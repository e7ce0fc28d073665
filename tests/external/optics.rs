//! Fields and focal lengths against the camera models of OpenCV.

use crate::random::Random;
use crate::script::{agree, case};
use seamster::craft::{aim, optics};
use seamster::quantity::{Angle, FrameSize, Length, Pixels, Projection};
use serde_json::{Value, json};

const ENOUGH: usize = 1000;

pub(crate) fn projection(random: &mut Random) -> (&'static str, Projection) {
    random.one_of(&[("rectilinear", Projection::Rectilinear), ("equidistant", Projection::Equidistant)])
}

/// The models of OpenCV see what is before the camera, so less than 180°.
#[test]
fn pictures_are_those_of_the_camera_models() {
    let mut random = Random::new("pictures");
    let cases: Vec<Value> = (0..2 * ENOUGH)
        .map(|_| {
            let frame =
                FrameSize { width: random.whole(320, 8192) as u32, height: random.whole(240, 4320) as u32 };
            let (word, projection) = projection(&mut random);
            // An equidistant picture may be taller than its field is wide.
            let view = random.between(1.0, if projection == Projection::Rectilinear { 175.0 } else { 170.0 });
            let height = if projection == Projection::Rectilinear {
                frame.height
            } else {
                frame.height.min(frame.width)
            };
            let frame = FrameSize { height, ..frame };
            let off = random.between(-85.0, 85.0);
            let focal = optics::focal(frame.width, Angle(view), projection);
            case(
                json!({
                    "width": frame.width,
                    "height": frame.height,
                    "view": view,
                    "projection": word,
                    "off": off,
                }),
                json!({
                    "focal": focal.0,
                    "scale": optics::pixels_per_degree(focal),
                    "scale_at": optics::pixels_per_degree_at(focal, Angle(off), projection),
                    "off_axis": optics::off_axis(Angle(off), focal.0, projection),
                    "down": optics::view_down(frame, Angle(view), projection).0,
                }),
            )
        })
        .collect();
    agree("optics", "picture", &cases);
}

#[test]
fn lenses_are_what_a_camera_matrix_means() {
    let mut random = Random::new("lenses");
    let (mut flat, mut round) = (Vec::new(), Vec::new());
    for _ in 0..ENOUGH {
        let (sensor, focal) = (random.between(3.0, 60.0), random.scaled(1.0, 300.0));
        let (width, height) = (random.whole(320, 8192), random.whole(240, 4320));
        let across =
            optics::view(Length(sensor / 1e3), Length(focal / 1e3), Projection::Rectilinear).unwrap();
        let frame = FrameSize { width: width as u32, height: height as u32 };
        let back = optics::focal_length(Length(sensor / 1e3), across, Projection::Rectilinear).unwrap();
        flat.push(case(
            json!({"sensor": sensor, "focal": focal, "width": width, "height": height}),
            json!({
                "across": across.0,
                "down": optics::view_down(frame, across, Projection::Rectilinear).0,
                "focal": back.0 * 1e3,
            }),
        ));
        let (view, sensor, focal) = (
            random.between(1.0, 179.0),
            Length(sensor / 1e3),
            Length(sensor / 1e3 / random.between(0.1, 3.0)),
        );
        let across = optics::view(sensor, focal, Projection::Equidistant).unwrap();
        let from_view = optics::focal_length(sensor, Angle(view), Projection::Equidistant).unwrap();
        round.push(case(
            json!({"sensor": sensor.0, "focal": focal.0, "view": view}),
            json!({"across": across.0, "focal": from_view.0}),
        ));
    }
    agree("optics", "lens", &flat);
    agree("optics", "round_lens", &round);
}

#[test]
fn walls_fill_the_field_of_the_camera_model() {
    let mut random = Random::new("walls");
    let cases: Vec<Value> = (0..ENOUGH)
        .map(|_| {
            let (distance, size) = (random.scaled(0.1, 100.0), random.scaled(0.05, 50.0));
            let view = random.between(1.0, 170.0);
            case(
                json!({"distance": distance, "size": size, "view": view}),
                json!({
                    "width": optics::field_width(Length(distance), Angle(view)).map(|width| width.0),
                    "distance": optics::distance_for(Length(size), Angle(view)).map(|away| away.0),
                    "covered": optics::angle_covered(Length(size), Length(distance)).0,
                }),
            )
        })
        .collect();
    agree("optics", "wall", &cases);
}

#[test]
fn tilted_and_rolled_cameras_see_what_the_camera_models_see() {
    let mut random = Random::new("aim");
    let cases: Vec<Value> = (0..ENOUGH)
        .map(|_| {
            let (lens, target) = (random.between(0.0, 4.0), random.between(0.0, 4.0));
            let (distance, tilt) = (random.scaled(0.3, 100.0), random.between(-80.0, 80.0));
            let (word, projection) = projection(&mut random);
            let (focal, width) = (random.scaled(200.0, 5000.0), random.between(320.0, 8192.0));
            let (roll, shift) = (random.between(-90.0, 90.0), random.between(0.0, width / 2.0));
            case(
                json!({
                    "lens": lens, "target": target, "distance": distance, "tilt": tilt,
                    "projection": word, "focal": focal, "width": width, "roll": roll, "shift": shift,
                }),
                json!({
                    "tilt": aim::tilt_to(Length(lens), Length(target), Length(distance)).0,
                    "horizon": aim::horizon(Angle(tilt), Pixels(focal), projection).map(|shift| shift.0),
                    "lifted": aim::roll_shift(Pixels(width), Angle(roll)).0,
                    "roll": aim::roll_for(Pixels(width), Pixels(shift)).0,
                }),
            )
        })
        .collect();
    agree("optics", "aim", &cases);
}
