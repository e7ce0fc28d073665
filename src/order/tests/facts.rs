//! Small sequences with a plan that is known by hand.

use super::fixture::{Stage, hours};
use super::verify::wrong;
use crate::graph::Node;
use crate::model::*;
use crate::order::{Plan, Quality, StepKind, unstated_travel};
use crate::quantity::{Range, Seconds};

fn no_wrong(stage: &Stage, plan: &Plan) {
    assert_eq!(wrong(stage, plan), Vec::<String>::new());
}

fn reasons(plan: &Plan, plate: PlateId) -> String {
    let one = plan.shoot.unplanned.iter().find(|one| one.what == plate).unwrap();
    one.reasons.iter().map(|reason| reason.0.as_str()).collect::<Vec<_>>().join("; ")
}

fn clock(plan: &Plan, plate: PlateId) -> String {
    let zone = jiff::tz::TimeZone::get("Europe/Lisbon").unwrap();
    plan.shoot.shot[&plate].1.clock(&zone)
}

/// A quay under the sky and a loft under lamps, one rig.
fn two_places() -> (Stage, PlaceId, PlaceId, RigId, ModeId) {
    let mut stage = Stage::new();
    let quay = stage.place("quay", Light::Sky, &[("06:00", "10:00")]);
    let loft = stage.place("loft", Light::Lamp, &[]);
    stage.way(quay, loft, 12.0);
    let mode = stage.camera("thumb", 30.0, 35.0, 32.0);
    let stand = stage.rig("stand", 5.0);
    stage.days(2, "05:15", "15:00", Some(quay));
    (stage, quay, loft, stand, mode)
}

#[test]
fn golden_light_comes_first_and_the_loft_after() {
    let (mut stage, quay, loft, stand, mode) = two_places();
    let hands = stage.plate("hands", loft, stand, mode, 1.0);
    stage.set(hands, |plate| plate.takes = 20);
    let swoop = stage.plate("swoop", quay, stand, mode, 5.0);
    stage.set(swoop, |plate| plate.light = Light::GoldenMorning);
    let plan = stage.plan();
    no_wrong(&stage, &plan);
    assert_eq!(plan.shoot.quality, Quality::Proven);
    assert_eq!(plan.shoot.days.len(), 1);
    assert!(plan.shoot.shot[&swoop].1 < plan.shoot.shot[&hands].1);
    // Fitted after the opening at 06:00, ready when the sun passes −4° at 06:08.
    assert_eq!(clock(&plan, swoop), "06:08");
    assert_eq!(
        plan.shoot.days[0].steps[0].start.clock(&jiff::tz::TimeZone::get("Europe/Lisbon").unwrap()),
        "06:03"
    );
    let steps: Vec<_> = plan.shoot.days[0].steps.iter().map(|step| &step.kind).collect();
    assert!(matches!(steps[0], StepKind::Fit(_)));
    assert_eq!(steps[1], &StepKind::Shoot(swoop));
    assert_eq!(steps[2], &StepKind::Move { from: quay, to: loft });
}

#[test]
fn light_and_access_that_never_meet_are_named_with_both_lines() {
    let (mut stage, quay, _, stand, mode) = two_places();
    let night = stage.plate("night", quay, stand, mode, 5.0);
    let span = stage.span();
    stage.set(night, |plate| {
        plate.light = Light::GoldenEvening;
        plate.light_span = Some(span);
    });
    let plan = stage.plan();
    no_wrong(&stage, &plan);
    // The sun sets at 20:42 there (checked in craft), and the quay closes at ten.
    let told = reasons(&plan, night);
    assert!(told.contains("quay is open from 06:00 to 10:00"), "{told}");
    assert!(told.contains("golden evening light at quay: 20:0"), "{told}");
    assert_eq!(plan.shoot.unplanned[0].reasons.len(), 2);
    assert_eq!(plan.shoot.unplanned[0].reasons[1].1, Some(span));
}

#[test]
fn a_flight_without_a_pilot_is_named_and_so_is_what_waits_for_it() {
    let (mut stage, quay, _, _, mode) = two_places();
    let lifter = stage.rig("lifter", 8.0);
    stage.model.rigs[lifter].flies = true;
    let up = stage.plate("up", quay, lifter, mode, 1.0);
    let then = stage.plate("then", quay, lifter, mode, 1.0);
    stage.set(then, |plate| plate.rig = RigId::clone(&lifter));
    stage.edge(Node::Plate(up), Node::Plate(then), "as written");
    let plan = stage.plan();
    no_wrong(&stage, &plan);
    assert!(reasons(&plan, up).contains("nobody can fly"), "{}", reasons(&plan, up));
}

#[test]
fn what_waits_for_the_impossible_says_so() {
    let (mut stage, quay, loft, stand, mode) = two_places();
    let long = stage.plate("long", quay, stand, mode, 26.0);
    stage.set(long, |plate| plate.takes = 20);
    let then = stage.plate("then", loft, stand, mode, 5.0);
    stage.edge(Node::Plate(long), Node::Plate(then), "then needs long");
    let plan = stage.plan();
    no_wrong(&stage, &plan);
    let told = reasons(&plan, long);
    assert!(
        told.contains(
            "takes 558 min: 20 takes of 26 min, 2 min between; if 'beat.long' were shot in one take"
        ),
        "{told}"
    );
    assert!(told.contains("quay is open from 06:00 to 10:00"), "{told}");
    assert!(reasons(&plan, then).contains("waits for 'beat.long'"));
}

#[test]
fn a_locked_group_stays_whole_and_may_not_outlast_its_battery() {
    let (mut stage, _, loft, stand, mode) = two_places();
    let on = stage.plate("on", loft, stand, mode, 10.0);
    let clean = stage.plate("clean", loft, stand, mode, 5.0);
    let other = stage.plate("other", loft, stand, mode, 10.0);
    stage.group(&[on, clean]);
    stage.edge(Node::Plate(on), Node::Plate(other), "as written");
    let plan = stage.plan();
    no_wrong(&stage, &plan);
    assert_eq!(plan.shoot.shot[&on].2, plan.shoot.shot[&clean].1);
    stage.set(on, |plate| plate.takes = 3);
    let plan = stage.plan();
    no_wrong(&stage, &plan);
    let told = reasons(&plan, on);
    assert!(told.contains("a battery of thumb gives 27 min"), "{told}");
    assert!(told.contains("its locked group takes 39 min and records 35 min in all"), "{told}");
}

/// One battery of 30 min that charges in 35: two plates of 20 min need a charge between them.
#[test]
fn charge_is_waited_for() {
    let (mut stage, _, loft, stand, mode) = two_places();
    for name in ["a", "b"] {
        stage.plate(name, loft, stand, mode, 20.0);
    }
    let plan = stage.plan();
    no_wrong(&stage, &plan);
    let charge = plan.shoot.days[0].steps.iter().find(|step| matches!(step.kind, StepKind::Charge { .. }));
    let charge = charge.expect("thirteen minutes of recording are missing");
    // A tenth is kept back: 27 min can be used, 7 are left, 13 are missing. 1,800 s
    // in 35 min is 51 s a minute, rounded down: 780 s take 16 min.
    assert_eq!(charge.end.0 - charge.start.0, 16);
    let usage = &plan.shoot.days[0].cameras[0];
    assert!((usage.charged - 13.6).abs() < 0.01, "{usage:?}");
    assert!((usage.holds - 30.0).abs() < 0.01 && usage.least >= 3.0, "{usage:?}");
}

#[test]
fn a_prop_that_cannot_go_back_orders_the_shoot() {
    let (mut stage, _, loft, stand, mode) = two_places();
    let (named, span) = (stage.named("parcel"), stage.span());
    let states: Vec<String> = ["whole", "torn"].map(String::from).to_vec();
    let prop = stage.model.props.push(Prop { named, states, resets: vec![], spares: 0 });
    let torn = stage.plate("torn", loft, stand, mode, 5.0);
    let whole = stage.plate("whole", loft, stand, mode, 5.0);
    let of = StateOf::Prop(prop);
    stage.set(torn, |plate| plate.shows = vec![(of, "torn".into(), span)]);
    stage.set(whole, |plate| plate.shows = vec![(of, "whole".into(), span)]);
    let plan = stage.plan();
    no_wrong(&stage, &plan);
    assert!(plan.shoot.shot[&whole].1 < plan.shoot.shot[&torn].1);

    // Two plates tear it, there is one: one of them is left, and named.
    for plate in [torn, whole] {
        stage.set(plate, |plate| {
            plate.shows.clear();
            plate.turns = vec![Turn { of, from: "whole".into(), to: "torn".into(), span }];
        });
    }
    let plan = stage.plan();
    no_wrong(&stage, &plan);
    assert_eq!(plan.shoot.unplanned.len(), 1);
    stage.model.props[prop].spares = 1;
    assert!(stage.plan().shoot.unplanned.is_empty());
    stage.model.props[prop].spares = 0;
    let reset = Reset { from: "torn".into(), to: "whole".into(), takes: Seconds::minutes(20.0), span };
    stage.model.props[prop].resets.push(reset);
    let plan = stage.plan();
    no_wrong(&stage, &plan);
    let resets = plan.shoot.days[0].steps.iter().filter(|step| matches!(step.kind, StepKind::Reset { .. }));
    assert_eq!(resets.count(), 1);
}

#[test]
fn a_long_day_has_its_meal_and_an_unwritten_way_is_named() {
    let (mut stage, _, loft, stand, mode) = two_places();
    let attic = stage.place("attic", Light::Lamp, &[]);
    for at in 0..8 {
        let place = if at % 2 == 0 { loft } else { attic };
        let plate = stage.plate(&format!("p{at}"), place, stand, mode, 0.4);
        stage.set(plate, |plate| plate.takes = 16);
    }
    // 8 × 16 takes of 24 s are 51 min: 31 GB of the card's 32.
    let plan = stage.plan();
    no_wrong(&stage, &plan);
    assert_eq!(plan.shoot.days.len(), 1);
    assert!(plan.shoot.days[0].steps.iter().any(|step| step.kind == StepKind::Meal));
    let ways = unstated_travel(&stage.model, &plan.shoot);
    assert!(ways.contains(&(loft.min(attic), loft.max(attic))), "{ways:?}");
}

#[test]
fn a_person_who_is_away_moves_the_plate_and_a_spotter_is_called() {
    let (mut stage, _, loft, stand, mode) = two_places();
    let mei = stage.person("mei", &["spotter"]);
    let ana = stage.person("ana", &["spotter"]);
    let away = stage.said(Range { from: super::fixture::FIRST, to: super::fixture::FIRST });
    stage.model.people[mei].away.push(away);
    let plate = stage.plate("edge", loft, stand, mode, 3.0);
    let hazard = stage.said("edge".to_owned());
    stage.set(plate, |plate| {
        plate.people = vec![mei];
        plate.hazards = vec![hazard.clone()];
    });
    let plan = stage.plan();
    no_wrong(&stage, &plan);
    assert_eq!(plan.shoot.days[0].allowed, 1);
    let roles: Vec<_> =
        plan.shoot.days[0].people.iter().map(|call| (call.person, call.for_plates[0].1.as_str())).collect();
    assert_eq!(roles, [(mei, "performs"), (ana, "spots")]);
}

#[test]
fn people_are_not_called_before_their_hours() {
    let (mut stage, _, loft, stand, mode) = two_places();
    let mei = stage.person("mei", &[]);
    let own = stage.said(hours("09:00", "12:00"));
    stage.model.people[mei].hours = Some(own);
    let plate = stage.plate("late", loft, stand, mode, 3.0);
    stage.set(plate, |plate| plate.people = vec![mei]);
    let plan = stage.plan();
    no_wrong(&stage, &plan);
    assert_eq!(clock(&plan, plate), "09:00");
}

/// A witness camera: set up with the main one, and no time of its own; what waits
/// for it waits for both, and what it draws is its own.
#[test]
fn a_plate_that_rolls_with_another_takes_no_time_of_its_own() {
    let (mut stage, _, loft, stand, mode) = two_places();
    let pole = stage.rig("pole", 3.0);
    let other = stage.camera("other", 30.0, 0.0, 32.0);
    let (mei, ana) = (stage.person("mei", &[]), stage.person("ana", &[]));
    let main = stage.plate("main", loft, stand, mode, 5.0);
    let witness = stage.plate("witness", loft, pole, other, 5.0);
    let then = stage.plate("then", loft, stand, mode, 2.0);
    stage.edge(Node::Plate(witness), Node::Plate(then), "as written");
    let alone = stage.plan();
    let span = stage.span();
    stage.set(main, |plate| {
        plate.people = vec![mei];
        plate.beside = vec![witness];
    });
    stage.set(witness, |plate| {
        plate.people = vec![ana];
        plate.rolls_with = Some(crate::source::Spanned::new(main, span));
    });
    let plan = stage.plan();
    no_wrong(&stage, &plan);
    assert_eq!(plan.shoot.shot[&witness], plan.shoot.shot[&main]);
    assert!(plan.shoot.shot[&then].1 >= plan.shoot.shot[&main].2);
    let wrap = |plan: &Plan| plan.shoot.days[0].wrap.0 - plan.shoot.days[0].call.0;
    // Without: fits of 5 and 3 min, 5 + 5 + 2 min of work, and a second fit of the stand
    // unless the witness is shot first. Together: 8 min of fitting, 5 of work, 5 to fit the
    // stand anew, 2 of work.
    assert!(wrap(&plan) <= wrap(&alone), "{} {}", wrap(&plan), wrap(&alone));
    let cameras: Vec<_> = plan.shoot.days[0].cameras.iter().map(|one| one.records).collect();
    assert_eq!(cameras, [7.0, 5.0]);
    assert_eq!(plan.shoot.days[0].people.len(), 2);

    // Where the main plate cannot be, neither can its companion.
    stage.set(main, |plate| plate.takes = 20);
    let plan = stage.plan();
    no_wrong(&stage, &plan);
    assert!(plan.shoot.unplanned.iter().any(|one| one.what == witness));
}

/// Without days nothing is planned and everything is named.
#[test]
fn without_days_everything_is_named() {
    let (mut stage, _, loft, stand, mode) = two_places();
    let plate = stage.plate("p", loft, stand, mode, 3.0);
    stage.pass("p.ingest", "edit", 1.0, &[plate], &[]);
    stage.model.days = None;
    let plan = stage.plan();
    assert_eq!((plan.shoot.unplanned.len(), plan.desk.unplanned.len()), (1, 1));
    assert!(reasons(&plan, plate).contains("no shoot day"));
}

#[test]
fn plates_that_must_each_come_first_are_named() {
    let (mut stage, _, loft, stand, mode) = two_places();
    let on = stage.plate("on", loft, stand, mode, 2.0);
    let clean = stage.plate("clean", loft, stand, mode, 2.0);
    let between = stage.plate("between", loft, stand, mode, 2.0);
    stage.group(&[on, clean]);
    stage.edge(Node::Plate(on), Node::Plate(between), "as written");
    stage.edge(Node::Plate(between), Node::Plate(clean), "as written");
    let plan = stage.plan();
    no_wrong(&stage, &plan);
    assert_eq!(plan.shoot.unplanned.len(), 3);
    let told = reasons(&plan, between);
    assert_eq!(told.matches("as written").count(), 2, "{told}");
    assert!(told.contains("the camera may not be touched between 'beat.on' and 'beat.clean'"), "{told}");
}

/// Numbers as large as the language lets through, and larger: nothing
/// overflows, and everything is planned or named.
#[test]
fn absurd_numbers_are_named_and_do_no_harm() {
    let (mut stage, quay, loft, stand, mode) = two_places();
    let huge = stage.plate("huge", loft, stand, mode, 1e300);
    let many = stage.plate("many", loft, stand, mode, 1.0);
    let empty = stage.plate("empty", quay, stand, mode, 0.0);
    let odd = stage.plate("odd", loft, stand, mode, f64::NAN);
    stage.set(huge, |plate| plate.takes = u32::MAX);
    stage.set(many, |plate| {
        plate.takes = u32::MAX;
        plate.between = Seconds(1e300);
    });
    stage.model.rigs[stand].fitting = Seconds(1e300);
    let camera = stage.model.modes[mode].camera;
    (stage.model.cameras[camera].count, stage.model.cameras[camera].packs) = (u32::MAX, u32::MAX);
    stage.group(&[huge, many]);
    stage.desk("none", &["edit"], 0.0);
    stage.desk("all", &["comp"], 1e300);
    stage.pass("edit", "edit", 1.0, &[], &[]);
    stage.pass("comp", "comp", 1e300, &[], &[]);
    stage.pass("odd", "comp", f64::NAN, &[], &[]);
    for day in &mut stage.model.days.as_mut().unwrap().each {
        (day.rest, day.chargers) = (Seconds(1e300), u32::MAX);
    }
    let plan = stage.plan();
    assert_eq!(plan.shoot.unplanned.len(), 4, "{:?}", plan.shoot.unplanned);
    for plate in [huge, many, empty, odd] {
        assert!(!reasons(&plan, plate).is_empty());
    }
    assert_eq!(plan.desk.unplanned.len(), 1, "{:?}", plan.desk.unplanned);
    for day in &mut stage.model.days.as_mut().unwrap().each {
        (day.call, day.wrap) = (super::fixture::clock("23:00"), super::fixture::clock("05:00"));
    }
    stage.model.rigs[stand].fitting = Seconds(0.0);
    let night = stage.plan();
    assert!(night.shoot.shot.contains_key(&odd), "a night past midnight is a day as well");
}
