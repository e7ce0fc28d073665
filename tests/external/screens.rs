//! Screens against rays of OpenCV's camera models.

use crate::optics::projection;
use crate::random::Random;
use crate::script::{agree, case};
use seamster::craft::screen::{self, Area, Sweep};
use seamster::quantity::{Angle, Length};
use serde_json::{Value, json};

const ENOUGH: usize = 1000;

#[test]
fn screens_cover_where_rays_end() {
    let mut random = Random::new("screens");
    let cases: Vec<Value> = (0..ENOUGH)
        .map(|_| {
            let (word, projection) = projection(&mut random);
            // Within 85° at the corners.
            let sweep =
                Sweep { across: Angle(random.between(2.0, 118.0)), down: Angle(random.between(2.0, 118.0)) };
            let area =
                Area { width: Length(random.between(0.3, 12.0)), height: Length(random.between(0.3, 6.0)) };
            let distance = Length(random.scaled(0.3, 30.0));
            let needed = screen::needed(sweep, distance, projection);
            let covered = screen::covered(area, distance);
            case(
                json!({
                    "across": sweep.across.0, "down": sweep.down.0, "projection": word,
                    "width": area.width.0, "height": area.height.0, "distance": distance.0,
                }),
                json!({
                    "width": needed.map(|area| area.width.0),
                    "height": needed.map(|area| area.height.0),
                    "farthest": screen::farthest(sweep, area, projection).map(|away| away.0),
                    "covered_across": covered.across.0,
                    "covered_down": covered.down.0,
                }),
            )
        })
        .collect();
    agree("screens", "screen", &cases);
}

#[test]
fn lens_heights_are_those_from_which_both_edges_are_out_of_the_picture() {
    let mut random = Random::new("lens heights");
    let cases: Vec<Value> = (0..ENOUGH)
        .map(|_| {
            let (foot, height) = (random.between(0.0, 2.0), random.between(0.5, 6.0));
            let (distance, down) = (random.between(0.3, 6.0), random.between(5.0, 90.0));
            let most = 84.0 - down / 2.0;
            let tilt = random.between(-most, most) / 2.0;
            let found = screen::lens_heights(
                Length(foot),
                Length(height),
                Length(distance),
                Angle(down),
                Angle(tilt),
            );
            case(
                json!({"foot": foot, "height": height, "distance": distance, "down": down, "tilt": tilt}),
                json!({
                    "lowest": found.map(|(lowest, _)| lowest.0),
                    "highest": found.map(|(_, highest)| highest.0),
                }),
            )
        })
        .collect();
    agree("screens", "heights", &cases);
}
