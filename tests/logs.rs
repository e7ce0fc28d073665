//! Day logs: what they free, what they replace, and what people hand in wrongly.

use seamster::Compiled;
use seamster::diagnostic::Severity;
use seamster::model::PlateId;
use std::collections::BTreeMap;

mod project;

/// The small sequence that the pages of the log family show.
fn small() -> &'static str {
    let page = seamster::rule::find("log-plate").expect("there is such a rule").page;
    page.split("```seam\n").nth(1).and_then(|rest| rest.split("```").next()).expect("it shows a sequence")
}

fn log(lines: &str) -> String {
    format!("log small {{\n  day 2027-05-14\n  plate one.cup {{\n{lines}\n  }}\n}}\n")
}

fn logged(logs: &[&str]) -> Compiled {
    let names = ["a.seam", "b.seam", "c.seam"];
    let logs: Vec<(&str, &str)> = names.into_iter().zip(logs.iter().copied()).collect();
    project::logged(small(), &logs)
}

fn cup(compiled: &Compiled) -> PlateId {
    compiled.breakdown.plates.iter().find(|(_, plate)| plate.named.path == "one.cup").expect("a cup").0
}

/// Codes of what was found in logs, each with its first place as `file:line`.
fn found(compiled: &Compiled) -> Vec<String> {
    let in_logs = compiled.diagnostics.iter().filter_map(|one| {
        let at = compiled.sources.at(one.span?);
        at.starts_with("logs/").then(|| format!("{} {at}", one.code.name))
    });
    in_logs.collect()
}

#[test]
fn a_captured_plate_leaves_the_shoot_and_frees_the_desk() {
    let compiled = logged(&[&log("take 1 \"C0031\" circled")]);
    assert!(found(&compiled).is_empty(), "{:?}", found(&compiled));
    assert!(compiled.plan.shoot.shot.is_empty() && compiled.plan.shoot.unplanned.is_empty());
    assert!(compiled.plan.desk.unplanned.is_empty());
    assert!(!compiled.plan.desk.done.is_empty());
}

#[test]
fn a_plate_without_a_usable_take_is_owed_again() {
    let compiled = logged(&[&log("take 1 \"C0031\" spoiled \"gust\"\nheight 1.2 m")]);
    assert_eq!(found(&compiled), ["owed-again logs/a.seam:3"]);
    let cup = cup(&compiled);
    assert!(compiled.plan.shoot.shot.contains_key(&cup));
    assert!(compiled.breakdown.plates[cup].height.is_none(), "a spoiled take changes nothing");
}

#[test]
fn what_was_measured_stands_in_place_of_what_was_planned() {
    let compiled = logged(&[&log("take 1 \"C0031\"\nheight 1.38 m")]);
    let height = compiled.breakdown.plates[cup(&compiled)].height.expect("it was measured");
    assert!((height.value.0 - 1.38).abs() < 1e-9);
    assert_eq!(compiled.sources.at(height.span), "logs/a.seam:5");
}

/// The small sequence with an effect that locks the cup's plate together with two that are owed to it.
fn locked() -> String {
    small().replace(
        "lasts 8 s }",
        "lasts 8 s; hold locked; height 1.40 m; tilt 0 deg; near 1 m }\n  effect glow by light_effect { on cup }",
    )
}

const GROUP: &str = "take 1 \"C0031\"\nheight 1.52 m\ntilt 6 deg\n}\n\
                     plate one.glow.lit { take 1 \"C0032\" }\nplate one.glow.light_ref { take 1 \"C0033\"";

#[test]
fn what_was_measured_once_holds_for_the_whole_locked_group() {
    let compiled = project::logged(&locked(), &[("a.seam", &log(GROUP))]);
    let told: Vec<&str> = compiled.diagnostics.iter().map(|one| one.message.as_str()).collect();
    assert!(told.is_empty(), "{told:?}");
    for (id, plate) in compiled.breakdown.plates.iter() {
        let [height, tilt] =
            [plate.height.map(|line| line.value.0), plate.tilt.map(|line| line.value.0)].map(Option::unwrap);
        assert!((height - 1.52).abs() < 1e-9 && (tilt - 6.0).abs() < 1e-9, "{}", plate.named.path);
        assert!(compiled.model.record.taken.contains(&id), "{}", plate.named.path);
    }
    // A camera that was moved all the same keeps nobody from building.
    let moved = GROUP.replace("\"C0032\"", "\"C0032\"; height 1.40 m");
    let compiled = project::logged(&locked(), &[("a.seam", &log(&moved))]);
    assert_eq!(found(&compiled), ["lock-broken logs/a.seam:8"]);
    let worst = compiled.diagnostics.iter().map(|one| one.severity).max();
    assert_eq!(worst, Some(Severity::Warning), "{:?}", compiled.diagnostics);
}

#[test]
fn several_logs_of_one_take_are_one_take() {
    let compiled = logged(&[&log("take 1 \"C0031\" at 10:12"), &log("take 1 \"C0031\" circled \"good\"")]);
    assert!(found(&compiled).is_empty(), "{:?}", found(&compiled));
    let takes = &compiled.model.record.plates[&cup(&compiled)].takes;
    assert_eq!((takes.len(), takes[0].remark.as_deref()), (1, Some("good")));
    assert!(takes[0].at.is_some());
}

/// What people hand in, what is told of it, and whether the plate counts as captured.
#[test]
fn every_mistake_is_named_and_the_rest_counts() {
    let good = log("take 1 \"C0031\" circled");
    let other = good.replace("log small", "log other");
    let gone = log("take 1 \"C9\"").replace("one.cup", "one.mug");
    let twice = log("take 1 \"C0031\" from \"10:12:04:10\" to \"10:12:13:00\"\n\
                     take 1 \"C0031\" from \"10:15:04:10\" to \"10:15:13:00\"");
    let half = "log small {\n  day 2027-05-14\n  plate one.cup {\n    take 1 \"C0031\"\n    take 2 \"C00";
    let merge = log("<<<<<<< here\ntake 1 \"C0031\"\n=======\ntake 2 \"C0032\"\n>>>>>>> there");
    let clocks = log("take 1 \"C0031\" at 10:20\ntake 2 \"C0032\" at 10:12");
    let backwards = log("take 1 \"C0031\" from \"10:12:13:00\" to \"10:12:04:10\"");
    let no_frame = log("take 1 \"C0031\" from \"10:12:04:25\" to \"10:12:13:00\"");
    let circled = log("take 1 \"C0031\" circled\ntake 2 \"C0032\" circled");
    let cases: &[(&[&str], &[&str], bool)] = &[
        (&[&gone, &good], &["log-plate logs/a.seam:3"], true),
        (&[&twice], &["take-twice logs/a.seam:5"], true),
        (&[&other], &["log-sequence logs/a.seam:1"], false),
        (&[half], &["block logs/a.seam:1", "block logs/a.seam:3", "line logs/a.seam:5"], true),
        (
            &[&merge],
            &["merge-mark logs/a.seam:4", "merge-mark logs/a.seam:6", "merge-mark logs/a.seam:8"],
            true,
        ),
        (&[&clocks], &["log-clock logs/a.seam:5"], true),
        (&[&backwards], &["log-clock logs/a.seam:4"], true),
        (&[&no_frame], &["log-clock logs/a.seam:4"], true),
        (
            &[&good, &log("take 1 \"C0031\" spoiled")],
            &["owed-again logs/a.seam:3", "logs-differ logs/b.seam:4"],
            false,
        ),
        (&[&circled], &["circled-twice logs/a.seam:5"], true),
        (&["", &good], &["log-empty logs/a.seam:1"], true),
        (&["# nothing yet\n"], &["log-empty logs/a.seam:1"], false),
    ];
    for (logs, told, captured) in cases {
        let compiled = logged(logs);
        assert_eq!(found(&compiled), *told, "{logs:?}");
        assert_eq!(compiled.model.record.taken.contains(&cup(&compiled)), *captured, "{logs:?}");
        let worst = compiled.diagnostics.iter().map(|one| one.severity).max();
        assert!(worst < Some(Severity::Error), "a mistake in a log keeps nobody from building: {logs:?}");
    }
}

/// A log that breaks off after its day has wrapped: what it no longer says is told once, at its day.
#[test]
fn a_wrapped_day_whose_log_breaks_off_says_what_no_log_speaks_of() {
    let plan = "plan: 1\nsequence: small\npins: []\nshoot:\n- day: 2027-05-14\n  plates:\n  - one.cup\n\
                desk:\n- person: ada\n  passes:\n  - one.cup.ingest\n...\n";
    let half = "log small {\n  day 2027-05-14\n  wrapped 17:00\n  plate one.c";
    let compiled = project::beside(small(), &[("a.seam", half)], Some(plan));
    let short: Vec<_> = compiled.diagnostics.iter().filter(|one| one.code.name == "day-short").collect();
    let [short] = short.as_slice() else { unreachable!("told once: {:?}", compiled.diagnostics) };
    assert!(short.message.contains("no log speaks of 1 of the 1 plates kept for it"), "{}", short.message);
    assert_eq!(short.notes, ["not logged: 'one.cup'"]);
    // The only day is over, which is among the reasons why the plate finds no other.
    let left =
        compiled.diagnostics.iter().find(|one| one.code.name == "cannot-plan").expect("no day is left");
    let over = left.others.iter().find(|label| label.text.contains("2027-05-14 is over"));
    assert!(over.is_some(), "{:?}", left.others);
}

/// Nothing that was written is lost.
#[test]
fn what_cannot_be_used_is_kept_aside() {
    let compiled = logged(&[&log("take 1 \"C9\" circled").replace("one.cup", "one.mug")]);
    let aside: Vec<&str> = compiled.model.record.aside.iter().map(|one| one.text.as_str()).collect();
    assert_eq!(aside, ["one.mug: take 1 \"C9\" circled"]);
    let documents = compiled.documents(false, &[]).expect("the built-in templates are whole");
    let list = documents.iter().find(|one| one.path == "ingest.md").expect("an ingest list");
    let list = String::from_utf8_lossy(&list.bytes);
    let line = list.lines().find(|line| line.contains("one.mug")).expect("the list names it");
    assert!(line.contains("the sequence holds no such plate") && line.contains("logs/a.seam:4"), "{line}");
}

/// A hand-over that was 9 cm out is told with its pixels.
#[test]
fn a_hand_over_that_was_out_is_told_to_whoever_joins_it() {
    let plain = project::example("night-parcel");
    let (id, join) = plain.model.joins.iter().find(|(_, join)| join.mark.is_some()).expect("a hand-over");
    let path = &plain.model.plates[join.from].named.path;
    let date = plain.plan.shoot.days[0].date;
    let log = format!(
        "log {} {{\n  day {date}\n  plate {path} {{ take 1 \"C1\" circled; left 9 cm, 2 deg }}\n}}\n",
        plain.model.sequence.named.path
    );
    let texts = BTreeMap::from([("logs/day.seam".to_owned(), log)]);
    let compiled = project::rewritten("night-parcel", texts);
    let about = seamster::rule::About::Join(id);
    let told = compiled.findings.instructions_for(about).find(|one| one.topic == "measured at the hand-over");
    let told = told.expect("it is told");
    assert!(told.text.contains("ended 9 cm and 2° off") && told.text.contains("px"), "{}", told.text);
}

/// The example on the page of the format is written as the page says.
#[test]
fn the_example_of_the_format_is_well_formed() {
    let page = seamster::record::FORMAT_PAGE;
    let example =
        page.split("```seam\n").nth(1).and_then(|rest| rest.split("```").next()).expect("it has one");
    assert_eq!(found(&logged(&[example])), ["log-sequence logs/a.seam:1"]);
}

/// A captured plate's card says what was measured beside what was planned.
#[test]
fn cards_show_measured_beside_planned() {
    let text = small().replace("lasts 8 s }", "lasts 8 s; height 1.40 m }");
    let compiled = project::logged(&text, &[("a.seam", &log("take 1 \"C0031\" circled\nheight 1.38 m"))]);
    let documents = compiled.documents(false, &[]).expect("the built-in templates are whole");
    let card = documents.iter().find(|one| one.path == "plates/one-cup.md").expect("a card");
    let card = String::from_utf8_lossy(&card.bytes);
    assert!(card.contains("1.38 m (planned 1.4 m)"), "{card}");
    assert!(!card.contains("In no plan"), "{card}");
}
