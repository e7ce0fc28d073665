//! The README is true: its source is a part of an example, its commands run,
//! and what it shows is what comes out.

#![allow(clippy::indexing_slicing, clippy::unwrap_used, reason = "a test may fail by any of these")]
#![allow(clippy::disallowed_methods, reason = "the README and the examples are read from the disk")]

mod command;

use command::Room;
use std::fs;
use std::path::{Path, PathBuf};

const FILM: &str = "examples/night-parcel/night-parcel.seam";

fn house() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn readme() -> String {
    fs::read_to_string(house().join("README.md")).unwrap()
}

/// The fenced blocks of one language.
fn blocks(text: &str, language: &str) -> Vec<String> {
    let fence = format!("```{language}\n");
    text.split(&fence).skip(1).map(|rest| rest.split("```").next().unwrap().to_owned()).collect()
}

/// Every word in order, so that only the layout may differ.
fn words(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A room with a copy of the examples.
fn room(name: &str) -> Room {
    let room = Room::new(name);
    let mut open = vec![PathBuf::from("examples")];
    while let Some(at) = open.pop() {
        for entry in fs::read_dir(house().join(&at)).unwrap() {
            let below = at.join(entry.unwrap().file_name());
            let full = house().join(&below);
            if full.is_dir() {
                open.push(below);
            } else {
                room.write(below.to_str().unwrap(), fs::read(full).unwrap());
            }
        }
    }
    room
}

#[test]
fn the_beat_it_shows_is_a_part_of_an_example() {
    let shown = blocks(&readme(), "seam");
    assert_eq!(shown.len(), 1);
    let example = fs::read_to_string(house().join(FILM)).unwrap();
    assert!(example.contains(&shown[0]), "the beat in the README is not that of {FILM}");
}

#[test]
fn the_first_command_writes_the_packet_and_the_card_that_it_shows() {
    let text = readme();
    let commands = blocks(&text, "sh").concat();
    let first = commands.lines().next().unwrap().split('#').next().unwrap();
    let args: Vec<&str> = first.trim().strip_prefix("cargo run --release -- ").unwrap().split(' ').collect();
    let room = room("readme-build");
    let ran = room.run(&args);
    assert_eq!(ran.code, 0, "{ran:?}");
    assert!(room.path("packet/index.html").is_file());
    let card = words(&room.read("packet/plates/bench-flight-clean.md"));
    for line in blocks(&text, "markdown")[0].lines() {
        assert!(card.contains(&words(line)), "'{line}' is not on the card:\n{card}");
    }
    for name in ["call-sheet-1", "cards-1", "log-1", "ingest", "passes", "desk-plan"] {
        for ending in ["html", "md"] {
            assert!(room.path(&format!("packet/{name}.{ending}")).is_file(), "{name}.{ending}");
        }
    }
    for name in ["ingest.csv", "passes.csv", "packet.json", "plates", "joins", "screens", "handoff"] {
        assert!(room.path(&format!("packet/{name}")).exists(), "{name}");
    }
}

#[test]
fn the_error_it_shows_is_what_that_change_gives() {
    let room = room("readme-error");
    let text = room.read(FILM);
    let plate = text.find("plate hands").unwrap();
    let changed = text[plate..].replacen("rig    stand", "rig    head", 1);
    room.write(FILM, format!("{}{changed}", &text[..plate]));
    let ran = room.run(&["check", FILM]);
    assert_eq!(ran.code, 1);
    let told = words(&ran.out);
    let shown = blocks(&readme(), "text");
    assert_eq!(shown.len(), 2);
    for line in shown[0].lines() {
        assert!(told.contains(&words(line)), "'{line}' is not told:\n{}", ran.out);
    }
}

#[test]
fn the_answer_it_shows_is_what_the_question_gives() {
    let text = readme();
    let commands = blocks(&text, "sh").concat();
    let question = commands.lines().find_map(|line| line.strip_prefix("seamster reckon ")).unwrap();
    let args: Vec<&str> = ["reckon"].into_iter().chain(question.split(' ')).collect();
    let ran = Room::new("readme-reckon").run(&args);
    assert_eq!(ran.code, 0, "{ran:?}");
    assert!(ran.out.starts_with(&blocks(&text, "text")[1]), "{}", ran.out);
}

#[test]
fn the_other_commands_run_in_their_order() {
    let room = Room::new("readme-commands");
    let text = readme();
    let typed: Vec<String> = blocks(&text, "sh").concat().lines().map(str::to_owned).collect();
    let own: Vec<&str> = typed.iter().filter_map(|line| line.strip_prefix("seamster ")).collect();
    assert_eq!(own.len(), 5, "{typed:?}");
    for line in own {
        let ran = room.run(&line.split(' ').collect::<Vec<_>>());
        assert_eq!(ran.code, 0, "{line}: {ran:?}");
    }
    for line in
        ["explain plate", "explain join-offset", "explain keyed_hands", "explain --language", "recipes"]
    {
        assert!(text.contains(line.split(' ').next_back().unwrap()), "{line}");
        assert_eq!(room.run(&line.split(' ').collect::<Vec<_>>()).code, 0, "{line}");
    }
}

#[test]
fn every_file_it_links_to_is_there() {
    for name in ["README.md", "DEVELOPERS.md"] {
        let text = fs::read_to_string(house().join(name)).unwrap();
        let targets: Vec<&str> = text.split("](").skip(1).filter_map(|rest| rest.split(')').next()).collect();
        assert!(!targets.is_empty());
        for target in targets.iter().filter(|target| !target.starts_with("http")) {
            assert!(house().join(target).exists(), "{name} links to {target}");
        }
    }
}

/// Every room of the house is in the developers' picture, and every one there exists.
#[test]
fn the_developers_picture_has_every_room() {
    let text = fs::read_to_string(house().join("DEVELOPERS.md")).unwrap();
    for entry in fs::read_dir(house().join("src")).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        if !["lib.rs", "main.rs"].contains(&name.as_str()) {
            assert!(text.contains(&format!("`src/{name}`")), "src/{name}");
        }
    }
    for room in
        text.lines().filter_map(|line| line.strip_prefix("| `")).filter_map(|rest| rest.split('`').next())
    {
        let here = ["src/", "tests/", "templates", "grammar/"].iter().any(|start| room.starts_with(start));
        assert!(here && house().join(room).exists(), "{room}");
    }
    let picture = blocks(&text, "text").concat();
    let page = fs::read_to_string(house().join("src/lib.rs")).unwrap();
    assert!(page.contains(picture.trim()), "lib.rs and DEVELOPERS.md show the same picture");
}
