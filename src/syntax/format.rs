//! The one canonical layout of a file.
//!
//! Two blanks a level; the values of neighbouring one-line statements start in
//! one column, and so do comments behind them; comments and single blank lines
//! stay; a one-line block stays on one line while it fits. Formatting twice
//! changes nothing more, and the meaning never changes.

use super::tree::{Block, Item, Statement, Tree, Value};
use crate::quantity::unit::find;
use crate::source::Sources;

/// The widest line that a one-line block may make.
const WIDEST: usize = 100;
/// Statements that end farther to the right do not move their neighbours' comments.
const WIDEST_CODE: usize = 50;
/// Words longer than this do not move their neighbours' values.
const WIDEST_WORD: usize = 14;

/// The file in its canonical layout. Call it only for a tree without broken lines.
pub fn format(sources: &Sources, tree: &Tree) -> String {
    let mut out = String::new();
    write_items(sources, &tree.items, 0, &mut out);
    out
}

fn indent(level: usize, out: &mut String) {
    out.extend(std::iter::repeat_n("  ", level));
}

fn write_items(sources: &Sources, items: &[Item], level: usize, out: &mut String) {
    let widths = columns(items);
    let mut ends: Vec<usize> = Vec::new();
    let mut plain = false;
    for (at, item) in items.iter().enumerate() {
        match item {
            Item::Blank => {
                align(&mut ends, out);
                if at > 0 {
                    out.push('\n');
                }
            }
            Item::Comment { text, own_line } => {
                // It can end only the line of what stands right before it.
                let before = at.checked_sub(1).and_then(|before| items.get(before));
                let joins = match before {
                    Some(before) => matches!(before, Item::Statement(_)),
                    None => level > 0,
                };
                if !own_line && joins && out.ends_with('\n') {
                    // The line it belongs to has just been ended.
                    out.pop();
                    if plain {
                        ends.push(out.len());
                    }
                    out.push_str("  ");
                } else {
                    indent(level, out);
                }
                out.push_str(text);
                out.push('\n');
            }
            Item::Statement(statement) => {
                indent(level, out);
                let width = widths.get(at).copied().unwrap_or(0);
                plain = statement.block.is_none();
                if !plain {
                    align(&mut ends, out);
                }
                write_statement(sources, statement, width, level, out);
            }
        }
    }
    align(&mut ends, out);
}

/// Starts the comments behind neighbouring statements in one column; `ends` are
/// the places in the text where each statement ends.
fn align(ends: &mut Vec<usize>, out: &mut String) {
    let column = |end: &usize| {
        let before = out.get(..*end).unwrap_or("");
        before.rsplit('\n').next().map_or(0, |line| line.chars().count())
    };
    let columns: Vec<usize> = ends.iter().map(column).collect();
    let widest = columns.iter().copied().filter(|column| *column <= WIDEST_CODE).max().unwrap_or(0);
    let first = ends.first().copied().unwrap_or(out.len());
    let tail = out.split_off(first);
    let mut from = 0;
    for (end, column) in ends.drain(..).zip(columns) {
        out.push_str(tail.get(from..end - first).unwrap_or(""));
        out.extend(std::iter::repeat_n(' ', widest.saturating_sub(column)));
        from = end - first;
    }
    out.push_str(tail.get(from..).unwrap_or(""));
}

/// For each item, the width that its word is padded to.
fn columns(items: &[Item]) -> Vec<usize> {
    let mut widths = vec![0; items.len()];
    let mut run: Vec<usize> = Vec::new();
    let flush = |run: &mut Vec<usize>, widths: &mut Vec<usize>| {
        let word = |at: &usize| match items.get(*at) {
            Some(Item::Statement(statement)) => statement.word.value.chars().count(),
            _ => 0,
        };
        let widest = run.iter().map(word).filter(|width| *width <= WIDEST_WORD).max().unwrap_or(0);
        for at in run.drain(..) {
            if let Some(width) = widths.get_mut(at) {
                *width = widest;
            }
        }
    };
    for (at, item) in items.iter().enumerate() {
        match item {
            Item::Statement(statement) if statement.block.is_none() => run.push(at),
            Item::Comment { .. } => {}
            _ => flush(&mut run, &mut widths),
        }
    }
    flush(&mut run, &mut widths);
    widths
}

fn write_statement(sources: &Sources, statement: &Statement, width: usize, level: usize, out: &mut String) {
    let head = head(sources, statement, width, level);
    out.push_str(&head);
    match &statement.block {
        None => {}
        Some(block) if block.items.is_empty() => out.push_str(" {}"),
        Some(block) => {
            match one_line(sources, block) {
                Some(inside) if 2 * level + head.chars().count() + inside.chars().count() + 5 <= WIDEST => {
                    out.push_str(" { ");
                    out.push_str(&inside);
                    out.push_str(" }");
                }
                _ => {
                    out.push_str(" {\n");
                    write_items(sources, &block.items, level + 1, out);
                    indent(level, out);
                    out.push('}');
                }
            };
        }
    }
    out.push('\n');
}

/// The block's contents on one line, where it was so written and can be.
fn one_line(sources: &Sources, block: &Block) -> Option<String> {
    if !block.one_line {
        return None;
    }
    let mut parts = Vec::new();
    for item in &block.items {
        match item {
            Item::Statement(statement) => {
                let mut text = head(sources, statement, 0, 0);
                if let Some(inner) = &statement.block {
                    let inside =
                        if inner.items.is_empty() { String::new() } else { one_line(sources, inner)? };
                    text = if inside.is_empty() {
                        format!("{text} {{}}")
                    } else {
                        format!("{text} {{ {inside} }}")
                    };
                }
                parts.push(text);
            }
            Item::Comment { .. } => return None,
            Item::Blank => {}
        }
    }
    Some(parts.join("; "))
}

fn head(sources: &Sources, statement: &Statement, width: usize, level: usize) -> String {
    let mut text = statement.word.value.clone();
    if statement.values.is_empty() {
        return text;
    }
    for _ in text.chars().count()..width {
        text.push(' ');
    }
    let sums = statement.values.iter().any(|value| matches!(value.value, Value::Plus | Value::Minus));
    let mut tight = false;
    for value in &statement.values {
        let dots = value.value == Value::Dots && !sums;
        if !matches!(value.value, Value::Comma(_)) && !dots && !tight {
            text.push(' ');
        }
        tight = dots;
        match &value.value {
            Value::Comma(None) => text.push(','),
            Value::Comma(Some(comments)) => {
                text.push(',');
                for (at, comment) in comments.iter().enumerate() {
                    if at > 0 {
                        text.push('\n');
                        indent(level + 2, &mut text);
                    } else {
                        text.push_str("  ");
                    }
                    text.push_str(comment);
                }
                text.push('\n');
                indent(level + 2, &mut text);
                tight = true;
            }
            Value::Number { unit: Some(unit), .. } => {
                let raw = sources.text(value.span);
                let number = raw.strip_suffix(unit.value.as_str()).unwrap_or(raw).trim_end();
                text.push_str(number);
                if find(&unit.value).is_none_or(|unit| unit.word != "%") {
                    text.push(' ');
                }
                text.push_str(&unit.value);
            }
            _ => text.push_str(sources.text(value.span)),
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::format;
    use crate::source::Sources;
    use crate::syntax::parse;

    fn laid_out(text: &str) -> String {
        let mut sources = Sources::default();
        let file = sources.add("a.seam", text);
        let mut diagnostics = Vec::new();
        let tree = parse(&sources, file, &mut diagnostics);
        assert!(diagnostics.is_empty(), "{diagnostics:?}");
        format(&sources, &tree)
    }

    #[test]
    fn a_comment_behind_a_lone_semicolon_keeps_its_own_line() {
        for text in ["rig a\n\n; # c\n", "rig a # x\n; # c\n", "; # c\n", "rig a { ; # c\n}\n"] {
            let once = laid_out(text);
            assert_eq!(laid_out(&once), once, "{text:?}");
            assert_eq!(once.matches("# c").count(), 1, "{text:?}");
            assert!(!once.contains("# x  #"), "two comments became one: {once:?}");
        }
    }
}
