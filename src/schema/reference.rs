//! The reference page of the language, made from the schema that checks it.

use super::{LOG, Part, ROOT, Spec, Times};
use std::fmt::Write;

/// The whole page, Markdown.
pub fn page() -> String {
    let mut out = String::from(
        "# The language\n\nOne fact a line: a word, its values, perhaps a block in braces. `#` starts a comment; \
         `;` may end a statement inside a one-line block; a list may go on in the next line after a comma.\n\n\
         ## In any block\n\n",
    );
    table(super::blocks::COMMON, &mut out);
    out.push_str("\n## At the top level\n\n");
    table(ROOT, &mut out);
    sections(ROOT, "", &mut out);
    out.push_str(
        "\n## The day log\n\nWhat was really captured, in a file of its own: any `.seam` file in the folder `logs/` \
         beside the sequence. Several people may each keep one.\n\n",
    );
    table(LOG, &mut out);
    sections(LOG, "", &mut out);
    out
}

/// Every statement by that word, with the blocks it may stand in, as text for a terminal.
pub fn words(word: &str) -> Option<String> {
    let mut out = String::new();
    collect(super::blocks::COMMON, "any block", word, &mut out);
    collect(ROOT, "the top level", word, &mut out);
    collect(LOG, "a file of day logs", word, &mut out);
    (!out.is_empty()).then_some(out)
}

/// Every word that begins a statement somewhere, sorted, each once.
pub fn every_word() -> Vec<&'static str> {
    fn gather(specs: &'static [Spec], words: &mut Vec<&'static str>) {
        for spec in specs {
            words.push(spec.word);
            gather(spec.body.unwrap_or(&[]), words);
        }
    }
    let mut words = Vec::new();
    gather(super::blocks::COMMON, &mut words);
    gather(ROOT, &mut words);
    gather(LOG, &mut words);
    words.sort_unstable();
    words.dedup();
    words
}

fn collect(specs: &'static [Spec], owner: &str, word: &str, out: &mut String) {
    for spec in specs {
        if spec.word == word {
            let _ = writeln!(
                out,
                "{} in {owner}{}\n\n  {}\n\n  {}\n",
                spec.word,
                times(spec.times),
                spec.doc,
                spec.example
            );
            if let Some(body) = spec.body.filter(|body| !body.is_empty()) {
                let words = body.iter().map(|spec| spec.word).collect::<Vec<_>>().join(", ");
                let _ = writeln!(out, "  in its block: {words}\n");
            }
        }
        collect(spec.body.unwrap_or(&[]), &format!("'{}'", spec.word), word, out);
    }
}

fn times(times: Times) -> &'static str {
    match times {
        Times::Optional => "",
        Times::Required => " (must be there)",
        Times::Many => " (as often as you like)",
    }
}

fn sections(specs: &'static [Spec], path: &str, out: &mut String) {
    for spec in specs {
        let Some(body) = spec.body.filter(|body| !body.is_empty()) else { continue };
        let path = if path.is_empty() { spec.word.to_owned() } else { format!("{path} / {}", spec.word) };
        let _ = write!(out, "\n## {path}\n\n{}\n\n    {}\n\n", spec.doc, spec.example);
        table(body, out);
        sections(body, &path, out);
    }
}

fn table(specs: &'static [Spec], out: &mut String) {
    out.push_str("| statement | values | how often | meaning | example |\n|---|---|---|---|---|\n");
    for spec in specs {
        let often = match spec.times {
            Times::Optional => "once at most",
            Times::Required => "once",
            Times::Many => "any",
        };
        let mut values = spec.parts.iter().map(shape).collect::<Vec<_>>().join(" ");
        if spec.title {
            values.push_str(" [\"title\"]");
        }
        if spec.body.is_some() {
            values.push_str(" { … }");
        }
        let values = values.replace('|', "\\|");
        let _ = writeln!(
            out,
            "| `{}` | {} | {often} | {} | `{}` |",
            spec.word,
            values.trim(),
            spec.doc,
            spec.example
        );
    }
}

fn shape(part: &Part) -> String {
    let all = |parts: &[Part]| parts.iter().map(shape).collect::<Vec<_>>().join(" ");
    match part {
        Part::Word(word) => format!("`{word}`"),
        Part::Name(kind) => format!("*{kind}*"),
        Part::Choice(words) => words.iter().map(|word| format!("`{word}`")).collect::<Vec<_>>().join(" or "),
        Part::Quantity(dimension, ..) => {
            format!("*{}*", dimension.word().trim_start_matches("a ").trim_start_matches("an "))
        }
        Part::Count(..) => "*count*".into(),
        Part::Text => "*text*".into(),
        Part::Date => "*date*".into(),
        Part::Clock => "*clock*".into(),
        Part::Size => "*width*x*height*".into(),
        Part::Position => "*latitude*, *longitude*".into(),
        Part::Arrow => "`->`".into(),
        Part::Comma => ",".into(),
        Part::Light => "*light*".into(),
        Part::Shutter => "*time span* or *angle*".into(),
        Part::Maybe(parts) => format!("[{}]", all(parts)),
        Part::List(parts) => format!("{}, …", all(parts)),
        Part::Range(part, alone) => {
            let end = shape(part);
            if *alone { format!("{end}[..{end}]") } else { format!("{end}..{end}") }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::{ROOT, Spec, check};
    use crate::diagnostic::codes;
    use crate::source::Sources;

    fn try_examples(specs: &'static [Spec], wrong: &mut Vec<String>) {
        for spec in specs {
            let mut sources = Sources::default();
            let file = sources.add("example.seam", spec.example);
            let mut found = Vec::new();
            let tree = crate::syntax::parse(&sources, file, &mut found);
            let facts = check(tree.statements(), specs, &mut found);
            // An example may be a part of a block; what is missing in it is not its fault.
            found.retain(|one| one.code != codes::MISSING);
            if !found.is_empty() || facts.len() != 1 || !spec.example.starts_with(spec.word) {
                wrong.push(format!("{}: {found:?}", spec.example));
            }
            try_examples(spec.body.unwrap_or(&[]), wrong);
        }
    }

    #[test]
    fn every_example_of_the_reference_is_what_the_schema_accepts() {
        let mut wrong = Vec::new();
        try_examples(ROOT, &mut wrong);
        try_examples(super::super::blocks::COMMON, &mut wrong);
        try_examples(super::super::LOG, &mut wrong);
        assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    }

    #[test]
    fn the_reference_names_every_statement() {
        let page = super::page();
        for word in super::super::every_word() {
            assert!(page.contains(&format!("`{word}`")), "{word} is not on the page");
        }
    }
}
