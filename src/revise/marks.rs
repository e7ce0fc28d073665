//! Pages that say what changed since the one that was handed out.
//!
//! In: the pages of an earlier packet, and new ones. Out: the new ones, with a sign
//! at each line that says something else, and at the head their number and what is
//! gone. The sign is a letter of its own shape with a bar in the margin, read in
//! black and white, and followed by a word for those who hear the page. Versions
//! and line numbers, which every edit moves, count for nothing.

use super::Difference;
use super::align::align;
use super::apart::apart;
use super::quiet::Quiet;
use super::reading::{Line, lines};
use crate::packet::{Document, in_html, in_markdown};
use std::collections::BTreeMap;

/// The sign of a line that changed.
const SIGN: &str = "◆";
/// The same with its word, in HTML.
const IN_HTML: &str = "<b class=\"since\">◆<span class=\"heard\"> changed: </span></b> ";
/// As many things that are gone are named at the head.
const MOST_GONE: usize = 6;

/// An earlier packet.
#[derive(Debug, Clone)]
pub struct Since<'a> {
    /// Its pages.
    pub documents: &'a [Document],
    /// How it is called on the pages: its text's version, and its label where it has one.
    pub name: &'a str,
    /// Words of both revisions that count for nothing: versions and labels.
    pub moving: &'a [String],
    /// Names of the sequence's files, the lines of which move with every edit.
    pub files: &'a [String],
}

/// Marks HTML and Markdown; every other document stays as it is.
pub fn mark(documents: Vec<Document>, since: &Since<'_>) -> Vec<Document> {
    let before: BTreeMap<&str, &[u8]> =
        since.documents.iter().map(|one| (one.path.as_str(), one.bytes.as_slice())).collect();
    let quiet = Quiet::new(since.moving, since.files);
    let marked = documents.into_iter().map(|document| {
        let text = String::from_utf8_lossy(&document.bytes);
        let old = before.get(document.path.as_str()).map(|bytes| String::from_utf8_lossy(bytes));
        // A page with a script keeps what was ticked by its own words; a sign would change them.
        let text = if document.path.ends_with(".html") && !text.contains("<script") {
            in_page(&text, old.as_deref(), since.name, &quiet)
        } else if document.path.ends_with(".md") {
            in_twin(&text, old.as_deref(), since.name, &quiet)
        } else {
            return document;
        };
        Document { path: document.path, bytes: text.into_bytes() }
    });
    marked.collect()
}

/// Lines of a page, without what every edit moves.
pub(super) fn said(page: &str, quiet: &Quiet) -> Vec<Line> {
    let mut lines = lines(page);
    lines.iter_mut().for_each(|line| line.text = quiet.text(&line.text));
    lines
}

fn in_page(text: &str, old: Option<&str>, name: &str, quiet: &Quiet) -> String {
    let name = in_html(name);
    let Some(old) = old else {
        return headed(text, &format!("This page is new since {name}."));
    };
    let new = said(text, quiet);
    let apart = apart(&said(old, quiet), &new);
    let mut places: Vec<usize> =
        apart.fresh.iter().filter_map(|at| new.get(*at)).map(|line| line.at).collect();
    places.sort_unstable();
    let mut out = String::with_capacity(text.len());
    let mut done = 0;
    for place in &places {
        out.push_str(text.get(done..*place).unwrap_or_default());
        out.push_str(IN_HTML);
        done = *place;
    }
    out.push_str(text.get(done..).unwrap_or_default());
    let gone = gone(&apart.changes);
    let head = match (places.len(), gone.is_empty()) {
        (0, true) => format!("Nothing to act on has changed on this page since {name}."),
        (0, false) => format!("Changed since {name}."),
        (1, _) => {
            format!("1 line has changed since {name}; it begins with {SIGN} and has a bar in the margin.")
        }
        (many, _) => {
            format!(
                "{many} lines have changed since {name}; each begins with {SIGN} and has a bar in the margin."
            )
        }
    };
    let gone = if gone.is_empty() { String::new() } else { format!(" Gone: {}.", in_html(&gone)) };
    headed(&out, &format!("{head}{gone}"))
}

/// What is on the page no more.
fn gone(changes: &[Difference]) -> String {
    let gone: Vec<&Difference> = changes.iter().filter(|one| one.new.is_none()).collect();
    let told = |one: &&Difference| match (one.what.as_str(), one.old.as_deref().unwrap_or_default()) {
        ("", old) => format!("“{old}”"),
        (what, old) => format!("“{what}: {old}”"),
    };
    let mut named: Vec<String> = gone.iter().take(MOST_GONE).map(told).collect();
    if gone.len() > MOST_GONE {
        named.push(format!("and {} more", gone.len() - MOST_GONE));
    }
    named.join(", ")
}

fn headed(page: &str, head: &str) -> String {
    page.replacen("\n</header>", &format!("\n<p class=\"since\">{head}</p>\n</header>"), 1)
}

/// The Markdown twin: each line that the earlier one does not have there.
fn in_twin(text: &str, old: Option<&str>, name: &str, quiet: &Quiet) -> String {
    let name = in_markdown(name);
    let plain = |text: &str| -> Vec<String> {
        text.lines().map(|line| quiet.text(&line.replace(&format!("{SIGN} "), ""))).collect()
    };
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let mut count = 0;
    if let Some(old) = old {
        let end = lines.iter().rposition(|line| line == "---").unwrap_or(lines.len());
        for at in align(&plain(old), &plain(text)).fresh.into_iter().filter(|at| *at < end) {
            if let Some(line) = lines.get_mut(at)
                && let Some(signed) = in_line(line)
            {
                *line = signed;
                count += 1;
            }
        }
    }
    let head = match (old, count) {
        (None, _) => format!("This page is new since {name}."),
        (Some(_), 0) => format!("No line is new since {name}."),
        (Some(_), 1) => format!("1 line is new since {name}; it begins with {SIGN}"),
        (Some(_), count) => format!("{count} lines are new since {name}; each begins with {SIGN}"),
    };
    let at = lines.iter().position(|line| line.starts_with("# ")).map_or(0, |at| at + 1);
    lines.splice(at..at, [String::new(), head]);
    lines.join("\n") + "\n"
}

fn in_line(line: &str) -> Option<String> {
    let bare = line.trim_start_matches(|letter: char| "-#|>* ".contains(letter));
    if !bare.chars().any(char::is_alphanumeric) {
        return None;
    }
    let lead = line.trim_start();
    let indent = line.len() - lead.len();
    let marker =
        ["- ", "| ", "> ", "#### ", "### ", "## ", "# "].iter().find(|marker| lead.starts_with(**marker));
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
        let files = ["a.seam".to_owned()];
        let since = Since { documents: &documents, name: "aaaa", moving: &moving, files: &files };
        let mut made = mark(vec![put(new)], &since);
        String::from_utf8(made.remove(0).bytes).expect("it is text")
    }

    #[test]
    fn a_changed_line_gets_a_sign_and_a_word_and_is_counted() {
        let old = html("<li>text aaaa</li>\n<li>call 06:00 a.seam:12</li>\n<li>wrap</li>\n<li>tape</li>");
        let new = html("<li>text bbbb</li>\n<li>call 06:00 a.seam:15</li>\n<li>wrap 18:00</li>");
        let text = marked(Some(&old), &new, "a.html");
        let head =
            "1 line has changed since aaaa; it begins with ◆ and has a bar in the margin. Gone: “tape”.";
        assert!(text.contains(&format!("<p class=\"since\">{head}</p>\n</header>")), "{text}");
        let sign = "<b class=\"since\">◆<span class=\"heard\"> changed: </span></b> wrap 18:00</li>";
        assert!(text.contains(sign), "{text}");
        assert_eq!(text.matches("heard").count(), 1, "{text}");
        // A marked page is no other page for the next one.
        assert!(marked(Some(&text), &new, "a.html").contains("Nothing to act on has changed"));
    }

    #[test]
    fn a_page_with_a_script_is_left_alone() {
        let new = html("<p>a</p><script>1</script>");
        assert_eq!(marked(Some(&html("<p>b</p>")), &new, "a.html"), new);
    }

    #[test]
    fn markdown_keeps_its_shape() {
        let text =
            marked(Some("# T\n\n| a | b |\n|---|---|\n"), "# T\n\n| a | c |\n|---|---|\n- x\n", "a.md");
        assert!(text.contains("| ◆ a | c |\n|---|---|\n- ◆ x\n"), "{text}");
        assert!(text.starts_with("# T\n\n2 lines are new since aaaa; each begins with ◆\n"), "{text}");
    }

    #[test]
    fn a_page_that_was_not_there_is_new() {
        assert!(marked(None, "# T\n\nx\n", "a.md").contains("This page is new since aaaa."));
    }
}
