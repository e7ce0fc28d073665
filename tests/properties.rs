//! What must hold for any text at all: no stage panics, every finding can be
//! shown, nothing that is no number reaches a document, and formatting settles
//! and keeps the meaning.

#![allow(
    clippy::indexing_slicing,
    clippy::panic,
    clippy::unwrap_used,
    reason = "a test may fail by any of these"
)]
#![allow(clippy::disallowed_methods, reason = "how many cases are tried is asked of the environment")]

use proptest::prelude::*;
use proptest::sample::select;
use seamster::diagnostic::{Diagnostic, json, text};
use seamster::source::Sources;
use seamster::syntax::{self, Item, Tree, Value};
use seamster::{Compiled, Reader, compile, load};

/// So many cases; with `SEAMSTER_CASES=20` in the environment twenty times as many.
fn cases(count: u32) -> ProptestConfig {
    let times = std::env::var("SEAMSTER_CASES").ok().and_then(|times| times.parse().ok()).unwrap_or(1);
    ProptestConfig {
        cases: count.saturating_mul(times),
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

/// Real texts to begin with.
const TEXTS: &[&str] = &[
    include_str!("../templates/starter/sequence.seam"),
    include_str!("../examples/table-top/table-top.seam"),
    include_str!("../examples/one-look/one-look.seam"),
    include_str!("../examples/night-parcel/night-parcel.seam"),
];
const KITS: &[&str] = &[
    include_str!("../templates/starter/kit.seam"),
    "",
    include_str!("../examples/one-look/kit.seam"),
    include_str!("../examples/night-parcel/kit.seam"),
];
const PEOPLE: &str = include_str!("../examples/night-parcel/people.seam");

/// A project in memory: every file that is not the first one is the same kit.
struct Memory {
    first: Vec<u8>,
    kit: &'static str,
}

impl Reader for Memory {
    fn read(&mut self, path: &str) -> Result<Vec<u8>, String> {
        match path {
            "first.seam" => Ok(self.first.clone()),
            "kit.seam" => Ok(self.kit.as_bytes().to_vec()),
            "people.seam" => Ok(PEOPLE.as_bytes().to_vec()),
            "recipes/own.yaml" => Ok(self.first.clone()),
            _ => Err("there is no such file".into()),
        }
    }

    fn recipes(&mut self) -> Result<Vec<String>, String> {
        Ok(if self.kit.is_empty() { vec!["recipes/own.yaml".into()] } else { Vec::new() })
    }
}

/// Takes a text through every stage and shows what was found, in every form.
fn run(first: &[u8], kit: &'static str) -> Compiled {
    let mut memory = Memory { first: first.to_vec(), kit };
    let compiled = compile(load(&mut memory, "first.seam").unwrap(), &mut |_| {});
    let shown = text::render(&compiled.sources, &compiled.diagnostics, 100);
    assert!(compiled.diagnostics.is_empty() || !shown.is_empty());
    serde_json::to_string(&json::findings(&compiled.sources, &compiled.diagnostics)).unwrap();
    for diagnostic in &compiled.diagnostics {
        sane(&compiled.sources, diagnostic);
    }
    compiled
}

/// A finding points into its file, at letters, and says something.
fn sane(sources: &Sources, diagnostic: &Diagnostic) {
    assert!(!diagnostic.message.is_empty());
    let others = diagnostic.others.iter().map(|other| other.span);
    for span in diagnostic.span.into_iter().chain(others) {
        let text = &sources.file(span.file).text;
        assert!(text.get(span.start as usize..span.end as usize).is_some(), "{diagnostic:?}");
    }
    for words in [&diagnostic.message, &diagnostic.label] {
        assert!(!holds_no_number(words), "{diagnostic:?}");
    }
}

/// Whether a text prints a number that is none.
fn holds_no_number(text: &str) -> bool {
    text.split(|letter: char| !letter.is_ascii_alphanumeric())
        .any(|word| matches!(word, "NaN" | "inf" | "nan"))
}

/// Renders a draft, and looks for numbers that are none.
fn print(compiled: &Compiled) {
    for document in compiled.documents(true, &[]).unwrap() {
        let text = String::from_utf8(document.bytes).unwrap();
        assert!(!holds_no_number(&text), "{}", document.path);
    }
}

/// Everything that a tree means, in order; comments too, positions not.
fn meaning(tree: &Tree) -> Vec<String> {
    fn value(value: &Value, out: &mut Vec<String>) {
        match value {
            Value::Number { value, unit } => {
                out.push(format!("{} {:?}", value.to_bits(), unit.as_ref().map(|unit| &unit.value)));
            }
            Value::Comma(comments) => {
                out.push(",".into());
                out.extend(comments.iter().flatten().cloned());
            }
            other => out.push(format!("{other:?}")),
        }
    }
    fn items(list: &[Item], out: &mut Vec<String>) {
        for item in list {
            match item {
                Item::Blank => {}
                Item::Comment { text, .. } => out.push(text.clone()),
                Item::Statement(statement) => {
                    out.push(format!("word {}", statement.word.value));
                    statement.values.iter().for_each(|one| value(&one.value, out));
                    if let Some(block) = &statement.block {
                        out.push("{".into());
                        items(&block.items, out);
                        out.push("}".into());
                    }
                }
            }
        }
    }
    let mut out = Vec::new();
    items(&tree.items, &mut out);
    out
}

/// Formats a text; `None` where it has a line of the wrong shape.
fn laid_out(content: &str) -> Option<(String, Vec<String>)> {
    let mut sources = Sources::default();
    let file = sources.add("first.seam", content);
    let mut diagnostics = Vec::new();
    let tree = syntax::parse(&sources, file, &mut diagnostics);
    diagnostics.is_empty().then(|| (syntax::format(&sources, &tree), meaning(&tree)))
}

fn formatting_settles(content: &str) {
    let Some((once, meant)) = laid_out(content) else { return };
    let (twice, still) =
        laid_out(&once).unwrap_or_else(|| panic!("formatting broke\n{content}\ninto\n{once}"));
    assert_eq!(twice, once, "formatting does not settle for\n{content}");
    assert_eq!(still, meant, "formatting changed\n{content}\ninto\n{once}");
}

/// Words and signs of the language, and some that are not.
fn token() -> impl Strategy<Value = String> {
    let words = seamster::schema::every_word();
    let signs = [
        "{",
        "}",
        ";",
        "\n",
        ",",
        ",\n",
        "->",
        "..",
        "+",
        "-",
        "x",
        "#",
        "\"",
        "\"title\"",
        "\"\\\"\"",
        "at",
        "to",
        "by",
        "from",
        "because",
        "heading",
        "per",
        "yes",
        "no",
        "locked",
        "golden morning",
        "sunrise",
        "1/50 s",
        "180 deg",
        "1920x1080",
        "25 fps",
        "38.7, -9.1",
        "05:30",
        "24:00",
        "06:00..10:00",
        "2027-05-14",
        "2027-02-30",
        "9999-12-31",
        "70%..300%",
        "-5 C",
        "0 s",
        "40 s",
        "12 frames",
        "1 h",
        "3 m",
        "0 m",
        "-3 m",
        "2 kg",
        "3.1 m/s",
        "0 fps",
        "1/0 s",
        "99999999999999999999999999 s",
        "0.0000000000001 m",
        "stitch",
        "whip",
        "carried_objects",
        "retime",
        "fall",
        "keyed_hands",
        "a",
        "b",
        "a.b",
        "é",
        "\u{1b}",
        "\t",
        "\r\n",
        "❄",
    ];
    prop_oneof![
        2 => select(words).prop_map(str::to_owned),
        3 => select(signs.to_vec()).prop_map(str::to_owned),
        1 => "[a-z_]{1,8}",
    ]
}

/// One change to a real text, as a slip of the hand makes it.
#[derive(Debug, Clone)]
enum Slip {
    Drop(usize),
    Twice(usize),
    Swap(usize, usize),
    Token(usize, usize, String),
    Number(usize, String),
    Cut(usize),
}

fn slip() -> impl Strategy<Value = Slip> {
    let line = 0usize..400;
    let number = select(vec![
        "0",
        "-1",
        "1",
        "0.0001",
        "359.9",
        "1000000",
        "1e9",
        "99999999999999999999",
        "12",
        "0/0",
        "1/0",
        "24",
        "61",
    ]);
    prop_oneof![
        line.clone().prop_map(Slip::Drop),
        line.clone().prop_map(Slip::Twice),
        (line.clone(), 0usize..400).prop_map(|(a, b)| Slip::Swap(a, b)),
        (line.clone(), 0usize..8, token()).prop_map(|(line, word, token)| Slip::Token(line, word, token)),
        (0usize..300, number).prop_map(|(at, number)| Slip::Number(at, number.to_owned())),
        (0usize..20_000).prop_map(Slip::Cut),
    ]
}

fn slipped(content: &str, slips: &[Slip]) -> String {
    let mut lines: Vec<String> = content.lines().map(str::to_owned).collect();
    for slip in slips {
        let count = lines.len().max(1);
        match slip {
            Slip::Drop(at) if !lines.is_empty() => drop(lines.remove(at % count)),
            Slip::Twice(at) if !lines.is_empty() => lines.insert(at % count, lines[at % count].clone()),
            Slip::Swap(a, b) if !lines.is_empty() => lines.swap(a % count, b % count),
            Slip::Token(line, word, token) if !lines.is_empty() => {
                let mut words: Vec<String> = lines[line % count].split(' ').map(str::to_owned).collect();
                let at = word % words.len();
                words[at] = token.clone();
                lines[line % count] = words.join(" ");
            }
            Slip::Number(at, number) => {
                let text = lines.join("\n");
                lines = renumbered(&text, *at, number).lines().map(str::to_owned).collect();
            }
            Slip::Cut(at) => {
                let text = lines.join("\n");
                let cut: String = text.chars().take(text.chars().count().saturating_sub(at % 2000)).collect();
                lines = cut.lines().map(str::to_owned).collect();
            }
            _ => {}
        }
    }
    lines.join("\n")
}

/// The text with its n-th number replaced.
fn renumbered(text: &str, at: usize, number: &str) -> String {
    let mut out = String::new();
    let mut count = 0;
    let mut within = false;
    for letter in text.chars() {
        if letter.is_ascii_digit() {
            if !within {
                count += 1;
                if count == at + 1 {
                    out.push_str(number);
                }
            }
            within = true;
            if count == at + 1 {
                continue;
            }
        } else {
            within = false;
        }
        out.push(letter);
    }
    out
}

proptest! {
    #![proptest_config(cases(256))]

    #[test]
    fn any_bytes_are_read(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        run(&bytes, "");
    }

    #[test]
    fn any_text_is_read_and_formats(content in "\\PC{0,200}") {
        run(content.as_bytes(), "");
        formatting_settles(&content);
    }

    #[test]
    fn any_soup_of_words_is_read_and_formats(words in proptest::collection::vec(token(), 0..120)) {
        let content = words.join(" ");
        run(content.as_bytes(), KITS[0]);
        formatting_settles(&content);
    }
}

proptest! {
    #![proptest_config(cases(64))]

    #[test]
    fn a_small_sequence_with_any_slips_is_read_formatted_and_printed(slips in proptest::collection::vec(slip(), 1..5)) {
        let content = slipped(TEXTS[0], &slips);
        formatting_settles(&content);
        print(&run(content.as_bytes(), KITS[0]));
    }
}

proptest! {
    #![proptest_config(cases(24))]

    #[test]
    fn an_example_with_any_slips_is_read_formatted_and_printed(
        which in 1usize..4,
        slips in proptest::collection::vec(slip(), 1..4),
    ) {
        let content = slipped(TEXTS[which], &slips);
        formatting_settles(&content);
        print(&run(content.as_bytes(), KITS[which]));
    }

    #[test]
    fn a_kit_with_any_slips_formats(which in 0usize..4, slips in proptest::collection::vec(slip(), 0..6)) {
        formatting_settles(&slipped(KITS[which], &slips));
        formatting_settles(&slipped(TEXTS[which], &slips));
    }
}

#[test]
fn every_example_formats_and_keeps_its_meaning() {
    for content in TEXTS.iter().chain(KITS).chain([&PEOPLE]) {
        assert!(laid_out(content).is_some());
        formatting_settles(content);
    }
}

#[test]
fn every_number_of_a_small_sequence_may_be_anything() {
    for number in ["0", "99999999999", "-3", "0.00001"] {
        for at in 0..40 {
            print(&run(renumbered(TEXTS[0], at, number).as_bytes(), KITS[0]));
        }
    }
}
