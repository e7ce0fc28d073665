//! What a packet holds for other programs, opened by independent readers: every
//! example, every rate, holes and retimes, long lists, and titles that try
//! everything.

use crate::film::{Film, beat, plate};
use crate::project;
use crate::random::Random;
use crate::script;
use seamster::Compiled;
use seamster::model::arena::{Arena, Id};
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

/// Lengths, overlaps and speeds by chance: still every piece, its source and its
/// speed agree, and the picture is as long as its beats together.
#[test]
fn random_cuts_agree() {
    let mut random = Random::new("cuts");
    let mut whole = |low: f64, high: f64| random.between(low, high) as u64;
    let packets: Vec<Value> = (0..12)
        .map(|film| {
            let (mut beats, mut frames) = (String::new(), 0);
            for number in 0..40 {
                let length = whole(1.0, 30.0);
                frames += length;
                let mut inside = match whole(0.0, 4.0) {
                    0 => format!("effect fast by retime {{ on shot; speed {}% }}\n", whole(20.0, 400.0)),
                    1 => "effect back by reverse { on shot }\n".to_owned(),
                    _ => String::new(),
                };
                if number > 0 && whole(0.0, 3.0) > 0 {
                    let overlap = whole(0.0, 14.0);
                    inside +=
                        &format!("join b{}.shot -> shot by match {{ overlap {overlap} frames }}", number - 1);
                }
                beats += &beat(&format!("b{number}"), length, &inside);
            }
            let rate = ["25", "29.97", "59.94"][film % 3];
            packet(&format!("{film}"), &Film { rate, beats, ..Film::default() }.compiled(), frames)
        })
        .collect();
    assert!(opened("timeline", &packets).iter().all(|one| one["listed"] == 40));
}

#[test]
fn the_calendars_of_every_example_open() {
    let compared = opened("calendar_files", &examples());
    // Everybody's, and one each for those with a date: six, four and one of them.
    let counts: Vec<_> = compared.iter().map(|one| one["calendars"].as_u64().unwrap()).collect();
    assert_eq!(counts, [7, 5, 2]);
}

/// Days on which the clocks change, in zones where they do and do not, by whole and
/// half hours. Somebody is called before the change and released behind it.
#[test]
fn calls_are_right_over_a_change_of_daylight_saving() {
    let days = [
        ("Europe/Lisbon", "2027-03-28", ("00:10", "08:00")),
        ("America/New_York", "2027-11-07", ("00:30", "08:00")),
        ("America/New_York", "2027-03-14", ("01:30", "09:00")),
        ("Australia/Lord_Howe", "2027-04-04", ("00:30", "08:00")),
        ("Asia/Kathmandu", "2027-11-07", ("00:30", "08:00")),
        ("UTC", "2027-11-07", ("00:30", "08:00")),
    ];
    let mut packets = Vec::new();
    for (zone, day, hours) in days {
        // So long a day ends before, in and after the repeated hour.
        for takes in [5, 20, 40, 60, 80, 100, 130, 160] {
            let inside =
                plate("long", "room", &format!("uses 0 frames; takes {takes}")).replace("takes 1; ", "");
            let film = Film { zone, day, hours, beats: beat("one", 50, &inside), ..Film::default() };
            packets.push(packet(&format!("{zone} {takes}"), &film.compiled(), 50));
        }
    }
    let compared = opened("calendar_files", &packets);
    let told_in_utc = |zone: &str| {
        let of = compared.iter().filter(|one| one["name"].as_str().unwrap().starts_with(zone));
        of.map(|one| one["in_utc"].as_u64().unwrap()).sum::<u64>()
    };
    // RFC 5545, section 3.3.5: local time is the first passing of a repeated hour, so the
    // second is told in UTC.
    assert!(told_in_utc("America/New_York") > 0 && told_in_utc("Australia/Lord_Howe") > 0);
    assert_eq!(told_in_utc("Europe/Lisbon") + told_in_utc("Asia/Kathmandu") + told_in_utc("UTC"), 0);
}

/// RFC 5545, section 3.8.4.7: what is moved keeps its name.
#[test]
fn an_event_keeps_its_name_when_it_moves() {
    let film = |day| Film { day, beats: beat("one", 50, ""), ..Film::default() };
    let packets = ["2027-05-14", "2027-06-02"].map(|day| packet(day, &film(day).compiled(), 50));
    let compared = opened("calendar_files", &packets);
    assert_eq!(compared[0]["uids"], compared[1]["uids"]);
    assert_ne!(packets[0]["documents"]["calendar.ics"], packets[1]["documents"]["calendar.ics"]);
}

#[test]
fn the_graph_of_every_example_opens() {
    let compared = opened("graphs", &examples());
    assert!(compared.iter().all(|one| one["nodes"].as_u64().unwrap() > 30 && one["parts"] == 0));
}

/// Beyond what can be read in one drawing each beat has its own.
#[test]
fn a_large_graph_is_parted() {
    let beats = (0..60)
        .map(|number| beat(&format!("b{number}"), 25, "effect fast by retime { on shot; speed 150% }"));
    let film = Film { beats: beats.collect(), ..Film::default() };
    let compared = opened("graphs", &[packet("large", &film.compiled(), 1500)]);
    assert_eq!(compared[0]["parts"], 60);
}

/// JSON Schema, draft 2020-12.
#[test]
fn the_schema_accepts_every_example_and_rejects_what_is_broken() {
    let compared = opened("schema", &examples());
    assert!(compared.iter().all(|one| one["shared"].as_u64().unwrap() > 100 && one["rejected"] == 42));
}

#[test]
fn the_tables_of_every_example_open() {
    assert!(opened("tables", &examples()).iter().all(|one| one["cells"].as_u64().unwrap() > 100));
}

/// Titles that people give, and some that try to end what they stand in.
fn titles() -> Vec<String> {
    let mut titles: Vec<String> = [
        "قفزة من فوق الرافعة ثم الجري",
        "跳び降りて、走る。「一度だけ」",
        "👩🏽‍🚀🪂 flag 🇵🇹 and a family 👨‍👩‍👧‍👦",
        "e\u{301}\u{302} a\u{200d}b \u{202e}backwards\u{202c} \u{2028} new line \u{2029} end",
        "\"quoted\" 'single' “curly” back\\slash\\",
        "one\ntwo\r\nthree\rfour\u{b}five\u{c}six\u{85}seven",
        "a;b,c:d|e*f#g&h&amp;&lt;i%j$k~l^m`n",
        "=HYPERLINK(\"x\",\"y\")",
        "+1+1",
        "-1-1",
        "@SUM(A1)",
        "\tTab first",
        "\rReturn first",
        "＝1+1",
        "nul \0 escape \u{1b}[31m bell \u{7} delete \u{7f}",
        "END:VEVENT\r\nBEGIN:VEVENT\r\nSUMMARY:no",
        "* LOC: 01:00:00:00 RED no\n999  AX       V     C        no\nM2   AX       000.0 00:00:00:00\nTITLE: no\nFCM: no",
        "M2 over the bridge",
        "FROM CLIP NAME: no",
        "\"]; n0 -> n1; \"",
        "</script><script>alert(1)</script>]]>",
        "{{ 7 * 7 }} {% raw %} %s %n {0}",
        "   ",
        "\u{feff}",
        "😀",
    ]
    .map(str::to_owned)
    .into();
    titles.push("A title of three hundred letters, ".chars().cycle().take(300).collect());
    titles.push("ß漢🪂".chars().cycle().take(300).collect());
    titles.push("\\".repeat(300));
    titles.push("\"".repeat(300));
    titles
}

/// Changes every item of a list.
fn each<I: Id, T>(list: &mut Arena<I, T>, change: impl Fn(&mut T)) {
    for id in list.ids() {
        change(&mut list[id]);
    }
}

/// Gives everything that has a title this one, and says it wherever words can stand.
fn titled(mut compiled: Compiled, title: &str) -> Compiled {
    let words = || Some(title.to_owned());
    let model = &mut compiled.model;
    model.sequence.named.title = words();
    each(&mut model.places, |one| one.named.title = words());
    each(&mut model.people, |one| one.named.title = words());
    each(&mut model.desks, |one| one.named.title = words());
    each(&mut model.effects, |one| one.named.title = words());
    each(&mut model.beats, |beat| {
        beat.named.title = words();
        beat.story = words();
    });
    for cue in &mut model.sound.cues {
        cue.text = title.to_owned();
    }
    each(&mut compiled.breakdown.plates, |plate| {
        plate.named.title = words();
        plate.named.notes.push(title.to_owned());
    });
    each(&mut compiled.breakdown.passes, |pass| pass.title = title.to_owned());
    compiled
}

/// Whatever a title holds, every file is whole for its reader and says the same.
#[test]
fn any_title_keeps_every_file_whole() {
    let owed = format!("beat hole {{ runs 25 frames; {} }}\n", plate("shot", "away", ""));
    let beats = format!("{}{owed}sound {{ layer foley; cue \"x\" at two }}\n", three_pieces());
    let film = Film { beats, ..Film::default() };
    let packets: Vec<Value> =
        titles().iter().map(|title| packet(title, &titled(film.compiled(), title), 450)).collect();
    for script in ["timeline", "calendar_files", "graphs", "tables"] {
        opened(script, &packets);
    }
    // To a schema, one text is as good as another.
    opened("schema", &packets[..3]);
}

/// A day on which nothing can be shot, a sequence with nothing in it, a beat
/// without plates: there is little to say, and it is said whole.
#[test]
fn empty_days_and_sequences_keep_every_file_whole() {
    let away = format!("beat one {{ runs 25 frames; {} }}\n", plate("shot", "away", ""));
    let beats = [(String::new(), 0), (away, 25), ("beat one { runs 25 frames }\n".to_owned(), 25)];
    let packets = beats.map(|(beats, frames)| {
        let film = Film { beats, ..Film::default() };
        packet(&format!("{frames}"), &film.compiled(), frames)
    });
    for script in ["timeline", "calendar_files", "graphs", "tables", "schema"] {
        opened(script, &packets);
    }
}
