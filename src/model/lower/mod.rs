//! Facts to model: names resolved, defaults filled in, spans kept.
//!
//! In: the facts of all files, one after the other. Out: [`Model`], always; a
//! part that is not whole is reported and left out, and what refers to it is
//! left out without a second complaint.

mod args;
mod curve;
mod kit;
mod names;
mod passes;
mod plate;
mod rolling;
mod settings;
mod story;
mod weather;
mod weights;

use super::{Model, Named, Waiver};
use crate::diagnostic::nearest::nearest;
use crate::diagnostic::{Diagnostic, codes};
use crate::schema::Fact;
use crate::source::Spanned;
use names::Names;

pub use curve::speed_curve;

/// Lowers facts. `rules` are the names that `accept` and `treat` may give.
pub fn lower(facts: &[Fact], rules: &[&str], diagnostics: &mut Vec<Diagnostic>) -> Model {
    let mut lower = Lower { facts, rules, names: Names::default(), diagnostics };
    let mut model = Model::empty(lower.sequence());
    lower.kit(&mut model);
    lower.story(&mut model);
    lower.passes(&mut model);
    lower.days(&mut model);
    lower.weights(&mut model);
    for fact in facts {
        let text = args::text(fact, 0);
        match fact.word.value.as_str() {
            "note" => model.notes.extend(text),
            "caution" => model.cautions.extend(text),
            "accept" => model.sequence.named.waivers.extend(lower.waiver(fact)),
            _ => {}
        }
    }
    for (kind, path, span) in lower.names.unused() {
        lower.diagnostics.push(
            Diagnostic::new(codes::UNUSED, span, format!("the {kind} '{path}' is declared and never used"))
                .label("nothing refers to it"),
        );
    }
    model
}

/// What lowering carries along.
struct Lower<'a> {
    facts: &'a [Fact],
    rules: &'a [&'a str],
    names: Names,
    diagnostics: &'a mut Vec<Diagnostic>,
}

impl<'a> Lower<'a> {
    /// The top-level facts with that word.
    fn top(&self, word: &'static str) -> impl Iterator<Item = &'a Fact> + use<'a> {
        self.facts.iter().filter(move |fact| fact.word.value == word)
    }

    /// Name, title, notes, cautions and waivers of a block.
    fn named(&mut self, fact: &Fact, path: impl Into<String>) -> Named {
        let span = args::name(fact, 0).map_or(fact.span, |name| name.span);
        let texts = |word: &'static str| {
            fact.all(word).filter_map(|line| args::text(line, 0)).map(|text| text.value).collect::<Vec<_>>()
        };
        Named {
            path: path.into(),
            title: fact.title.as_ref().map(|title| title.value.clone()),
            span,
            notes: texts("note"),
            cautions: texts("caution"),
            waivers: fact.all("accept").filter_map(|line| self.waiver(line)).collect(),
        }
    }

    fn waiver(&mut self, fact: &Fact) -> Option<Waiver> {
        let rule = self.rule(args::name(fact, 0)?)?;
        let reason = args::text(fact, 1)?;
        if reason.value.trim().is_empty() {
            self.diagnostics.push(
                Diagnostic::new(codes::VALUE, reason.span, "a waiver needs a reason")
                    .label("empty")
                    .help("say why it is acceptable here; the packet prints it"),
            );
            return None;
        }
        Some(Waiver { rule, reason: reason.value, span: fact.span })
    }

    /// A rule's name, if there is such a rule.
    fn rule(&mut self, name: &Spanned<String>) -> Option<String> {
        if self.rules.contains(&name.value.as_str()) {
            return Some(name.value.clone());
        }
        let mut wrong =
            Diagnostic::new(codes::UNKNOWN_NAME, name.span, format!("no rule is called '{}'", name.value))
                .label("not a rule");
        wrong = match nearest(&name.value, self.rules.iter().copied()) {
            Some(near) => wrong.help(format!("did you mean '{near}'?")).patch(name.span, near),
            None => wrong.help("'seamster explain' lists every rule"),
        };
        self.diagnostics.push(wrong);
        None
    }

    /// An error about a value.
    fn wrong(&mut self, diagnostic: Diagnostic) {
        self.diagnostics.push(diagnostic);
    }
}
