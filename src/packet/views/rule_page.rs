//! The page of each rule that the packet speaks of.

use crate::rule;
use pulldown_cmark::{Event, Options, Parser, Tag, TagEnd};
use serde::Serialize;
use std::collections::BTreeSet;

/// A rule's page.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct RulePage {
    /// Name of the document without ending.
    pub file: String,
    /// `J01`.
    pub code: String,
    /// `join-offset`.
    pub name: String,
    /// `warning`, unless the sequence says otherwise.
    pub severity: String,
    /// The page, Markdown, as `explain` prints it.
    pub markdown: String,
    /// The page as HTML: headings, paragraphs, lists, tables, code; no links, no raw HTML.
    #[serde(skip)]
    pub html: String,
}

/// The pages of the rules whose documents are named, by code.
pub(crate) fn pages(files: &BTreeSet<String>) -> Vec<RulePage> {
    rule::all()
        .into_iter()
        .map(|rule| (super::shape::rule_file(rule.code.id, rule.code.name), rule))
        .filter(|(file, _)| files.contains(file))
        .map(|(file, rule)| RulePage {
            file,
            code: rule.code.id.to_owned(),
            name: rule.code.name.to_owned(),
            severity: rule.code.severity.word().to_owned(),
            markdown: rule.page.trim_end().to_owned(),
            html: to_html(rule.page),
        })
        .collect()
}

/// Markdown as HTML. A first heading is left out, since the document has its
/// own. Addresses become plain text, so that the
/// packet points at nothing outside itself; raw HTML becomes text.
fn to_html(markdown: &str) -> String {
    let mut address = Vec::new();
    let mut title = false;
    let mut first = true;
    let events = Parser::new_ext(markdown, Options::ENABLE_TABLES).filter_map(|event| match event {
        Event::Start(Tag::Heading { .. }) if std::mem::take(&mut first) => {
            title = true;
            None
        }
        Event::End(TagEnd::Heading(_)) if std::mem::take(&mut title) => None,
        _ if title => None,
        Event::Start(Tag::Link { dest_url, .. } | Tag::Image { dest_url, .. }) => {
            address.push(dest_url);
            None
        }
        Event::End(TagEnd::Link | TagEnd::Image) => {
            let url = address.pop().unwrap_or_else(|| "".into());
            Some(Event::Text(format!(" ({url})").into()))
        }
        Event::Html(text) | Event::InlineHtml(text) => Some(Event::Text(text)),
        other => {
            first = first && matches!(other, Event::Start(Tag::Paragraph));
            Some(other)
        }
    });
    let mut html = String::new();
    pulldown_cmark::html::push_html(&mut html, events);
    html
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_points_at_nothing_outside_and_holds_no_raw_html() {
        let html =
            to_html("# Title\n\nSee [the paper](https://example.org/x) <b>now</b>.\n\n## Why\n\n- a\n");
        assert_eq!(
            html,
            "<p>See the paper (https://example.org/x) &lt;b&gt;now&lt;/b&gt;.</p>\n<h2>Why</h2>\n<ul>\n<li>a</li>\n</ul>\n"
        );
    }
}
