//! What nothing fits: the smallest set of lines that cannot hold together is
//! named, each line with its file, and mending any one of them mends the plan.
//!
//! Each set is known from the text by hand; common practice, no source.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "a test may fail by any of these"
)]

use seamster::Compiled;

mod project;

const HEAD: &str = r#"sequence small "Small" {
  picture 1920x1080 at 25 fps
  zone "Europe/Lisbon"
  mains 50 Hz
}
camera thumb "Thumb camera" {
  battery 30 min
  recharge 35 min; card 32 GB
  mode wide {
    frame 2560x1440 at 25 fps; shutter 1/50 s
    view 100 deg equidistant; stream 80 Mb/s; steady off
  }
}
rig stand "Tripod" { fixed yes; fitting 5 min; placing 0.5 cm, 0.3 deg; carries 2 kg; hands 2 }
desk ada "Ada" { does ingest, edit, roto, paint, comp, key, retime, track, cg, grade, sound, delivery; hours 6 h per day }
finish by 2027-07-30
"#;

/// A case: the text below the head, what is left out, and for each line that is
/// named the words in it and what to write in their place.
struct Case {
    text: &'static str,
    left: &'static [&'static str],
    members: &'static [(&'static str, &'static str)],
}

fn compiled(text: &str) -> Compiled {
    project::text("film.seam", &format!("{HEAD}{text}"))
}

fn left_out(compiled: &Compiled) -> Vec<&str> {
    let left = compiled.plan.shoot.unplanned.iter();
    left.map(|left| compiled.breakdown.plates[left.what].named.path.as_str()).collect()
}

/// The lines that are named for the first thing that is left out, each with what is said.
fn named(compiled: &Compiled) -> Vec<(String, String)> {
    let left = &compiled.plan.shoot.unplanned[0];
    let line = |span| compiled.sources.at(span);
    left.reasons.iter().map(|(text, span)| (span.map(line).unwrap_or_default(), text.clone())).collect()
}

fn line_of(text: &str, words: &str) -> String {
    let whole = format!("{HEAD}{text}");
    let lines: Vec<usize> =
        whole.lines().enumerate().filter(|(_, line)| line.contains(words)).map(|(at, _)| at + 1).collect();
    assert_eq!(lines.len(), 1, "'{words}' stands on {lines:?}");
    format!("film.seam:{}", lines[0])
}

impl Case {
    fn holds(&self) {
        let found = compiled(self.text);
        assert_eq!(left_out(&found), self.left, "{:#?}", found.plan.shoot.unplanned);
        let mut lines: Vec<String> = named(&found).into_iter().map(|(line, _)| line).collect();
        let mut wanted: Vec<String> =
            self.members.iter().map(|(words, _)| line_of(self.text, words)).collect();
        lines.sort();
        wanted.sort();
        assert_eq!(lines, wanted, "{:#?}", named(&found));
        for (words, instead) in self.members {
            let mended = self.text.replacen(words, instead, 1);
            let found = compiled(&mended);
            let first = self.left[0];
            assert!(!left_out(&found).contains(&first), "'{instead}' does not mend it: {:#?}", named(&found));
        }
        let report: Vec<_> = found.diagnostics.iter().filter(|one| one.code.name == "cannot-plan").collect();
        assert_eq!(report.len(), self.left.len(), "{:#?}", found.diagnostics);
        // Where several are left out for one set of reasons, the reasons are told once.
        assert_eq!(report[0].others.len(), self.members.len(), "{:#?}", report[0]);
    }
}

const CUP: &str = r#"beat one "The cup" {
  runs 5 s
  plate cup "A cup on a table" {
    place room; rig stand; camera thumb.wide
    lasts 8 s
  }
  plate jug "A jug on a table" { place hall; rig stand; camera thumb.wide; lasts 8 s }
}
"#;

fn with_cup(text: &str) -> &'static str {
    Box::leak(format!("{CUP}place hall \"A hall\" {{ light lamp }}\n{text}").into_boxed_str())
}

#[test]
fn hours_that_do_not_overlap() {
    let text = with_cup(
        "place room \"A room\" {
  light lamp
  open 18:00..22:00
}
travel room to hall 5 min
days from 2027-05-14, at most 1 {
  call 09:00
  wrap 17:00
  base room
}
",
    );
    let case = Case {
        text,
        left: &["one.cup"],
        members: &[("open 18:00..22:00", "open 12:00..22:00"), ("wrap 17:00", "wrap 21:00")],
    };
    case.holds();
    let told = named(&compiled(text));
    let text = told.iter().map(|(_, text)| text.as_str()).collect::<Vec<_>>().join("\n");
    // 17:00 less 15 min of packing is left of an opening at 16:00: two hours earlier are enough.
    assert!(
        text.contains("if A room were open 2 h 00 min earlier, it would be shot on 2027-05-14 at "),
        "{text}"
    );
    assert!(
        text.contains("if 2027-05-14 could wrap 2 h 00 min later, it would be shot on 2027-05-14 at 18:05"),
        "{text}"
    );
}

#[test]
fn a_plate_longer_than_its_window() {
    let text = r#"beat one "The cup" {
  runs 5 s
  plate cup "A cup on a table" {
    place room; rig stand; camera thumb.wide; lasts 8 s
    between 5 min
    takes 20
  }
}
place room "A room" {
  light lamp
  open 10:00..11:00
}
days from 2027-05-14, at most 2 { call 09:00; wrap 17:00; base room }
"#;
    // Twenty takes of 8 s with 5 min between are 98 min. Length is named at the line of one take.
    let found = compiled(text);
    assert_eq!(left_out(&found), ["one.cup"]);
    let told = named(&found);
    let lines: Vec<&str> = told.iter().map(|(line, _)| line.as_str()).collect();
    assert_eq!(lines, [line_of(text, "lasts 8 s"), line_of(text, "open 10:00..11:00")], "{told:#?}");
    assert!(told[0].1.contains("'A cup on a table' takes 98 min: 20 takes of 8 s"), "{told:#?}");
    assert!(
        told[0]
            .1
            .contains("if 'A cup on a table' were shot in 10 takes, it would be shot on 2027-05-14 at 10:"),
        "{told:#?}"
    );
    assert!(
        told[1].1.contains("if A room were open 60 min earlier, it would be shot on 2027-05-14 at 09:"),
        "{told:#?}"
    );
    for (words, instead) in [("takes 20", "takes 10"), ("open 10:00..11:00", "open 10:00..12:00")] {
        assert!(left_out(&compiled(&text.replacen(words, instead, 1))).is_empty(), "{instead}");
    }
}

#[test]
fn someone_away_on_the_only_day() {
    Case {
        text: with_cup(
            "place room \"A room\" { light lamp }
travel room to hall 5 min
person mei \"Mei\" {
  plays courier
  away 2027-05-14
}
beat two \"The hand\" {
  runs 5 s
  plate hand \"A hand\" { place room; rig stand; camera thumb.wide; lasts 8 s; person mei }
}
days from 2027-05-14, at most 1 { call 09:00; wrap 17:00; base room }
",
        ),
        left: &["two.hand"],
        members: &[("away 2027-05-14", "away 2027-05-13"), ("at most 1", "at most 2")],
    }
    .holds();
}

#[test]
fn a_locked_group_that_outlasts_its_battery() {
    let text = r#"beat one "Twins" {
  runs 5 s
  plate left "Left" { place room; rig stand; camera thumb.wide; hold locked; lasts 5 min; takes 2; height 1 m; tilt 0 deg }
  plate right "Right" { place room; rig stand; camera thumb.wide; hold locked; lasts 5 min; takes 4; height 1 m; tilt 0 deg }
  effect twins by split_takes { takes left, right }
}
place room "A room" { light lamp }
days from 2027-05-14, at most 1 { call 09:00; wrap 17:00; base room }
"#;
    let found = compiled(text);
    // 10 and 20 min of takes and the clean plate are more than the 27 min that one battery gives.
    assert_eq!(left_out(&found), ["one.left", "one.right", "one.twins.clean"], "{:#?}", found.diagnostics);
    let told = named(&found);
    let lines: Vec<&str> = told.iter().map(|(line, _)| line.as_str()).collect();
    let wanted =
        [line_of("", "battery 30 min"), line_of(text, "effect twins"), line_of(text, "lasts 5 min; takes 2")];
    assert_eq!(lines, wanted, "{told:#?}");
    assert!(told[0].1.starts_with("a battery of Thumb camera gives 27 min"), "{told:#?}");
    for (words, instead) in
        [("takes 4", "takes 2"), ("effect twins by split_takes { takes left, right }", "")]
    {
        let mended = compiled(
            &text
                .replacen(words, instead, 1)
                .replace("hold locked; ", if instead.is_empty() { "" } else { "hold locked; " }),
        );
        assert!(left_out(&mended).is_empty(), "{instead}: {:#?}", named(&mended));
    }
    let larger =
        project::text("film.seam", &format!("{HEAD}{text}").replacen("battery 30 min", "battery 60 min", 1));
    assert!(left_out(&larger).is_empty());
}

/// A locked group is left out whole; its reasons stand once, not once for each plate.
#[test]
fn reasons_of_a_group_are_told_once() {
    let text = r#"beat one "Twins" {
  runs 5 s
  plate left "Left" { place room; rig stand; camera thumb.wide; hold locked; lasts 5 min; takes 2; height 1 m; tilt 0 deg }
  plate right "Right" { place room; rig stand; camera thumb.wide; hold locked; lasts 5 min; takes 4; height 1 m; tilt 0 deg }
  effect twins by split_takes { takes left, right }
}
place room "A room" { light lamp }
days from 2027-05-14, at most 1 { call 09:00; wrap 17:00; base room }
"#;
    let found = compiled(text);
    let told: Vec<_> = found.diagnostics.iter().filter(|one| one.code.name == "cannot-plan").collect();
    assert_eq!(told.iter().map(|one| one.others.len()).collect::<Vec<_>>(), [3, 0, 0], "{told:#?}");
    for later in &told[1..] {
        assert_eq!(later.label, "left out of the plan for the same reasons as 'one.left'");
    }
}

/// A take that is too long both for a battery and for a card: each line says what is still in the way
/// when it alone gives way, and what would do is found.
#[test]
fn a_take_longer_than_a_battery_and_a_card() {
    let text = with_cup(
        "place room \"A room\" { light lamp }
travel room to hall 5 min
days from 2027-05-14, at most 1 { call 09:00; wrap 17:00; base room }
",
    )
    .replacen("lasts 8 s", "lasts 40 min", 1);
    let found = compiled(&text);
    assert_eq!(left_out(&found), ["one.cup"]);
    let told = named(&found);
    let of = |words: &str| &told.iter().find(|(_, text)| text.starts_with(words)).unwrap().1;
    // Three takes of 40 min at 80 Mb/s are 72 GB.
    let battery = of("a battery of Thumb camera gives 27 min");
    assert!(
        battery.ends_with(
            "giving way on this alone is not enough, since a card of Thumb camera holds 32 GB, \
                           and 'A cup on a table' takes 124 min: 3 takes of 40 min, 2 min between"
        ),
        "{battery}"
    );
    let length = of("'A cup on a table' takes 124 min");
    assert!(
        length.contains("if 'A cup on a table' were shot in one take of 20 min, it would be"),
        "{length}"
    );
    // What the rule of batteries says to write is as long as the planner takes.
    let advice = found.diagnostics.iter().find(|one| one.code.name == "battery").unwrap();
    assert_eq!(advice.help.as_deref(), Some("keep a take shorter, 'lasts 27 min'"));
}

/// Two plates that each fill a window are each other's reason.
#[test]
fn no_room_beside_another() {
    let text = r#"beat one "The cup" {
  runs 5 s
  plate cup "A cup on a table" { place room; rig stand; camera thumb.wide; lasts 8 s; takes 8; between 6 min }
  plate jug "A jug on a table" { place room; rig stand; camera thumb.wide; lasts 9 s; takes 9; between 6 min }
}
place room "A room" {
  light lamp
  open 10:00..11:00
}
days from 2027-05-14, at most 1 { call 09:00; wrap 17:00; base room }
"#;
    let found = compiled(text);
    let left = left_out(&found);
    assert_eq!(left.len(), 1, "{:#?}", found.plan.shoot.unplanned);
    let told = named(&found);
    let lines: BTreeSetOf = told.iter().map(|(line, _)| line.clone()).collect();
    let wanted: BTreeSetOf = ["plate cup", "plate jug", "open 10:00..11:00", "at most 1"]
        .iter()
        .map(|words| line_of(text, words))
        .collect();
    assert_eq!(lines, wanted, "{told:#?}");
    for (words, instead) in [
        ("takes 8", "takes 1"),
        ("takes 9", "takes 1"),
        ("open 10:00..11:00", "open 10:00..13:00"),
        ("at most 1", "at most 2"),
    ] {
        assert!(left_out(&compiled(&text.replacen(words, instead, 1))).is_empty(), "{instead}");
    }
}

type BTreeSetOf = std::collections::BTreeSet<String>;

/// What can be planned is planned, whatever cannot.
#[test]
fn everything_else_is_planned() {
    let found = compiled(with_cup(
        "place room \"A room\" { light lamp; open 18:00..22:00 }
travel room to hall 5 min
days from 2027-05-14, at most 1 { call 09:00; wrap 17:00; base room }
",
    ));
    assert_eq!(found.plan.shoot.shot.len(), 1);
    let why: Vec<&str> = found.diagnostics.iter().map(|one| one.code.name).collect();
    assert_eq!(why.iter().filter(|name| **name == "cannot-plan").count(), 1, "{why:?}");
}

#[test]
fn a_desk_with_nobody_names_the_work_and_who_could_do_it() {
    let text = with_cup(
        "place room \"A room\" { light lamp }
travel room to hall 5 min
days from 2027-05-14, at most 1 { call 09:00; wrap 17:00; base room }
",
    );
    let whole = format!("{HEAD}{text}").replace("grade, sound, delivery", "grade, delivery");
    let found = project::text("film.seam", &whole);
    let finding = found.diagnostics.iter().find(|one| one.code.name == "no-desk").expect("it is told");
    assert!(finding.message.contains("nobody at any desk does 'sound'"), "{finding:#?}");
    let gives: Vec<&String> =
        finding.notes.iter().filter(|note| note.contains("if Ada could do sound as well")).collect();
    assert_eq!(gives.len(), 1, "{finding:#?}");
    // What was computed is what then happens.
    let done = found.breakdown.passes.iter().find(|(_, pass)| pass.department == "sound").unwrap().0;
    let mended = compiled(text);
    let zone = jiff::tz::TimeZone::get("Europe/Lisbon").unwrap();
    let date = mended.plan.desk.done[&done].civil(&zone).date();
    assert!(gives[0].ends_with(&date.to_string()), "{gives:?}, done on {date}");
    assert!(!found.plan.desk.done.is_empty(), "what does not wait for it is planned");
}

#[test]
fn without_any_desk_one_finding_says_what_to_write() {
    let text = with_cup(
        "place room \"A room\" { light lamp }
travel room to hall 5 min
days from 2027-05-14, at most 1 { call 09:00; wrap 17:00; base room }
",
    );
    let desk = HEAD.lines().find(|line| line.starts_with("desk")).unwrap();
    let whole = format!("{HEAD}{text}");
    let found = project::text("film.seam", &whole.replacen(desk, "", 1));
    let told: Vec<_> = found.diagnostics.iter().filter(|one| one.code.name == "no-desk").collect();
    assert_eq!(told.len(), 1, "{told:#?}");
    let help = told[0].help.as_deref().unwrap();
    let line = help.split('\'').nth(1).unwrap().replace("NAME", "ada");
    let mended = project::text("film.seam", &whole.replacen(desk, &line, 1));
    assert!(mended.diagnostics.iter().all(|one| one.code.name != "no-desk"), "{:#?}", mended.diagnostics);
    assert_eq!(found.plan.shoot.shot.len(), 2, "the shoot is planned");
}

#[test]
fn a_desk_that_is_away_past_the_finish_is_named_with_its_line() {
    let text = with_cup(
        "place room \"A room\" { light lamp }
travel room to hall 5 min
days from 2027-05-14, at most 1 { call 09:00; wrap 17:00; base room }
",
    );
    let whole = format!("{HEAD}{text}").replacen(
        "hours 6 h per day",
        "hours 6 h per day; away 2027-05-01..2027-12-31",
        1,
    );
    let found = project::text("film.seam", &whole);
    let told = found.diagnostics.iter().find(|one| one.code.name == "late").unwrap();
    let away = told.others.iter().find(|other| other.text == "Ada is away from 2027-05-01 to 2027-12-31");
    assert!(away.is_some(), "{told:#?}");
    let help = told.help.as_deref().unwrap();
    assert!(
        help.starts_with("find somebody for the work of Ada from 2027-05-01 to 2027-12-31, or "),
        "{help}"
    );
    // Where somebody is away at another time, that is no reason.
    let other = whole.replacen("2027-12-31", "2027-05-03", 1).replacen(
        "finish by 2027-07-30",
        "finish by 2027-05-15",
        1,
    );
    let found = project::text("film.seam", &other);
    let told = found.diagnostics.iter().find(|one| one.code.name == "late").unwrap();
    assert!(told.others.iter().all(|other| !other.text.contains("away")), "{told:#?}");
}

/// Two files whose lines ask for each other, held in memory.
struct Two<'a>(&'a [(&'a str, String)]);

impl seamster::Reader for Two<'_> {
    fn read(&mut self, path: &str) -> Result<Vec<u8>, String> {
        let found = self.0.iter().find(|(name, _)| *name == path);
        found.map(|(_, text)| text.as_bytes().to_vec()).ok_or_else(|| "no such file".to_owned())
    }

    fn recipes(&mut self) -> Result<Vec<String>, String> {
        Ok(Vec::new())
    }
}

fn two(first: &str, second: &str) -> Compiled {
    let files =
        [("film.seam", format!("use \"more.seam\"\n{HEAD}{first}")), ("more.seam", second.to_owned())];
    let loaded = seamster::load(&mut Two(&files), "film.seam").expect("both are there");
    seamster::compile(loaded, &mut |_| {})
}

#[test]
fn a_circle_through_two_files_is_told_with_each_line_and_what_it_gives() {
    let first = r#"beat one "The cup" {
  runs 5 s
  needs two
  plate cup "A cup on a table" { place room; rig stand; camera thumb.wide; lasts 8 s }
}
place room "A room" { light lamp }
days from 2027-05-14, at most 1 { call 09:00; wrap 17:00; base room }
"#;
    let second = r#"beat two "The jug" {
  runs 5 s
  needs one
  plate jug "A jug on a table" { place room; rig stand; camera thumb.wide; lasts 8 s }
}
"#;
    let found = two(first, second);
    let circle: Vec<_> = found.diagnostics.iter().filter(|one| one.code.name == "cycle").collect();
    assert_eq!(circle.len(), 1, "{:#?}", found.diagnostics);
    let circle = circle[0];
    let mut lines: Vec<String> = circle.others.iter().map(|other| found.sources.at(other.span)).collect();
    lines.extend(circle.span.map(|span| found.sources.at(span)));
    lines.sort();
    let line = HEAD.lines().count() + 4;
    assert_eq!(lines, [format!("film.seam:{line}"), "more.seam:3".to_owned()]);
    for line in &lines {
        let gives = format!("without {line}: shot in 1 day, all is done on 2027-0");
        assert!(circle.notes.iter().any(|note| note.starts_with(&gives)), "{gives} in {circle:#?}");
    }
    assert_eq!(found.plan.shoot.shot.len(), 2, "all is planned, one line left out");
    // Each line is needed for the circle.
    for (first, second) in [
        (first.replace("needs two", ""), second.to_owned()),
        (first.to_owned(), second.replace("needs one", "")),
    ] {
        let mended = two(&first, &second);
        assert!(!mended.diagnostics.iter().any(|one| one.code.name == "cycle"));
    }
}

#[test]
fn a_day_after_the_finish_is_told_with_what_leaving_it_out_gives() {
    let text = with_cup(
        "place room \"A room\" { light lamp }
travel room to hall 5 min
days from 2027-05-14, at most 1 { call 09:00; wrap 17:00; base room }
day 2027-08-02 { call 09:00; wrap 17:00 }
",
    );
    let found = compiled(text);
    let told = found
        .diagnostics
        .iter()
        .find(|one| one.message.contains("lies after the finish"))
        .expect("it is told");
    assert_eq!(told.others.len(), 1);
    assert_eq!(found.sources.at(told.span.unwrap()), line_of(text, "day 2027-08-02"));
    assert_eq!(found.sources.at(told.others[0].span), "film.seam:16", "the finish");
    let help = told.help.as_deref().unwrap();
    assert!(help.ends_with("or finish later than 2027-08-02"), "{help}");
    assert!(
        told.notes.iter().any(|note| note
            .starts_with("without what lies after the finish: shot in 1 day, all is done on 2027-05-")),
        "{told:#?}"
    );
    assert_eq!(found.plan.shoot.shot.len(), 2, "all that can be planned is planned");
    for mended in [
        text.replace("day 2027-08-02 { call 09:00; wrap 17:00 }", ""),
        text.replace("2027-08-02", "2027-05-20"),
    ] {
        assert!(
            !compiled(&mended).diagnostics.iter().any(|one| one.message.contains("lies after the finish"))
        );
    }
}
