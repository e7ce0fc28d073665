//! Days that depend on the weather: what their cover may be, how it is planned, and what people are told.
//!
//! Nothing outside the project publishes covers with answers. The checks here are what the trade's
//! words mean (common practice, no source), asked of the plan alone: nobody stands in the weather that
//! failed, nothing is shot twice or before what it waits for, and every plate is accounted for.

use project::text;
use seamster::Compiled;
use seamster::diagnostic::Severity;
use seamster::model::{PlateId, WeatherNeed};
use seamster::order::{Cover, Effort, StepKind, spoiled};
use seamster::suppose::Suppositions;
use std::collections::BTreeSet;

mod project;

/// Two days at sea and in a room; `{}` is for what the days say.
const FILM: &str = r#"
sequence sea_room "Sea Room" { picture 1920x1080 at 25 fps; zone "Europe/Lisbon"; mains 50 Hz }
place room "The room" { light lamp; open 08:00..18:00; hospital "One kilometre north" }
place pier "The pier" { at 38.7, -9.17; light sky; hospital "Two kilometres north" }
place shed "The shed" { at 38.7, -9.17; light sky; roof yes; hospital "Two kilometres north" }
travel room to pier 10 min
travel room to shed 10 min
travel pier to shed 2 min
camera thumb "Thumb camera" {
  battery 30 min; recharge 35 min; card 32 GB
  mode wide { frame 2560x1440 at 25 fps; shutter 1/50 s; view 100 deg equidistant; stream 80 Mb/s; steady off }
}
rig stand "Tripod" { fixed yes; fitting 5 min; placing 0.5 cm, 0.3 deg; carries 2 kg; hands 2 }
rig kite "Kite line" { flies yes; fitting 5 min; carries 200 g; hands 0; endurance 20 min; packs 2 }
screen green "Green cloth" { size 3.0 m x 2.0 m; foot 0 m }
person ada "Ada" { can spotter, fly }
person bo "Bo" { can spotter, fly }
person cy "Cy" { can spotter }
beat cups "Cups" {
  runs 4 s
  plate cup "A cup" { place room; rig stand; camera thumb.wide; person ada; lasts 8 s; takes 6; between 5 min }
}
beat boats "Boats" {
  runs 4 s
  plate boat "A boat" { place pier; rig stand; camera thumb.wide; person bo; spotter ada; lasts 8 s; takes 6; between 5 min }
}
beat nets "Nets" {
  runs 4 s
  plate net "A net under the roof" { place shed; rig stand; camera thumb.wide; person bo; lasts 8 s; after boats.boat }
  plate gull "A gull from above" { place pier; rig kite; camera thumb.wide; person bo; spotter cy; lasts 8 s }
}
desk ed "Ed" { does ingest, edit, roto, paint, comp, key, retime, track, cg, grade, sound, delivery; hours 6 h per day }
days from 2027-05-14, at most 2 { call 08:00; wrap 17:00; base room }
finish by 2027-07-30
"#;

fn film(days: &str) -> Compiled {
    text("sea_room.seam", &format!("{FILM}{days}\n"))
}

/// The film with something in it changed.
fn changed(from: &str, to: &str, days: &str) -> Compiled {
    let film = format!("{FILM}{days}\n");
    assert!(film.contains(from), "{from}");
    text("sea_room.seam", &film.replacen(from, to, 1))
}

fn messages<'a>(compiled: &'a Compiled, code: &str) -> Vec<&'a str> {
    let found = compiled.diagnostics.iter().filter(|one| one.code.name == code);
    found.map(|one| one.message.as_str()).collect()
}

fn helps(compiled: &Compiled, code: &str) -> String {
    let found = compiled.diagnostics.iter().filter(|one| one.code.name == code);
    found.flat_map(|one| one.help.clone()).collect::<Vec<_>>().join("; ")
}

fn paths(compiled: &Compiled, plates: impl IntoIterator<Item = PlateId>) -> Vec<String> {
    plates.into_iter().map(|plate| compiled.breakdown.plates[plate].named.path.clone()).collect()
}

fn shot(compiled: &Compiled, cover: &Cover) -> Vec<String> {
    let steps = cover.day().map(|day| day.steps.as_slice()).unwrap_or_default();
    let plates = steps.iter().filter_map(|step| match step.kind {
        StepKind::Shoot(plate) => Some(plate),
        _ => None,
    });
    paths(compiled, plates)
}

fn supposing(now: &Compiled, lines: &[&str]) -> Compiled {
    let lines: Vec<String> = lines.iter().map(|line| (*line).to_owned()).collect();
    let suppositions = Suppositions::read(now, &lines).expect("they make sense");
    now.supposing(&suppositions, Effort::default())
}

fn sheet(compiled: &Compiled, name: &str) -> String {
    let documents = compiled.documents(false, &[]).expect("the built-in templates are whole");
    let found = documents.iter().find(|one| one.path == name).expect("there is such a document");
    String::from_utf8(found.bytes.clone()).expect("documents are UTF-8")
}

// ---- words and names ---------------------------------------------------------

#[test]
fn a_name_that_nothing_has_is_told_with_the_nearest() {
    let film = film("day 2027-05-14 { weather dry; cover cupz }");
    assert_eq!(messages(&film, "unknown-name"), ["no beat, plate or place is called 'cupz'"]);
    assert!(helps(&film, "unknown-name").contains("did you mean 'cups'?"));
}

#[test]
fn a_weather_that_is_none_is_told_with_those_that_there_are() {
    let film = film("day 2027-05-14 { weather sunny }");
    let all = format!("{:?}", film.diagnostics);
    assert!(film.has_errors() && ["dry", "clear", "calm"].iter().all(|word| all.contains(word)), "{all}");
}

#[test]
fn a_cover_without_a_weather_asks_for_one() {
    for line in ["cover cups", "decide 18:00 the day before", "cover_base room"] {
        let film = film(&format!("day 2027-05-14 {{ {line} }}"));
        assert_eq!(messages(&film, "missing").len(), 1, "{line}");
        assert!(helps(&film, "missing").contains("'weather dry'"), "{line}");
    }
}

#[test]
fn a_decision_after_the_call_comes_too_late() {
    let film = film("day 2027-05-14 { weather dry; cover cups; decide 08:00 }");
    assert_eq!(
        messages(&film, "range"),
        ["the weather is decided at 08:00, when the day is called at 08:00 already"]
    );
    let early = self::film("day 2027-05-14 { weather dry; cover cups; decide 05:30 }");
    assert!(messages(&early, "range").is_empty());
    let eve = self::film("day 2027-05-14 { weather dry; cover cups; decide 22:00 the day before }");
    assert!(messages(&eve, "range").is_empty());
}

#[test]
fn what_is_said_twice_is_told() {
    let film = film("day 2027-05-14 { weather dry, dry; cover cups, cups }");
    assert_eq!(messages(&film, "duplicate"), ["'dry' is said twice", "'cups' is named twice"]);
    let both = changed("beat cups", "beat room", "day 2027-05-14 { weather dry; cover room }");
    assert_eq!(messages(&both, "duplicate"), ["'room' is a beat as well as a place"]);
}

#[test]
fn a_day_takes_over_what_days_say_and_says_the_rest_itself() {
    let film = changed(
        "wrap 17:00; base room",
        "wrap 17:00; base room; weather dry; cover cups",
        "day 2027-05-15 { cover nets.net; decide 06:00 }",
    );
    let days = &film.model.days.as_ref().expect("there are days").each;
    let weather = |at: usize| days[at].weather.as_ref().expect("it depends on the weather");
    assert_eq!((weather(0).needs.as_slice(), weather(0).decide), ([WeatherNeed::Dry].as_slice(), None));
    assert_eq!(weather(1).needs, [WeatherNeed::Dry]);
    assert!(weather(1).decide.is_some() && weather(0).cover != weather(1).cover);
}

// ---- what the weather spoils -------------------------------------------------

#[test]
fn each_weather_spoils_what_it_reaches() {
    let film = changed("person cy", "place beach \"The beach\" { at 38.7, -9.17; light sun }\nperson cy", "");
    let spoils = |path: &str, need: WeatherNeed| {
        let plate =
            film.breakdown.plates.values().find(|plate| plate.named.path == path).expect("it is there");
        spoiled(&film.model, plate, &[need]).is_some()
    };
    let all = [WeatherNeed::Dry, WeatherNeed::Clear, WeatherNeed::Calm];
    assert_eq!(all.map(|need| spoils("cups.cup", need)), [false, false, false], "lamps, indoors");
    assert_eq!(
        all.map(|need| spoils("boats.boat", need)),
        [true, false, false],
        "the sky's light, in the open"
    );
    assert_eq!(
        all.map(|need| spoils("nets.net", need)),
        [false, false, false],
        "the sky's light, under a roof"
    );
    assert_eq!(all.map(|need| spoils("nets.gull", need)), [true, false, true], "it flies");
}

#[test]
fn a_cover_that_minds_the_same_weather_is_an_error() {
    let film = film("day 2027-05-14 { weather dry; cover pier }");
    assert_eq!(
        messages(&film, "cover-weather"),
        ["'pier' needs dry weather itself, and is the cover for want of it"]
    );
    assert!(film.has_errors());
    let help = helps(&film, "cover-weather");
    assert!(help.contains("'cover cups, nets.net'") && help.contains("'roof yes' in place 'pier'"), "{help}");
    // Advice is followed word for word.
    let mended = self::film("day 2027-05-14 { weather dry; cover cups, nets.net }");
    assert!(messages(&mended, "cover-weather").is_empty());
    let roofed = changed(
        "light sky; hospital",
        "light sky; roof yes; hospital",
        "day 2027-05-14 { weather dry; cover pier }",
    );
    assert!(messages(&roofed, "cover-weather").is_empty());
}

#[test]
fn a_beat_of_which_a_part_minds_it_is_a_warning() {
    let film = film("day 2027-05-14 { weather dry; cover nets }");
    let found = film.diagnostics.iter().find(|one| one.code.name == "cover-weather").expect("it is told");
    assert_eq!(found.severity, Severity::Warning);
    assert_eq!(found.message, "'nets.gull' needs dry weather itself, and stays out of the cover");
    assert!(helps(&film, "cover-weather").contains("'cover nets.net'"));
}

// ---- the plan ----------------------------------------------------------------

#[test]
fn the_cover_is_planned_on_its_day_with_calls_and_times() {
    let film = film("day 2027-05-14 { weather dry; cover cups }");
    let cover =
        film.plan.covers.iter().find(|cover| cover.date.to_string() == "2027-05-14").expect("it has one");
    assert_eq!(shot(&film, cover), ["cups.cup"]);
    let day = cover.day().expect("it can be shot");
    // The room opens at 08:00; people come 15 min before, the rig takes 5 min (conventions of `order`).
    let zone = jiff::tz::TimeZone::get("Europe/Lisbon").expect("it is known");
    assert_eq!(day.call.clock(&zone), "08:00");
    assert_eq!(day.people.len(), 1, "only Ada is called");
    let windows = &film.model.days.as_ref().expect("there are days").each[cover.allowed];
    assert!(day.wrap.clock(&zone) <= windows.wrap.strftime("%H:%M").to_string());
}

#[test]
fn what_of_the_day_itself_minds_no_weather_stays() {
    let film = film("day 2027-05-14 { weather dry }\nday 2027-05-15 { weather dry }");
    let first = &film.plan.covers[0];
    let planned: BTreeSet<PlateId> = film
        .plan
        .shoot
        .shot
        .iter()
        .filter(|(_, (day, ..))| *day == first.planned)
        .map(|(plate, _)| *plate)
        .collect();
    let fine: Vec<PlateId> = planned
        .into_iter()
        .filter(|plate| spoiled(&film.model, &film.breakdown.plates[*plate], &[WeatherNeed::Dry]).is_none())
        .collect();
    let waits = |path: &String| path == "nets.net";
    let mut expected: Vec<String> = paths(&film, fine).into_iter().filter(|path| !waits(path)).collect();
    let mut found = shot(&film, first);
    expected.sort_unstable();
    found.sort_unstable();
    assert!(!found.is_empty());
    assert_eq!(found, expected, "the net waits for the boat, which is not shot in the rain");
}

#[test]
fn what_cannot_be_that_day_is_named_with_its_line() {
    let cases = [
        ("open 08:00..18:00", "open 17:30..18:00", "cover cups", "The room"),
        (
            "person ada \"Ada\" { can spotter, fly }\nperson bo \"Bo\" {",
            "person ada \"Ada\" { can spotter, fly; away 2027-05-14 }\nperson bo \"Bo\" { away 2027-05-15;",
            "cover cups",
            "Ada is away",
        ),
        ("rig stand", "rig stand", "cover nets.net", "it waits for 'A boat', which is not shot by then"),
    ];
    for (from, to, cover, why) in cases {
        let film = changed(from, to, &format!("day 2027-05-14 {{ weather dry; {cover} }}"));
        let found = film.diagnostics.iter().find(|one| one.code.name == "cover-unfit");
        let found = found.unwrap_or_else(|| panic!("{to}: {:?}", film.diagnostics));
        let reasons: Vec<&str> = found
            .others
            .iter()
            .map(|other| other.text.as_str())
            .chain(found.notes.iter().map(String::as_str))
            .collect();
        assert!(reasons.iter().any(|text| text.contains(why)), "{to}: {reasons:?}");
    }
}

#[test]
fn more_cover_than_fits_is_no_finding_and_is_told_on_the_sheet() {
    let film = changed(
        "plate cup \"A cup\"",
        "plate jug \"A jug\" { place room; rig stand; camera thumb.wide; lasts 8 s; takes 30; between 16 min }\n  plate cup \"A cup\"",
        "day 2027-05-14 { weather dry; cover cups }",
    );
    let cover = &film.plan.covers[0];
    assert_eq!(cover.shoot.unplanned.len() + shot(&film, cover).len(), 2);
    assert!(messages(&film, "cover-unfit").is_empty());
}

// ---- supposed ----------------------------------------------------------------

/// Every plate is accounted for, nothing outdoors is shot on the day, and the order of plates holds.
#[test]
fn a_day_that_falls_to_its_cover_moves_the_rest_to_later_days() {
    let now = film("day 2027-05-14 { weather dry, calm; cover cups; decide 18:00 the day before }");
    let then = supposing(&now, &["weather 2027-05-14"]);
    let shoot = &then.plan.shoot;
    for (plate, (day, ..)) in &shoot.shot {
        let on = shoot.days[*day].date.to_string();
        let out = spoiled(&then.model, &then.breakdown.plates[*plate], &[WeatherNeed::Dry]).is_some();
        assert!(!(out && on == "2027-05-14"), "{:?} is shot in the rain", paths(&then, [*plate]));
    }
    for plate in then.breakdown.plates.ids() {
        let left = shoot.unplanned.iter().any(|left| left.what == plate);
        assert!(
            shoot.shot.contains_key(&plate) != left,
            "{:?} is lost or there twice",
            paths(&then, [plate])
        );
    }
    let on = |path: &str| {
        let (id, _) =
            then.breakdown.plates.iter().find(|(_, one)| one.named.path == path).expect("it is there");
        let (day, start, _) = shoot.shot[&id];
        (shoot.days[day].date.to_string(), start)
    };
    assert_eq!(on("cups.cup").0, "2027-05-14");
    assert_eq!(on("boats.boat").0, "2027-05-15");
    assert!(on("boats.boat").1 < on("nets.net").1);
    let held = then.model.days.as_ref().and_then(|days| days.fallen.clone()).expect("it has fallen");
    assert_eq!(held.date.to_string(), "2027-05-14");
}

#[test]
fn two_days_may_fall_one_after_the_other() {
    let days = "day 2027-05-14 { weather dry; cover cups }\nday 2027-05-15 { weather dry; cover nets.net }";
    let then = supposing(&film(days), &["weather 2027-05-15", "weather 2027-05-14"]);
    let lost = paths(&then, then.plan.shoot.unplanned.iter().map(|left| left.what));
    assert!(lost.contains(&"boats.boat".to_owned()) && lost.contains(&"nets.gull".to_owned()), "{lost:?}");
    let one_more = supposing(&film(days), &["add 2027-05-16", "weather 2027-05-14", "weather 2027-05-15"]);
    assert!(one_more.plan.shoot.unplanned.is_empty(), "a third day holds what two could not");
}

#[test]
fn a_day_that_does_not_depend_on_it_cannot_lose_its_weather() {
    let now = film("day 2027-05-15 { weather dry; cover cups }");
    let read = |line: &str| Suppositions::read(&now, &[line.to_owned()]);
    let wrong = read("weather 2027-05-14").expect_err("nothing is said of its weather");
    assert_eq!(wrong.diagnostics[0].message, "2027-05-14 does not depend on the weather");
    assert!(read("weather 2027-06-14").is_err());
    assert!(read("weather 2027-05-15").is_ok());
}

// ---- told --------------------------------------------------------------------

#[test]
fn the_sheet_says_when_it_is_decided_who_comes_when_and_what_to_bring() {
    let film = changed(
        "place room; rig stand; camera thumb.wide; person ada; lasts 8 s; takes 6; between 5 min",
        "place room; rig stand; camera thumb.wide; person ada; lasts 8 s; takes 6; between 5 min; screen green; gap 2 m",
        "day 2027-05-14 { weather dry; cover cups; decide 18:00 the day before }",
    );
    let cover = film.plan.covers.first().expect("it has a cover");
    let number = cover.planned + 1;
    let told = sheet(&film, &format!("call-sheet-{number}.md"));
    assert!(told.contains("18:00 the day before, Thursday 13 May 2027"), "{told}");
    assert!(told.contains("## If the weather fails"), "{told}");
    assert_eq!(shot(&film, cover), ["cups.cup"]);
    assert!(told.contains("not called: stay at home"), "Bo is told not to come: {told}");
    assert!(told.contains("For the cover as well") || told.contains("Green cloth"), "{told}");
    let phone = sheet(&film, &format!("phone-{number}.html"));
    assert!(phone.contains("If the weather fails"));
}

#[test]
fn a_film_without_weather_says_nothing_of_it() {
    let film = film("");
    assert!(film.plan.covers.is_empty());
    let told = sheet(&film, "call-sheet-1.md");
    assert!(!told.contains("If the weather fails"));
}
