//! Values that no camera, body or sun can have: each is told with the limit that it
//! breaks, and nothing is built from it.

#![allow(clippy::disallowed_methods, reason = "tests read and write real files")]

mod command;

use command::Room;

/// A sequence in which every absurdity can be planted.
const FILM: &str = r#"sequence small "Small" {
  picture 1920x1080 at 25 fps
  zone    "Europe/Oslo"
  mains   50 Hz
  handles 12 frames
}
place yard "A yard" { at 59.91, 10.75; light sky; horizon 5 deg; hospital "Clinic, 1 km; emergency number 112" }
place shed "A shed" { light lamp }
travel yard to shed 5 min
mark stud "a stud" { place yard; height 1.6 m; tilt 10 deg; near 4 m; far 60 m }
camera thumb "Thumb camera" {
  weighs  27 g
  battery 30 min
  card    32 GB
  readout 16 ms
  mode wide { frame 2560x1440 at 50 fps; shutter 1/100 s; view 100 deg equidistant; stream 80 Mb/s; steady level; kept 90% }
  mode flat { frame 2560x1440 at 25 fps; shutter 180 deg; view 70 deg; stream 80 Mb/s }
}
rig stand "Tripod" { fixed yes; fitting 5 min; placing 0.5 cm, 0.3 deg; sway 0 deg/s; carries 2 kg; hands 2 }
rig head "Head band" { worn yes; height 1.66 m; fitting 3 min; placing 3 cm, 2 deg; sway 2 deg/s; carries 60 g }
screen green "Green screen" { size 3.0 m x 2.0 m }
person mei "Mei" { plays courier; eyes 1.55 m }
person tomas "Tomás" { can pull }
person ines "Inês" { can spotter }
beat one "The run" {
  runs 6 s
  plate cup "A cup" {
    place yard; rig stand; camera thumb.wide; lasts 20 s; uses 3 s; takes 2; between 60 s; hold locked; hands out
    height 1.2 m; near 0.6 m; far 8 m; reframe 100%; light sun
  }
  plate run "A run" {
    place yard; rig head; camera thumb.wide; person mei; lasts 12 s; uses 3 s
    moves 2.8 m/s; turns_camera 5 deg/s; rolls 10 deg; near 4 m
  }
  effect quick by retime { on cup; speed 100% }
}
beat two "The pull" {
  runs 5 s
  plate tow "Pulled" { place shed; rig stand; camera thumb.flat; person mei; spotter ines; lasts 14 s; moves 2 m/s; hazard pulled; caution "On a mat." }
  effect pull by pulled_body { on tow; told_speed 4 m/s; friction 0.4; speed 200% }
}
sound { layer ambience, impacts, voice, music }
desk ada "Ada" { does ingest, edit, roto, paint, comp, retime, grade, sound, delivery; hours 6 h per day }
days from 2027-05-14, at most 1 { call 09:00; wrap 17:00; base yard; meal 30 min; expects 5 C..20 C }
finish by 2027-07-30
"#;

/// A word of the film, what stands there instead, the code, and the limit as told.
type Case = (&'static str, &'static str, &'static str, &'static str);

const CASES: &[Case] = &[
    ("view 100 deg", "view 400 deg", "T08", "from 1 deg to 360 deg"),
    ("view 70 deg", "view 175 deg", "T08", "a rectilinear view is at most 170°"),
    ("view 70 deg", "view 0 deg", "T08", "from 1 deg to 360 deg"),
    ("weighs  27 g", "weighs  -27 g", "T08", "from 0 g to 10000000 g"),
    ("carries 60 g", "carries -1 kg", "T08", "from 0 kg to 10000 kg"),
    ("shutter 1/100 s", "shutter 1/40 s", "T08", "at most 1/50 s at this frame rate"),
    ("shutter 180 deg", "shutter 400 deg", "T08", "from 0.1 deg to 360 deg"),
    ("shutter 1/100 s", "shutter 0 s", "T08", "from 0.00001 s to 10 s"),
    ("shutter 1/100 s", "shutter -1/100 s", "T08", "from 0.00001 s to 10 s"),
    ("frame 2560x1440 at 50 fps", "frame 2560x1440 at 0 fps", "T08", "from 1 fps to 10000 fps"),
    ("frame 2560x1440 at 50 fps", "frame 0x1440 at 50 fps", "T08", "from 16 to 32,768 pixels"),
    ("kept 90%", "kept 200%", "T08", "from 10 % to 100 %"),
    ("reframe 100%", "reframe 0%", "T08", "from 10 % to 1000 %"),
    ("readout 16 ms", "readout 20 s", "T08", "from 0 s to 1 s"),
    ("speed 100%", "speed -50%", "T08", "a speed curve does not run backwards"),
    ("speed 100%", "speed 0%", "T08", "a speed lies above 0% and up to 10,000%"),
    ("speed 100%", "speed 50% at 100%, 20% at 200%", "T08", "must move forward"),
    ("speed 100%", "speed 0% at 100%, 130% at 200%", "T08", "lies from 0% to 100%"),
    ("moves 2.8 m/s", "moves -2.8 m/s", "T08", "from 0 m/s to 400 m/s"),
    ("moves 2.8 m/s", "moves 3000 m/s", "T08", "from 0 m/s to 400 m/s"),
    ("turns_camera 5 deg/s", "turns_camera 99999 deg/s", "T08", "from 0 deg/s to 3600 deg/s"),
    ("sway 2 deg/s", "sway -2 deg/s", "T08", "from 0 deg/s to 3600 deg/s"),
    ("near 0.6 m", "near 0 m", "T08", "from 0.01 m"),
    ("near 0.6 m; far 8 m", "near 60 m; far 8 m", "T08", "at most 8 m, as 'far' says"),
    ("near 4 m; far 60 m", "near 90 m; far 60 m", "T08", "at most 60 m, as 'far' says"),
    ("height 1.66 m", "height -1.66 m", "T08", "from 0 m"),
    ("tilt 10 deg", "tilt 120 deg", "T08", "from -90 deg to 90 deg"),
    ("horizon 5 deg", "horizon 95 deg", "T08", "from 0 deg to 80 deg"),
    ("at 59.91, 10.75", "at 95.2, 10.75", "T08", "a latitude lies between -90 and 90"),
    ("at 59.91, 10.75", "at 59.91, 190", "T08", "a longitude lies between -180 and 180"),
    ("size 3.0 m x 2.0 m", "size 0 m x 2.0 m", "T08", "from 0.01 m to 1000 m"),
    ("lasts 20 s", "lasts 0 s", "T08", "from 0.001 s"),
    ("takes 2", "takes 0", "T08", "a whole number from 1 to 1000"),
    ("takes 2", "takes 2.5", "T08", "a whole number from 1 to 1000"),
    ("battery 30 min", "battery 0 s", "T08", "from 0.001 s"),
    ("card    32 GB", "card    -32 GB", "T08", "from 0.001 GB"),
    ("mains   50 Hz", "mains   0 Hz", "T08", "from 1 Hz to 1000 Hz"),
    ("expects 5 C..20 C", "expects -300 C..20 C", "T08", "from -60 C to 60 C"),
    ("hours 6 h per day", "hours 30 h per day", "T08", "to 24 h"),
    ("travel yard to shed 5 min", "travel yard to shed -5 min", "T08", "from 0 min to 14400 min"),
    ("told_speed 4 m/s", "told_speed -4 m/s", "T08", "from 0.1 m/s to 400 m/s"),
    ("friction 0.4", "friction 0", "T08", "from 0.01 to 2"),
    ("friction 0.4", "friction -1", "T08", "from 0.01 to 2"),
    ("2027-05-14", "9999-05-14", "T09", "outside 1970 to 2199"),
    // A sun that never rises there then, and one that never sets.
    ("at 59.91, 10.75", "at 71.17, 25.78", "D01", "the sun comes no higher than -"),
    ("light sun\n", "light night\n", "D01", "the sun goes no lower than"),
];

/// Moves the film to where and when a case of the sun happens.
fn planted(&(words, by, code, limit): &Case) -> String {
    assert_eq!(FILM.matches(words).count(), 1, "'{words}' stands in the film");
    let film = FILM.replace(words, by);
    match (code, limit) {
        ("D01", limit) if limit.contains("no higher") => film.replace("2027-05-14", "2027-12-21"),
        ("D01", _) => film.replace("59.91, 10.75", "71.17, 25.78").replace("2027-05-14", "2027-06-21"),
        _ => film,
    }
}

#[test]
fn the_film_itself_is_clean() {
    let room = Room::new("absurd-none");
    room.write("film.seam", FILM);
    let found = room.check_file("film.seam");
    let loud = found.findings.iter().filter(|one| one["severity"] != "note").count();
    assert_eq!((found.code, loud), (0, 0), "{found:#?}");
    let ran = room.run(&["build", "film.seam", "--out", "packet"]);
    assert_eq!(ran.code, 0, "{ran:?}");
}

#[test]
fn every_absurd_value_is_told_with_its_limit() {
    let room = Room::new("absurd");
    let mut wrong = Vec::new();
    for case in CASES {
        let &(words, by, code, limit) = case;
        room.write("film.seam", planted(case));
        let found = room.check_file("film.seam");
        let says = |one: &serde_json::Value| {
            let text = one.to_string();
            one["code"] == code && text.contains(limit)
        };
        if found.code != 1 || !found.findings.iter().any(says) {
            wrong.push(format!("{words} -> {by}: {:#?}", found.findings));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// An error keeps the packet from being written; nothing that is none is printed.
#[test]
fn nothing_is_built_from_an_absurd_value() {
    let room = Room::new("absurd-build");
    for case in CASES {
        room.write("film.seam", planted(case));
        let ran = room.run(&["build", "film.seam", "--out", "packet"]);
        assert_eq!(ran.code, 1, "{case:?}: {ran:?}");
        assert!(!room.path("packet").exists(), "{case:?}");
        for text in [&ran.out, &ran.err] {
            let words = text.split(|letter: char| !letter.is_alphanumeric());
            let none: Vec<&str> = words.filter(|word| ["NaN", "inf", "infinity"].contains(word)).collect();
            assert!(none.is_empty(), "{case:?}: {text}");
        }
    }
}

/// As a draft a packet may be written with errors standing; no document holds a
/// number that is none.
#[test]
fn no_draft_holds_a_number_that_is_none() {
    let room = Room::new("absurd-draft");
    for case in CASES.iter().filter(|case| case.2 == "D01" || case.1.contains("friction")) {
        room.write("film.seam", planted(case));
        let ran = room.run(&["build", "film.seam", "--draft", "--out", "packet"]);
        assert!(ran.code <= 1, "{case:?}: {ran:?}");
        for (path, bytes) in room.tree(".").into_iter().filter(|(path, _)| path.ends_with(".md")) {
            let text = String::from_utf8_lossy(&bytes).into_owned();
            let words = text.split(|letter: char| !letter.is_alphanumeric());
            let none: Vec<&str> = words.filter(|word| ["NaN", "inf"].contains(word)).collect();
            assert!(none.is_empty(), "{path}: {case:?}");
        }
    }
}
