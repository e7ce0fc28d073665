//! How long a plan takes; run by hand, since time is not a fact.

use super::fixture::Stage;
use super::verify::wrong;
use crate::graph::Node;
use crate::model::*;
use crate::order::shoot::improve::Dice;
use std::time::Instant;

pub(crate) fn large(plates: usize, days: i8) -> Stage {
    let mut stage = Stage::new();
    let mut dice = Dice::new(7);
    let places: Vec<PlaceId> = (0..(plates / 60).clamp(2, 20))
        .map(|at| {
            let light = if at % 3 == 0 { Light::Lamp } else { Light::Sky };
            stage.place(&format!("place{at}"), light, if at % 4 == 1 { &[("06:00", "12:00")] } else { &[] })
        })
        .collect();
    for (at, &from) in places.iter().enumerate() {
        for &to in &places[at + 1..] {
            stage.way(from, to, 10.0 + dice.below(20) as f64);
        }
    }
    let mode = stage.camera("thumb", 90.0, 60.0, 256.0);
    let rigs: Vec<RigId> = (0..5).map(|at| stage.rig(&format!("rig{at}"), 3.0 + at as f64 * 5.0)).collect();
    let people: Vec<PersonId> = (0..6).map(|at| stage.person(&format!("p{at}"), &["spotter"])).collect();
    stage.days(days, "05:15", "19:00", Some(places[0]));
    let ilse = stage.desk("ilse", &["comp", "track", "edit"], 6.0);
    stage.model.desks[ilse].off.clear();
    stage.desk("mei", &["comp", "edit"], 6.0);
    let mut last: Option<PlateId> = None;
    for at in 0..plates {
        let (place, rig) = (places[dice.below(places.len())], rigs[dice.below(5)]);
        let plate = stage.plate(&format!("x{at}"), place, rig, mode, 0.3);
        let person = people[dice.below(6)];
        let golden = dice.below(8) == 0 && stage.model.places[place].light == Light::Sky;
        stage.set(plate, |plate| {
            plate.takes = 2;
            plate.people = vec![person];
            if golden {
                plate.light = Light::GoldenMorning;
            }
        });
        if let Some(last) = last.filter(|_| dice.below(4) == 0) {
            stage.join(last, plate);
        }
        if let Some(last) = last.filter(|_| dice.below(10) == 0) {
            stage.edge(Node::Plate(last), Node::Plate(plate), "as written");
        }
        let ingest = stage.pass(&format!("x{at}.ingest"), "edit", 0.2, &[plate], &[]);
        stage.pass(&format!("x{at}.comp"), "comp", 1.0, &[], &[ingest]);
        last = Some(plate);
    }
    stage
}

#[test]
#[ignore = "prints times; run by hand in a release build"]
#[expect(clippy::disallowed_methods, reason = "this is the one place that measures")]
fn times() {
    let (stage, _) = super::written::night_parcel();
    for _ in 0..3 {
        let start = Instant::now();
        let setting = crate::order::setting::Setting::new(&stage.model, &stage.breakdown, &stage.work);
        let set = start.elapsed();
        let all = stage.breakdown.plates.ids().collect();
        let start = Instant::now();
        let built = crate::order::blocks::build(&setting, &all, &Default::default());
        let build = start.elapsed();
        let start = Instant::now();
        let zeal = crate::order::shoot::search::Zeal::of(crate::order::Effort::default());
        let scored = crate::order::shoot::search::solve(&built.problem, zeal).scored;
        let solve = start.elapsed();
        println!(
            "build {build:?} solve {solve:?} for {} blocks: {}",
            built.problem.blocks.len(),
            scored.cost
        );
        drop(setting);
        let start = Instant::now();
        let plan = stage.plan();
        println!(
            "night-parcel: setting {set:?}, plan {:?}, left {}",
            start.elapsed(),
            plan.shoot.unplanned.len()
        );
    }
    for (plates, days) in [(8, 2), (25, 2), (120, 5), (500, 12), (2000, 17)] {
        let stage = large(plates, days);
        let start = Instant::now();
        let setting = crate::order::setting::Setting::new(&stage.model, &stage.breakdown, &stage.work);
        let set = start.elapsed();
        drop(setting);
        let start = Instant::now();
        let plan = stage.plan();
        let took = start.elapsed();
        println!(
            "{plates} plates: setting {set:?}, plan {took:?}, days {}, left {}, cost {} bound {} {:?}, desk {:?}; wrong {}",
            plan.shoot.days.len(),
            plan.shoot.unplanned.len(),
            plan.shoot.cost,
            plan.shoot.bound,
            plan.shoot.price,
            plan.desk.quality,
            wrong(&stage, &plan).len()
        );
    }
}
