//! Every example builds, without an error and without a warning.

use seamster::diagnostic::Severity;
use seamster::order::StepKind;

mod project;

/// Compiles an example of which nothing above a note may be said.
fn clean(name: &str) -> seamster::Compiled {
    let compiled = project::example(name);
    let loud: Vec<String> = compiled
        .diagnostics
        .iter()
        .filter(|found| found.severity > Severity::Note)
        .map(|found| {
            let place = found.span.map(|span| compiled.sources.at(span)).unwrap_or_default();
            format!("{place} {}: {} [{}]", found.code.name, found.message, found.label)
        })
        .collect();
    assert!(loud.is_empty(), "{name}:\n{}", loud.join("\n"));
    assert_eq!(compiled.plan.desk.late_days, 0, "{name} is late");
    compiled
}

#[test]
fn night_parcel_uses_every_difficult_method_and_takes_two_days() {
    let compiled = clean("night-parcel");
    for method in [
        "carried_objects",
        "split_takes",
        "take_away",
        "tracked_insert",
        "projected_texture",
        "keyed_hands",
        "swap_surface",
        "retime",
        "reverse",
        "pulled_body",
        "fall",
    ] {
        let used = compiled.model.effects.values().any(|effect| effect.recipe.value == method);
        assert!(used, "night-parcel does not use {method}");
    }
    assert!(compiled.model.beats.len() >= 5);
    assert_eq!(compiled.plan.shoot.days.len(), 2);
    assert!(!compiled.findings.waived.is_empty(), "it shows waivers that hold");
}

#[test]
fn the_table_top_film_is_one_afternoon_of_one_person() {
    let compiled = clean("table-top");
    assert_eq!((compiled.model.people.len(), compiled.model.desks.len()), (1, 1));
    assert_eq!(compiled.plan.shoot.days.len(), 1);
    assert_eq!(compiled.model.places.len(), 1);
}

#[test]
fn one_look_hands_over_between_at_least_five_rigs() {
    let compiled = clean("one-look");
    let handed = compiled.model.joins.values().filter(|join| join.mark.is_some()).count();
    assert!(handed >= 5, "{handed} hand-overs at marks");
    let mut rigs: Vec<_> = compiled.model.plates.values().map(|plate| plate.rig).collect();
    rigs.sort();
    rigs.dedup();
    assert!(rigs.len() >= 5);
}

#[test]
fn every_plate_of_every_example_is_shot_once() {
    for name in ["night-parcel", "table-top", "one-look"] {
        let compiled = project::example(name);
        let steps = compiled.plan.shoot.days.iter().flat_map(|day| &day.steps);
        let mut shot: Vec<_> = steps
            .filter_map(|step| match step.kind {
                StepKind::Shoot(plate) => Some(plate),
                _ => None,
            })
            .collect();
        shot.sort();
        let all: Vec<_> = compiled.breakdown.plates.ids().collect();
        assert_eq!(shot, all, "{name}");
    }
}
