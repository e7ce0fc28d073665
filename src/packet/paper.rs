//! The pages that are printed: every document alone, and the packet as one.
//!
//! In: a packet's views and its rendered documents. Out: the same pages as a
//! browser is to print them, each under the name of its PDF. The packet as one
//! page keeps the page format and the running head of every document, and its
//! links lead inside it.

use super::pictures::graph;
use super::{Document, Packet, escape};
use std::collections::BTreeMap;

/// The whole packet as one PDF.
pub const WHOLE: &str = "packet.pdf";

/// A page to print.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Printed {
    /// Name of the PDF in the packet's folder: `plates/leap-swoop.pdf`.
    pub path: String,
    /// The page.
    pub html: String,
}

/// Name of a day's page for a phone, without its ending.
pub(crate) fn phone(day: usize) -> String {
    format!("phone-{day}")
}

/// Every page to print: the whole packet first, then each document.
pub fn pages(packet: &Packet, documents: &[Document]) -> Vec<Printed> {
    // What is tapped is nothing to print.
    let tapped: Vec<String> =
        packet.call_sheets.iter().map(|sheet| format!("{}.html", phone(sheet.day))).collect();
    let mut single: BTreeMap<&str, &str> = BTreeMap::new();
    for document in documents.iter().filter(|document| !tapped.contains(&document.path)) {
        if let (Some(file), Ok(html)) =
            (document.path.strip_suffix(".html"), std::str::from_utf8(&document.bytes))
        {
            single.insert(file, html);
        }
    }
    let mut printed = vec![Printed { path: WHOLE.to_owned(), html: whole(packet, &single) }];
    printed.extend(
        single.iter().map(|(file, html)| Printed { path: format!("{file}.pdf"), html: (*html).to_owned() }),
    );
    printed
}

/// Documents as they are read through. The bundles of cards are left out, since
/// each card stands there itself.
fn order(packet: &Packet) -> Vec<&str> {
    let mut files = vec!["index"];
    for sheet in &packet.call_sheets {
        files.push(&sheet.file);
        files.extend(packet.logs.iter().filter(|log| log.day == sheet.day).map(|log| log.file.as_str()));
    }
    files.extend(packet.plates.iter().map(|card| card.file.as_str()));
    files.extend(packet.hand_overs.iter().map(|card| card.file.as_str()));
    files.extend(packet.screens.iter().map(|card| card.file.as_str()));
    files.extend(["ingest", "passes"]);
    files.extend(packet.handoffs.iter().map(|note| note.file.as_str()));
    files.extend(["desk-plan", graph::FILE]);
    files.extend(packet.rules.iter().map(|page| page.file.as_str()));
    files
}

fn whole(packet: &Packet, single: &BTreeMap<&str, &str>) -> String {
    let held: Vec<(&str, &str)> = order(packet)
        .into_iter()
        .filter_map(|file| single.get_key_value(file).map(|(k, v)| (*k, *v)))
        .collect();
    let numbers: BTreeMap<&str, usize> = held.iter().enumerate().map(|(at, (file, _))| (*file, at)).collect();
    let mut style = held.first().map(|(_, html)| shared_style(html).to_owned()).unwrap_or_default();
    let mut body = String::new();
    for (at, (file, html)) in held.iter().enumerate() {
        style.push_str(&page_rule(html).replacen("@page", &format!("@page d{at}"), 1));
        style.push('\n');
        body.push_str(&format!("<div id=\"d{at}\" style=\"page: d{at}\">\n"));
        body.push_str(&renamed(inside(html), at, file, &numbers));
        body.push_str("</div>\n");
    }
    let mut title = String::new();
    // A string takes everything.
    let _ = escape::html(&packet.head.title, &mut title);
    format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<title>{title}</title>\n\
         <style>\n{style}</style>\n</head>\n<body>\n{body}</body>\n</html>\n"
    )
}

fn between<'a>(text: &'a str, from: &str, to: &str) -> &'a str {
    let Some((_, rest)) = text.split_once(from) else { return "" };
    rest.split_once(to).map_or(rest, |(inside, _)| inside)
}

fn inside(html: &str) -> &str {
    let Some((_, rest)) = html.split_once("<body>") else { return html };
    rest.rsplit_once("</body>").map_or(rest, |(inside, _)| inside)
}

/// The style sheet of a document before its page format.
fn shared_style(html: &str) -> &str {
    let style = between(html, "<style>", "</style>");
    style.split_once("@page").map_or(style, |(before, _)| before)
}

/// The page format of a document; empty where a template of the project gives none.
fn page_rule(html: &str) -> &str {
    let style = between(html, "<style>", "</style>");
    let Some(rule) = style.find("@page").and_then(|at| style.get(at..)) else { return "" };
    let mut depth = 0_usize;
    for (at, letter) in rule.char_indices() {
        match letter {
            '{' => depth += 1,
            '}' if depth == 1 => return rule.get(..=at).unwrap_or_default(),
            '}' => depth = depth.saturating_sub(1),
            _ => {}
        }
    }
    ""
}

/// Attributes that name one place of the document.
const ONE: &[&str] = &["id", "for", "aria-controls"];
/// Attributes that name several, parted by spaces.
const SEVERAL: &[&str] = &["aria-labelledby", "aria-describedby", "headers"];

/// A document's text with its names made its own, and its links leading to the
/// other documents of the whole. Text of the sequence holds no quotation mark
/// that is not escaped, so that only real attributes are met.
fn renamed(html: &str, at: usize, file: &str, numbers: &BTreeMap<&str, usize>) -> String {
    let mut out = String::new();
    let mut rest = html;
    while let Some((before, value_on)) = rest.split_once("=\"") {
        let Some((value, after)) = value_on.split_once('"') else { break };
        let name = before.rsplit(|letter: char| letter.is_whitespace() || letter == '<').next().unwrap_or("");
        out.push_str(before);
        out.push_str("=\"");
        if ONE.contains(&name) {
            out.push_str(&format!("d{at}-{value}"));
        } else if SEVERAL.contains(&name) {
            let own: Vec<String> = value.split_whitespace().map(|one| format!("d{at}-{one}")).collect();
            out.push_str(&own.join(" "));
        } else if name == "href" || name == "xlink:href" {
            out.push_str(&link(value, at, file, numbers));
        } else {
            out.push_str(&value.replace("url(#", &format!("url(#d{at}-")));
        }
        out.push('"');
        rest = after;
    }
    out.push_str(rest);
    out
}

/// Where a link of a document leads in the whole.
fn link(to: &str, at: usize, file: &str, numbers: &BTreeMap<&str, usize>) -> String {
    if let Some(place) = to.strip_prefix('#') {
        return format!("#d{at}-{place}");
    }
    let (page, place) = to.split_once('#').map_or((to, None), |(page, place)| (page, Some(place)));
    let folder = file.rsplit_once('/').map_or("", |(folder, _)| folder);
    let path = match page.strip_prefix("../") {
        Some(path) => path.to_owned(),
        None if folder.is_empty() => page.to_owned(),
        None => format!("{folder}/{page}"),
    };
    match path.strip_suffix(".html").and_then(|path| numbers.get(path)) {
        Some(number) => place.map_or(format!("#d{number}"), |place| format!("#d{number}-{place}")),
        None => to.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_become_a_documents_own_and_links_lead_inside() {
        let numbers = BTreeMap::from([("index", 0), ("plates/leap", 3)]);
        let html = r##"<a href="../index.html">a</a><a href="#x">b</a><h2 id="x" class="y"></h2>
            <section aria-labelledby="x z"></section><a href="leap.html#q">c</a>
            <a href="geo:38.7,-9.1">d</a><path fill="url(#tint)"/><p>id=&quot;x&quot;</p>"##;
        let own = renamed(html, 3, "plates/leap", &numbers);
        for expected in [
            "href=\"#d0\"",
            "href=\"#d3-x\"",
            "id=\"d3-x\" class=\"y\"",
            "=\"d3-x d3-z\"",
            "href=\"#d3-q\"",
            "geo:38.7,-9.1",
            "url(#d3-tint)",
            "<p>id=&quot;x&quot;</p>",
        ] {
            assert!(own.contains(expected), "{expected} in {own}");
        }
    }

    #[test]
    fn a_page_format_is_taken_with_everything_in_it() {
        let html =
            "<style>p { a: b }\n@page {\n size: A; @top { content: \"x\" }\n}\n</style><body>hi</body>";
        assert_eq!(page_rule(html), "@page {\n size: A; @top { content: \"x\" }\n}");
        assert_eq!(shared_style(html), "p { a: b }\n");
        assert_eq!(inside(html), "hi");
    }
}
