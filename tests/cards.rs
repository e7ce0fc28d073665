//! Every number that a rule computes reaches the card of whoever sets it, whether
//! the rule fires or not.

use seamster::Compiled;
use seamster::rule::About;
use std::collections::BTreeMap;

mod project;

const EXAMPLES: [&str; 3] = ["night-parcel", "table-top", "one-look"];

/// Markdown documents by name, without the backslashes that keep letters letters.
fn documents(compiled: &Compiled) -> BTreeMap<String, String> {
    let documents = compiled.documents(false, &[]).expect("the built-in templates are whole");
    let markdown = documents.into_iter().filter(|document| document.path.ends_with(".md"));
    let read = |bytes: Vec<u8>| String::from_utf8(bytes).expect("documents are UTF-8").replace('\\', "");
    markdown.map(|document| (document.path, read(document.bytes))).collect()
}

/// The card of a path, in a folder: `leap.swoop->leap.land` is `leap-swoop-to-leap-land`.
fn card(folder: &str, path: &str) -> String {
    format!("{folder}/{}.md", path.replace("->", "-to-").replace('.', "-"))
}

/// Words of a rule as cards say them: plates by their titles, the longest path first.
fn titled(compiled: &Compiled, text: &str) -> String {
    let mut plates: Vec<_> = compiled.breakdown.plates.values().map(|plate| &plate.named).collect();
    plates.sort_by_key(|named| std::cmp::Reverse(named.path.len()));
    plates.iter().fold(text.to_owned(), |text, named| {
        text.replace(&format!("'{}'", named.path), &named.path)
            .replace(&named.path, &format!("'{}'", named.label()))
    })
}

#[test]
fn every_instruction_is_on_a_card() {
    let mut missing = Vec::new();
    for name in EXAMPLES {
        let compiled = project::example(name);
        let documents = documents(&compiled);
        for told in &compiled.findings.instructions {
            let own = match told.about {
                About::Plate(id) => Some(card("plates", &compiled.breakdown.plates[id].named.path)),
                About::Join(id) => Some(card("joins", &compiled.model.joins[id].named.path)),
                _ => None,
            };
            let text = titled(&compiled, &told.text);
            let there = match &own {
                Some(path) => documents.get(path).expect("it is there").contains(&text),
                None => documents.values().any(|page| page.contains(&text)),
            };
            if !there {
                missing.push(format!("{name} {own:?}: {} {}: {}", told.rule, told.topic, told.text));
            }
        }
    }
    assert!(missing.is_empty(), "{}", missing.join("\n"));
}

/// What a tape and a phone's level set stands on the card as a number with its tolerance.
#[test]
fn heights_tilts_and_speeds_at_a_hand_over_have_their_tolerance() {
    let compiled = project::example("night-parcel");
    let documents = documents(&compiled);
    for (path, lines) in [
        (
            "plates/leap-swoop.md",
            [
                "lens height | **1.66 m ± 3 cm",
                "tilt | **12° up ± 5°",
                "speed at the hand-over | **3 m/s ± 0.4",
            ],
        ),
        (
            "plates/leap-land.md",
            [
                "lens height | **1.66 m ± 6 cm",
                "tilt | **12° up ± 5°",
                "speed at the hand-over | **2.8 m/s ± 0.4",
            ],
        ),
        (
            "plates/ropewalk-reach.md",
            ["lens height | **1.66 m ± 4 cm", "tilt | **15° down ± 2°", "distance to screen | **at most"],
        ),
        ("plates/ropewalk-walk.md", ["shutter | **1/", "turn | **at most", "travel | **at most"]),
        (
            "joins/leap-swoop-to-leap-land.md",
            [
                "tolerance of 'Landing, then the run' | **within 6 cm and 5° of the mark",
                "speed of 'Down from the gantry' | **3 m/s ± 0.4",
                "direction of 'Landing, then the run' | **140° by compass ± 8°",
            ],
        ),
    ] {
        let text = documents.get(path).expect("it is there");
        for line in lines {
            assert!(text.contains(line), "{path} does not say '{line}':\n{text}");
        }
    }
}
