//! Geometry and words of these drawings: lengths to scale, nothing in the way of
//! anything else.

use super::*;
use crate::packet::pictures::Svg;
use crate::packet::pictures::draw::number;

/// The hand-over at the stud of Night Parcel.
fn stud() -> Drawing {
    let camera = |within, speed: &str| Camera {
        within: Length(within),
        turn: Angle(5.0),
        speed: speed.to_owned(),
        travels: Some(Angle(140.0)),
        was: None,
    };
    Drawing {
        height: Some(Length(1.66)),
        view: Some(Angle(140.0)),
        tilt: Some(Angle(12.0)),
        near: Some(Length(4.5)),
        far: Some(Length(400.0)),
        cameras: [camera(0.03, "3 m/s ± 0.4"), camera(0.06, "2.8 m/s ± 0.4")],
    }
}

fn was(off: f64) -> Was {
    Was {
        off: Length(off),
        turned: Some(Angle(2.0)),
        speed: "2.6 m/s".into(),
        height: None,
        view: None,
        tilt: None,
    }
}

/// Radii of all circles of a class.
fn radii(canvas: Canvas, class: &str) -> Vec<String> {
    let Svg(svg) = canvas.finish();
    let circles = svg.split("<circle ").filter(|one| one.starts_with(&format!("class=\"{class}\"")));
    circles.filter_map(|one| one.split("r=\"").nth(1)?.split('"').next()).map(str::to_owned).collect()
}

/// Every drawing that can go wrong in its own way.
fn every() -> Vec<Drawing> {
    let mut all = vec![stud()];
    for turn in (0..360).step_by(15) {
        for other in [0.0, 90.0, 180.0] {
            let mut one = stud();
            one.cameras[0].travels = Some(Angle(f64::from(turn)));
            one.cameras[1].travels = Some(Angle(f64::from(turn) + other));
            all.push(one);
        }
    }
    for (height, tilt) in [(0.0, 0.0), (0.1, -80.0), (0.25, -20.0), (12.0, 70.0), (300.0, 3.0)] {
        let mut one = stud();
        (one.height, one.tilt) = (Some(Length(height)), Some(Angle(tilt)));
        one.cameras[0].was =
            Some(Was { height: Some(Length(height + 0.09)), tilt: Some(Angle(tilt + 4.0)), ..was(0.09) });
        one.cameras[1].was = Some(Was { view: Some(Angle(131.0)), ..was(1.5) });
        all.push(one);
    }
    let mut bare = stud();
    (bare.height, bare.view, bare.tilt, bare.near, bare.far) = (None, None, None, None, None);
    for camera in &mut bare.cameras {
        (camera.travels, camera.speed, camera.within) = (None, String::new(), Length(0.0));
    }
    all.push(bare);
    let mut wide = stud();
    for camera in &mut wide.cameras {
        (camera.within, camera.turn, camera.speed) =
            (Length(0.25), Angle(30.0), "123.4 m/s ± 18.5".to_owned());
    }
    all.push(wide);
    all
}

/// A circle is as large as its tolerance at the scale: three and six centimetres at 500
/// units a metre are 15 and 30 units.
#[test]
fn tolerances_are_to_scale_in_both_drawings() {
    let drawing = stud();
    assert_eq!(drawing.scale(), Scale(500.0));
    for canvas in [drawing.plan("p"), drawing.side("s")] {
        let rings: Vec<Vec<String>> = [LINES[0], LINES[1]].map(|class| radii_of(&canvas, class)).to_vec();
        assert!(rings[0].contains(&"15".to_owned()), "{rings:?}");
        assert!(rings[1].contains(&"30".to_owned()), "{rings:?}");
    }
}

fn radii_of(canvas: &Canvas, class: &str) -> Vec<String> {
    radii(canvas.clone(), class)
}

/// What was measured is a ring at the same scale, and the scale gives way to it.
#[test]
fn what_was_measured_is_to_scale_beside_what_was_planned() {
    let mut drawing = stud();
    drawing.cameras[0].was = Some(was(0.09));
    let scale = drawing.scale();
    assert_eq!(scale, Scale(200.0));
    assert!(radii(drawing.plan("p"), RINGS[0]).contains(&number(scale.long(Length(0.09)))));
    assert!(radii(drawing.plan("p"), LINES[0]).contains(&"6".to_owned()));
    let words = drawing.words();
    assert!(words[0].contains("As measured: 9 cm and 2° off at 2.6 m/s, outside."), "{words:?}");
}

/// The fan opens by the tolerance to each side: at 168 units, 5° is 14.64 units.
#[test]
fn the_fan_is_as_wide_as_the_turn_allowed() {
    let Svg(svg) = stud().plan("p").finish();
    let (x, y) = (MARK_X + FAN * 5_f64.to_radians().cos(), FAN * 5_f64.to_radians().sin());
    assert!((y - 14.64).abs() < 0.005);
    let fan = svg.split("d=\"M").find(|one| one.contains(&format!("L{} ", number(x)))).unwrap();
    let ends: Vec<f64> = fan.split([' ', 'L', 'A', '"']).filter_map(|word| word.parse().ok()).collect();
    assert!((ends[1] - ends[3] - y).abs() < 0.02, "{fan}");
}

/// North is to the left of a view to the east, behind one to the north … and a camera
/// that travels east is to the right of the one that looks north.
#[test]
fn directions_turn_as_on_a_compass() {
    assert_eq!(way_in_words(0.4), "straight ahead");
    assert_eq!(way_in_words(20.0), "ahead and 20° to the right");
    assert_eq!(way_in_words(350.0), "ahead and 10° to the left");
    assert_eq!(way_in_words(-90.0), "sideways to the left");
    assert_eq!(way_in_words(180.0), "straight backwards");
    assert_eq!(way_in_words(-150.0), "backwards and 30° to the left");
    let (x, y) = out((0.0, 0.0), 90.0, 10.0);
    assert!(
        x.abs() < 1e-9 && (y - 10.0).abs() < 1e-9,
        "to the right is down on a page whose view is to the right"
    );
}

/// No text stands on another or leaves the picture, whatever is drawn.
#[test]
fn labels_keep_clear_of_each_other() {
    for drawing in every() {
        for canvas in [drawing.plan("p"), drawing.side("s")] {
            let written = canvas.written();
            for (number, one) in written.iter().enumerate() {
                assert!(canvas.frame().holds(&one.area), "{one:?} leaves {:?}\n{drawing:?}", canvas.frame());
                for other in &written[number + 1..] {
                    assert!(!one.area.meets(&other.area), "{one:?} on {other:?}\n{drawing:?}");
                }
            }
        }
    }
}

/// Everything drawn is inside the picture.
#[test]
fn nothing_is_drawn_outside() {
    for drawing in every() {
        for canvas in [drawing.plan("p"), drawing.side("s")] {
            let frame = canvas.frame();
            let Svg(svg) = canvas.finish();
            for path in svg.split(" d=\"").skip(1).filter_map(|one| one.split('"').next()) {
                for point in path.split(['M', 'L', 'Z']).filter(|one| !one.is_empty() && !one.contains('A')) {
                    let (x, y) = point.split_once(' ').unwrap();
                    let (x, y): (f64, f64) = (x.parse().unwrap(), y.parse().unwrap());
                    assert!(
                        x >= -1.0 && x <= frame.wide + 1.0 && y >= -1.0 && y <= frame.high + 1.0,
                        "{point} of {frame:?}\n{drawing:?}"
                    );
                }
            }
        }
    }
}

#[test]
fn the_words_say_what_is_drawn() {
    insta::assert_snapshot!(stud().words().join("\n"));
    let mut out = stud();
    out.cameras[0].was = Some(Was { height: Some(Length(1.75)), tilt: Some(Angle(8.0)), ..was(0.09) });
    insta::assert_snapshot!("the_words_say_what_was_measured", out.words().join("\n"));
}
