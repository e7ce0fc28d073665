//! Sequences that people could write and nobody would draw up: titles in every
//! script and of any length, more plates than a day can show, days without work.

use super::rewritten;
use seamster::Compiled;
use std::collections::BTreeMap;
use std::fmt::Write;
use std::path::Path;

/// Titles that pages must bear: long with and without a place to break, written
/// from the right, without spaces, joined out of several code points.
pub fn titles() -> Vec<String> {
    let long = "A title that goes on ".chars().cycle().take(300).collect();
    let unbroken = "unbroken".chars().cycle().take(300).collect();
    let arabic = "الطرد يقفز فوق الرصيف ".chars().cycle().take(300).collect();
    let wide = "荷物が屋根を越えて飛ぶ".chars().cycle().take(300).collect();
    let faces = "👩🏽‍🚀🪂🏴‍☠️".chars().cycle().take(300).collect();
    let short = ["طرد", "荷", "🪂", "e\u{301}", "<b>&amp;</b> | `x` {{ y }}"].map(str::to_owned);
    [long, unbroken, arabic, wide, faces].into_iter().chain(short).collect()
}

/// Statements whose words in quotation marks people choose freely.
const FREE: &[&str] = &[
    "sequence", "place", "mark", "person", "desk", "prop", "look", "asset", "beat", "plate", "element",
    "rig", "camera", "mode", "screen", "story", "note", "caution", "must", "hospital", "parking", "cue",
];

/// An example in which all such words are others.
pub fn retitled(name: &str, files: &[&str]) -> Compiled {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples").join(name);
    let titles = titles();
    let mut next = titles.iter().cycle();
    let mut texts = BTreeMap::new();
    for file in files {
        let text = std::fs::read_to_string(folder.join(file)).expect("the file is there");
        let mut wild = String::new();
        for line in text.lines() {
            let free = line.split_whitespace().next().is_some_and(|word| FREE.contains(&word));
            match (free, line.split_once('"')) {
                (true, Some((before, after))) if after.contains('"') => {
                    let (_, after) = after.split_once('"').expect("it is there");
                    let title = next.next().expect("they do not end");
                    writeln!(wild, "{before}\"{title}\"{after}").expect("a string takes all");
                }
                _ => writeln!(wild, "{line}").expect("a string takes all"),
            }
        }
        texts.insert((*file).to_owned(), wild);
    }
    rewritten(name, texts)
}

/// So many plates in one day; every seventh without a title. Before them stands a
/// beat without plates, and a second day is allowed on which nothing is left to do.
pub fn crowd(plates: usize) -> String {
    let mut text = "\
camera pocket { count 1; battery 60 min; recharge 60 min; card 64 GB; water 0 m; readout 15 ms; weighs 120 g
  mode still50 { frame 2560x1440 at 50 fps; shutter 1/100 s; view 70 deg rectilinear; stream 100 Mb/s; steady off } }
rig stand \"Tripod\" { fixed yes; fitting 5 min; placing 0.5 cm, 0.3 deg; sway 0 deg/s; carries 2 kg; hands 2 }
sequence crowd \"Crowd\" { picture 1920x1080 at 25 fps; zone \"Europe/Lisbon\"; mains 50 Hz; handles 12 frames }
place room \"The room\" { light lamp; hospital \"Nearest emergency department 2 km; emergency number 112\" }
person alex \"Alex\" { plays hands }
desk alex \"Alex\" { does ingest, edit, roto, paint, comp, retime, grade, sound, delivery; hours 8 h per day }
beat bare \"Nothing is captured for this\" { story \"A black picture.\" }
beat full \"Everything\" {
"
    .to_owned();
    for at in 0..plates {
        let title = if at % 7 == 3 { String::new() } else { format!(" \"Plate {at} of the crowd\"") };
        writeln!(
            text,
            "plate p{at}{title} {{ place room; rig stand; camera pocket.still50; person alex; lasts 4 s; \
             hold locked; takes 1; height 1.30 m; tilt -25 deg; near 0.6 m; hands out }}"
        )
        .expect("a string takes all");
    }
    text + "}\ndays from 2027-05-14, at most 2 { call 00:10; wrap 23:50; base room }\nfinish by 2028-06-11\n"
}
