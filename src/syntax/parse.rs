//! Runs the grammar and pairs blocks.

use super::tree::{Block, Item, Statement, Tree, Value};
use crate::diagnostic::{Diagnostic, MOST, codes};
use crate::source::{FileId, Sources, Span, Spanned, is_merge_mark};
use pest::Parser;
use pest::iterators::Pair;

/// Rules of `grammar/seam.pest`; they never leave this module.
mod shapes {
    #![allow(missing_docs, reason = "generated from the grammar")]
    #[derive(pest_derive::Parser)]
    #[grammar = "../grammar/seam.pest"]
    pub(super) struct Shapes;
}

use shapes::{Rule, Shapes};

/// How deep blocks may be nested; the language itself needs three.
const DEEPEST: usize = 24;

/// Reads one file into a tree. Never fails: malformed lines are reported and kept as broken.
pub fn parse(sources: &Sources, file: FileId, diagnostics: &mut Vec<Diagnostic>) -> Tree {
    let text = &sources.file(file).text;
    let mut builder =
        Builder { file, diagnostics, levels: vec![Level::default()], too_deep: 0, fresh_line: true };
    match Shapes::parse(Rule::file, text) {
        Ok(pairs) => {
            for pair in pairs.flat_map(Pair::into_inner) {
                builder.take(pair);
            }
        }
        Err(error) => {
            // The grammar accepts every text; this is what a limit of the parser would look like.
            let at = match error.location {
                pest::error::InputLocation::Pos(at) | pest::error::InputLocation::Span((at, _)) => at as u32,
            };
            builder.diagnostics.push(Diagnostic::new(
                codes::LINE,
                Span { file, start: at, end: at },
                "this file cannot be read any further",
            ));
        }
    }
    builder.finish(text.len() as u32)
}

/// A block that is still open.
#[derive(Default)]
struct Level {
    items: Vec<Item>,
    opened: Option<Span>,
    newline_seen: bool,
}

struct Builder<'a> {
    file: FileId,
    diagnostics: &'a mut Vec<Diagnostic>,
    levels: Vec<Level>,
    too_deep: usize,
    fresh_line: bool,
}

impl Builder<'_> {
    fn span(&self, pair: &Pair<'_, Rule>) -> Span {
        let span = pair.as_span();
        Span { file: self.file, start: span.start() as u32, end: span.end() as u32 }
    }

    fn level(&mut self) -> &mut Level {
        if self.levels.is_empty() {
            self.levels.push(Level::default());
        }
        self.levels.last_mut().expect("a level was pushed above")
    }

    fn take(&mut self, pair: Pair<'_, Rule>) {
        let span = self.span(&pair);
        let rule = pair.as_rule();
        if self.too_deep > 0 && !matches!(rule, Rule::open | Rule::close) {
            return;
        }
        match rule {
            Rule::newline => {
                let fresh = self.fresh_line;
                let level = self.level();
                level.newline_seen = true;
                if fresh && !matches!(level.items.last(), None | Some(Item::Blank)) {
                    level.items.push(Item::Blank);
                }
                self.fresh_line = true;
                return;
            }
            Rule::comment => {
                let own_line = self.fresh_line;
                let text = pair.as_str().trim_end().to_owned();
                self.level().items.push(Item::Comment { text, own_line });
                // The newline after a comment ends its line; it is not a blank one.
            }
            Rule::open => self.open(span),
            Rule::close => self.close(span),
            Rule::statement => {
                let statement = self.statement(pair, span);
                self.level().items.push(Item::Statement(statement));
            }
            Rule::stray => self.stray(pair, span),
            _ => {}
        }
        self.fresh_line = false;
    }

    fn open(&mut self, span: Span) {
        if self.too_deep > 0 || self.levels.len() > DEEPEST {
            if self.too_deep == 0 {
                self.diagnostics.push(
                    Diagnostic::new(codes::BLOCK, span, format!("blocks are nested deeper than {DEEPEST}"))
                        .label("one block too many")
                        .help("close a block before this one; a beat holds plates, a plate holds no further blocks"),
                );
            }
            self.too_deep += 1;
            return;
        }
        let belongs = self
            .level()
            .items
            .iter()
            .rev()
            .find(|item| !matches!(item, Item::Blank | Item::Comment { .. }))
            .is_some_and(|item| matches!(item, Item::Statement(statement) if statement.block.is_none()));
        if !belongs {
            self.diagnostics.push(
                Diagnostic::new(codes::BLOCK, span, "a block without a statement before it")
                    .label("expected a word such as 'plate swoop' before '{'"),
            );
            let statement = Statement {
                word: Spanned::new(String::new(), span),
                values: Vec::new(),
                block: None,
                span,
                broken: true,
            };
            self.level().items.push(Item::Statement(statement));
        }
        self.levels.push(Level { items: Vec::new(), opened: Some(span), newline_seen: false });
    }

    fn close(&mut self, span: Span) {
        if self.too_deep > 0 {
            self.too_deep -= 1;
            return;
        }
        if self.levels.len() < 2 {
            self.diagnostics.push(
                Diagnostic::new(codes::BLOCK, span, "a closing brace that no block opened")
                    .label("nothing to close")
                    .help("remove it, or look above for a '{' that is missing"),
            );
            return;
        }
        self.fold();
    }

    /// Ends the innermost block and gives it to its statement.
    fn fold(&mut self) {
        let Some(mut level) = self.levels.pop() else { return };
        while matches!(level.items.last(), Some(Item::Blank)) {
            level.items.pop();
        }
        let block = Block { items: level.items, one_line: !level.newline_seen };
        let outer = self.level();
        outer.newline_seen |= !block.one_line;
        let owner = outer.items.iter_mut().rev().find_map(|item| match item {
            Item::Statement(statement) => Some(statement),
            _ => None,
        });
        if let Some(owner) = owner {
            owner.block = Some(block);
        }
    }

    fn statement(&mut self, pair: Pair<'_, Rule>, span: Span) -> Statement {
        let mut word = Spanned::new(String::new(), span);
        let mut values = Vec::new();
        for part in pair.into_inner() {
            let at = self.span(&part);
            match part.as_rule() {
                Rule::word => word = Spanned::new(part.as_str().to_owned(), at),
                _ => values.extend(value(&part, self.file).map(|value| Spanned::new(value, at))),
            }
        }
        if values.iter().any(|value| matches!(value.value, Value::Comma(Some(_)))) {
            self.level().newline_seen = true;
        }
        let end = values.last().map_or(word.span, |value| value.span);
        let broken = matches!(values.last(), Some(Spanned { value: Value::Comma(_), .. }));
        if broken {
            // What follows a comma belongs to the list, so an open end would swallow the next line.
            let comma = Span { end: end.start + 1, ..end };
            self.diagnostics.push(
                Diagnostic::new(codes::LINE, comma, "a list that ends with a comma")
                    .label("expected one more entry")
                    .help("remove the comma, or write the entry that is missing"),
            );
        }
        Statement { span: word.span.to(end), word, values, block: None, broken }
    }

    fn stray(&mut self, pair: Pair<'_, Rule>, span: Span) {
        let mut word = Spanned::new(String::new(), span);
        let mut fault = Spanned::new(pair.as_str().to_owned(), span);
        for part in pair.into_inner() {
            let at = self.span(&part);
            match part.as_rule() {
                Rule::word => word = Spanned::new(part.as_str().to_owned(), at),
                Rule::fault => {
                    let text = part.as_str().trim_end();
                    let at = Span { end: at.start + text.len() as u32, ..at };
                    fault = Spanned::new(text.to_owned(), at);
                }
                _ => {}
            }
        }
        if self.diagnostics.len() < MOST {
            self.diagnostics.push(explain(&word, &fault));
        }
        let statement = Statement { word, values: Vec::new(), block: None, span, broken: true };
        self.level().items.push(Item::Statement(statement));
    }

    fn finish(mut self, end: u32) -> Tree {
        while self.levels.len() > 1 {
            let opened = self.levels.last().and_then(|level| level.opened);
            let end = Span { file: self.file, start: end, end };
            self.diagnostics.push(
                Diagnostic::new(codes::BLOCK, opened.unwrap_or(end), "this block is never closed")
                    .label("opened here")
                    .help("add a '}' where the block ends"),
            );
            self.fold();
        }
        let mut items = self.levels.pop().map(|level| level.items).unwrap_or_default();
        while matches!(items.last(), Some(Item::Blank)) {
            items.pop();
        }
        Tree { file: self.file, items }
    }
}

/// What is wrong with a line of the wrong shape.
fn explain(word: &Spanned<String>, fault: &Spanned<String>) -> Diagnostic {
    let first = fault.value.chars().next().unwrap_or(' ');
    if word.value.is_empty() && is_merge_mark(&fault.value) {
        return Diagnostic::new(
            codes::MERGE_MARK,
            fault.span,
            "a merge left its mark here, and two versions below each other",
        )
        .label("not settled")
        .help("keep the lines of one side, or of both, and remove the lines with the marks");
    }
    let problem = |message: &str, label: &str| Diagnostic::new(codes::LINE, fault.span, message).label(label);
    match first {
        '"' => problem("a quoted text that is never closed", "expected a closing '\"' on the same line")
            .help("write \\\" for a quote inside the text"),
        '\u{201c}' | '\u{201d}' | '\u{201e}' => {
            problem("typographic quotes do not open a text", "expected a straight '\"'")
                .help("write the text between straight quotes")
        }
        '=' | ':' => problem("no sign stands between a word and its value", "expected the value itself")
            .help(format!("write '{} VALUE', without '{first}'", word.value)),
        _ if word.value.is_empty() && (first.is_ascii_digit() || first == '-') => {
            problem("a line starts with a word, not with a value", "expected a word such as 'height'")
        }
        _ if first.is_ascii_digit() => problem(
            "a number that runs into letters",
            "expected a number with a unit such as '1.68 m', a clock '05:30' or a date '2027-05-14'",
        ),
        _ => problem(
            "these characters have no meaning here",
            "expected a word, a number with its unit, a quoted text, or the end of the line",
        ),
    }
}

fn value(pair: &Pair<'_, Rule>, file: FileId) -> Option<Value> {
    let text = pair.as_str();
    Some(match pair.as_rule() {
        Rule::text => Value::Text(unescape(text)),
        Rule::name => Value::Name(text.to_owned()),
        Rule::date => Value::Date(text.to_owned()),
        Rule::clock => Value::Clock(text.to_owned()),
        Rule::size => {
            let (width, height) = text.split_once('x')?;
            Value::Size(width.to_owned(), height.to_owned())
        }
        Rule::quantity => {
            let mut number = f64::NAN;
            let mut unit = None;
            for part in pair.clone().into_inner() {
                let span = part.as_span();
                match part.as_rule() {
                    Rule::number => number = read_number(part.as_str()),
                    _ => {
                        let at = Span { file, start: span.start() as u32, end: span.end() as u32 };
                        unit = Some(Spanned::new(part.as_str().to_owned(), at));
                    }
                }
            }
            Value::Number { value: number, unit }
        }
        Rule::comma => {
            let continued = text.contains('\n').then(|| {
                pair.clone()
                    .into_inner()
                    .filter(|part| part.as_rule() == Rule::comment)
                    .map(|part| part.as_str().trim_end().to_owned())
                    .collect()
            });
            Value::Comma(continued)
        }
        Rule::arrow => Value::Arrow,
        Rule::dots => Value::Dots,
        Rule::plus => Value::Plus,
        Rule::minus => Value::Minus,
        _ => return None,
    })
}

/// A number or fraction; infinite where it is too large or divided by zero.
fn read_number(text: &str) -> f64 {
    let read = |part: &str| part.parse::<f64>().unwrap_or(f64::INFINITY);
    match text.split_once('/') {
        Some((above, below)) => {
            let below = read(below);
            if below == 0.0 { f64::INFINITY } else { read(above) / below }
        }
        None => read(text),
    }
}

fn unescape(quoted: &str) -> String {
    let inside = quoted.strip_prefix('"').and_then(|rest| rest.strip_suffix('"')).unwrap_or(quoted);
    let mut text = String::with_capacity(inside.len());
    let mut chars = inside.chars();
    while let Some(char) = chars.next() {
        match char {
            '\\' => match chars.next() {
                Some(escaped @ ('"' | '\\')) => text.push(escaped),
                Some(other) => text.extend(['\\', other]),
                None => text.push('\\'),
            },
            // Control characters would break a card or a terminal.
            control if control.is_control() => text.push(' '),
            plain => text.push(plain),
        }
    }
    text
}
