//! What a page of the packet says to whoever works from it.
//!
//! In: a page of HTML as the templates make it. Out: its [`Line`]s, in order, with
//! the place in the page at which each begins. Reasons, small print and pictures
//! are left out: nobody acts on them alone, and pictures draw what lines say.

/// A line of a page: a paragraph, an entry, a cell.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Line {
    /// Byte of the page at which it begins.
    pub(super) at: usize,
    /// Its words, on one line.
    pub(super) text: String,
    /// What it is about: the head of its row, its label, the entry of the day; may be empty.
    pub(super) about: String,
    /// The column, where that has a name.
    pub(super) column: String,
    /// The title of the card or the section that it stands in.
    pub(super) under: String,
    /// The card that it stands on, where the page is made of cards.
    pub(super) card: String,
    /// Whether others are about it.
    pub(super) title: bool,
}

impl Line {
    /// By what it is known again.
    pub(super) fn key(&self) -> String {
        format!("{}\n{}\n{}", self.about, self.column, self.text)
    }

    /// What it is, in words.
    pub(super) fn what(&self) -> String {
        match (self.title || self.about.is_empty(), self.column.is_empty()) {
            (true, _) => self.under.clone(),
            (false, true) => self.about.clone(),
            (false, false) => format!("{}, {}", self.about, self.column.to_lowercase()),
        }
    }
}

/// These stand within a line and begin none.
const WITHIN: [&str; 15] = [
    "a", "abbr", "b", "br", "code", "del", "em", "i", "ins", "small", "span", "strong", "sub", "sup", "time",
];
/// These have no end.
const ENDLESS: [&str; 6] = ["br", "hr", "img", "input", "meta", "wbr"];
/// Nothing in these is said by the page itself, or nobody acts on it.
const SILENT: [&str; 6] = ["nav", "script", "small", "style", "svg", "thead"];
/// Classes of reasons, and of signs of an earlier marking.
const SILENT_CLASSES: [&str; 2] = ["how", "since"];

/// Reads a page; one without a main part says nothing.
pub(super) fn lines(page: &str) -> Vec<Line> {
    let Some(start) = page.find("<main") else { return Vec::new() };
    let end = page.rfind("</main>").unwrap_or(page.len());
    let mut reader = Reader::default();
    let mut at = start;
    while let Some(rest) = page.get(at..end).filter(|rest| !rest.is_empty()) {
        let length = if rest.starts_with('<') {
            let length = rest.find('>').map_or(rest.len(), |close| close + 1);
            reader.tag(rest.get(1..length.saturating_sub(1)).unwrap_or_default(), at);
            length
        } else {
            let length = rest.find('<').unwrap_or(rest.len());
            reader.words(rest.get(..length).unwrap_or_default(), at);
            length
        };
        at += length;
    }
    reader.flush();
    reader.lines
}

/// An open element.
#[derive(Debug)]
struct Open {
    name: String,
    silent: bool,
    /// Whether its words head a row.
    heads: bool,
    /// Whether its words are a label, and no line of their own.
    label: bool,
    /// Whether its words name an entry of the day.
    entry: bool,
    /// Whether its words are a clock that stands before its entry.
    clock: bool,
    column: String,
}

#[derive(Debug, Default)]
struct Reader {
    open: Vec<Open>,
    lines: Vec<Line>,
    /// Where the line begins, and its words so far.
    begun: Option<usize>,
    text: String,
    about: String,
    under: String,
    card: String,
    /// The clock of an entry that is still to come, by its place in the lines.
    waiting: Option<usize>,
}

impl Reader {
    fn tag(&mut self, tag: &str, at: usize) {
        let (closes, tag) = tag.strip_prefix('/').map_or((false, tag), |tag| (true, tag));
        let name: String = tag.chars().take_while(char::is_ascii_alphanumeric).collect();
        if !WITHIN.contains(&name.as_str()) {
            self.flush();
        } else if name == "br" || closes && name == "time" {
            self.text.push(' ');
        } else if !closes && !self.silent() {
            self.begun.get_or_insert(at);
        }
        if closes {
            self.close(&name);
        } else if !ENDLESS.contains(&name.as_str()) && !tag.ends_with('/') {
            self.open.push(Open::new(name, tag, self.silent()));
        }
    }

    fn close(&mut self, name: &str) {
        if let Some(at) = self.open.iter().rposition(|open| open.name == name) {
            self.open.truncate(at);
        }
        if name == "article" {
            self.card.clear();
        }
        if ["tr", "li", "dl", "table"].contains(&name) {
            self.about.clear();
            self.waiting = None;
        }
    }

    fn silent(&self) -> bool {
        self.open.last().is_some_and(|open| open.silent)
    }

    fn words(&mut self, words: &str, at: usize) {
        if self.silent() {
            return;
        }
        let lead = words.len() - words.trim_start().len();
        if lead < words.len() {
            self.begun.get_or_insert(at + lead);
        }
        self.text.push_str(words);
    }

    /// Ends a line.
    fn flush(&mut self) {
        let text = decoded(&std::mem::take(&mut self.text));
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let Some(at) = self.begun.take() else { return };
        if !text.chars().any(char::is_alphanumeric) {
            return;
        }
        let is = |flag: fn(&Open) -> bool| self.open.iter().any(flag);
        let heading = is(|open| ["h2", "h3", "h4"].contains(&open.name.as_str()));
        let (head, entry) = (is(|open| open.heads), is(|open| open.entry));
        if is(|open| open.label) {
            self.about = text;
            return;
        }
        if heading {
            self.about.clear();
            self.under.clone_from(&text);
        }
        if is(|open| open.name == "h2") && is(|open| open.name == "article") {
            self.card.clone_from(&text);
        }
        if head || entry {
            self.about.clone_from(&text);
        }
        if entry && let Some(clock) = self.waiting.take().and_then(|at| self.lines.get_mut(at)) {
            clock.about.clone_from(&text);
        }
        if is(|open| open.clock) {
            self.waiting = Some(self.lines.len());
        }
        let column = self.open.iter().rev().find(|open| !open.column.is_empty());
        self.lines.push(Line {
            at,
            text,
            about: self.about.clone(),
            column: column.map(|open| open.column.clone()).unwrap_or_default(),
            under: self.under.clone(),
            card: self.card.clone(),
            title: head || entry || heading,
        });
    }
}

impl Open {
    fn new(name: String, tag: &str, silent: bool) -> Self {
        let value = |key: &str| {
            let (_, rest) = tag.split_once(&format!(" {key}=\""))?;
            rest.split_once('"').map(|(value, _)| value)
        };
        let classes = value("class").unwrap_or_default();
        let has = |class: &str| classes.split(' ').any(|one| one == class);
        Self {
            silent: silent
                || SILENT.contains(&name.as_str())
                || SILENT_CLASSES.iter().any(|class| has(class)),
            heads: name == "th" && value("scope") == Some("row"),
            label: name == "dt" || name == "caption",
            entry: has("what"),
            clock: name == "div" && has("at"),
            column: value("data-label").map(decoded).unwrap_or_default(),
            name,
        }
    }
}

/// Text without references to characters, of which templates make these.
fn decoded(html: &str) -> String {
    let each =
        [("&lt;", "<"), ("&gt;", ">"), ("&quot;", "\""), ("&#39;", "'"), ("&#x27;", "'"), ("&nbsp;", " ")];
    let text = each.iter().fold(html.to_owned(), |text, (from, to)| text.replace(from, to));
    text.replace("&amp;", "&")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(main: &str) -> Vec<String> {
        let page = format!("<h1>no</h1><main id=\"main\">{main}</main><footer>no</footer>");
        let lines = lines(&page);
        for line in &lines {
            assert!(page.get(line.at..).is_some_and(|rest| !rest.starts_with("</")), "{line:?}");
        }
        lines.iter().map(|line| format!("{}: {}", line.what(), line.text)).collect()
    }

    #[test]
    fn facts_rows_and_entries_say_what_they_are_about() {
        assert_eq!(told("<dl><div><dt>Tilt</dt><dd>5° &amp; up</dd></div></dl>"), ["Tilt: 5° & up"]);
        assert_eq!(
            told(
                "<h2>People</h2>\n<table><tr><th scope=\"row\">Mei</th><td data-label=\"Call\"><b>06:00</b></td></tr></table><p>x1</p>"
            ),
            ["People: People", "People: Mei", "Mei, call: 06:00", "People: x1"]
        );
        let entry = "<li><div class=\"at\"><time>06:00</time> <span>to 07:00</span></div><p class=\"what\"><a>Swoop</a></p><p>1 take</p></li>";
        assert_eq!(told(entry), ["Swoop: 06:00 to 07:00", ": Swoop", "Swoop: 1 take"]);
    }

    #[test]
    fn reasons_pictures_and_small_print_say_nothing() {
        assert_eq!(told("<p>a <small>b</small></p><p class=\"how\">c</p><svg><text>d</text></svg>"), [": a"]);
        assert_eq!(told("<p><b class=\"since\">◆<span class=\"heard\"> changed: </span></b> a</p>"), [": a"]);
    }
}
