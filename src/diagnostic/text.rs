//! Diagnostics as text for a terminal.
//!
//! In: diagnostics and the files that they speak of. Out: styled text; whoever
//! prints it takes the styles out where they are not wanted. No control
//! character of a file, a title or a path reaches the text as it is.

use super::{Diagnostic, Label, Patch, Severity};
use crate::source::{Sources, Span};
use annotate_snippets::renderer::DecorStyle;
use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};
use std::borrow::Cow;
use std::ops::Range;

/// Most findings that are shown; whoever wants all of more takes JSON.
pub const MOST: usize = 300;
/// Places that are at most so many lines apart are shown in one excerpt.
const NEAR: usize = 6;
/// Longer excerpts, in bytes, are cut around the words at fault.
const LONGEST: usize = 4000;
/// What a cut excerpt keeps before and after the words at fault, in bytes.
const AROUND: usize = 120;

/// The findings, each with its lines, and an empty line after each. With more
/// than [`MOST`], errors are shown first, and a last line says how many are not.
/// `width` is that of the terminal in columns.
pub fn render(sources: &Sources, diagnostics: &[Diagnostic], width: usize) -> String {
    let renderer = Renderer::styled().decor_style(DecorStyle::Ascii).term_width(width.max(40));
    let mut text = String::new();
    for diagnostic in chosen(diagnostics) {
        text.push_str(&renderer.render(&groups(sources, diagnostic)));
        text.push_str("\n\n");
    }
    let left = diagnostics.len().saturating_sub(MOST);
    if left > 0 {
        text.push_str(&format!("{left} more are not shown; `--format json` lists all\n"));
    }
    text
}

/// `2 errors, 1 warning`; empty when there is nothing to count.
pub fn summary(diagnostics: &[Diagnostic]) -> String {
    let counts = [Severity::Error, Severity::Warning, Severity::Note].map(|severity| {
        match diagnostics.iter().filter(|one| one.severity == severity).count() {
            0 => None,
            1 => Some(format!("1 {}", severity.word())),
            many => Some(format!("{many} {}s", severity.word())),
        }
    });
    counts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// A text in which every control character, and every character that turns the
/// direction of writing, is shown as a sign; line breaks and tabs stay.
pub fn plain(text: &str) -> Cow<'_, str> {
    if !text.chars().any(is_control) {
        return Cow::Borrowed(text);
    }
    Cow::Owned(
        text.chars()
            .map(|letter| match letter {
                // The signs for control characters stand in the same order as these.
                '\0'..='\u{1f}' if is_control(letter) => {
                    char::from_u32(0x2400 + u32::from(letter)).unwrap_or('\u{fffd}')
                }
                '\u{7f}' => '\u{2421}',
                _ if is_control(letter) => '\u{fffd}',
                _ => letter,
            })
            .collect(),
    )
}

fn is_control(letter: char) -> bool {
    (letter.is_control() && !matches!(letter, '\n' | '\t'))
        || matches!(letter, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// The findings to show, in their order.
fn chosen(diagnostics: &[Diagnostic]) -> Vec<&Diagnostic> {
    let mut chosen: Vec<(usize, &Diagnostic)> = diagnostics.iter().enumerate().collect();
    if chosen.len() > MOST {
        chosen.sort_by_key(|(at, diagnostic)| (std::cmp::Reverse(diagnostic.severity), *at));
        chosen.truncate(MOST);
        chosen.sort_by_key(|(at, _)| *at);
    }
    chosen.into_iter().map(|(_, diagnostic)| diagnostic).collect()
}

fn groups<'a>(sources: &'a Sources, diagnostic: &'a Diagnostic) -> Vec<Group<'a>> {
    let level = match diagnostic.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
        Severity::Note => Level::NOTE,
    };
    let mut main = Group::with_title(level.primary_title(plain(&diagnostic.message)).id(diagnostic.code.id));
    if let Some(span) = diagnostic.span {
        for excerpt in excerpts(sources, span, &diagnostic.label, &diagnostic.others) {
            main = main.elements(excerpt.origin).element(excerpt.snippet);
        }
    }
    for note in &diagnostic.notes {
        main = main.element(Level::NOTE.message(plain(note)));
    }
    let patch = diagnostic.patch.as_ref().and_then(|patch| suggestion(sources, patch, diagnostic));
    if let (None, Some(help)) = (&patch, &diagnostic.help) {
        main = main.element(Level::HELP.message(plain(help)));
    }
    let explain = format!("seamster explain {}", diagnostic.code.name);
    main = main.element(Level::NOTE.with_name("explain").message(explain));
    std::iter::once(main).chain(patch).collect()
}

/// The mend, shown as the line that it makes.
fn suggestion<'a>(sources: &'a Sources, patch: &'a Patch, diagnostic: &'a Diagnostic) -> Option<Group<'a>> {
    let window = Window::around(sources, patch.span);
    if window.cut {
        return None;
    }
    let title = diagnostic.help.as_deref().unwrap_or("write it so");
    let snippet = Snippet::source(shown(sources, patch.span, &window.bytes)?)
        .line_start(window.line)
        .patch(annotate_snippets::Patch::new(window.inside(patch.span), plain(&patch.text)));
    Some(Group::with_title(Level::HELP.secondary_title(plain(title))).element(snippet))
}

/// A place in a file, with the lines around it.
struct Excerpt<'a> {
    /// The true place, where the snippet cannot tell it.
    origin: Option<Origin<'a>>,
    snippet: Snippet<'a, annotate_snippets::Annotation<'a>>,
}

/// The words at fault and all other places, those near each other together.
fn excerpts<'a>(sources: &'a Sources, at: Span, label: &'a str, others: &'a [Label]) -> Vec<Excerpt<'a>> {
    let line = |span: Span| sources.position(span).line;
    let near = |other: &&Label| other.span.file == at.file && line(other.span).abs_diff(line(at)) <= NEAR;
    let mut window = Window::around(sources, at);
    let mut beside: Vec<&Label> = Vec::new();
    for other in others.iter().filter(near) {
        let wider = Window::around(sources, at.to(other.span)).or(&window);
        if !wider.cut {
            window = wider;
            beside.push(other);
        }
    }
    let apart = others.iter().filter(|other| !beside.iter().any(|one| std::ptr::eq(*one, *other)));
    let first = excerpt(sources, at, &window, Some(label), &beside);
    let rest =
        apart.map(|other| excerpt(sources, other.span, &Window::around(sources, other.span), None, &[other]));
    std::iter::once(first).chain(rest).flatten().collect()
}

fn excerpt<'a>(
    sources: &'a Sources,
    at: Span,
    window: &Window,
    primary: Option<&'a str>,
    others: &[&'a Label],
) -> Option<Excerpt<'a>> {
    let named = |label: &'a str| (!label.is_empty()).then(|| plain(label));
    let name = plain(&sources.file(at.file).name);
    let mut snippet = Snippet::source(shown(sources, at, &window.bytes)?).line_start(window.line);
    let mut origin = None;
    if window.cut {
        let position = sources.position(at);
        origin = Some(Origin::path(name).line(position.line).char_column(position.column));
    } else {
        snippet = snippet.path(name);
    }
    if let Some(label) = primary {
        snippet = snippet.annotation(AnnotationKind::Primary.span(window.inside(at)).label(named(label)));
    }
    for other in others {
        let span = window.inside(other.span);
        snippet = snippet.annotation(AnnotationKind::Context.span(span).label(named(&other.text)));
    }
    Some(Excerpt { origin, snippet })
}

/// Whole lines around a span, or a part of one where they are too long.
struct Window {
    bytes: Range<usize>,
    /// Number of its first line.
    line: usize,
    /// Whether it is not whole lines.
    cut: bool,
}

impl Window {
    fn around(sources: &Sources, span: Span) -> Window {
        let text = &sources.file(span.file).text;
        let (start, end) = (span.start as usize, span.end as usize);
        let line = sources.position(span).line;
        let before = text.get(..start).unwrap_or("");
        let first = before.rfind('\n').map_or(0, |at| at + 1);
        let rest = text.get(end.max(start)..).unwrap_or("");
        let last = text.len() - rest.len() + rest.find('\n').unwrap_or(rest.len());
        if last - first <= LONGEST {
            return Window { bytes: first..last, line, cut: false };
        }
        let mut from = start.saturating_sub(AROUND).max(first);
        let mut to = (start + AROUND).min(last);
        while !text.is_char_boundary(from) {
            from += 1;
        }
        while !text.is_char_boundary(to) {
            to += 1;
        }
        // Only the line of the start: what follows would be told under a wrong number.
        to = text.get(start..to).and_then(|part| part.find('\n')).map_or(to, |at| start + at);
        Window { bytes: from..to.max(start), line, cut: true }
    }

    /// The window that holds this one and another of the same file.
    fn or(self, other: &Window) -> Window {
        Window {
            bytes: self.bytes.start.min(other.bytes.start)..self.bytes.end.max(other.bytes.end),
            line: self.line.min(other.line),
            cut: self.cut || other.cut,
        }
    }

    /// A span in bytes of the window.
    fn inside(&self, span: Span) -> Range<usize> {
        let within = |at: u32| (at as usize).clamp(self.bytes.start, self.bytes.end) - self.bytes.start;
        within(span.start)..within(span.end).max(within(span.start))
    }
}

/// The text of a window. What would steer a terminal and is not replaced by the
/// renderer is replaced here by signs of the same length, so that spans hold.
fn shown<'a>(sources: &'a Sources, at: Span, bytes: &Range<usize>) -> Option<Cow<'a, str>> {
    let text = sources.file(at.file).text.get(bytes.clone())?;
    let steers = |letter: char| matches!(letter, '\u{80}'..='\u{9f}' | '\u{200e}' | '\u{200f}');
    if !text.contains(steers) {
        return Some(Cow::Borrowed(text));
    }
    let replaced = text.chars().map(|letter| match letter {
        '\u{80}'..='\u{9f}' => '\u{b7}',
        '\u{200e}' | '\u{200f}' => '\u{fffd}',
        _ => letter,
    });
    Some(Cow::Owned(replaced.collect()))
}

#[cfg(test)]
mod tests;
