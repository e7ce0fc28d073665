//! Pages that say what changed since the one that was handed out.
//!
//! In: the pages of an earlier packet, and new ones. Out: the new ones, with a sign
//! at each line that the earlier page does not have and their number at the head.
//! The sign is a letter of its own shape, read in black and white, and followed
//! by a word for those who hear the page. Versions and line numbers, which every
//! edit moves, count for nothing.

use crate::packet::{Document, in_html, in_markdown};
use std::collections::BTreeMap;

/// The sign of a line that changed.
const SIGN: &str = "◆";
/// The same with its word, in HTML.
const IN_HTML: &str = "<b class=\"since\">◆<span class=\"heard\"> changed: </span></b> ";
/// Tags behind which the sign may stand; what is in no such element is drawn, not written.
const HOLDERS: [&str; 7] = ["<li", "<p", "<td", "<dd", "<h2", "<h3", "<summary"];

/// An earlier packet.
#[derive(Debug, Clone)]
pub struct Since<'a> {
    /// Its pages.
    pub documents: &'a [Document],
    /// How it is called on the pages: its text's version, and its label where it has one.
    pub name: &'a str,
    /// Words of both revisions that count for nothing: versions and labels.
    pub moving: &'a [String],
}

/// Marks HTML and Markdown; every other document stays as it is.
pub fn mark(documents: Vec<Document>, since: &Since<'_>) -> Vec<Document> {
    let before: BTreeMap<&str, &[u8]> =
        since.documents.iter().map(|one| (one.path.as_str(), one.bytes.as_slice())).collect();
    let marked = documents.into_iter().map(|document| {
        let html = document.path.ends_with(".html");
        if !html && !document.path.ends_with(".md") {
            return document;
        }
        let text = String::from_utf8_lossy(&document.bytes);
        let old = before.get(document.path.as_str()).map(|bytes| String::from_utf8_lossy(bytes));
        let text = page(&text, old.as_deref(), html, since);
        Document { path: document.path, bytes: text.into_bytes() }
    });
    marked.collect()
}

fn page(text: &str, old: Option<&str>, html: bool, since: &Since<'_>) -> String {
    let mut left: BTreeMap<String, usize> = BTreeMap::new();
    for line in old.unwrap_or_default().lines() {
        *left.entry(plain(line, since)).or_default() += 1;
    }
    let (mut out, mut count, mut inside) = (Vec::new(), 0, !html);
    for line in text.lines() {
        // In HTML only what stands between header and footer is said by the page itself.
        inside = inside && !line.contains("<footer") || line.contains("<main") || !html && line != "---";
        let known = left.get_mut(&plain(line, since)).filter(|many| **many > 0);
        let signed = match known {
            Some(many) => {
                *many -= 1;
                None
            }
            None if inside && old.is_some() => signed(line, html),
            None => None,
        };
        count += usize::from(signed.is_some());
        out.push(signed.unwrap_or_else(|| line.to_owned()));
    }
    let name = if html { in_html(since.name) } else { in_markdown(since.name) };
    let head = match (old, count) {
        (None, _) => format!("This page is new since {name}."),
        (Some(_), 0) => format!("Nothing on this page has changed since {name}."),
        (Some(_), 1) => format!("1 line has changed since {name}; it begins with {SIGN}"),
        (Some(_), count) => format!("{count} lines have changed since {name}; each begins with {SIGN}"),
    };
    let at =
        out.iter().position(|line| if html { line.starts_with("</header>") } else { line.starts_with("# ") });
    let at = at.map_or(0, |at| if html { at } else { at + 1 });
    let head = if html { vec![format!("<p class=\"since\">{head}</p>")] } else { vec![String::new(), head] };
    out.splice(at..at, head);
    out.join("\n") + "\n"
}

/// A line without what every edit moves, and without signs of an earlier marking.
fn plain(line: &str, since: &Since<'_>) -> String {
    let mut line = line.replace(IN_HTML, "").replace(&format!("{SIGN} "), "");
    for word in since.moving.iter().filter(|word| !word.is_empty()) {
        line = line.replace(word.as_str(), "");
    }
    let mut parts = line.split(".seam:");
    let mut out = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        out.push_str(".seam:");
        out.push_str(part.trim_start_matches(|letter: char| letter.is_ascii_digit()));
    }
    out.trim().to_owned()
}

/// The line with its sign, if it says anything that a sign can stand beside.
fn signed(line: &str, html: bool) -> Option<String> {
    if html { in_element(line) } else { in_line(line) }
}

fn in_element(line: &str) -> Option<String> {
    let starts = HOLDERS.iter().filter_map(|tag| {
        let at = line.find(tag)?;
        let after = line.get(at + tag.len()..)?;
        after.starts_with(['>', ' ']).then(|| after.find('>').map(|end| at + tag.len() + end + 1)).flatten()
    });
    let at = starts.min()?;
    let (before, after) = line.split_at_checked(at)?;
    says(after).then(|| format!("{before}{IN_HTML}{after}"))
}

/// Whether anything is left when the tags are taken out.
fn says(html: &str) -> bool {
    let mut tag = false;
    html.chars().any(|letter| {
        match letter {
            '<' => tag = true,
            '>' => tag = false,
            _ => return !tag && letter.is_alphanumeric(),
        }
        false
    })
}

fn in_line(line: &str) -> Option<String> {
    let bare = line.trim_start_matches(|letter: char| "-#|>* ".contains(letter));
    if !bare.chars().any(char::is_alphanumeric) {
        return None;
    }
    let lead = line.trim_start();
    let indent = line.len() - lead.len();
    let marker = ["- ", "| ", "> ", "### ", "## "].iter().find(|marker| lead.starts_with(**marker));
    let (before, after) = line.split_at_checked(indent + marker.map_or(0, |marker| marker.len()))?;
    Some(format!("{before}{SIGN} {after}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn html(lines: &str) -> String {
        format!("<header>\n<h1>Sheet</h1>\n</header>\n<main>\n{lines}\n</main>\n<footer>x</footer>\n")
    }

    fn marked(old: Option<&str>, new: &str, path: &str) -> String {
        let put = |text: &str| Document { path: path.to_owned(), bytes: text.as_bytes().to_vec() };
        let documents: Vec<Document> = old.map(put).into_iter().collect();
        let moving = ["aaaa".to_owned(), "bbbb".to_owned()];
        let since = Since { documents: &documents, name: "aaaa", moving: &moving };
        let mut made = mark(vec![put(new)], &since);
        String::from_utf8(made.remove(0).bytes).expect("it is text")
    }

    #[test]
    fn a_changed_line_gets_a_sign_and_a_word_and_is_counted() {
        let old = html("<li>text aaaa</li>\n<li>call 06:00 a.seam:12</li>\n<li>wrap</li>");
        let new = html("<li>text bbbb</li>\n<li>call 06:00 a.seam:15</li>\n<li>wrap 18:00</li>");
        let text = marked(Some(&old), &new, "a.html");
        assert!(
            text.contains(
                "<p class=\"since\">1 line has changed since aaaa; it begins with ◆</p>\n</header>"
            )
        );
        assert!(
            text.contains(
                "<li><b class=\"since\">◆<span class=\"heard\"> changed: </span></b> wrap 18:00</li>"
            )
        );
        assert_eq!(text.matches("heard").count(), 1, "{text}");
        // A marked page is no other page for the next one.
        assert!(marked(Some(&text), &new, "a.html").contains("Nothing on this page has changed"));
    }

    #[test]
    fn markdown_keeps_its_shape() {
        let text =
            marked(Some("# T\n\n| a | b |\n|---|---|\n"), "# T\n\n| a | c |\n|---|---|\n- x\n", "a.md");
        assert!(text.contains("| ◆ a | c |\n|---|---|\n- ◆ x\n"), "{text}");
        assert!(text.starts_with("# T\n\n2 lines have changed since aaaa; each begins with ◆\n"), "{text}");
    }

    #[test]
    fn a_page_that_was_not_there_is_new() {
        assert!(marked(None, "# T\n\nx\n", "a.md").contains("This page is new since aaaa."));
    }
}
