use super::*;
use crate::diagnostic::codes;
use crate::source::FileId;

fn span(sources: &Sources, file: FileId, words: &str) -> Span {
    let start = sources.file(file).text.find(words).unwrap();
    Span { file, start: start as u32, end: (start + words.len()) as u32 }
}

/// As on a terminal that shows no styles.
fn bare(sources: &Sources, diagnostics: &[Diagnostic]) -> String {
    anstream::adapter::strip_str(&render(sources, diagnostics, 100)).to_string()
}

#[test]
fn a_finding_shows_code_place_words_and_mend() {
    let mut sources = Sources::default();
    let file = sources.add("kit.seam", "# kit\nrig head {\n  hieght 1.66 m\n}\n");
    let at = span(&sources, file, "hieght");
    let finding = Diagnostic::new(codes::UNKNOWN_STATEMENT, at, "no statement 'hieght' in rig")
        .label("not known here")
        .other(span(&sources, file, "rig"), "in this block")
        .help("did you mean 'height'?")
        .note("a rig has no more than nine statements");
    insta::assert_snapshot!(bare(&sources, &[finding]), @r"
    error[T04]: no statement 'hieght' in rig
     --> kit.seam:3:3
      |
    2 | rig head {
      | --- in this block
    3 |   hieght 1.66 m
      |   ^^^^^^ not known here
      |
      = note: a rig has no more than nine statements
      = help: did you mean 'height'?
      = explain: seamster explain unknown-statement
    ");
}

#[test]
fn a_patch_is_shown_as_the_line_that_it_makes() {
    let mut sources = Sources::default();
    let file = sources.add("kit.seam", "rig head {\n  hieght 1.66 m\n}\n");
    let at = span(&sources, file, "hieght");
    let finding = Diagnostic::new(codes::UNKNOWN_STATEMENT, at, "no statement 'hieght' in rig")
        .help("did you mean 'height'?")
        .patch(at, "height");
    insta::assert_snapshot!(bare(&sources, &[finding]), @r"
    error[T04]: no statement 'hieght' in rig
     --> kit.seam:2:3
      |
    2 |   hieght 1.66 m
      |   ^^^^^^
      |
      = explain: seamster explain unknown-statement
    help: did you mean 'height'?
      |
    2 -   hieght 1.66 m
    2 +   height 1.66 m
      |
    ");
}

#[test]
fn far_places_and_other_files_are_shown_apart() {
    let mut sources = Sources::default();
    let kit = sources.add("kit.seam", "prop parcel {}\n");
    let main = sources.add("main.seam", format!("prop parcel {{}}\n{}prop parcel {{}}\n", "\n".repeat(50)));
    let last = sources.file(main).text.rfind("parcel").unwrap() as u32;
    let finding = Diagnostic::new(
        codes::DUPLICATE,
        Span { file: main, start: last, end: last + 6 },
        "a prop 'parcel' twice",
    )
    .other(span(&sources, main, "parcel"), "first here")
    .other(span(&sources, kit, "parcel"), "and here");
    let text = bare(&sources, &[finding]);
    for place in ["main.seam:52:6", "main.seam:1:6", "kit.seam:1:6"] {
        assert!(text.contains(place), "{place} in\n{text}");
    }
}

#[test]
fn no_control_character_reaches_the_terminal() {
    let mut sources = Sources::default();
    let file = sources.add("a\u{1b}[2J.seam", "prop a \"\u{1b}[31mred\u{9b}1m\u{202e}\" é\u{7}\n");
    let at = span(&sources, file, "é");
    let finding = Diagnostic::new(codes::LINE, at, "odd \u{1b}]0;title\u{7} words \u{9b}31m")
        .label("\u{1b}[8m")
        .help("\u{8}\u{8}")
        .note("\u{202e}turned")
        .other(span(&sources, file, "prop"), "\u{1b}c");
    let text = bare(&sources, &[finding]);
    let left: Vec<char> = text.chars().filter(|letter| is_control(*letter)).collect();
    assert_eq!(left, Vec::<char>::new(), "{text}");
    assert!(text.contains("␛[31mred"), "{text}");
}

#[test]
fn a_line_of_any_length_is_shown_in_part_under_its_true_column() {
    let mut sources = Sources::default();
    let file = sources.add("long.seam", format!("{}wrong{}", "é ".repeat(40_000), " x".repeat(40_000)));
    let at = span(&sources, file, "wrong");
    let text = bare(&sources, &[Diagnostic::new(codes::LINE, at, "wrong").label("here")]);
    assert!(text.contains("long.seam:1:80001"), "{text}");
    assert!(text.contains("^^^^^ here"), "{text}");
    assert!(text.len() < 2000, "{}", text.len());
}

#[test]
fn an_end_of_file_and_a_span_of_nothing_can_be_shown() {
    let mut sources = Sources::default();
    for content in ["", "x", "x\n", "é"] {
        let file = sources.add("end.seam", content);
        let end = content.len() as u32;
        let text = bare(
            &sources,
            &[Diagnostic::new(codes::BLOCK, Span { file, start: end, end }, "ends too early")],
        );
        assert!(text.starts_with("error[T03]: ends too early"), "{text}");
    }
}

#[test]
fn of_very_many_findings_the_errors_are_shown() {
    let mut sources = Sources::default();
    let file = sources.add("many.seam", "x\n");
    let at = Span { file, start: 0, end: 1 };
    let mut findings: Vec<Diagnostic> =
        (0..MOST).map(|count| Diagnostic::new(codes::UNUSED, at, format!("unused {count}"))).collect();
    findings.push(Diagnostic::new(codes::LINE, at, "the one error"));
    let text = bare(&sources, &findings);
    assert!(text.contains("the one error") && text.contains("1 more are not shown"), "{text}");
    assert_eq!(summary(&findings), "1 error, 300 notes");
    assert_eq!(summary(&[]), "");
}
