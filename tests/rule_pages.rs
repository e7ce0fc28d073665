//! Every rule has a page, all pages are alike, and their examples do what they say.

use seamster::diagnostic::{Diagnostic, Severity};
use seamster::rule::{self, Family, Rule};
use std::collections::BTreeSet;

mod project;

/// The parts of every page, in order.
const PARTS: &[&str] = &["Why", "How it is computed", "Bad", "Good", "Mend", "Waive"];

/// The part of a page under a heading.
fn part<'a>(page: &'a str, heading: &str) -> &'a str {
    let start = page.find(&format!("\n## {heading}\n")).map_or(page.len(), |at| at + heading.len() + 5);
    let rest = &page[start..];
    rest.find("\n## ").map_or(rest, |end| &rest[..end]).trim()
}

/// The text inside the first fence of that language, where there is one.
fn fenced<'a>(text: &'a str, language: &str) -> Option<&'a str> {
    let start = text.find(&format!("```{language}\n"))? + language.len() + 4;
    let rest = &text[start..];
    Some(&rest[..rest.find("\n```")? + 1])
}

fn letter(family: Family) -> char {
    match family {
        Family::Text => 'T',
        Family::Joins => 'J',
        Family::Plates => 'P',
        Family::Story => 'S',
        Family::Kit => 'K',
        Family::Day => 'D',
        Family::Desk => 'W',
        Family::Care => 'C',
        Family::Log => 'L',
        Family::Plan => 'F',
    }
}

#[test]
fn every_code_and_every_name_is_given_once() {
    let rules = rule::all();
    let codes: BTreeSet<&str> = rules.iter().map(|rule| rule.code.id).collect();
    let names: BTreeSet<&str> = rules.iter().map(|rule| rule.code.name).collect();
    assert_eq!(codes.len(), rules.len(), "a code is given twice");
    assert_eq!(names.len(), rules.len(), "a name is given twice");
    for rule in rules {
        assert!(rule.code.id.starts_with(letter(rule.family)), "{} is in the wrong family", rule.code.id);
        assert!(rule.code.name.chars().all(|c| c.is_ascii_lowercase() || c == '-'), "{}", rule.code.name);
        assert_eq!(rule::find(rule.code.name).map(|found| found.code.id), Some(rule.code.id));
    }
}

#[test]
fn every_code_of_the_reading_stages_has_a_rule() {
    for code in seamster::diagnostic::codes::TEXT {
        assert!(rule::find(code.name).is_some(), "no page for {}", code.name);
    }
}

#[test]
fn every_page_has_the_same_parts_in_the_same_order() {
    let mut wrong = Vec::new();
    for rule in rule::all() {
        let Rule { code, page, .. } = rule;
        if !page.starts_with(&format!("# {}\n\n", code.name)) {
            wrong.push(format!("{}: the title is not its name", code.name));
        }
        let found: Vec<&str> = page.lines().filter_map(|line| line.strip_prefix("## ")).collect();
        if found != PARTS {
            wrong.push(format!("{}: parts are {found:?}", code.name));
        }
        for heading in PARTS {
            if part(page, heading).is_empty() {
                wrong.push(format!("{}: nothing under '{heading}'", code.name));
            }
        }
        if fenced(part(page, "Good"), "seam").is_none() {
            wrong.push(format!("{}: no good example", code.name));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// `src/rule/README.md` leaves out no rule, and every test that it names exists.
#[test]
fn the_table_of_rules_is_whole() {
    let table = include_str!("../src/rule/README.md");
    for rule in rule::all() {
        let row = format!("| {} | {} |", rule.code.id, rule.code.name);
        let listed = matches!(rule.family, Family::Text | Family::Log | Family::Plan)
            && table.contains(rule.code.name);
        assert!(listed || table.contains(&row), "{row} is not in the table");
    }
    let tests = concat!(
        include_str!("failures.rs"),
        include_str!("../src/craft/blur.rs"),
        include_str!("../src/craft/flicker.rs"),
        include_str!("../src/craft/ground.rs"),
        include_str!("../src/craft/join.rs"),
        include_str!("../src/craft/motion.rs"),
        include_str!("../src/craft/power.rs"),
        include_str!("../src/craft/retime.rs"),
        include_str!("../src/craft/screen.rs"),
        include_str!("../src/craft/sun_tests.rs"),
        include_str!("../src/model/kit.rs"),
        include_str!("../src/order/tests/facts.rs"),
        include_str!("../src/packet/cautions.rs"),
        include_str!("../src/rule/care/fatigue.rs"),
        include_str!("../src/rule/day/window.rs"),
        include_str!("../src/rule/kit/flights.rs"),
    );
    let named = table.split('`').skip(1).step_by(2).filter(|word| {
        word.matches('_').count() > 2
            && word.chars().all(|letter| letter.is_ascii_lowercase() || letter == '_')
    });
    for name in named {
        assert!(tests.contains(&format!("fn {name}()")), "there is no test {name}");
    }
}

/// What stands when the text is compiled.
fn diagnose(text: &str, part: &str) -> Vec<Diagnostic> {
    let log = fenced(part, "log");
    let logs: Vec<(&str, &str)> = log.map(|log| ("day.seam", log)).into_iter().collect();
    project::beside(text, &logs, fenced(part, "plan")).diagnostics
}

fn said(diagnostics: &[Diagnostic]) -> String {
    let lines: Vec<String> = diagnostics
        .iter()
        .map(|found| {
            let others = found.others.iter().map(|other| other.text.clone());
            let notes: Vec<String> = found.notes.iter().cloned().chain(others).collect();
            let notes = notes.join(" | ");
            format!("    {} {}: {} [{}] {notes}", found.code.id, found.code.name, found.message, found.label)
        })
        .collect();
    lines.join("\n")
}

#[test]
fn every_bad_example_fires_its_rule() {
    let mut wrong = Vec::new();
    for Rule { code, page, .. } in rule::all() {
        let Some(text) = fenced(part(page, "Bad"), "seam") else {
            // What one sequence file cannot show is shown in another language.
            assert!(part(page, "Bad").contains("```"), "{}: no bad example", code.name);
            continue;
        };
        let found = diagnose(text, part(page, "Bad"));
        if !found.iter().any(|one| one.code == code) {
            wrong.push(format!("{} {}: its bad example gives only\n{}", code.id, code.name, said(&found)));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// What one sequence file cannot show: a recipe whose sound does not wait.
#[test]
fn the_recipe_on_the_page_of_before_lock_fires_it() {
    let page = rule::find("before-lock").expect("there is such a rule").page;
    let recipe = fenced(part(page, "Bad"), "yaml").expect("it shows a recipe");
    let good = fenced(part(page, "Good"), "seam").expect("it shows a sequence");
    let plate = "lasts 8 s }\n";
    assert_eq!(good.matches(plate).count(), 1);
    let text = good.replace(plate, &format!("{plate}  effect tune by scored {{ on cup }}\n"));
    let found = project::with_recipe(&text, recipe).diagnostics;
    assert!(found.iter().any(|one| one.code.name == "before-lock"), "{}", said(&found));
    let own = found.iter().find(|one| one.code.id.starts_with('T'));
    assert!(own.is_none(), "{}", said(&found));
}

#[test]
fn every_good_example_builds_and_does_not_fire_its_rule() {
    let mut wrong = Vec::new();
    for Rule { code, page, .. } in rule::all() {
        let Some(text) = fenced(part(page, "Good"), "seam") else { continue };
        let found = diagnose(text, part(page, "Good"));
        if found.iter().any(|one| one.code == code || one.severity == Severity::Error) {
            wrong.push(format!("{} {}: its good example gives\n{}", code.id, code.name, said(&found)));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
