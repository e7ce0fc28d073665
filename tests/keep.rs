//! Kept plans: what stays, what is pinned, and plan files as people leave them.

#![allow(clippy::disallowed_methods, reason = "tests read and write real files")]
#![allow(clippy::indexing_slicing, reason = "shared with a benchmark")]

mod command;
mod edits;
mod project;
#[path = "edits/steady.rs"]
mod steady;

use command::Room;
use seamster::Compiled;
use seamster::order::StepKind;
use std::collections::BTreeMap;
use std::fmt::Write;

const FILM: &str = "film/film.seam";
const PLAN: &str = "film/film.plan.yaml";

/// When each plate is shot, as date and clock.
fn times(compiled: &Compiled) -> Vec<(String, String, String)> {
    let zone = jiff::tz::TimeZone::get(&compiled.model.sequence.zone).expect("the zone is known");
    let mut times = Vec::new();
    for day in &compiled.plan.shoot.days {
        for step in &day.steps {
            if let StepKind::Shoot(plate) = step.kind {
                let path = compiled.breakdown.plates[plate].named.path.clone();
                times.push((path, day.date.to_string(), step.start.clock(&zone)));
            }
        }
    }
    times
}

/// An example with a plan file that holds pins alone.
fn pinned(name: &str, pins: &str) -> Compiled {
    let sequence = project::example(name).model.sequence.named.path;
    let text = format!("plan: 1\nsequence: {sequence}\npins:\n{pins}shoot: []\ndesk: []\n...\n");
    project::rewritten(name, BTreeMap::from([(format!("{name}.plan.yaml"), text)]))
}

/// Pinned where it is anyway, everything is still there, to the minute.
#[test]
fn what_is_pinned_to_its_own_time_stays_there() {
    for name in ["night-parcel", "one-look", "table-top"] {
        let before = times(&project::example(name));
        let mut pins = String::new();
        for (plate, on, at) in &before {
            let _ = write!(pins, "- plate: {plate}\n  on: {on}\n  at: {at}\n");
        }
        let after = pinned(name, &pins);
        assert!(!after.has_errors(), "{name}: {:?}", after.diagnostics);
        assert_eq!(times(&after), before, "{name}");
    }
}

#[test]
fn a_pin_moves_a_plate_to_its_minute_and_unpinning_lets_it_go() {
    let before = times(&project::example("table-top"));
    let (plate, on, _) = before.first().cloned().expect("something is shot");
    let after = pinned("table-top", &format!("- plate: {plate}\n  on: {on}\n  at: 17:05\n"));
    assert!(times(&after).contains(&(plate, on, "17:05".into())), "{:?}", times(&after));
    assert_eq!(times(&pinned("table-top", "")), before);
}

/// A plate that clearly got another name is still where it was, and so is what is made of it.
#[test]
fn a_renamed_plate_keeps_its_place() {
    let file = "examples/night-parcel/night-parcel.seam";
    let text =
        std::fs::read_to_string(format!("{}/{file}", env!("CARGO_MANIFEST_DIR"))).expect("it is there");
    let renamed = [
        ("plate swoop \"", "plate dive \""),
        ("after        swoop", "after        dive"),
        ("join step_off -> swoop", "join step_off -> dive"),
        ("join swoop -> land", "join dive -> land"),
    ]
    .iter()
    .fold(text, |text, (old, new)| {
        assert!(text.contains(old), "{old}");
        text.replace(old, new)
    });
    let before = project::example("night-parcel");
    let head = "plan: 1\nsequence: night_parcel\npins: []\n";
    let texts = BTreeMap::from([
        ("night-parcel.seam".to_owned(), renamed),
        ("night-parcel.plan.yaml".to_owned(), format!("{head}{}", before.plan_text())),
    ]);
    let after = project::rewritten("night-parcel", texts);
    assert!(!after.has_errors(), "{:?}", after.diagnostics);
    let kept = &after.model.kept;
    for name in ["leap.dive", "leap.land"] {
        assert!(kept.plates.contains_key(name), "{name}: {:?}", kept.plates);
    }
    for name in ["leap.dive.ingest", "leap.step_off->leap.dive.blend", "leap.dive->leap.land.align"] {
        assert!(kept.passes.contains_key(name), "{name}: {:?}", kept.passes.keys());
    }
    let named = |times: Vec<(String, String, String)>| -> Vec<(String, String, String)> {
        times.into_iter().map(|(path, on, at)| (path.replace("swoop", "dive"), on, at)).collect()
    };
    assert_eq!(times(&after), named(times(&before)));
}

/// What cannot be names the pin among its reasons, with its line.
#[test]
fn a_pin_that_cannot_hold_is_told_with_its_line() {
    let after = pinned("night-parcel", "- plate: ropewalk.walk\n  on: 2027-05-14\n  at: 07:20\n");
    let found =
        after.diagnostics.iter().find(|one| one.message.contains("'ropewalk.walk' cannot be planned"));
    let found = found.expect("the alley opens at 07:30");
    let pin = found.others.iter().find(|other| other.text.contains("pinned to 2027-05-14 at 07:20"));
    let pin = pin.unwrap_or_else(|| panic!("{found:?}"));
    assert_eq!(after.sources.at(pin.span), "night-parcel.plan.yaml:4");
    assert!(found.others.iter().any(|other| other.text.contains("07:30 to 12:00")), "{found:?}");
}

#[test]
fn a_pass_is_pinned_to_a_person_and_a_first_day() {
    let before = project::example("night-parcel");
    let could = before.plan.desk.work.iter().find_map(|one| {
        let pass = &before.breakdown.passes[one.pass];
        let other = before.model.desks.iter().find(|(id, desk)| *id != one.desk && pass.is_for(desk))?;
        Some((pass.path.clone(), other.1.named.path.clone()))
    });
    let mut pins = String::from("- pass: paper_sheet.build\n  from: 2027-05-25\n");
    if let Some((pass, by)) = &could {
        let _ = write!(pins, "- pass: {pass}\n  by: {by}\n");
    }
    let after = pinned("night-parcel", &pins);
    assert!(!after.diagnostics.iter().any(|one| one.code.id.starts_with('F')), "{:?}", after.diagnostics);
    let work = |path: &str| {
        after
            .plan
            .desk
            .work
            .iter()
            .find(|one| after.breakdown.passes[one.pass].path == path)
            .expect("it is done")
    };
    let zone = jiff::tz::TimeZone::get("Europe/Lisbon").expect("the zone is known");
    assert!(work("paper_sheet.build").start.civil(&zone).date().to_string().as_str() >= "2027-05-25");
    if let Some((pass, by)) = could {
        assert_eq!(after.model.desks[work(&pass).desk].named.path, by);
    }
}

/// The ceiling is ours: what moves though nobody touched it is to be next to nothing.
/// `cargo bench --bench steady` counts over hundreds of edits.
#[test]
fn small_edits_leave_the_rest_where_it_was() {
    let mut sum = steady::Sum::default();
    for name in ["night-parcel", "one-look", "table-top"] {
        sum.add(steady::run(name, 6, 7, &mut |_, _, _| {}).0);
    }
    assert!(sum.setups + sum.passes > 500, "{sum:?}");
    assert!(sum.percent() < 2.0, "{sum:?}");
}

#[test]
fn a_kept_plan_gives_the_same_papers_and_the_same_file() {
    let room = Room::with_film("kept");
    let ran = room.run(&["build", FILM, "--out", "one", "--keep"]);
    assert_eq!(ran.code, 0, "{ran:?}");
    assert!(ran.out.contains("kept the plan in 'film/film.plan.yaml'"), "{}", ran.out);
    let first = room.read(PLAN);
    for keep in [&["--keep"][..], &[]] {
        let ran = room.run(&[&["build", FILM, "--out", "two"], keep].concat());
        assert_eq!(ran.code, 0, "{ran:?}");
        assert!(ran.out.contains("set-ups stay and all "), "{}", ran.out);
        assert_eq!(room.read(PLAN), first);
        let papers = |folder: &str| -> Vec<_> {
            let tree = room.tree(folder).into_iter();
            tree.map(|(path, bytes)| (path.trim_start_matches(folder).to_owned(), bytes)).collect()
        };
        assert!(papers("one") == papers("two"), "the papers differ");
    }
    assert!(!room.tree("film").iter().any(|entry| format!("{entry:?}").contains("seamster-new")));
}

#[test]
fn what_people_wrote_into_the_file_outlives_every_build() {
    let room = Room::with_film("pins");
    assert_eq!(room.run(&["build", FILM, "--out", "one", "--keep"]).code, 0);
    let day = room.read(PLAN).lines().find_map(|line| line.strip_prefix("- day: ").map(str::to_owned));
    let day = day.expect("something is shot");
    let plate = room.read(PLAN).lines().find_map(|line| line.strip_prefix("  - ").map(str::to_owned));
    let plate = plate.expect("something is shot");
    let pin = format!("pins:\n# Noor has a train at six\n- plate: {plate}\n  on: {day}\n");
    room.edit(PLAN, "pins: []\n", &pin);
    let ran = room.run(&["build", FILM, "--out", "one", "--keep"]);
    assert_eq!(ran.code, 0, "{ran:?}");
    assert!(room.read(PLAN).contains(&pin), "{}", room.read(PLAN));
    // A remark in the part that is written anew would be lost: nothing is written.
    room.edit(PLAN, "desk:\n", "# Ada first\ndesk:\n");
    let before = room.tree("");
    let ran = room.run(&["build", FILM, "--out", "one", "--keep"]);
    assert_eq!(ran.code, 2, "{ran:?}");
    assert!(ran.err.contains("would be lost"), "{}", ran.err);
    assert_eq!(room.tree(""), before);
}

/// Whatever is wrong with the file, it is told with its line and stays as it is.
#[test]
fn a_wrong_file_is_told_and_never_written_over() {
    let room = Room::with_film("wrong");
    assert_eq!(room.run(&["build", FILM, "--out", "one", "--keep"]).code, 0);
    let good = room.read(PLAN);
    let half = &good[..good.len() / 2];
    for (text, code) in [
        (good.replace("plan: 1", "plan: 2"), "F02"),
        (good.replace("sequence: film", "sequence: other"), "F03"),
        (good.replace("desk:\n", "<<<<<<< ours\ndesk:\n=======\n>>>>>>> theirs\n"), "T19"),
        (half.to_owned(), "F01"),
        (String::new(), "F02"),
        ("{".repeat(5000), "F01"),
        (good.replace("pins: []", "pins:\n- plate: no.such\n  on: 2027-05-14"), "F05"),
        (good.replace("pins: []", "pins:\n- why: none"), "F06"),
        ("\u{0}".to_owned(), "T01"),
    ] {
        room.write(PLAN, &text);
        for how in [&["--keep"][..], &["--keep", "--afresh"], &["--keep", "--draft"]] {
            let ran = room.run(&[&["build", FILM, "--out", "two"], how].concat());
            assert_eq!(ran.code, 1, "{code}: {ran:?}");
            assert!(ran.out.contains(&format!("error[{code}]")), "{code}: {}", ran.out);
            assert!(ran.out.contains("--> film.plan.yaml:"), "{code}: {}", ran.out);
            assert_eq!(room.read(PLAN), text, "{code}");
        }
    }
}

/// A slip of the hand in a name of the plan itself is told with what is near, and the rest holds.
#[test]
fn a_person_or_a_day_that_is_none_is_told_and_the_rest_holds() {
    let room = Room::with_film("gone");
    assert_eq!(room.run(&["build", FILM, "--out", "one", "--keep"]).code, 0);
    let good = room.read(PLAN);
    let person = good.lines().find_map(|line| line.strip_prefix("- person: ")).expect("somebody at the desk");
    let slip = format!("{person}x");
    room.write(PLAN, good.replacen(&format!("- person: {person}"), &format!("- person: {slip}"), 1));
    let ran = room.run(&["check", FILM]);
    assert_eq!(ran.code, 0, "{ran:?}");
    assert!(ran.out.contains("note[F07]") && ran.out.contains(&format!("write '{person}'")), "{}", ran.out);
    let day = good.lines().find_map(|line| line.strip_prefix("- day: ")).expect("a day");
    room.write(PLAN, good.replacen(&format!("- day: {day}"), "- day: 2031-01-01", 1));
    let ran = room.run(&["check", FILM]);
    assert_eq!(ran.code, 0, "{ran:?}");
    assert!(ran.out.contains("2031-01-01, which is no shoot day"), "{}", ran.out);
}

#[test]
fn a_sequence_with_errors_keeps_no_plan() {
    let room = Room::with_film("errors");
    let text = room.read(FILM);
    room.write(FILM, format!("{text}\nnonsense\n"));
    let ran = room.run(&["build", FILM, "--out", "one", "--keep", "--draft"]);
    assert_eq!(ran.code, 1, "{ran:?}");
    assert!(ran.out.contains("the plan was not kept"), "{}", ran.out);
    assert!(!room.path(PLAN).exists());
}
