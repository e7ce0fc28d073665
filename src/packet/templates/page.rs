//! The reference page of templates: which there are, and the data that each gets,
//! made from the views' own types.

use super::{DOCUMENTS, PIECES};
use crate::packet::exchange::json::{described, of};
use crate::packet::pages::{CardSet, IngestList, Page, PassList, PhonePage, RuleText, Sheet};
use crate::packet::views::Head;
use crate::packet::views::call_sheet::CallSheet;
use crate::packet::views::cover::Cover;
use crate::packet::views::dependencies::Dependencies;
use crate::packet::views::desk::DeskView;
use crate::packet::views::footage::DayLog;
use crate::packet::views::hand_over::HandOver;
use crate::packet::views::handoff::Handoff;
use crate::packet::views::plate_card::PlateCard;
use crate::packet::views::screen_card::ScreenCard;
use schemars::JsonSchema;
use serde_json::Value;
use std::fmt::Write;

/// The data of every kind of document, each under its template's name.
#[derive(JsonSchema)]
#[allow(dead_code, reason = "only described")]
struct Views<'a> {
    page: Page,
    head: Head,
    call_sheet: CallSheet,
    cards: CardSet<'a>,
    comparison: Sheet,
    cover: Cover,
    day_log: DayLog,
    dependencies: Dependencies,
    desk_plan: DeskView,
    hand_over: HandOver,
    handoff: Handoff,
    ingest: IngestList<'a>,
    passes: PassList<'a>,
    phone: PhonePage<'a>,
    plate: PlateCard,
    rule: RuleText<'a>,
    screen: ScreenCard,
}

const WORDS: &str = include_str!("page.md");

/// The page, Markdown.
pub(crate) fn page() -> String {
    let schema = described::<Views<'_>>();
    let mut out = String::from(WORDS);
    out.push_str("\n## Which there are\n\n| template | makes | `view` is |\n|---|---|---|\n");
    for (name, makes) in DOCUMENTS {
        let view = schema.get("properties").and_then(|all| all.get(name)).and_then(of).unwrap_or_default();
        let endings = ["html", "md"].map(|ending| format!("{name}.{ending}"));
        let files: Vec<_> = endings.iter().filter(|file| super::find(file).is_some()).collect();
        let files: Vec<_> = files.iter().map(|file| format!("`{file}`")).collect();
        let _ = writeln!(out, "| {} | {makes} | {} |", files.join(", "), linked(view));
    }
    for (name, makes) in PIECES {
        let _ = writeln!(out, "| `{name}` | {makes} | |");
    }
    let every = ["page", "head"].map(|name| {
        let kind = schema.get("properties").and_then(|all| all.get(name)).and_then(of).unwrap_or_default();
        format!("`{name}` ({})", linked(kind))
    });
    let _ = write!(out, "\nEvery page gets {}, and its own `view`.\n\n## The data\n", every.join(" and "));
    for (name, definition) in schema.get("$defs").and_then(Value::as_object).into_iter().flatten() {
        definition_page(&mut out, name, definition);
    }
    out
}

fn linked(name: &str) -> String {
    format!("[{name}](#{})", name.to_lowercase())
}

fn words(schema: &Value) -> &str {
    schema.get("description").and_then(Value::as_str).unwrap_or_default()
}

fn definition_page(out: &mut String, name: &str, definition: &Value) {
    let _ = write!(out, "\n### {name}\n\n{}\n\n", words(definition));
    if definition.get("properties").is_some() {
        fields(out, "", definition);
    } else if let Some(choices) = definition.get("oneOf").and_then(Value::as_array) {
        out.push_str("One of these:\n\n");
        for choice in choices {
            match choice.get("const").and_then(Value::as_str) {
                Some(word) => {
                    let _ = writeln!(out, "- `{word}`: {}", words(choice));
                }
                None => {
                    let _ = writeln!(out, "- {}", words(choice));
                    fields(out, "  ", choice);
                }
            }
        }
    } else {
        let _ = writeln!(out, "It is {}.", kind(definition));
    }
}

fn fields(out: &mut String, indent: &str, definition: &Value) {
    for (name, field) in definition.get("properties").and_then(Value::as_object).into_iter().flatten() {
        let _ = match field.get("const") {
            Some(_) => writeln!(out, "{indent}- `{name}`: {}", kind(field)),
            None => writeln!(out, "{indent}- `{name}`, {}: {}", kind(field), words(field)),
        };
    }
}

/// A type in words.
fn kind(schema: &Value) -> String {
    if let Some(name) = of(schema) {
        return linked(name);
    }
    if let Some(word) = schema.get("const").and_then(Value::as_str) {
        return format!("always `{word}`");
    }
    if let Some(choices) = schema.get("anyOf").and_then(Value::as_array) {
        let some = choices.iter().find(|choice| of(choice).is_some());
        return some.map_or("anything".to_owned(), |some| format!("{} or nothing", kind(some)));
    }
    match schema.get("type").and_then(Value::as_str) {
        Some("string") => "text".to_owned(),
        Some("integer") => "a whole number".to_owned(),
        Some("boolean") => "yes or no".to_owned(),
        Some("array") => match schema.get("items") {
            Some(items) => format!("a list of {}", kind(items)),
            None => "a list".to_owned(),
        },
        Some("object") => "a block".to_owned(),
        _ => "anything".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::packet::templates::TEMPLATES;

    /// Every built-in template has its line, and no line is without one; what is
    /// tapped has no Markdown.
    #[test]
    fn every_template_is_on_the_page() {
        let documents = DOCUMENTS
            .iter()
            .flat_map(|(name, _)| [format!("{name}.html"), format!("{name}.md")])
            .filter(|file| file != "phone.md");
        let mut told: Vec<String> =
            documents.chain(PIECES.iter().map(|(name, _)| (*name).to_owned())).collect();
        told.sort();
        let mut known: Vec<&str> = TEMPLATES.iter().map(|(name, _)| *name).collect();
        known.sort_unstable();
        assert_eq!(told, known);
    }

    /// Every kind that is spoken of is explained, with words to every field.
    #[test]
    fn nothing_on_the_page_is_left_unexplained() {
        let page = page();
        for link in page.split("](#").skip(1).map(|rest| rest.split(')').next().unwrap()) {
            let heading = page
                .lines()
                .any(|line| line.strip_prefix("### ").is_some_and(|name| name.to_lowercase() == link));
            assert!(heading, "{link}");
        }
        for line in page.lines().filter(|line| line.trim_start().starts_with("- `")) {
            assert!(line.split_once(": ").is_some_and(|(_, words)| words.len() > 3), "{line}");
        }
        assert!(!page.contains("anything") && !page.contains("[]("), "a kind without words");
    }
}
