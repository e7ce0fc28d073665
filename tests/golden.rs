//! Golden cases: what each example says and what its crew is handed, and what each
//! rule says of its page's bad example, with the words at fault.
//!
//! Snapshots are reviewed before they are accepted: each says that it is right.

#![allow(clippy::disallowed_methods, reason = "tests read real files")]

use seamster::diagnostic::{Diagnostic, text};
use seamster::source::Sources;
use std::path::{Path, PathBuf};

/// Width of a report, so that it is the same on every terminal.
const WIDTH: usize = 110;

/// Files of a folder.
struct Folder(PathBuf);

impl seamster::Reader for Folder {
    fn read(&mut self, path: &str) -> Result<Vec<u8>, String> {
        std::fs::read(self.0.join(path)).map_err(|error| error.to_string())
    }

    fn recipes(&mut self) -> Result<Vec<String>, String> {
        let Ok(entries) = std::fs::read_dir(self.0.join("recipes")) else { return Ok(Vec::new()) };
        let mut names: Vec<String> = entries
            .flatten()
            .map(|entry| format!("recipes/{}", entry.file_name().to_string_lossy()))
            .collect();
        names.sort();
        Ok(names)
    }
}

/// One text held in memory.
struct Page(String);

impl seamster::Reader for Page {
    fn read(&mut self, path: &str) -> Result<Vec<u8>, String> {
        if path == "bad.seam" { Ok(self.0.clone().into_bytes()) } else { Err("no such file".to_owned()) }
    }

    fn recipes(&mut self) -> Result<Vec<String>, String> {
        Ok(Vec::new())
    }
}

/// A report without colour.
fn report(sources: &Sources, diagnostics: &[Diagnostic]) -> String {
    anstream::adapter::strip_str(&text::render(sources, diagnostics, WIDTH)).to_string()
}

fn settings(folder: &str) -> insta::Settings {
    let mut settings = insta::Settings::clone_current();
    settings.set_snapshot_path(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases").join(folder));
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings
}

fn example(name: &str) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples").join(name);
    let loaded = seamster::load(&mut Folder(folder), &format!("{name}.seam")).expect("the example is there");
    let compiled = seamster::compile(loaded, &mut |_| {});
    let documents = compiled.documents(false, &[]).expect("the built-in templates are whole");
    settings(&format!("examples/{name}")).bind(|| {
        insta::assert_snapshot!("report", report(&compiled.sources, &compiled.diagnostics));
        let names: Vec<&str> = documents.iter().map(|document| document.path.as_str()).collect();
        insta::assert_snapshot!("documents", names.join("\n"));
        for document in documents.iter().filter(|document| is_told(&document.path)) {
            let text = String::from_utf8(document.bytes.clone()).expect("documents are UTF-8");
            insta::assert_snapshot!(document.path.replace(['/', '.'], "-"), text);
        }
    });
}

/// The documents that say the most: what the day, the desk and the post lead hold.
fn is_told(path: &str) -> bool {
    path.ends_with(".md")
        && ["call-sheet", "index", "passes", "ingest", "desk-plan", "joins/"]
            .iter()
            .any(|one| path.starts_with(one))
}

#[test]
fn night_parcel() {
    example("night-parcel");
}

#[test]
fn table_top() {
    example("table-top");
}

#[test]
fn one_look() {
    example("one-look");
}

#[test]
fn every_bad_example_reads_as_it_should() {
    for rule in seamster::rule::all() {
        let bad =
            rule.page.split("\n## Bad\n").nth(1).and_then(|rest| rest.split("\n## ").next()).unwrap_or("");
        let Some(text) = bad.split("```seam\n").nth(1).and_then(|rest| rest.split("```").next()) else {
            continue;
        };
        let loaded = seamster::load(&mut Page(text.to_owned()), "bad.seam").expect("the text is there");
        let compiled = seamster::compile(loaded, &mut |_| {});
        let loud: Vec<_> = compiled.diagnostics.into_iter().filter(|one| one.code == rule.code).collect();
        settings("rules").bind(|| {
            insta::assert_snapshot!(rule.code.name, report(&compiled.sources, &loud));
        });
    }
}
