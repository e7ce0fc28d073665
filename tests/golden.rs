//! Golden cases: what each example says and what its crew is handed, and what each
//! rule says of its page's bad example, with the words at fault.
//!
//! Snapshots are reviewed before they are accepted: each says that it is right.

use seamster::diagnostic::{Diagnostic, text};
use seamster::source::Sources;
use std::path::Path;

mod project;

/// Width of a report, so that it is the same on every terminal.
const WIDTH: usize = 110;

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
    let compiled = project::example(name);
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
        let fenced = |language: &str| {
            bad.split(&format!("```{language}\n")).nth(1).and_then(|rest| rest.split("```").next())
        };
        let (log, plan) = (fenced("log"), fenced("plan"));
        let compiled = match (log, plan) {
            (None, None) => project::text("bad.seam", text),
            _ => {
                project::beside(text, &log.map(|log| ("day.seam", log)).into_iter().collect::<Vec<_>>(), plan)
            }
        };
        let loud: Vec<_> = compiled.diagnostics.into_iter().filter(|one| one.code == rule.code).collect();
        settings("rules").bind(|| {
            insta::assert_snapshot!(rule.code.name, report(&compiled.sources, &loud));
        });
    }
}
