//! An answer: the same value as text and as JSON.

use serde::Serialize;
use std::fmt::Write;

/// How many of the things that wait are named in text.
const NAMED: usize = 12;
/// How many links of a chain are told in text from its near end.
const FIRST: usize = 8;
/// How many from its far end.
const LAST: usize = 3;

/// What is said about one thing.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(super) struct Answer {
    /// Its path, as it is asked for.
    pub(super) name: String,
    /// What people call it.
    pub(super) title: String,
    /// `plate`, `pass`, `join`, `asset`, `day`, `lock`, `delivery`.
    pub(super) kind: &'static str,
    /// The line where it was written.
    pub(super) line: Option<String>,
    /// What else is to be known about it, in a few words.
    pub(super) about: Option<String>,
    /// When it is, where it is planned.
    pub(super) when: Option<When>,
    /// Why, in sentences; where it is not planned, what keeps it out.
    pub(super) because: Vec<Said>,
    /// Step by step from its time back to what does not give.
    pub(super) chain: Vec<Step>,
    /// Where a day is called later than it could be: from the call on to what holds it.
    pub(super) called: Vec<Step>,
    /// What its place in the order is bound to.
    pub(super) bound: Vec<Said>,
    /// Other orders and other days, with what they would cost.
    pub(super) otherwise: Vec<Said>,
    /// What would move it, least asked of people first.
    pub(super) moves: Vec<Said>,
    /// What was tried and does not move it.
    pub(super) in_vain: Vec<Said>,
    /// How far it can slip, in words.
    pub(super) slips: Option<String>,
    /// What it waits for.
    pub(super) waits_for: Vec<Named>,
    /// What waits for it.
    pub(super) waited_for_by: Vec<Named>,
}

impl Answer {
    /// An answer that says nothing yet but what is asked about.
    pub(super) fn about(name: String, title: String, kind: &'static str) -> Self {
        Self {
            name,
            title,
            kind,
            line: None,
            about: None,
            when: None,
            because: Vec::new(),
            chain: Vec::new(),
            called: Vec::new(),
            bound: Vec::new(),
            otherwise: Vec::new(),
            moves: Vec::new(),
            in_vain: Vec::new(),
            slips: None,
            waits_for: Vec::new(),
            waited_for_by: Vec::new(),
        }
    }
}

/// The time of something.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(super) struct When {
    /// Which planned day of the shoot, from 1.
    pub(super) day: Option<usize>,
    /// Local date and clock of the start.
    pub(super) start: String,
    /// Local date and clock of the end.
    pub(super) end: String,
    /// Who does it, at the desk.
    pub(super) who: Option<String>,
    /// The same in words.
    #[serde(skip)]
    pub(super) words: String,
}

/// A sentence with the line behind it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(super) struct Said {
    /// The sentence.
    pub(super) text: String,
    /// `kit.seam:44`.
    pub(super) line: Option<String>,
}

impl Said {
    /// A sentence of its own.
    pub(super) fn plain(text: impl Into<String>) -> Self {
        Self { text: text.into(), line: None }
    }
}

/// A stretch of time in a chain; the last has no length.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(super) struct Step {
    /// Local date and clock of its start.
    pub(super) from: String,
    /// Local date and clock of its end.
    pub(super) to: String,
    /// What fills it.
    pub(super) text: String,
    /// The line behind it.
    pub(super) line: Option<String>,
    /// The start as it is told.
    #[serde(skip)]
    pub(super) clock: String,
}

/// Something else, with why it is named.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(super) struct Named {
    /// Its path.
    pub(super) name: String,
    /// What people call it.
    pub(super) title: String,
    /// How far from what was asked about: 1 is right before it.
    pub(super) depth: usize,
    /// Why; empty where nothing is to be said.
    pub(super) text: String,
    /// The line behind it.
    pub(super) line: Option<String>,
}

impl Answer {
    /// For people.
    pub(super) fn text(&self, all: bool) -> String {
        let mut text = self.head();
        match &self.when {
            Some(when) => {
                let _ = writeln!(text, "  {}", when.words);
            }
            None if self.kind != "day" => text.push_str("  not planned\n"),
            None => {}
        }
        if !self.because.is_empty() {
            text.push('\n');
        }
        for said in &self.because {
            let _ = writeln!(text, "  {}{}", said.text, behind(&said.line));
        }
        let heads =
            if self.kind == "day" { "the day" } else { "the chain that holds it, from its time back" };
        self.steps(&self.chain, heads, all, &mut text);
        self.steps(&self.called, "what holds the call, from there on", all, &mut text);
        section(&mut text, "bound to", &self.bound);
        section(&mut text, "other orders and other days, and what they would cost", &self.otherwise);
        self.moved(&mut text);
        if let Some(slips) = &self.slips {
            let _ = write!(text, "\n  {slips}\n");
        }
        self.neighbours(&mut text);
        text
    }

    fn head(&self) -> String {
        let about = self.about.as_ref().map(|about| format!(", {about}")).unwrap_or_default();
        let name = if self.name == self.title { String::new() } else { format!("{}: ", self.name) };
        format!("{name}{}{about}{}\n", self.title, behind(&self.line))
    }

    fn steps(&self, steps: &[Step], heads: &str, all: bool, text: &mut String) {
        if steps.is_empty() {
            return;
        }
        let _ = write!(text, "\n  {heads}\n");
        let far = if all || self.kind == "day" { 0 } else { steps.len().saturating_sub(FIRST + LAST) };
        for (at, step) in steps.iter().enumerate() {
            if far > 1 && at == FIRST {
                let _ = writeln!(text, "    and {far} more back to this; `--all` tells them");
            }
            if far <= 1 || at < FIRST || at >= FIRST + far {
                let _ = writeln!(text, "    {}  {}{}", step.clock, step.text, behind(&step.line));
            }
        }
    }

    fn moved(&self, text: &mut String) {
        section(text, "what would move it, what asks least of people first", &self.moves);
        if self.in_vain.is_empty() {
            return;
        }
        let head = if self.moves.is_empty() {
            "none of these alone would move it"
        } else {
            "these would not move it"
        };
        section(text, head, &self.in_vain);
    }

    fn neighbours(&self, text: &mut String) {
        if !self.waits_for.is_empty() {
            text.push_str("\n  waits for\n");
        }
        for one in &self.waits_for {
            let indent = "  ".repeat(one.depth);
            let _ = writeln!(text, "  {indent}{}: {}{}", one.called(), one.text, behind(&one.line));
        }
        if self.waited_for_by.is_empty() {
            return;
        }
        let names: Vec<String> = self.waited_for_by.iter().take(NAMED).map(Named::called).collect();
        let more = self.waited_for_by.len().saturating_sub(NAMED);
        let more = if more > 0 { format!(" and {more} more") } else { String::new() };
        let _ = write!(text, "\n  waited for by\n    {}{more}\n", names.join(", "));
    }
}

impl Named {
    /// Title and path, where they differ.
    fn called(&self) -> String {
        if self.title == self.name { self.name.clone() } else { format!("'{}' ({})", self.title, self.name) }
    }
}

fn behind(line: &Option<String>) -> String {
    line.as_ref().map(|line| format!(" ({line})")).unwrap_or_default()
}

fn section(text: &mut String, head: &str, told: &[Said]) {
    if told.is_empty() {
        return;
    }
    let _ = write!(text, "\n  {head}\n");
    for said in told {
        let _ = writeln!(text, "    {}{}", said.text, behind(&said.line));
    }
}
