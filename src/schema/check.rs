//! Checks a tree against the schema.

use super::take::{Cursor, describe, measure};
use super::{Fact, RawBinding, Spec, Times};
use crate::diagnostic::nearest::nearest;
use crate::diagnostic::{Diagnostic, MOST, codes};
use crate::quantity::unit::{Dimension, find};
use crate::source::{Span, Spanned};
use crate::syntax::{Statement, Value};

/// Checks statements against what their block allows. What is wrong is reported
/// and left out.
pub fn check<'a>(
    statements: impl Iterator<Item = &'a Statement>,
    allowed: &'static [Spec],
    diagnostics: &mut Vec<Diagnostic>,
) -> Vec<Fact> {
    body(statements, allowed, false, "a sequence file", None, diagnostics).0
}

/// Checks a file of day logs.
pub fn check_logs<'a>(
    statements: impl Iterator<Item = &'a Statement>,
    diagnostics: &mut Vec<Diagnostic>,
) -> Vec<Fact> {
    body(statements, super::LOG, false, "a file of day logs", None, diagnostics).0
}

/// Statements that may stand in any block.
fn common() -> &'static [Spec] {
    super::blocks::COMMON
}

fn body<'a>(
    statements: impl Iterator<Item = &'a Statement>,
    allowed: &'static [Spec],
    open: bool,
    owner: &str,
    owner_span: Option<Span>,
    diagnostics: &mut Vec<Diagnostic>,
) -> (Vec<Fact>, Vec<RawBinding>) {
    let mut facts: Vec<Fact> = Vec::new();
    let mut bindings = Vec::new();
    let mut seen: Vec<(&'static str, Span)> = Vec::new();
    for statement in statements {
        if diagnostics.len() >= MOST {
            break;
        }
        let word = statement.word.value.as_str();
        let spec = allowed.iter().chain(common()).find(|spec| spec.word == word);
        if statement.broken {
            // Already reported; it still counts as said, so that nothing is called missing.
            seen.extend(spec.map(|spec| (spec.word, statement.span)));
            continue;
        }
        let Some(spec) = spec else {
            if open {
                bindings.extend(binding(statement, allowed, diagnostics));
            } else {
                diagnostics.push(unknown(statement, allowed, owner));
            }
            continue;
        };
        let first = seen.iter().find(|(word, _)| *word == spec.word).map(|(_, span)| *span);
        if let (Some(first), true) = (first, spec.times != Times::Many) {
            diagnostics.push(
                Diagnostic::new(
                    codes::DUPLICATE,
                    statement.span,
                    format!("'{word}' is given twice in this {owner}"),
                )
                .label("given again")
                .other(first, "first given here")
                .help("keep one of the two"),
            );
            continue;
        }
        seen.push((spec.word, statement.span));
        facts.extend(fact(statement, spec, diagnostics));
    }
    if let Some(span) = owner_span {
        for spec in allowed.iter().filter(|spec| spec.times == Times::Required) {
            if !seen.iter().any(|(word, _)| *word == spec.word) {
                diagnostics.push(
                    Diagnostic::new(codes::MISSING, span, format!("this {owner} has no '{}'", spec.word))
                        .label(format!("'{}' is missing in the block", spec.word))
                        .help(format!("add a line such as '{}'", spec.example)),
                );
            }
        }
    }
    (facts, bindings)
}

fn fact(statement: &Statement, spec: &'static Spec, diagnostics: &mut Vec<Diagnostic>) -> Option<Fact> {
    let mut cursor = Cursor::new(&statement.values, statement.word.span);
    let args = match cursor.take_all(spec.parts) {
        Ok(args) => args,
        Err(mut wrong) => {
            wrong.message = format!("{} after '{}'", wrong.message, spec.word);
            if wrong.help.is_none() {
                wrong.help = Some(format!("write it as in '{}'", spec.example));
            }
            diagnostics.push(*wrong);
            // A bad head must not hide what is wrong inside.
            inside(statement, spec, diagnostics);
            return None;
        }
    };
    let mut title = None;
    if let (true, Some(Spanned { value: Value::Text(text), span })) = (spec.title, cursor.peek()) {
        title = Some(Spanned::new(text.clone(), *span));
        cursor.next();
    }
    if let Some(extra) = cursor.peek() {
        diagnostics.push(
            Diagnostic::new(
                codes::VALUE,
                extra.span,
                format!("nothing more is expected after '{}'", spec.word),
            )
            .label(format!("{} too much", describe(&extra.value)))
            .help(format!("write it as in '{}'", spec.example)),
        );
    }
    let (body, bindings) = inside(statement, spec, diagnostics);
    Some(Fact { word: statement.word.clone(), args, title, body, bindings, span: statement.span })
}

fn inside(
    statement: &Statement,
    spec: &'static Spec,
    diagnostics: &mut Vec<Diagnostic>,
) -> (Vec<Fact>, Vec<RawBinding>) {
    match (&statement.block, spec.body) {
        (Some(block), Some(allowed)) => {
            body(block.statements(), allowed, spec.open, spec.word, Some(statement.span), diagnostics)
        }
        (Some(_), None) => {
            diagnostics.push(
                Diagnostic::new(codes::BLOCK, statement.span, format!("'{}' has no block", spec.word))
                    .label("expected the end of the line here"),
            );
            (Vec::new(), Vec::new())
        }
        (None, Some(allowed)) => {
            body([].iter(), allowed, spec.open, spec.word, Some(statement.span), diagnostics)
        }
        (None, None) => (Vec::new(), Vec::new()),
    }
}

fn unknown(statement: &Statement, allowed: &'static [Spec], owner: &str) -> Diagnostic {
    let word = &statement.word;
    let words = || allowed.iter().chain(common()).map(|spec| spec.word);
    let diagnostic = Diagnostic::new(
        codes::UNKNOWN_STATEMENT,
        word.span,
        format!("no statement '{}' in {owner}", word.value),
    );
    match nearest(&word.value, words()) {
        Some(near) => diagnostic
            .label(format!("did you mean '{near}'?"))
            .help(format!("write '{near}'"))
            .patch(word.span, near),
        None => {
            let elsewhere = super::blocks::where_is(&word.value);
            let known = words().collect::<Vec<_>>().join(", ");
            let help = match elsewhere {
                Some(place) => format!("'{}' belongs in {place}; here may stand: {known}", word.value),
                None => format!("here may stand: {known}"),
            };
            diagnostic.label("not known here").help(help)
        }
    }
}

/// Reads a statement whose word only a recipe knows: names, or one quantity.
fn binding(
    statement: &Statement,
    allowed: &'static [Spec],
    diagnostics: &mut Vec<Diagnostic>,
) -> Option<RawBinding> {
    let mut binding =
        RawBinding { word: statement.word.clone(), names: Vec::new(), amount: None, span: statement.span };
    for value in &statement.values {
        match &value.value {
            Value::Name(name) => binding.names.push(Spanned::new(name.clone(), value.span)),
            Value::Comma(_) => {}
            Value::Number { value: number, unit } => {
                let dimension = unit
                    .as_ref()
                    .and_then(|unit| find(&unit.value))
                    .map_or(Dimension::Number, |unit| unit.dimension);
                let frames = unit.as_ref().is_some_and(|unit| unit.value.starts_with("frame"));
                let dimension = if frames { Dimension::Time } else { dimension };
                match measure(*number, unit.as_ref(), dimension, value.span) {
                    Ok(measure) if measure.value.is_finite() => {
                        binding.amount = Some(Spanned::new(measure, value.span));
                    }
                    Ok(_) => {
                        diagnostics.push(
                            Diagnostic::new(codes::RANGE, value.span, "this number is too large")
                                .label("no such amount"),
                        );
                        return None;
                    }
                    Err(wrong) => {
                        diagnostics.push(*wrong);
                        return None;
                    }
                }
            }
            other => {
                let mut wrong = Diagnostic::new(
                    codes::VALUE,
                    value.span,
                    format!("expected names of plates, or one quantity, after '{}'", statement.word.value),
                )
                .label(format!("this is {}", describe(other)));
                if let Some(near) = nearest(&statement.word.value, allowed.iter().map(|spec| spec.word)) {
                    wrong =
                        wrong.help(format!("did you mean '{near}' instead of '{}'?", statement.word.value));
                }
                diagnostics.push(wrong);
                return None;
            }
        }
    }
    if binding.names.is_empty() && binding.amount.is_none() {
        diagnostics.push(
            Diagnostic::new(
                codes::VALUE,
                statement.span,
                format!("expected names of plates, or a quantity, after '{}'", statement.word.value),
            )
            .label("missing here"),
        );
        return None;
    }
    Some(binding)
}
