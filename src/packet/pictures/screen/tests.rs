//! Geometry and words of these drawings.

use super::*;
use crate::packet::pictures::Svg;
use crate::packet::pictures::draw::number;

/// The hands of Night Parcel before the green screen.
fn reach() -> Drawing {
    Drawing {
        wide: Length(3.0),
        high: Length(2.0),
        foot: Length(0.0),
        leans: false,
        reach: Length(0.5),
        reach_known: true,
        gap: Length(2.0),
        planned_gap: None,
        lens: Some(Length(1.66)),
        tilt: Angle(-15.0),
        view: Angle(118.0),
        sweep: (Angle(50.0), Angle(36.0)),
        needed: Some((Length(2.42), Length(1.74))),
        edges: Some((Length(0.04), Length(1.79))),
    }
}

fn every() -> Vec<Drawing> {
    let mut all = vec![reach()];
    for lens in [0.2, 1.1, 2.4] {
        for tilt in [-60.0, -30.0, 25.0] {
            let mut one = reach();
            (one.leans, one.edges, one.lens, one.tilt) = (true, None, Some(Length(lens)), Angle(tilt));
            all.push(one);
        }
        for gap in [0.5, 1.2, 6.0] {
            let mut one = reach();
            (one.gap, one.planned_gap, one.lens) = (Length(gap), Some(Length(2.0)), Some(Length(lens)));
            one.needed = Some((Length(0.97 * (0.5 + gap)), Length(0.7 * (0.5 + gap))));
            one.edges = Some((Length(lens - 0.65 * (0.5 + gap)), Length(lens + 0.05 * (0.5 + gap))));
            all.push(one);
        }
    }
    let mut low = reach();
    (low.foot, low.high, low.wide, low.reach_known) = (Length(0.7), Length(0.6), Length(1.0), false);
    all.push(low);
    let mut none = reach();
    (none.needed, none.edges, none.view) = (None, None, Angle(200.0));
    all.push(none);
    all
}

/// The screen is as long as it is wide at the scale, and stands as far away.
#[test]
fn screen_and_distance_are_to_scale() {
    let drawing = reach();
    let scale = drawing.scale();
    assert_eq!(scale, Scale(56.0), "140 units for 2.5 m");
    let Svg(plan) = drawing.plan("p").finish();
    let board = plan.split("class=\"board\" d=\"M").nth(1).unwrap().split('"').next().unwrap();
    let ends: Vec<f64> = board.split([' ', 'L']).map(|word| word.parse().unwrap()).collect();
    assert!((ends[3] - ends[1] - 168.0).abs() < 0.02, "{board}");
    assert!((ends[0] - LENS_X - 140.0).abs() < 0.02, "{board}");
    let Svg(side) = drawing.side("s").unwrap().finish();
    let board = side.split("class=\"board\" d=\"M").nth(1).unwrap().split('"').next().unwrap();
    let ends: Vec<f64> = board.split([' ', 'L']).map(|word| word.parse().unwrap()).collect();
    assert!((ends[1] - ends[3] - 112.0).abs() < 0.02, "{board}");
}

/// What is to spare: half of what is wider than the sweep; above and below by where
/// its edges meet the screen.
#[test]
fn what_is_to_spare_is_what_the_sweep_leaves() {
    let drawing = reach();
    assert!((drawing.beside().unwrap().0 - 0.29).abs() < 1e-9);
    let (below, above) = drawing.below_and_above().unwrap();
    assert!((below.0 - 0.04).abs() < 1e-9 && (above.0 - 0.21).abs() < 1e-9);
    let Svg(plan) = drawing.plan("p").finish();
    let edge = LENS_X + 140.0;
    assert!(plan.contains(&format!("L{} {}", number(edge), number(26.0 + 84.0 - 1.21 * 56.0))), "{plan}");
    let mut narrow = drawing;
    narrow.wide = Length(2.0);
    assert_eq!(spare(narrow.beside().unwrap()), "21 cm short");
}

/// A leaning screen faces the lens: square to the axis, its middle on it.
#[test]
fn a_leaning_screen_faces_the_lens() {
    let mut drawing = reach();
    (drawing.leans, drawing.edges, drawing.tilt) = (true, None, Angle(-35.0));
    let lens = Length(1.66);
    let ((away, up), (lean, rise)) = drawing.stands(lens);
    let axis = (away, up - lens.0);
    assert!((axis.0.hypot(axis.1) - 2.5).abs() < 1e-9);
    assert!((axis.0 * lean + axis.1 * rise).abs() < 1e-9);
    // 1.66 m − 2.5 m sin 35° − 1 m cos 35°: 59 cm below the floor.
    assert!((drawing.under_the_floor().unwrap().0 - 0.593).abs() < 0.001);
}

#[test]
fn labels_keep_clear_of_each_other() {
    for drawing in every() {
        for canvas in [Some(drawing.plan("p")), drawing.side("s")].into_iter().flatten() {
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

#[test]
fn the_words_say_what_is_drawn() {
    insta::assert_snapshot!(reach().words().join("\n"));
}
