//! Advice on batteries: as many more as it says are enough.

use seamster::Compiled;

mod project;

/// A day of many takes, on batteries of ten minutes that nothing charges.
fn film(takes: u32, packs: u32) -> Compiled {
    let head = "sequence small \"Small\" { picture 1920x1080 at 25 fps; zone \"Europe/Lisbon\"; mains 50 Hz }
place room \"A room\" { light lamp }
rig stand \"Tripod\" { fixed yes; fitting 5 min; placing 0.5 cm, 0.3 deg; carries 2 kg; hands 2 }
desk ada \"Ada\" { does ingest, edit, roto, paint, comp, grade, sound, delivery; hours 6 h per day }
days from 2027-05-14, at most 1 { call 09:00; wrap 17:00; base room }
finish by 2027-07-30
";
    let camera = format!(
        "camera thumb \"Thumb camera\" {{
  battery 10 min; packs {packs}; card 128 GB
  mode wide {{ frame 2560x1440 at 25 fps; shutter 1/50 s; view 100 deg equidistant; stream 80 Mb/s }}
}}
"
    );
    let beat = format!(
        "beat one \"The cup\" {{
  runs 5 s
  plate cup \"A cup\" {{ place room; rig stand; camera thumb.wide; lasts 58 s; takes {takes} }}
}}
"
    );
    project::text("film.seam", &format!("{head}{camera}{beat}"))
}

/// How many more batteries the day needs, if it cannot be planned.
fn asked(compiled: &Compiled) -> Option<u32> {
    let finding = compiled.diagnostics.iter().find(|one| one.code.id == "D07")?;
    let told = finding.others.iter().map(|other| other.text.as_str());
    let words: Vec<&str> = told.filter_map(|label| label.split("each Thumb camera had ").nth(1)).collect();
    let words = words.first().expect("batteries are asked for");
    let number = words.split(' ').next().unwrap_or_default();
    Some(if number == "one" { 1 } else { number.parse().expect("a number of batteries") })
}

#[test]
fn as_many_batteries_as_are_asked_for_are_enough() {
    let mut fired = 0;
    for (takes, packs) in [(9, 1), (10, 1), (18, 2), (19, 2), (40, 1), (60, 1)] {
        let Some(more) = asked(&film(takes, packs)) else { continue };
        fired += 1;
        let mended = film(takes, packs + more);
        assert!(mended.diagnostics.is_empty(), "{takes} takes, {packs} + {more}: {:#?}", mended.diagnostics);
    }
    // Nine takes of 58 s are what nine tenths of ten minutes hold.
    assert_eq!(fired, 4);
}
