//! What was written, thing by thing.
//!
//! In: the checked statements. Out: [`Thing`]s, each with what is said of it.
//! Every statement of the language comes along by itself: what it means is
//! compared, and what was typed is shown.

use crate::Compiled;
use crate::model::{Model, Named};
use crate::recipe::Breakdown;
use crate::schema::{Arg, Fact, Measure};
use crate::source::{Sources, Span};
use std::collections::BTreeSet;

/// Something with a name, and what is said of it.
#[derive(Debug, Clone)]
pub(super) struct Thing {
    /// `plate`.
    pub(super) kind: &'static str,
    /// `leap.swoop`.
    pub(super) path: String,
    /// Empty where it has none.
    pub(super) title: String,
    /// In the order in which it stands.
    pub(super) said: Vec<Said>,
}

/// One line about a thing.
#[derive(Debug, Clone)]
pub(super) struct Said {
    /// `lasts`.
    pub(super) what: String,
    /// As it is shown: `7 s`.
    pub(super) text: String,
    /// As it is compared.
    pub(super) means: Vec<Token>,
}

/// A part of a meaning.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Token {
    /// A name, as a full path where something is called so.
    Name(String),
    /// Anything else.
    Value(String),
}

/// Everything that was written, in the order in which it stands.
pub(super) fn written(compiled: &Compiled) -> Vec<Thing> {
    let mut writing = Writing {
        sources: &compiled.sources,
        paths: paths(&compiled.model, &compiled.breakdown),
        things: Vec::new(),
        loose: Vec::new(),
    };
    for fact in &compiled.facts {
        writing.top(fact);
    }
    let Writing { mut things, loose, .. } = writing;
    if let Some(sequence) = things.iter_mut().find(|thing| thing.kind == "sequence") {
        sequence.said.extend(loose);
    }
    let own = compiled.library.entries().iter().filter_map(|entry| Some((entry, entry.file?)));
    things.extend(own.map(|(entry, file)| Thing {
        kind: "recipe",
        path: entry.recipe.recipe.clone(),
        title: entry.recipe.title.clone(),
        said: vec![Said {
            what: "file".to_owned(),
            text: compiled.sources.file(file).name.clone(),
            means: vec![Token::Value(format!("{:?}", entry.recipe))],
        }],
    }));
    things
}

/// Every path that a name may mean.
fn paths(model: &Model, breakdown: &Breakdown) -> BTreeSet<String> {
    let mut paths = BTreeSet::new();
    let mut add = |named: &Named| {
        paths.insert(named.path.clone());
    };
    model.places.values().for_each(|one| add(&one.named));
    model.marks.values().for_each(|one| add(&one.named));
    model.cameras.values().for_each(|one| add(&one.named));
    model.modes.values().for_each(|one| add(&one.named));
    model.rigs.values().for_each(|one| add(&one.named));
    model.screens.values().for_each(|one| add(&one.named));
    model.people.values().for_each(|one| add(&one.named));
    model.desks.values().for_each(|one| add(&one.named));
    model.props.values().for_each(|one| add(&one.named));
    model.looks.values().for_each(|one| add(&one.named));
    model.beats.values().for_each(|one| add(&one.named));
    model.effects.values().for_each(|one| add(&one.named));
    model.assets.values().for_each(|one| add(&one.named));
    breakdown.plates.values().for_each(|one| add(&one.named));
    paths
}

/// What is a thing of its own where it stands in that block, or at the top level.
fn thing_in(block: Option<&str>, word: &str) -> Option<&'static str> {
    let words: &[&'static str] = match block {
        None => &[
            "sequence", "place", "mark", "camera", "rig", "screen", "person", "desk", "prop", "look", "beat",
            "asset", "sound", "days", "day", "finish",
        ],
        Some("camera") => &["mode"],
        Some("beat") => &["plate", "effect", "join", "asset"],
        Some(_) => &[],
    };
    words.iter().find(|one| **one == word).copied()
}

/// Lines whose words are their own, and name nothing that is written elsewhere.
const PLAIN: &[&str] = &["hazard", "plays", "can", "does", "states", "reset", "layer", "objects"];

struct Writing<'a> {
    sources: &'a Sources,
    paths: BTreeSet<String>,
    things: Vec<Thing>,
    /// What stands at the top level and belongs to no thing.
    loose: Vec<Said>,
}

impl Writing<'_> {
    fn top(&mut self, fact: &Fact) {
        match thing_in(None, &fact.word.value) {
            Some(kind) => self.thing(kind, fact, None),
            // Where something stands changes nothing of what it means.
            None if fact.word.value == "use" => {}
            // What is said of a pass is told with the pass.
            None if fact.word.value == "pass" => {}
            None => {
                let said = self.said(fact, "", None);
                self.loose.push(said);
            }
        }
    }

    fn thing(&mut self, kind: &'static str, fact: &Fact, inside: Option<&str>) {
        let Some(path) = self.path(kind, fact, inside) else { return };
        let at = self.things.len();
        self.things.push(Thing {
            kind,
            path: path.clone(),
            title: fact.title.as_ref().map(|title| title.value.clone()).unwrap_or_default(),
            said: self.head(kind, fact),
        });
        let beat = if kind == "beat" { Some(path.as_str()) } else { inside };
        let mut said = Vec::new();
        for line in &fact.body {
            match thing_in(Some(kind), &line.word.value) {
                Some(inner) => self.thing(inner, line, Some(&path)),
                None if line.word.value == "pass" => {}
                None => self.lines(line, "", beat, &mut said),
            }
        }
        for binding in &fact.bindings {
            let names = binding.names.iter().map(|name| self.name(&binding.word.value, &name.value, beat));
            let amount = binding.amount.iter().map(|amount| Token::Value(measure(&amount.value)));
            said.push(Said {
                what: binding.word.value.clone(),
                text: self.behind(binding.word.span, binding.span),
                means: names.chain(amount).collect(),
            });
        }
        if let Some(thing) = self.things.get_mut(at) {
            thing.said.extend(said);
        }
    }

    /// A line, and those of its own block.
    fn lines(&self, line: &Fact, before: &str, beat: Option<&str>, said: &mut Vec<Said>) {
        if !line.args.is_empty() || line.body.is_empty() {
            said.push(self.said(line, before, beat));
        }
        let before = format!("{before}{} ", line.word.value);
        for inner in &line.body {
            self.lines(inner, &before, beat, said);
        }
    }

    fn said(&self, fact: &Fact, before: &str, beat: Option<&str>) -> Said {
        let mut means = Vec::new();
        fact.args.iter().for_each(|arg| self.tokens(&fact.word.value, arg, beat, &mut means));
        Said {
            what: format!("{before}{}", fact.word.value),
            text: self.behind(fact.word.span, fact.span),
            means,
        }
    }

    fn path(&self, kind: &str, fact: &Fact, inside: Option<&str>) -> Option<String> {
        let name = |at: usize| fact.args.get(at).and_then(Arg::name).map(|name| name.value.as_str());
        match kind {
            "sound" | "days" | "finish" => Some(kind.to_owned()),
            "day" => match fact.args.first() {
                Some(Arg::Date(date)) => Some(date.value.to_string()),
                _ => None,
            },
            "join" => {
                let side = |at| Some(self.resolve(name(at)?, inside));
                Some(format!("{}->{}", side(0)?, side(1)?))
            }
            _ => match inside {
                Some(inside) => Some(format!("{inside}.{}", name(0)?)),
                None => name(0).map(str::to_owned),
            },
        }
    }

    /// What the head of a block says besides the name.
    fn head(&self, kind: &str, fact: &Fact) -> Vec<Said> {
        let behind = match kind {
            "effect" => 1,
            "join" => 2,
            "days" | "finish" => return vec![self.said(fact, "", None)],
            _ => return Vec::new(),
        };
        let by = fact.args.get(behind).and_then(Arg::name);
        by.map(|by| Said {
            what: "by".to_owned(),
            text: by.value.clone(),
            means: vec![Token::Value(by.value.clone())],
        })
        .into_iter()
        .collect()
    }

    /// What stands behind a word, on one line.
    fn behind(&self, word: Span, whole: Span) -> String {
        let text = self.sources.text(Span { start: word.end.min(whole.end), ..whole });
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    }

    /// The full path of a name, as the model resolves it.
    fn resolve(&self, name: &str, beat: Option<&str>) -> String {
        let own = beat.map(|beat| format!("{beat}.{name}")).filter(|own| self.paths.contains(own));
        if let Some(own) = own {
            return own;
        }
        if self.paths.contains(name) {
            return name.to_owned();
        }
        let ending = format!(".{name}");
        let mut found = self.paths.iter().filter(|path| path.ends_with(&ending));
        match (found.next(), found.next()) {
            (Some(path), None) => path.clone(),
            _ => name.to_owned(),
        }
    }

    /// What a name means behind a word.
    fn name(&self, word: &str, name: &str, beat: Option<&str>) -> Token {
        if PLAIN.contains(&word) {
            Token::Value(name.to_owned())
        } else {
            Token::Name(self.resolve(name, beat))
        }
    }

    fn tokens(&self, word: &str, arg: &Arg, beat: Option<&str>, tokens: &mut Vec<Token>) {
        let value = |text: String| Token::Value(text);
        match arg {
            Arg::Name(name) => tokens.push(self.name(word, &name.value, beat)),
            Arg::Number(number) => tokens.push(value(measure(&number.value))),
            Arg::Text(text) => tokens.push(value(format!("{:?}", text.value))),
            Arg::Date(date) => tokens.push(value(date.value.to_string())),
            Arg::Clock(clock) => tokens.push(value(clock.value.to_string())),
            Arg::Size(size) => tokens.push(value(format!("{:?}", size.value))),
            Arg::Light(light) => tokens.push(value(format!("{:?}", light.value))),
            Arg::Group(parts) => parts.iter().for_each(|part| self.tokens(word, part, beat, tokens)),
            Arg::Absent => tokens.push(value("nothing".to_owned())),
            Arg::List(entries) => {
                entries.iter().flatten().for_each(|part| self.tokens(word, part, beat, tokens));
            }
            Arg::Range(from, to) => {
                self.tokens(word, from, beat, tokens);
                self.tokens(word, to, beat, tokens);
            }
        }
    }
}

/// Rounded so far that `1 min` and `60 s` are one, and `7 s` and `7.001 s` are not.
fn measure(measure: &Measure) -> String {
    let unit = if measure.frames { " frames" } else { "" };
    format!("{:.6}{unit} {:?}", measure.value, measure.dimension)
}
