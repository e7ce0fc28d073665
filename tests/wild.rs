//! Packets of sequences that nobody would draw up: what is on the pages is whole.

use project::wild;
use seamster::Compiled;
use seamster::packet::Document;

mod project;

const NIGHT_PARCEL: &[&str] = &["night-parcel.seam", "kit.seam", "people.seam"];

fn documents(compiled: &Compiled) -> Vec<(String, String)> {
    let text = |one: Document| (one.path, String::from_utf8(one.bytes).expect("documents are UTF-8"));
    compiled.documents(false, &[]).expect("it is rendered").into_iter().map(text).collect()
}

/// Cells of a table's row: parts between bars that no backslash stands before.
fn cells(row: &str) -> usize {
    row.replace("\\\\", "").replace("\\|", "").matches('|').count()
}

/// A row that has not as many cells as its table's head.
fn torn(page: &str) -> Option<&str> {
    let mut head = None;
    page.lines().find(|line| {
        head = if line.starts_with('|') { head.or(Some(cells(line))) } else { None };
        head.is_some_and(|head| cells(line) != head)
    })
}

#[test]
fn every_title_stands_whole_on_every_page() {
    let compiled = wild::retitled("night-parcel", NIGHT_PARCEL);
    assert!(!compiled.has_errors(), "{:?}", compiled.diagnostics);
    let titles = wild::titles();
    for (path, text) in documents(&compiled) {
        assert!(path.is_ascii() && path.split('/').all(|part| part.len() <= 90), "{path}");
        if path.ends_with(".html") {
            assert!(!text.contains("<b>") && !text.contains("<b/>"), "{path}");
        }
        if path.ends_with(".md") {
            assert_eq!(torn(&text), None, "{path}");
        }
    }
    let packet = compiled.packet(false);
    let wild = packet.plates.iter().filter(|plate| titles.contains(&plate.title)).count();
    assert!(wild >= 12, "{wild} plates have another title");
    for plate in packet.plates.iter().filter(|plate| titles.contains(&plate.title)) {
        let card = packet.cover.beats.iter().flat_map(|beat| beat.plates.iter().chain(&beat.besides));
        assert!(card.clone().any(|line| line.plate.text == plate.title), "{}", plate.title);
    }
}

#[test]
fn a_beat_without_plates_and_plates_without_titles_are_told_by_their_names() {
    let compiled = project::text("crowd.seam", &wild::crowd(9));
    assert!(!compiled.has_errors(), "{:?}", compiled.diagnostics);
    let documents = documents(&compiled);
    let page = |name: &str| &documents.iter().find(|(path, _)| path == name).expect("it is there").1;
    assert!(page("index.md").contains("### 1. Nothing is captured for this\n\nA black picture."));
    assert!(page("call-sheet-1.md").contains("[full.p3](plates/full-p3.md)"));
    assert!(page("plates/full-p3.html").contains("<h2>full.p3</h2>"), "{}", page("plates/full-p3.html"));
    // The second day that was allowed has no paper: there is nothing to carry.
    assert!(!documents.iter().any(|(path, _)| path.contains("call-sheet-2")));
    for (path, text) in documents.iter().filter(|(path, _)| path.ends_with(".md")) {
        assert_eq!(torn(text), None, "{path}");
    }
}
