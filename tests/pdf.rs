//! PDFs from outside: what happens where no browser prints them. What a real one
//! prints is read in `tests/external`.

#![allow(clippy::disallowed_methods, reason = "tests read and write real files")]
#![cfg(unix)]

mod command;

use command::{Ran, Room};
use std::os::unix::fs::PermissionsExt;
use std::time::{Duration, Instant};

const FILM: &str = "film/film.seam";

/// A program that does what a script says, in place of a browser.
fn program(room: &Room, script: &str) {
    room.write("browser", format!("#!/bin/sh\n{script}\n"));
    std::fs::set_permissions(room.path("browser"), std::fs::Permissions::from_mode(0o755))
        .expect("a file just written");
}

fn build(room: &Room, more: &[&str]) -> Ran {
    let browser = room.path("browser");
    let mut typed = vec![
        "build",
        FILM,
        "--out",
        "packet",
        "--pdf",
        "--browser",
        browser.to_str().expect("a path in UTF-8"),
    ];
    typed.extend(more);
    room.run(&typed)
}

/// The packet is whole, without a PDF, and says why, with a code that has a page.
#[track_caller]
fn kept(room: &Room, ran: &Ran, code: &str) {
    assert_eq!(ran.code, 2, "{ran:?}");
    assert!(ran.err.contains(code) && ran.err.contains("seamster explain pdf"), "{ran:?}");
    assert!(ran.out.contains("wrote the packet"), "{ran:?}");
    let written = room.tree("packet");
    assert!(written.iter().any(|(path, _)| path.ends_with("index.html")));
    assert!(written.iter().all(|(path, _)| !path.ends_with(".pdf")));
    let page = room.run(&["explain", &code.to_lowercase()]);
    assert!(page.code == 0 && page.out.contains(&format!("## {code}")), "{page:?}");
}

#[test]
fn a_browser_that_is_not_there_is_told() {
    let room = Room::with_film("no-browser");
    kept(&room, &build(&room, &[]), "PDF1");
    let environment = [("SEAMSTER_BROWSER", "/nowhere/browser")];
    let ran = room.run_with(&["build", FILM, "--out", "packet", "--pdf"], b"", &environment);
    kept(&room, &ran, "PDF1");
    let ran = room.run_with(&["build", FILM, "--out", "packet", "--pdf"], b"", &[("PATH", "/nowhere")]);
    kept(&room, &ran, "PDF1");
}

#[test]
fn a_browser_that_fails_is_told() {
    let room = Room::with_film("failing-browser");
    for script in [
        "echo 'cannot open display' >&2; exit 3",
        "exit 0",
        // It answers with what is no answer.
        "printf 'hello\\0{}\\0' >&4; exit 0",
        "printf '{\"id\":1,\"result\":{}}\\0' >&4; sleep 1",
        "printf '{\"id\":1,\"error\":{\"message\":\"unknown command\"}}\\0' >&4; sleep 1",
    ] {
        program(&room, script);
        kept(&room, &build(&room, &[]), "PDF2");
    }
    program(&room, "echo 'cannot open display' >&2; exit 3");
    assert!(build(&room, &[]).err.contains("cannot open display"));
}

#[test]
fn a_browser_that_hangs_is_ended() {
    let room = Room::with_film("hanging-browser");
    // Silence, and talk that is no answer and does not end.
    for script in
        ["exec sleep 300", "while echo '{\"method\":\"x\"}' | tr '\\n' '\\0' >&4; do sleep 0.1; done"]
    {
        program(&room, script);
        let begun = Instant::now();
        kept(&room, &build(&room, &["--pdf-seconds", "1"]), "PDF3");
        assert!(begun.elapsed() < Duration::from_secs(20));
    }
}

#[test]
fn json_names_the_trouble_beside_what_was_written() {
    let room = Room::with_film("pdf-json");
    let ran = build(&room, &["--format", "json"]);
    let object = ran.json();
    assert!(object["trouble"].as_str().unwrap().contains("PDF1"), "{object}");
    assert!(object["written"]["documents"].as_array().unwrap().len() > 10);
}
