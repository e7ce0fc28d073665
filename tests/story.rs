//! A story played through: written and handed out; a day shot, with a plate that failed and
//! a hand-over that was out; the script changed, compared and built again; the second day
//! shot; and what the desk then delivers from.
//!
//! The sequence and its logs are in `tests/cases/story`, invented for this test. What is
//! reported, compared and handed to people at each step stands in `papers` beside them.
//! Each was read as the person who gets it: that it reads right is what is asserted.

#![allow(clippy::disallowed_methods, reason = "tests read and write real files")]

use command::{Ran, Room};
use std::path::{Path, PathBuf};

mod command;

const FILM: &str = "film/film.seam";
const KIT: &str = "kit.seam";
const SCRIPT: &str = "script.seam";

fn cases() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases/story")
}

fn case(name: &str) -> Vec<u8> {
    std::fs::read(cases().join(name)).expect("the case is there")
}

/// Compares with what stands in `papers` under the number of the step.
fn reads(step: &str, name: &str, text: &str) {
    let mut settings = insta::Settings::clone_current();
    settings.set_snapshot_path(cases().join("papers"));
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.bind(|| insta::assert_snapshot!(format!("{step}-{}", name.replace(['/', '.'], "-")), text));
}

fn papers(room: &Room, step: &str, packet: &str, names: &[&str]) {
    for name in names {
        reads(step, name, &room.read(&format!("{packet}/{name}")));
    }
}

fn done(ran: &Ran) {
    assert_eq!(ran.code, 0, "{ran:?}");
}

/// Both what is printed and what is found.
fn report(room: &Room, step: &str) {
    let ran = room.run(&["check", FILM]);
    done(&ran);
    reads(step, "report", &format!("{}{}", ran.out, ran.err));
}

/// Keeps the folder as it is, to compare with later.
fn keep(room: &Room, name: &str) {
    for (path, bytes) in room.tree("film").into_iter().filter(|(path, _)| !path.ends_with('/')) {
        room.write(&path.replacen("film/", &format!("{name}/"), 1), bytes);
    }
}

fn compare(room: &Room, step: &str, with: &str, people: &[&str]) {
    let ran = room.run(&["compare", with, "film"]);
    done(&ran);
    reads(step, "compare", &ran.out);
    for person in people {
        let ran = room.run(&["compare", with, "film", "--for", person]);
        done(&ran);
        reads(step, &format!("compare-{person}"), &ran.out);
    }
}

#[test]
fn from_the_first_packet_to_the_delivery() {
    let room = Room::new("story");
    for file in ["film.seam", KIT, SCRIPT] {
        room.write(&format!("film/{file}"), case(&format!("first/{file}")));
    }

    // Written, planned for two days, and handed out.
    report(&room, "1");
    done(&room.run(&["build", FILM, "--out", "white", "--revision", "white", "--keep"]));
    papers(
        &room,
        "1",
        "white",
        &[
            "index.md",
            "call-sheet-1.md",
            "call-sheet-2.md",
            "joins/chase-rail-to-chase-away.md",
            "screens/lane-reach.md",
            "ingest.md",
            "handoff/for-noor.md",
        ],
    );
    reads("1", "plan", &room.read("film/film.plan.yaml"));
    let begun = room.run(&["log", FILM, "1"]);
    done(&begun);
    reads("1", "log", &begun.out);
    keep(&room, "film-white");

    // The first day is shot: a locked group failed, and a hand-over was nine centimetres out.
    room.write("film/logs/day-one.seam", case("day-one.seam"));
    report(&room, "2");
    compare(&room, "2", "film-white", &[]);
    let told = room.run(&["compare", "film-white", "film"]).out;
    assert!(
        told.contains(
            "is shot again with 'Hands put the lantern together, kept behind it', to which it is bound"
        ),
        "a good clean plate falls with the action, and is not said to have failed: {told}"
    );
    assert!(!told.contains("rules/"), "pages that explain rules are carried by nobody: {told}");

    // The script loses a beat and gains a join.
    room.write(&format!("film/{SCRIPT}"), case("second/script.seam"));
    report(&room, "3");
    compare(&room, "3", "film-white", &["noor", "ivo", "pell", "rut"]);
    done(&room.run(&["build", FILM, "--out", "blue", "--revision", "blue", "--since", "white", "--keep"]));
    papers(
        &room,
        "3",
        "blue",
        &[
            "index.md",
            "call-sheet-2.md",
            "plates/wake-hands.md",
            "joins/chase-rail-to-chase-away.md",
            "joins/chase-away-to-lane-walk.md",
            "joins/lane-walk-to-hook-out.md",
            "ingest.md",
            "handoff/for-noor.md",
        ],
    );
    assert!(!room.path("blue/call-sheet-1.md").exists(), "a day that is shot has no call sheet");
    reads("3", "plan", &room.read("film/film.plan.yaml"));
    let begun = room.run(&["log", FILM, "2"]);
    done(&begun);
    reads("3", "log", &begun.out);
    keep(&room, "film-blue");

    // The second day is shot, and everything is there: the desk delivers.
    room.write("film/logs/day-two.seam", case("day-two.seam"));
    report(&room, "4");
    compare(&room, "4", "film-blue", &["noor"]);
    done(&room.run(&["build", FILM, "--out", "last", "--revision", "last", "--since", "blue", "--keep"]));
    papers(
        &room,
        "4",
        "last",
        &["index.md", "ingest.md", "handoff/for-noor.md", "handoff/for-rut.md", "desk-plan.md"],
    );
    let cover = room.read("last/index.md");
    assert!(cover.contains("everything"), "the cover says that all of it is captured");
}
