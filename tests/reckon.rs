//! `seamster reckon`: published values come out, advice mends what it answers, and
//! what cannot be is told with its limit.

#![allow(clippy::disallowed_methods, reason = "how many cases to try stands in the environment")]
#![allow(clippy::indexing_slicing, clippy::panic, clippy::unwrap_used, reason = "a test may fail so")]

mod command;

use command::{Ran, Room};
use proptest::prelude::*;
use proptest::test_runner::TestRunner;

fn reckon(args: &[&str]) -> Ran {
    let room = Room::new(&format!("reckon-{}", unique()));
    let all: Vec<&str> = ["reckon"].into_iter().chain(args.iter().copied()).collect();
    room.run(&all)
}

/// Rooms of tests that run at once must not be the same.
fn unique() -> u64 {
    use std::sync::atomic::{AtomicU64, Ordering};
    static NEXT: AtomicU64 = AtomicU64::new(0);
    NEXT.fetch_add(1, Ordering::Relaxed)
}

/// Words as typed in a shell, with quotes around those that hold blanks.
fn typed(line: &str) -> Vec<&str> {
    line.split('"')
        .enumerate()
        .flat_map(|(at, part)| if at % 2 == 1 { vec![part] } else { part.split_whitespace().collect() })
        .collect()
}

#[track_caller]
fn answered(line: &str) -> serde_json::Value {
    let ran = reckon(&[&typed(line)[..], &["--format", "json"]].concat());
    assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{line}");
    ran.json()
}

#[track_caller]
fn value(line: &str, name: &str) -> f64 {
    let object = answered(line);
    let values = object["values"].as_array().unwrap();
    let found = values.iter().find(|value| value["name"] == name);
    found.unwrap_or_else(|| panic!("no {name} for {line}: {object:#}"))["value"].as_f64().unwrap()
}

#[track_caller]
fn near(line: &str, name: &str, expected: f64, within: f64) {
    let found = value(line, name);
    assert!((found - expected).abs() <= within, "{line}: {name} is {found}, not {expected}");
}

/// Standard output, where all went well.
#[track_caller]
fn told(line: &str) -> String {
    let ran = reckon(&typed(line));
    assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{line}: {ran:?}");
    ran.out
}

/// What was wrong, on standard error, with the exit of usage errors.
#[track_caller]
fn refused(line: &str) -> String {
    let ran = reckon(&typed(line));
    assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{line}: {ran:?}");
    ran.err
}

/// One line for every question that gets an answer.
const QUESTIONS: &[&str] = &[
    "turn --view 118deg --equidistant --turn 40deg/s --shutter 1/240 --rate 50fps --readout 16ms",
    "turn --view 90deg --turn 40deg/s --sway 4deg/s --moves 1.4m/s --near 2m",
    "hand-over --view 118deg --equidistant --near 0.9m --far 60m --rate 25fps",
    "screen --across 70deg --down 45deg --width 3m --height 2m --distance 2m",
    "view --focal 24mm --sensor 36mm --distance 3m --wide 4.5m --on-sensor 36mm",
    "focus --focal 50mm --stop f/8 --sensor 36mm --at 3m --from 2m --to 5m",
    "crop --frame 2560x1440 --view 118deg --equidistant",
    "level --height 1.68m --target 0.9m --distance 1.1m --view 118deg --equidistant --allow 5px",
    "lamps --mains 50Hz --rate 24fps --shutter 1/48 --readout 16ms",
    "light --date 2027-05-14 --at \"38.7056, -9.1657\" --zone Europe/Lisbon --time 07:30 --thing 1.7m",
    "fall --height 2m --rate 25fps",
    "slide --speed 2.8m/s --within 2m",
    "retime --lasts 4s --speed \"0% at 100%, 100% at 400%\" --rate 25fps --captured 50fps --shutter 1/100",
    "battery --battery 30min --packs 2 --take 40s --takes 90",
    "card --card 64GB --stream 100Mb/s --take 40s --takes 200",
    "timecode 01:00:00;02 --rate 29.97fps --to 01:01:00;04",
];

#[test]
fn every_question_answers_first_then_formula_inputs_and_source() {
    let mut asked: Vec<&str> = Vec::new();
    for line in QUESTIONS {
        asked.extend(line.split(' ').next());
        let text = told(line);
        let at = |head: &str| {
            text.find(&format!("\n{head}")).unwrap_or_else(|| panic!("{line} shows no {head}: {text}"))
        };
        assert!(!text.starts_with('\n') && !text.starts_with(' '), "{line}: {text}");
        assert!(at("formula") < at("inputs") && at("inputs") < at("source"), "{line}: {text}");
        let object = answered(line);
        for key in
            ["question", "answer", "ways", "formula", "inputs", "source", "cautions", "values", "trouble"]
        {
            assert!(object.get(key).is_some(), "{line} has no {key}");
        }
        for key in ["answer", "formula", "inputs", "source", "values"] {
            assert!(!object[key].as_array().unwrap().is_empty(), "{line} has an empty {key}");
        }
        let first = object["answer"][0].as_str().unwrap();
        assert!(text.starts_with(first), "{line}: text and JSON answer alike");
    }
    let help = told("--help");
    let listed = help.split("Questions:").nth(1).unwrap().split("\n\n").next().unwrap();
    for question in listed.lines().filter_map(|line| line.split_whitespace().next()) {
        assert!(question == "help" || asked.contains(&question), "{question} is not tried");
    }
}

/// Each is a published value; its source stands beside the same value in
/// `src/craft`.
#[test]
fn published_values_come_out() {
    near("view --focal 24mm --sensor 36mm", "across", 73.739795, 1e-5);
    near("view --focal 24mm --sensor 36mm --frame 3600x2400", "down", 53.1, 0.06);
    near("view --focal 50mm --sensor 36mm --distance 10m", "wide", 7.2, 1e-9);
    near("view --view 90deg --frame 3840x2160", "middle", 33.51, 0.005);
    near("view --view 90deg --frame 3840x2160", "edge", 67.02, 0.005);
    near("view --view 120deg --equidistant --frame 3840x2160", "middle", 32.0, 1e-9);
    near("focus --focal 50mm --stop 8 --circle 0.03mm", "hyperfocal", 10.467, 0.001);
    near("focus --focal 50mm --stop 8 --sensor 36mm --at 3m", "near", 2.3379, 0.0001);
    near("focus --focal 50mm --stop 8 --sensor 36mm --at 3m", "far", 4.1853, 0.0001);
    near("fall --height 2m", "time", 0.6387, 0.0001);
    near("fall --height 50m", "speed", 31.0, 0.5);
    near("fall --height 2.5m --start 2m/s", "speed", 7.28, 0.01);
    near("slide --speed 80km/h --friction 0.101972", "length", 247.0, 1.0);
    near("slide --speed 48.28032km/h --friction 0.673 --noticed 0.67s", "length", 23.0, 1.0);
    near("lamps --mains 50Hz --rate 24fps --shutter 1/48", "pulses", 2.083, 0.001);
    near("lamps --mains 50Hz --rate 24fps --shutter 1/48", "beat", 4.0, 1e-9);
    near("lamps --mains 60Hz --rate 24fps --readout 50ms", "bands", 6.0, 1e-9);
    near("lamps --mains 50Hz --rate 24fps", "longest", 345.6 / 360.0 / 24.0, 1e-9);
    near("card --card 64GB --stream 10Mb/s", "time", 853.3 * 60.0, 3.0);
    near(
        "retime --lasts \"48 frames\" --speed 200% --handles \"8 frames\" --rate 24fps",
        "source_frames",
        112.0,
        0.0,
    );
    near(
        "retime --lasts \"48 frames\" --speed 100%..400% --handles \"0 frames\" --rate 24fps",
        "source_frames",
        120.0,
        0.0,
    );
    near("timecode 10:03:00;05 --rate 29.97fps", "frame", 1_084_319.0, 0.0);
    near("timecode 01:00:00:00 --rate 23.976fps", "time", 3603.6, 1e-9);
    near("timecode 01:00:59;28 --rate 29.97fps --to 01:01:00;04", "between", 4.0, 0.0);
    near("hand-over --view 90deg --width 3840px --near 2m --allow 2px", "apart", 0.00104, 0.00001);
    near("screen --across 73.739795deg --down 10deg --width 3m --height 9m", "farthest", 2.0, 1e-6);
    near("turn --view 90deg --turn 1deg/s --shutter 1/50 --rate 24fps", "smooth_pan", 12.0, 1.0);
}

/// NREL/TP-560-34302's worked example, 2003-10-17 12:30:30 at 39.742476 N 105.1786 W,
/// lies between these two minutes; sunrise and sunset at Golden 2015-01-01 are the
/// U.S. Naval Observatory's.
#[test]
fn the_sun_is_where_the_worked_example_has_it() {
    let golden = "--at \"39.742476, -105.1786\" --zone Etc/GMT+7";
    let at =
        |clock: &str, name: &str| value(&format!("light --date 2003-10-17 {golden} --time {clock}"), name);
    let mean = |name: &str| (at("12:30", name) + at("12:31", name)) / 2.0;
    assert!((mean("azimuth") - 194.340241).abs() < 0.003);
    assert!((mean("elevation") - 39.872046).abs() < 0.003);
    let text = told(&format!("light --date 2015-01-01 {golden}"));
    assert!(text.starts_with("Sunrise 07:22, sunset 16:47.\n"), "{text}");
}

/// What an answer advises is asked again, and is then well.
#[test]
fn advice_that_is_followed_mends() {
    let lens = "--view 118deg --equidistant --sway 4deg/s --moves 0.5m/s --near 1.5m";
    let turn = value(&format!("turn {lens} --turn 40deg/s --shutter 1/100"), "fastest_turn");
    let shutter = value(&format!("turn {lens} --turn 40deg/s --shutter 1/100"), "slowest_shutter");
    assert!(told(&format!("turn {lens} --turn 40deg/s --shutter 1/100")).contains("too much"));
    for mended in [
        format!("turn {lens} --turn {turn}deg/s --shutter 1/100"),
        format!("turn {lens} --turn 40deg/s --shutter 1/{}", (1.0 / shutter).round()),
    ] {
        assert!(told(&mended).contains("small enough"), "{mended}");
    }

    let join = "hand-over --view 118deg --equidistant --near 0.9m --far 60m --width 2560px";
    let nearest = value(&format!("{join} --apart 9cm"), "nearest");
    assert!(told(&format!("{join} --apart 9cm")).contains("too far out"));
    assert!(
        told(&format!("{} --apart 9cm", join.replace("0.9m", &format!("{nearest}m"))))
            .contains("close enough")
    );
    let (apart, turned) = (value(join, "apart"), value(join, "turned"));
    assert!(told(&format!("{join} --apart {apart:.9}m --turned {turned:.9}deg")).contains("close enough"));
    assert!(
        told(&format!("{join} --apart {:.6}m --turned {turned:.6}deg", apart * 1.1)).contains("too far out")
    );

    let screen = "screen --across 70deg --down 45deg --equidistant --width 3m --height 2m";
    assert!(told(&format!("{screen} --distance 2.5m")).starts_with("Not enough"));
    let farthest = value(&format!("{screen} --distance 2.5m"), "farthest");
    assert!(told(&format!("{screen} --distance {farthest:.9}m")).starts_with("Enough"));
    let (width, height) = (
        value(&format!("{screen} --distance 2.5m"), "width"),
        value(&format!("{screen} --distance 2.5m"), "height"),
    );
    let sweep = "screen --across 70deg --down 45deg --equidistant";
    let larger = format!("{sweep} --width {width:.9}m --height {height:.9}m");
    assert!(told(&format!("{larger} --distance 2.5m")).starts_with("Enough"));

    let share = value(&format!("{screen} --distance 2.5m"), "share_covered");
    let less = screen
        .replace("70deg", &format!("{}deg", 70.0 * share))
        .replace("45deg", &format!("{}deg", 45.0 * share));
    assert!(told(&format!("{less} --distance 2.5m")).starts_with("Enough"));

    let slide = "slide --friction 0.4 --noticed 0.3s --within 2m";
    let fastest = value(&format!("{slide} --speed 6m/s"), "fastest");
    assert!(told(&format!("{slide} --speed 6m/s")).contains("is too short"));
    assert!(told(&format!("{slide} --speed {:.3}m/s", fastest - 0.001)).contains("is enough"));

    let focus = "focus --focal 50mm --circle 0.03mm";
    let stop = value(&format!("{focus} --stop 2 --from 2m --to 5m"), "stop");
    let at = value(&format!("{focus} --stop 2 --from 2m --to 5m"), "focus_at");
    near(&format!("{focus} --stop {stop} --at {at}m"), "near", 2.0, 0.001);
    near(&format!("{focus} --stop {stop} --at {at}m"), "far", 5.0, 0.001);

    let battery = "battery --battery 30min --packs 2 --take 40s";
    let takes = value(battery, "takes");
    assert!(told(&format!("{battery} --takes {takes}")).contains("takes fit"));
    let over = told(&format!("{battery} --takes {}", takes + 1.0));
    assert!(over.contains("do not fit") && over.contains("bring 3 packs"), "{over}");
    assert!(
        told(&format!("{} --takes {}", battery.replace("packs 2", "packs 3"), takes + 1.0))
            .contains("takes fit")
    );

    let crop = "crop --frame 1920x1080 --kept 100%";
    let most = value(crop, "most_reframe");
    assert!(told(&format!("{crop} --reframe {:.4}%", most * 100.0 - 0.01)).starts_with("Enough"));
    assert!(told(&format!("{crop} --reframe {:.4}%", most * 100.0 + 0.1)).starts_with("Too little"));
}

/// What cannot be names its limit, prints no answer and exits as other usage errors.
#[test]
fn what_cannot_be_is_told_with_its_limit() {
    for (line, limit) in [
        ("turn --view 400deg --turn 3deg/s", "from 0.1 deg to 360 deg"),
        ("turn --view 175deg --turn 3deg/s", "at most 170°"),
        ("turn --view 90deg --turn -3deg/s", "from 0 deg/s to 3600 deg/s"),
        ("turn --view 90deg --turn 3deg/s --shutter 0", "0.00001 s"),
        ("turn --view 90deg --shutter 1/20 --rate 25fps", "1/25 s"),
        ("turn --view 90deg --shutter 400deg --rate 25fps", "360 deg"),
        ("turn --view 90deg --shutter 180deg", "--rate"),
        ("turn --view 90deg --turn 3m", "expected a turn rate"),
        ("turn --view 90deg", "--turn"),
        ("turn --turn 3deg/s", "the lens is not stated"),
        ("turn --focal 2mm --sensor 36mm --equidistant --turn 3deg/s", "more than 360°"),
        ("turn --view 90deg --turn 3deg/s --moves 2m/s", "--near"),
        ("hand-over --view 90deg --near 2m --far 1m", "not beyond the nearest"),
        ("hand-over --view 90deg --near 0m", "from 0.001 m"),
        ("screen --across 175deg --down 45deg --distance 2m", "85° is the limit"),
        ("screen --across 70deg --down 45deg", "--distance"),
        ("view --view 190deg --equidistant --distance 3m", "below 180°"),
        ("focus --focal 50mm --stop 0 --sensor 36mm", "from 0.5 to 128"),
        ("focus --focal 50mm --stop 8 --sensor 36mm --at 4cm", "not beyond the focal length"),
        ("focus --focal 50mm --stop 8 --sensor 36mm --from 3m --to 2m", "not beyond --from"),
        ("crop --frame 1920x1080 --kept 0%", "from 10 % to 100 %"),
        ("crop --frame 0x0", "from 16 to 32,768 pixels"),
        ("level --tilt 95deg", "from -90 deg to 90 deg"),
        ("lamps --mains 0Hz --rate 25fps", "from 1 Hz"),
        ("lamps --mains 50Hz --rate 25fps --shutter 1/24", "1/25 s"),
        ("lamps --mains 50Hz --rate 12.34567fps", "cannot be counted exactly"),
        ("light --date 2024-12-21 --at \"69.65, 18.96\" --zone Europe/Oslo", "does not rise"),
        ("light --date 2024-12-21 --at \"69.65, 18.96\" --zone Europe/Oslo --light sun", "does not rise"),
        (
            "light --date 2024-12-21 --at \"69.65, 18.96\" --zone Europe/Oslo --time 12:00 --thing 2m",
            "no shadow",
        ),
        ("light --date 2024-06-21 --at \"69.65, 18.96\" --zone Europe/Oslo --light night", "no such light"),
        ("light --date 2024-02-30 --at \"1, 1\" --zone Europe/Oslo", "no date 2024-02-30"),
        ("light --date 2024-02-20 --at \"91, 1\" --zone Europe/Oslo", "between -90 and 90"),
        ("light --date 2024-02-20 --at \"1, 1\" --zone Europe/Osl", "did you mean 'Europe/Oslo'"),
        (
            "light --date 2027-03-28 --at \"38.7, -9.1\" --zone Europe/Lisbon --time 01:30",
            "clocks go forward",
        ),
        (
            "light --date 2011-12-30 --at \"-13.8, -171.8\" --zone Pacific/Apia",
            "no 2011-12-30 in Pacific/Apia",
        ),
        ("fall --height -2m", "from 0.001 m"),
        ("fall --height 2s", "expected a length"),
        ("fall --height 1e300m", "runs into letters"),
        ("fall --time 3frames", "in seconds, not in frames"),
        ("slide --speed 0m/s", "from 0.001 m/s"),
        ("slide --speed -2m/s", "from 0.001 m/s"),
        ("slide --speed 2m/s --friction 0", "from 0.01 to 2"),
        ("retime --lasts 4s --speed -100% --rate 25fps", "does not run backwards"),
        ("retime --lasts 4s --speed 0% --rate 25fps", "above 0%"),
        ("retime --lasts 4s --speed \"50% at 100%, 20% at 50%\" --rate 25fps", "must move forward"),
        ("retime --lasts \"0 frames\" --speed 100% --rate 25fps", "at least a frame"),
        ("battery --battery 30min --take 28min", "27 min may be used"),
        ("battery --battery 30min --take 1min --packs 0", "from 1 to 1000"),
        ("card --card 0GB --stream 100Mb/s", "from 0.001 GB"),
        ("card --card 64GB --stream 0Mb/s", "from"),
        ("timecode 01:00:00;00 --rate 25fps", "no drop-frame timecode at 25 fps"),
        ("timecode 00:01:00;00 --rate 29.97fps", "leaves '00:01:00;00' out"),
        ("timecode 01:00:00:25 --rate 25fps", "end at 24"),
        ("timecode -01:00:00:00 --rate 25fps", "no timecode"),
        ("timecode 5 --rate 25fps --drop", "only 29.97 and 59.94"),
        ("timecode 5 --rate 12.5fps", "does not count at 12.5 fps"),
        ("timecode 99999999999999999999 --rate 25fps", "frame numbers end"),
        ("timecode pancakes --rate 25fps", "no label, frame number or time"),
    ] {
        let wrong = refused(line);
        assert!(wrong.starts_with("error: ") && wrong.contains(limit), "{line} says: {wrong}");
    }
}

#[test]
fn trouble_is_an_object_where_json_was_asked_for() {
    let line = "light --date 2024-12-21 --at \"69.65, 18.96\" --zone Europe/Oslo --format json";
    let ran = reckon(&typed(line));
    assert_eq!(ran.code, 2);
    assert!(ran.json()["trouble"].as_str().unwrap().contains("does not rise"));
    assert!(ran.err.contains("twilight lasts from"), "{}", ran.err);
}

#[test]
fn what_can_hurt_comes_with_the_usual_cautions() {
    for line in ["fall --height 2m", "slide --speed 2.8m/s", "battery --battery 30min --take 40s"] {
        let cautions = answered(line)["cautions"].as_array().unwrap().clone();
        assert!(cautions.len() > 1, "{line}");
        assert!(cautions.last().unwrap().as_str().unwrap().contains("local rules and licensed practice"));
    }
}

/// Quantities as people type them, some of which cannot be.
fn quantity(units: &'static [&'static str]) -> impl Strategy<Value = String> {
    let number = prop_oneof![
        (0.0..200.0_f64).prop_map(|number| format!("{number:.3}")),
        (-5..400_i32).prop_map(|number| number.to_string()),
        (1..9000_u32).prop_map(|number| format!("1/{number}")),
        Just("0".to_owned()),
        Just("99999999999".to_owned()),
    ];
    (number, prop::sample::select(units)).prop_map(|(number, unit)| format!("{number}{unit}"))
}

/// Any numbers at all (with `SEAMSTER_CASES=20` in the environment twenty times as many): an answer or a limit, and never a number that is none.
#[test]
fn no_input_gives_a_number_that_is_none() {
    let any = quantity(&["m", "deg", "deg/s", "m/s", "s", "px", "fps", "%", "mm", "Hz", "GB", "Mb/s", ""]);
    let lines = (prop::sample::select(QUESTIONS), prop::collection::vec((0..12_usize, any), 1..3));
    let times = std::env::var("SEAMSTER_CASES").ok().and_then(|times| times.parse().ok()).unwrap_or(1);
    let mut runner = TestRunner::new(ProptestConfig {
        failure_persistence: None,
        ..ProptestConfig::with_cases(250 * times)
    });
    let tried = runner.run(&lines, |(line, changes)| {
        let mut words: Vec<String> = typed(line).into_iter().map(str::to_owned).collect();
        for (at, other) in changes {
            // Only what follows an option is a quantity; its unit is kept for half of them.
            let options: Vec<usize> = (1..words.len())
                .filter(|&at| words[at - 1].starts_with("--") && !words[at].starts_with("--"))
                .collect();
            let Some(&at) = options.get(at % options.len().max(1)) else { continue };
            let unit: String =
                words[at].chars().skip_while(|letter| !letter.is_alphabetic() && *letter != '%').collect();
            let number: String =
                other.chars().take_while(|letter| !letter.is_alphabetic() && *letter != '%').collect();
            words[at] = if other.len() % 2 == 0 { format!("{number}{unit}") } else { other };
        }
        let words: Vec<&str> = words.iter().map(String::as_str).chain(["--format", "json"]).collect();
        let ran = reckon(&words);
        prop_assert!(ran.code == 0 || ran.code == 2, "{:?}: {:?}", words, ran);
        let mut told = ran.out.split(|letter: char| !letter.is_alphabetic());
        prop_assert!(!told.any(|word| ["NaN", "nan", "inf"].contains(&word)), "{:?}: {}", words, ran.out);
        if ran.code == 0 {
            let object = ran.json();
            let numbers = object["values"].as_array().unwrap();
            prop_assert!(numbers.iter().all(|one| one["value"].is_number()), "{:?}: {}", words, ran.out);
        }
        Ok(())
    });
    tried.unwrap();
}
