//! What a packet holds for other programs, opened by independent readers: every
//! example, every rate, holes and retimes, long lists, and titles that try
//! everything.

use crate::film::{Film, beat, plate};
use crate::project;
use crate::script;
use seamster::Compiled;
use serde_json::{Value, json};

/// The packet of a sequence as the scripts take it, with its picture's length in
/// frames, counted by hand.
fn packet(name: &str, compiled: &Compiled, frames: u64) -> Value {
    let kept = [".otio", ".edl", ".ics", ".dot", ".csv", ".json"];
    let documents = compiled.documents(compiled.has_errors(), &[]).unwrap();
    let documents = documents.into_iter().filter(|one| kept.iter().any(|ending| one.path.ends_with(ending)));
    let texts = documents.map(|one| (one.path, Value::String(String::from_utf8(one.bytes).unwrap())));
    json!({ "name": name, "frames": frames, "documents": serde_json::Map::from_iter(texts) })
}

/// Runs a script on packets and gives what it has compared.
fn opened(script: &str, packets: &[Value]) -> Vec<Value> {
    let output = script::run(script, &[], &serde_json::to_vec(packets).unwrap());
    let compared: Vec<Value> = serde_json::from_slice(&output).unwrap();
    assert_eq!(compared.len(), packets.len());
    println!("{script}: {}", serde_json::to_string(&compared).unwrap());
    compared
}

/// The beats run 44 s, 31 s and 21 s at 25 fps: as their files say.
fn examples() -> Vec<Value> {
    [("night-parcel", 1100), ("one-look", 775), ("table-top", 525)]
        .map(|(name, frames)| packet(name, &project::example(name), frames))
        .into()
}

/// Three pieces, joined inside a beat and across beats, one retimed and one
/// backwards.
fn three_pieces() -> String {
    let first = format!(
        "beat one {{ runs 200 frames\n{}\n{}\njoin a -> b by stitch {{ overlap 7 frames }} }}\n",
        plate("a", "room", "uses 100 frames"),
        plate("b", "room", "")
    );
    let second = beat(
        "two",
        150,
        "effect fast by retime { on shot; speed 150% }\njoin one.b -> shot by dissolve { overlap 12 frames }",
    );
    let third = beat("three", 75, "effect back by reverse { on shot }\njoin two.shot -> shot by match");
    format!("{first}{second}{third}")
}

#[test]
fn every_example_opens_as_timeline_and_decision_list() {
    let compared = opened("timeline", &examples());
    let counts: Vec<_> = compared.iter().map(|one| one["listed"].as_u64().unwrap()).collect();
    // Picture plates of the examples, as their files say.
    assert_eq!(counts, [10, 6, 4]);
}

/// SMPTE ST 12-1 labels are two digits of frames up to 60 a second; a decision list
/// exists up to there, a timeline at any rate.
#[test]
fn every_rate_opens() {
    let rates = [
        "23.976", "24", "25", "29.97", "30", "47.952", "48", "50", "59.94", "60", "100", "119.88", "120",
        "12.5",
    ];
    let packets = rates.map(|rate| {
        let film = Film { rate, beats: three_pieces(), ..Film::default() };
        packet(rate, &film.compiled(), 425)
    });
    let listed = opened("timeline", &packets).iter().filter(|one| one["listed"] == 4).count();
    assert_eq!(listed, 10);
}

/// What is in no plan and what nobody wrote is a gap, at either end and between.
#[test]
fn owed_footage_leaves_gaps() {
    let owed = |name: &str, frames: u64| {
        format!("beat {name} {{ runs {frames} frames; {} }}\n", plate("shot", "away", ""))
    };
    let beats = [
        owed("one", 40),
        beat("two", 50, "join one.shot -> shot by dissolve { overlap 10 frames }"),
        "beat three { runs 25 frames }\n".to_owned(),
        beat("four", 60, ""),
        owed("five", 30),
        beat("six", 45, "join five.shot -> shot by whip { overlap 5 frames }"),
        owed("seven", 20),
    ]
    .concat();
    let compiled = Film { beats, ..Film::default() }.compiled();
    let packet = packet("owed", &compiled, 270);
    let text = packet["documents"]["assembly.edl"].as_str().unwrap();
    assert_eq!(text.matches("\r\n001  BL       V     C ").count(), 1, "{text}");
    assert_eq!(text.matches("* OWED: ").count(), 4, "{text}");
    opened("timeline", &[packet]);
}

/// A list counts to 999; what is longer goes on in another, at a cut.
#[test]
fn a_thousand_pieces_are_two_lists() {
    let mut beats = String::new();
    for number in 0..1010 {
        let join = match number {
            0 => String::new(),
            _ if number % 3 == 0 => String::new(),
            _ => format!("join b{}.shot -> shot by dissolve {{ overlap 4 frames }}", number - 1),
        };
        beats.push_str(&beat(&format!("b{number}"), 10, &join));
    }
    let compiled = Film { beats, ..Film::default() }.compiled();
    let packet = packet("long", &compiled, 10_100);
    assert!(
        packet["documents"]["assembly-2.edl"].is_string() && packet["documents"]["assembly.edl"].is_null()
    );
    assert_eq!(opened("timeline", &[packet])[0]["listed"], 1010);
}
