//! Comparisons laid out as text, pages and JSON.
//!
//! In: [`Comparison`], or the [`Page`] of one person. Out: a text of plain lines,
//! without colour, in which what comes from the sequence may still hold control
//! characters; documents in the frame of the packet's; or the value itself.

use super::sheet;
use super::{Comparison, Page};
use crate::packet::views::Head;
use crate::packet::{Document, Press, RenderError, Sheet};
use serde::Serialize;

/// The comparison, or a person's page of it, as text.
pub fn text(comparison: &Comparison, page: Option<&Page>) -> String {
    let sheet = of(comparison, page, false);
    let mut lines: Vec<String> = page.map(|_| sheet.title).into_iter().collect();
    lines.extend(sheet.lead);
    for section in sheet.sections {
        lines.push(String::new());
        lines.push(section.title);
        for line in section.lines {
            lines.push(format!("  {}", line.text));
            lines.extend(line.inside.into_iter().map(|inside| format!("      {inside}")));
        }
    }
    lines.push(String::new());
    lines.join("\n")
}

/// The comparison and every person's page, as HTML and as Markdown, and all of it
/// as JSON; sorted by path. `head` is that of the new packet, `overrides` are the
/// project's own templates by name.
///
/// # Errors
/// When a template of the project is wrong.
pub fn documents(
    comparison: &Comparison,
    head: &Head,
    overrides: &[(String, String)],
) -> Result<Vec<Document>, RenderError> {
    let mut press = Press::new(head, overrides)?;
    let sheet = of(comparison, None, true);
    press.single("comparison", "index", &sheet.title, &sheet)?;
    for page in &comparison.people {
        let sheet = of(comparison, Some(page), true);
        press.single("comparison", &page.file, &sheet.title, &sheet)?;
    }
    press.put("comparison.json", json(comparison).into_bytes());
    Ok(press.finish())
}

/// The comparison alone, or one person's page of it, as HTML and as Markdown, with
/// links to no other page.
///
/// # Errors
/// When a template of the project is wrong.
pub fn alone(
    comparison: &Comparison,
    page: Option<&Page>,
    head: &Head,
    overrides: &[(String, String)],
) -> Result<Vec<Document>, RenderError> {
    let mut press = Press::new(head, overrides)?;
    let sheet = of(comparison, page, false);
    let file = page.map_or("index", |page| page.file.as_str());
    press.single("comparison", file, &sheet.title, &sheet)?;
    Ok(press.finish())
}

/// The value as indented JSON, ending in a line end.
pub fn json(value: &impl Serialize) -> String {
    // Comparisons hold strings and booleans under fixed names.
    let mut text = serde_json::to_string_pretty(value).expect("comparisons always serialise");
    text.push('\n');
    text
}

fn of(comparison: &Comparison, page: Option<&Page>, linked: bool) -> Sheet {
    match page {
        Some(page) => sheet::person(comparison, page),
        None => sheet::whole(comparison, linked),
    }
}
