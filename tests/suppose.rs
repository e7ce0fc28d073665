//! What if: each supposition must do what the same words written into the text do,
//! and touch nothing on the disk.

#![allow(clippy::disallowed_methods, reason = "tests read and write real files")]

use command::Room;
use project::{Edit, example, planted};
use seamster::Compiled;
use seamster::order::Effort;
use seamster::suppose::Suppositions;
use std::collections::BTreeMap;

mod command;
mod project;

const FILM: &str = "night-parcel.seam";

/// What the example says of its first day alone.
const FIRST: &str = "day 2027-05-14 {
  weather    dry, calm  # spray on the platform, a trolley and a parcel in the wind
  cover      loft
  cover_base loft
  decide     18:00 the day before
}
";

fn supposing(now: &Compiled, lines: &[&str]) -> Compiled {
    let lines: Vec<String> = lines.iter().map(|line| (*line).to_owned()).collect();
    let suppositions = Suppositions::read(now, &lines).expect("they make sense");
    now.supposing(&suppositions, Effort::default())
}

/// When every plate is shot and every pass is done, by path.
fn times(compiled: &Compiled) -> BTreeMap<String, i64> {
    let plates = compiled.plan.shoot.shot.iter();
    let plates =
        plates.map(|(id, (_, start, _))| (compiled.breakdown.plates[*id].named.path.clone(), start.0));
    let passes = compiled.plan.desk.done.iter();
    plates
        .chain(passes.map(|(id, done)| (format!("pass {}", compiled.breakdown.passes[*id].path), done.0)))
        .collect()
}

/// Codes and sentences of all that is wrong.
fn found(compiled: &Compiled) -> Vec<(&str, &str)> {
    let mut all: Vec<_> =
        compiled.diagnostics.iter().map(|one| (one.code.id, one.message.as_str())).collect();
    all.sort_unstable();
    all
}

/// The supposition and the same words in the text come to the same plan and the same findings.
fn same(supposed: &[&str], edits: &[Edit<'_>]) {
    let (then, written) = (supposing(&example("night-parcel"), supposed), planted("night-parcel", edits));
    assert_eq!(times(&then), times(&written), "{supposed:?}");
    assert_eq!(found(&then), found(&written), "{supposed:?}");
    assert_ne!(times(&then), times(&example("night-parcel")), "{supposed:?} does nothing");
}

#[test]
fn a_later_call_is_what_a_written_one_is() {
    same(&["call 2027-05-14 06:30"], &[(FILM, "call        05:15", "call        06:30")]);
}

#[test]
fn a_person_away_is_what_a_written_one_is() {
    same(
        &["away tomas 2027-05-15"],
        &[(
            "people.seam",
            "can spotter, fly, pull, hold }",
            "can spotter, fly, pull, hold; away 2027-05-15 }",
        )],
    );
}

#[test]
fn somebody_away_is_away_from_the_desk_too() {
    let now = example("night-parcel");
    let then = supposing(&now, &["away mei 2027-05-18..2027-05-21"]);
    let zone = jiff::tz::TimeZone::get("Europe/Lisbon").expect("it is in the list");
    let gone = jiff::civil::date(2027, 5, 18)..=jiff::civil::date(2027, 5, 21);
    let works = |compiled: &Compiled| {
        let mei = |work: &&seamster::order::Assignment| compiled.model.desks[work.desk].named.path == "mei";
        let starts = compiled.plan.desk.work.iter().filter(mei).map(|work| work.start.civil(&zone).date());
        starts.filter(|date| gone.contains(date)).count()
    };
    assert!(works(&now) > 0);
    assert_eq!(works(&then), 0);
}

#[test]
fn a_broken_rig_is_what_one_away_is() {
    same(
        &["broken trolley 2027-05-14"],
        &[(
            "kit.seam",
            "rig trolley \"Cable trolley\" {",
            "rig trolley \"Cable trolley\" {\n  away 2027-05-14",
        )],
    );
    let then = supposing(&example("night-parcel"), &["broken trolley"]);
    assert!(!times(&then).contains_key("leap.swoop"));
    assert!(found(&then).iter().any(|(_, message)| message.contains("'leap.swoop' cannot be planned")));
}

#[test]
fn a_lost_day_is_what_one_that_was_never_allowed_is() {
    same(
        &["lose 2027-05-14"],
        &[(FILM, "days from 2027-05-14, at most 2", "days from 2027-05-15, at most 1"), (FILM, FIRST, "")],
    );
}

#[test]
fn one_more_day_is_what_a_written_one_is() {
    same(
        &["lose 2027-05-14", "add 2027-05-17 like 2027-05-14"],
        &[
            (FILM, "days from 2027-05-14, at most 2", "days from 2027-05-15, at most 1"),
            (
                FILM,
                FIRST,
                &FIRST
                    .replace("day 2027-05-14 {", "day 2027-05-17 {\n  call 05:15\n  wrap 15:00\n  base quay"),
            ),
        ],
    );
}

#[test]
fn a_cut_beat_takes_with_it_what_hangs_on_it() {
    let path = format!("{}/examples/night-parcel/{FILM}", env!("CARGO_MANIFEST_DIR"));
    let whole = std::fs::read_to_string(path).expect("the example is there");
    let beat =
        &whole[whole.find("beat bench").expect("a beat")..whole.find("beat sorting").expect("the next")];
    same(
        &["cut bench"],
        &[
            (FILM, beat, ""),
            (FILM, "    needs   bench  # the wax seal's colour is settled there\n", ""),
            (FILM, "  cue   \"string pulled tight, then a hum that stays until the door\" at bench\n", ""),
        ],
    );
    // Both joins of a beat in the middle go, and no finding says that a name is unknown.
    let then = supposing(&example("night-parcel"), &["cut tow"]);
    assert!(then.model.joins.values().all(|join| !join.named.path.contains("tow.")));
    assert!(found(&then).iter().all(|(code, _)| !code.starts_with("T0")), "{:?}", found(&then));
}

#[test]
fn what_is_not_there_is_told_with_what_is() {
    let now = example("night-parcel");
    for (line, message, help) in [
        ("lose 2027-05-20", "nothing can be shot on Thu 20 May as it is", "2027-05-14, 2027-05-15"),
        ("away mai 2027-05-14", "no person is called 'mai'", "did you mean 'mei'?"),
        ("broken troley", "no rig is called 'troley'", "did you mean 'trolley'?"),
        ("cut tows", "no beat is called 'tows'", "did you mean 'tow'?"),
        ("call 2027-05-14 16:00", "the call at 16:00 is not before the wrap at 15:00", ""),
        ("add 2027-05-15", "the day 2027-05-15 is allowed already", ""),
        ("add 2027-05-17 like 2027-05-01", "there is no day that it could be like", "2027-05-14, 2027-05-15"),
        ("away mei 2027-05-15..2027-05-14", "this range of dates ends before it starts", ""),
        ("note \"rain\"", "'note' supposes nothing", "lose, weather, add, away"),
        ("", "nothing is supposed", "lose 2027-05-14"),
        ("# rain", "nothing is supposed", "lose 2027-05-14"),
    ] {
        let wrong = Suppositions::read(&now, &[line.to_owned()]).expect_err(line);
        let first = wrong.diagnostics.first().expect("something is wrong");
        assert_eq!(first.message, message);
        assert!(first.help.iter().any(|one| one.contains(help)) || help.is_empty(), "{:?}", first.help);
    }
    // A day that is lost cannot be called later.
    let lines = ["lose 2027-05-14".to_owned(), "call 2027-05-14 06:00".to_owned()];
    assert!(Suppositions::read(&now, &lines).is_err());
}

#[test]
fn the_command_tells_in_every_form_and_changes_no_file() {
    let room = Room::new("suppose");
    for file in ["night-parcel.seam", "kit.seam", "people.seam"] {
        let path = format!("{}/examples/night-parcel/{file}", env!("CARGO_MANIFEST_DIR"));
        room.write(file, std::fs::read(path).expect("the example is there"));
    }
    let before = room.tree("");
    let lost = ["suppose", FILM, "lose 2027-05-14", "add 2027-05-17 like 2027-05-14"];
    let text = room.run(&lost).out;
    assert!(
        text.contains("supposed: Fri 14 May is lost\nsupposed: Mon 17 May is one more day, like Fri 14 May")
    );
    assert!(text.contains("day 2: Fri 14 May, 06:02 to 08:12, base Old quay → Mon 17 May"), "{text}");
    let html = room.run(&[&lost[..], &["--format", "html"]].concat()).out;
    assert!(html.contains(">What would be different</h1>") && html.contains("supposed: Fri 14 May is lost"));
    let json = room.run(&[&lost[..], &["--format", "json", "--for", "mei"]].concat()).out;
    assert!(serde_json::from_str::<serde_json::Value>(&json).is_ok());
    let all = room.run(&["suppose", FILM]).out;
    assert!(all.contains("\"cut tow\"") && all.contains("days: 2027-05-14, 2027-05-15"), "{all}");
    // What people can do are words, and no names of what is cut: 'pull' is an effect of that beat.
    let cut = room.run(&["suppose", FILM, "cut tow"]).out;
    assert!(cut.contains("gone effect tow.pull") && !cut.contains("changed person"), "{cut}");
    let wrong = room.run(&["suppose", FILM, "cut tows"]);
    assert_eq!(wrong.code, 2);
    assert!(wrong.err.contains("did you mean 'tow'?") && wrong.err.contains(" --> supposed:1:5"));
    assert_eq!(room.tree(""), before);
}

#[test]
fn what_changes_nothing_says_so() {
    let room = Room::with_film("nothing");
    let film = room.read("film/film.seam");
    let date = film.split_once("days from ").map(|(_, rest)| &rest[..10]).expect("it has days");
    let call = film.split_once("\n  call ").map(|(_, rest)| &rest.trim_start()[..5]).expect("it has a call");
    let ran = room.run(&["suppose", "film/film.seam", &format!("call {date} {call}")]);
    assert_eq!(ran.code, 0, "{ran:?}");
    assert!(ran.out.contains("nothing would change") && !ran.out.contains("comments"), "{}", ran.out);
}

#[test]
fn a_supposition_on_a_half_shot_sequence_keeps_what_is_captured() {
    let page = seamster::rule::find("log-plate").expect("there is such a rule").page;
    let text = page.split("```seam\n").nth(1).and_then(|rest| rest.split("```").next());
    let text = text.expect("it shows a sequence").replace("at most 1", "at most 2").replace(
        "lasts 8 s }\n",
        "lasts 8 s }\n  plate jug \"A jug\" { place room; rig stand; camera thumb.wide; lasts 8 s }\n",
    );
    let log = "log small {\n  day 2027-05-14\n  wrapped 11:00\n  plate one.cup { take 1 \"C0031\" at 10:12 circled }\n}\n";
    let now = project::logged(&text, &[("a.seam", log)]);
    let cup = now.breakdown.plates.iter().find(|(_, plate)| plate.named.path == "one.cup").expect("a cup").0;
    assert!(now.model.record.taken.contains(&cup), "{:?}", found(&now));
    let later = supposing(&now, &["call 2027-05-15 10:30"]);
    assert_eq!(later.model.record.taken, now.model.record.taken);
    let (before, after) = (times(&now), times(&later));
    assert!(!before.contains_key("one.cup") && !after.contains_key("one.cup"), "{after:?}");
    assert!(after["one.jug"] > before["one.jug"], "what is left moves: {before:?} {after:?}");
    // The desk has had the captured clip since the day of the log.
    assert_eq!(after["pass one.cup.ingest"], before["pass one.cup.ingest"]);
}
