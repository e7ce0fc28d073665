//! What a sequence says of single passes: renders and reviews between them, what comes first.

use jiff::tz::TimeZone;
use seamster::Compiled;
use seamster::order::Minute;
use seamster::recipe::PassId;

mod project;

/// One plate, a recipe of two passes, an editor, a painter and somebody for the rest.
/// 2027-05-14 is a Friday; the desk has its weekends off.
fn film(lines: &str, beat: &str) -> String {
    format!(
        r#"sequence small "Small" {{ picture 1920x1080 at 25 fps; zone "Europe/Lisbon"; mains 50 Hz }}
place room "A room" {{ light lamp; open 16:00..17:30 }}
camera thumb "Thumb camera" {{
  battery 60 min; recharge 35 min; card 32 GB
  mode wide {{
    frame 2560x1440 at 25 fps; shutter 1/50 s
    view 100 deg equidistant; stream 80 Mb/s; steady off
  }}
}}
rig stand "Tripod" {{ fixed yes; fitting 5 min; placing 0.5 cm, 0.3 deg; carries 2 kg; hands 2 }}
beat one "The cup" {{
  runs 5 s
  plate cup "A cup on a table" {{ place room; rig stand; camera thumb.wide; lasts 8 s }}
  effect glow by own {{ on cup }}
  {beat}
}}
{lines}
desk ada "Ada" {{ does ingest, edit, grade, sound, delivery; hours 6 h per day; off saturday, sunday }}
desk bo "Bo" {{ does paint; hours 6 h per day; off saturday, sunday }}
days from 2027-05-14, at most 1 {{ call 09:00; wrap 18:00; base room }}
finish by 2027-07-30
"#
    )
}

/// Paint for a day, then lay for an hour; lines of the first pass besides.
fn recipe(lines: &str) -> String {
    format!(
        "recipe: own
title: A glow
summary: Something glows.
kind: effect
roles:
  - {{ role: \"on\", title: the plate }}
passes:
  - pass: paint
    title: Paint the glow
    department: paint
    effort: 6
    inputs: [\"on\"]
    {lines}
  - pass: lay
    title: Lay the glow
    department: paint
    effort: 1
    waits:
      - {{ pass: paint, because: \"it is painted first\" }}
"
    )
}

fn planned(rules: &str, lines: &str, beat: &str) -> Compiled {
    let compiled = project::with_recipe(&film(lines, beat), &recipe(rules));
    assert_eq!(errors(&compiled), Vec::<String>::new());
    assert!(compiled.plan.desk.unplanned.is_empty(), "{:?}", compiled.plan.desk.unplanned);
    compiled
}

fn errors(compiled: &Compiled) -> Vec<String> {
    let loud =
        compiled.diagnostics.iter().filter(|one| one.severity == seamster::diagnostic::Severity::Error);
    loud.map(|one| format!("{}: {}", one.code.id, one.message)).collect()
}

fn pass(compiled: &Compiled, path: &str) -> PassId {
    compiled.breakdown.passes.iter().find(|(_, pass)| pass.path == path).expect("there is such a pass").0
}

fn clock(at: Minute) -> String {
    at.civil(&TimeZone::get("Europe/Lisbon").expect("it is a zone")).strftime("%a %d %H:%M").to_string()
}

/// From when to when a pass is worked, and when what waits for it can begin.
fn times(compiled: &Compiled, path: &str) -> (String, String, String) {
    let id = pass(compiled, path);
    let work = compiled.plan.desk.work.iter().find(|work| work.pass == id).expect("it is planned");
    (clock(work.start), clock(work.end), clock(*compiled.plan.desk.done.get(&id).expect("planned")))
}

fn told(path: &str, rules: &str, lines: &str) -> [String; 3] {
    let compiled = planned(rules, lines, "");
    let (start, end, ready) = times(&compiled, path);
    [start, end, ready]
}

#[test]
fn nothing_lies_between_unless_it_is_said() {
    assert_eq!(told("one.glow.paint", "", ""), ["Mon 17 10:00", "Mon 17 16:00", "Mon 17 16:00"]);
    assert_eq!(told("one.glow.lay", "", "")[0], "Tue 18 10:00");
}

#[test]
fn a_render_runs_over_night_and_costs_no_hour_of_work() {
    // From 16:00 by 10 hours to 02:00; the next hour of work is the same as without.
    let own = "render: 10";
    assert_eq!(told("one.glow.paint", own, ""), ["Mon 17 10:00", "Mon 17 16:00", "Tue 18 02:00"]);
    assert_eq!(told("one.glow.lay", own, "")[0], "Tue 18 10:00");
    // 20 hours go on into the morning.
    assert_eq!(told("one.glow.lay", "render: 20", "")[0], "Tue 18 12:00");
}

#[test]
fn a_render_runs_over_the_weekend() {
    // 27 hours at 6 a day, painted until Thursday 13:00; 90 hours more are Monday 07:00.
    let own = "render: 90";
    let lines = "pass one.glow.paint { effort 21 h }";
    assert_eq!(told("one.glow.paint", own, lines), ["Mon 17 10:00", "Thu 20 13:00", "Mon 24 07:00"]);
    assert_eq!(told("one.glow.lay", own, lines)[0], "Mon 24 10:00");
}

#[test]
fn a_review_takes_hours_of_work_or_of_the_clock() {
    // Painted until Friday 16:00. Four hours of work are Monday 14:00, 40 by the clock Sunday 08:00.
    let until_friday = "pass one.glow.paint { effort 30 h; review 4 h }";
    assert_eq!(told("one.glow.paint", "", until_friday)[1..], ["Fri 21 16:00", "Mon 24 14:00"]);
    assert_eq!(told("one.glow.lay", "", until_friday)[0], "Mon 24 14:00");
    let elapsed = "pass one.glow.paint { effort 30 h; review 40 h elapsed }";
    assert_eq!(told("one.glow.paint", "", elapsed)[2], "Sun 23 08:00");
    assert_eq!(told("one.glow.lay", "", elapsed)[0], "Mon 24 10:00");
}

#[test]
fn what_is_rendered_is_reviewed_after_that() {
    // Rendered from Monday 16:00 to Tuesday 06:00, looked at on Tuesday from 10:00 to 12:00.
    let rules = "render: 2 * 7\n    review: 2";
    let compiled = planned(rules, "", "");
    let after = &compiled.plan.desk.after[&pass(&compiled, "one.glow.paint")];
    let told: Vec<String> = after
        .iter()
        .map(|one| format!("{} {} to {}", one.kind.word(), clock(one.from), clock(one.to)))
        .collect();
    assert_eq!(told, ["render Mon 17 16:00 to Tue 18 06:00", "review Tue 18 06:00 to Tue 18 12:00"]);
    let (start, ..) = times(&compiled, "one.glow.lay");
    assert_eq!(start, "Tue 18 12:00");
    let work = compiled.plan.desk.work.iter().find(|one| one.pass == pass(&compiled, "one.glow.lay"));
    assert_eq!(
        work.unwrap().because,
        "it waits for the review of 'Paint the glow (glow in The cup)': it is painted first"
    );
}

#[test]
fn the_last_review_is_a_part_of_the_whole() {
    let without = planned("", "", "").plan.desk.finish.unwrap();
    let with = planned("", "pass delivery.viewing { review 48 h elapsed }", "").plan.desk.finish.unwrap();
    assert_eq!(with.0 - without.0, 48 * 60);
}

#[test]
fn a_render_that_ends_on_a_day_off_after_the_finish_is_late() {
    let film = film("pass delivery.viewing { render 200 h }", "").replace("2027-07-30", "2027-05-21");
    let compiled = project::with_recipe(&film, &recipe(""));
    assert!(compiled.plan.desk.late_days > 0);
    assert!(errors(&compiled)[0].starts_with("W02"), "{:?}", errors(&compiled));
}

#[test]
fn the_writer_s_word_stands_in_place_of_the_recipe_s() {
    assert_eq!(told("one.glow.paint", "render: 10", "pass one.glow.paint { render 0 h }")[2], "Mon 17 16:00");
    let inside = planned("render: 10", "", "pass glow.paint { render 1 h; note \"by night\" }");
    let own = &inside.breakdown.passes[pass(&inside, "one.glow.paint")];
    assert_eq!((own.after.render.0, own.after.render_from.as_str()), (1.0, "as written"));
    assert_eq!(own.notes, ["by night"]);
}

#[test]
fn a_line_that_cannot_hold_is_told() {
    for (lines, expected) in [
        ("pass one.glow.pant { render 1 h }", "T05: no pass is called 'one.glow.pant'"),
        ("pass one.glow { render 1 h }", "T05: no pass is called 'one.glow'"),
        (
            "pass one.glow.paint { render 2000 h }",
            "T08: expected a time span from 0 h to 1000 h after 'render'",
        ),
        (
            "pass one.glow.paint { render -1 h }",
            "T08: expected a time span from 0 h to 1000 h after 'render'",
        ),
        ("pass one.glow.paint { render 3 m }", "T07: expected a time span such as 40 s after 'render'"),
        ("pass one.glow.paint { review 4 h slowly }", "T06: nothing more is expected after 'review'"),
        ("pass one.glow.paint { priority 9 }", "T08: expected a whole number from 1 to 5 after 'priority'"),
        ("pass picture_lock { effort 2 h }", "T06: 'picture_lock' is a moment and takes no work"),
        (
            "pass one.glow.paint { render 1 h }\npass one.glow.paint { review 1 h }",
            "T10: the pass 'one.glow.paint' is changed twice",
        ),
    ] {
        let compiled = project::with_recipe(&film(lines, ""), &recipe(""));
        assert_eq!(errors(&compiled).first().map(String::as_str), Some(expected), "{lines}");
    }
    let help = |lines: &str| {
        let compiled = project::with_recipe(&film(lines, ""), &recipe(""));
        compiled.diagnostics.iter().find_map(|one| one.help.clone()).unwrap_or_default()
    };
    assert_eq!(help("pass one.glow.pant { render 1 h }"), "did you mean 'one.glow.paint'?");
    assert_eq!(help("pass one.glow { render 1 h }"), "its passes are one.glow.paint, one.glow.lay");
}

#[test]
fn a_recipe_that_cannot_hold_is_told() {
    for (rules, expected) in [
        ("render: -3", "'-3' gives -3, which is not between 0 and 1000"),
        ("render: 900 * seconds", "gives 4500, which is not between 0 and 1000"),
        ("review: 2 * masks", "the sum of 'paint' uses 'masks', which is not known"),
        ("review_in: elapsed", "the pass 'paint' says how its review is counted, and has none"),
        ("review_in: days", "unknown variant `days`"),
        ("renders: 3", "unknown field `renders`"),
    ] {
        let compiled = project::with_recipe(&film("", ""), &recipe(rules));
        let all = errors(&compiled).join("\n");
        assert!(all.contains(expected), "{rules}: {all}");
    }
}

/// A second effect by the same painter in a beat of its own.
fn two(first: &str, second: &str) -> Compiled {
    let beat = format!(
        "{first} }}\nbeat two \"The jug\" {{ runs 5 s; {second}; plate jug \"A jug\" {{ place room; rig stand; camera thumb.wide; lasts 8 s }}\n effect glow by own {{ on jug }}"
    );
    planned("", "", &beat)
}

#[test]
fn what_comes_first_is_done_first_and_says_so() {
    let order = |compiled: &Compiled| {
        let at = |path: &str| compiled.plan.desk.done[&pass(compiled, path)];
        (at("one.glow.lay") < at("two.glow.lay"), compiled.plan.desk.finish)
    };
    let (one_first, two_first) = (two("priority 1", "priority 2"), two("priority 2", "priority 1"));
    let ((first, finish), (second, other)) = (order(&one_first), order(&two_first));
    assert_eq!((first, second), (true, false));
    // Nothing is finished later for it.
    assert_eq!(finish, other);
    assert_eq!(finish, order(&two("note \"a\"", "note \"b\"")).1);
    let late = two_first.plan.desk.work.iter().find(|work| work.pass == pass(&two_first, "one.glow.paint"));
    assert!(late.unwrap().because.ends_with("which has priority 1"), "{}", late.unwrap().because);
}
