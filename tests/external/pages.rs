//! Pages and PDFs of every example, opened by a browser and by a reader of PDF;
//! the page for a phone, used and read by the compiler.

use crate::project::wild;
use crate::{project, script};
use seamster::Compiled;
use seamster::source::Sources;
use serde_json::{Value, json};
use std::path::{Path, PathBuf};
use std::process::Command;

/// The browser of the machine; `tests/external/set-up` installs one.
#[track_caller]
fn browser() -> String {
    let known = ["chromium", "chromium-browser", "google-chrome"];
    let found = known.iter().find(|name| Path::new("/usr/bin").join(name).exists());
    let found = found.expect("the page checks need Chromium: run tests/run, or apt-get install chromium");
    format!("/usr/bin/{found}")
}

fn packet(name: &str) -> Value {
    pages(name, &project::example(name), |_| true)
}

/// The pages of a packet whose paths are wanted.
fn pages(name: &str, compiled: &Compiled, wanted: impl Fn(&str) -> bool) -> Value {
    let documents = compiled.documents(false, &[]).unwrap();
    let pages = documents.into_iter().filter(|one| one.path.ends_with(".html") && wanted(&one.path));
    let texts = pages.map(|one| (one.path, Value::String(String::from_utf8(one.bytes).unwrap())));
    json!({ "name": name, "documents": serde_json::Map::from_iter(texts) })
}

#[track_caller]
fn open(name: &str) {
    assert!(opened(packet(name)) > 40, "{name}");
}

/// Opens every page; none may have anything to complain about. How many there were.
#[track_caller]
fn opened(packet: Value) -> u64 {
    let input = serde_json::to_vec(&[packet]).unwrap();
    let told: Value = serde_json::from_slice(&script::run("pages", &[&browser()], &input)).unwrap();
    assert_eq!(told["found"], json!([]));
    told["opened"].as_u64().unwrap()
}

fn one_of_each(path: &str) -> bool {
    !["rules/", "plates/", "joins/", "handoff/department"].iter().any(|kind| path.starts_with(kind))
}

#[test]
fn every_page_of_night_parcel_is_whole_at_every_width() {
    open("night-parcel");
}

#[test]
fn every_page_of_one_look_is_whole_at_every_width() {
    open("one-look");
}

#[test]
fn every_page_of_table_top_is_whole_at_every_width() {
    open("table-top");
}

/// One page of each kind. Pages of rules are the same in every packet.
#[test]
fn pages_are_whole_whatever_stands_in_the_titles() {
    let compiled = wild::retitled("night-parcel", &["night-parcel.seam", "kit.seam", "people.seam"]);
    assert!(opened(pages("wild", &compiled, |path| one_of_each(path) || path.contains("leap"))) > 20);
}

#[test]
fn pages_are_whole_with_four_hundred_plates_in_a_day() {
    let compiled = project::text("crowd.seam", &wild::crowd(400));
    assert!(!compiled.has_errors());
    // Of each kind, those that hold all plates; the rest only repeat themselves.
    let wanted = ["index.html", "call-sheet-1.html", "dependencies.html", "plates/full-p3.html"];
    assert_eq!(opened(pages("crowd", &compiled, |path| wanted.contains(&path))), 4);
}

/// Ticks and words that try everything survive a reload, and come out as a day log
/// without a stray line; where the browser keeps nothing, the page says so.
#[test]
fn a_day_on_the_phone_is_kept_and_written_as_a_day_log() {
    let input = serde_json::to_vec(&packet("night-parcel")).unwrap();
    let told: Value = serde_json::from_slice(&script::run("phone", &[&browser()], &input)).unwrap();
    let text = told["log"].as_str().unwrap();
    let mut sources = Sources::default();
    let file = sources.add("log.seam", text);
    let mut found = Vec::new();
    seamster::syntax::parse(&sources, file, &mut found);
    assert!(found.is_empty(), "{found:?}\n{text}");
    for line in [
        "log night_parcel {",
        "  day 2027-05-14",
        "    take 1 \"C\\\"00\\\\31\" at 06:41 circled \"sun; { in } # lens\"",
        "    height 1.68 m",
        "    note \"tilt: steep\"",
    ] {
        assert!(text.lines().any(|one| one == line), "{line} in\n{text}");
    }
    assert_eq!(told["takes"], 4, "an added take survives a reload");
    assert!(told["refused"].as_str().unwrap().starts_with("Nothing is kept"), "{told}");
}

/// A reader of PDF finds every plate's name, bookmarks and page numbers in what `build --pdf` prints.
#[test]
fn a_reader_of_pdf_finds_every_plate() {
    for (name, paper) in [("table-top", "a4"), ("one-look", "letter")] {
        let out: PathBuf =
            Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("{}-pdf-{name}", std::process::id()));
        let file = format!("{}/examples/{name}/{name}.seam", env!("CARGO_MANIFEST_DIR"));
        let ran = Command::new(env!("CARGO_BIN_EXE_seamster"))
            .args(["build", &file, "--pdf", "--paper", paper, "--browser", &browser(), "--out"])
            .arg(&out)
            .output()
            .unwrap();
        assert!(ran.status.success(), "{}", String::from_utf8_lossy(&ran.stderr));
        let plates = project::example(name).packet(false).plates;
        let titles: Vec<&str> = plates.iter().map(|plate| plate.title.as_str()).collect();
        let given = serde_json::to_vec(&json!({ "plates": titles, "paper": paper })).unwrap();
        let folder = out.to_str().unwrap();
        let told: Value = serde_json::from_slice(&script::run("papers", &[folder], &given)).unwrap();
        std::fs::remove_dir_all(&out).unwrap();
        assert_eq!(told["found"], json!([]), "{name}");
        assert!(told["files"].as_u64().unwrap() > 40, "{told}");
    }
}
