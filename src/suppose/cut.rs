//! Statements without some beats, and without what refers to them.
//!
//! In: checked statements. Out: new ones. Of a list that names something of
//! such a beat, that name goes; a line that names nothing else goes whole, and
//! so does a join with one side in it. Whatever then lacks something says so
//! itself when the rest is compiled.

use crate::Compiled;
use crate::schema::{Arg, Fact, Part, ROOT, RawBinding, Spec};
use std::collections::BTreeSet;

/// Names that refer into the story are described so in the schema.
const STORY: [&str; 6] =
    ["beat", "plate", "effect", "asset", "beat, plate, effect or asset", "beat, plate or place"];

pub(super) fn without(facts: &[Fact], beats: &[&str], compiled: &Compiled) -> Vec<Fact> {
    if beats.is_empty() {
        return facts.to_vec();
    }
    let (model, breakdown) = (&compiled.model, &compiled.breakdown);
    let mut paths: BTreeSet<&str> = model.beats.values().map(|one| one.named.path.as_str()).collect();
    paths.extend(model.effects.values().map(|one| one.named.path.as_str()));
    paths.extend(model.assets.values().map(|one| one.named.path.as_str()));
    paths.extend(breakdown.plates.values().map(|one| one.named.path.as_str()));
    // A place may be named where a plate may be; its own name comes first.
    paths.extend(model.places.values().map(|one| one.named.path.as_str()));
    let cutting = Cutting { beats, paths };
    facts.iter().filter_map(|fact| cutting.fact(fact, ROOT, None)).collect()
}

struct Cutting<'a> {
    beats: &'a [&'a str],
    /// Everything of the story that has a name.
    paths: BTreeSet<&'a str>,
}

impl Cutting<'_> {
    /// What is left of a statement that stands in that beat.
    fn fact(&self, fact: &Fact, specs: &'static [Spec], beat: Option<&str>) -> Option<Fact> {
        let word = fact.word.value.as_str();
        let own = fact.args.first().and_then(Arg::name).map(|name| name.value.as_str());
        if word == "beat" && own.is_some_and(|own| self.beats.contains(&own)) {
            return None;
        }
        let Some(spec) = specs.iter().chain(crate::schema::COMMON).find(|spec| spec.word == word) else {
            return Some(fact.clone());
        };
        // The head of a block gives a name and refers to none, except that of a join.
        let args = if spec.body.is_some() && word != "join" {
            fact.args.clone()
        } else {
            let parts = spec.parts.iter().filter(|part| !is_silent(part));
            fact.args.iter().zip(parts).map(|(arg, part)| self.arg(arg, part, beat)).collect::<Option<_>>()?
        };
        let beat = if word == "beat" { own } else { beat };
        let inside = spec.body.unwrap_or(&[]);
        Some(Fact {
            args,
            body: fact.body.iter().filter_map(|line| self.fact(line, inside, beat)).collect(),
            bindings: fact.bindings.iter().filter_map(|one| self.binding(one, beat)).collect(),
            ..fact.clone()
        })
    }

    fn arg(&self, arg: &Arg, part: &Part, beat: Option<&str>) -> Option<Arg> {
        match (arg, part) {
            (Arg::Name(name), Part::Name(kind)) if STORY.contains(kind) => {
                (!self.is_gone(&name.value, beat)).then(|| arg.clone())
            }
            (Arg::List(entries), Part::List(parts)) => {
                let keep = |entry: &Vec<Arg>| {
                    let parts = parts.iter().filter(|part| !is_silent(part));
                    entry
                        .iter()
                        .zip(parts)
                        .map(|(arg, part)| self.arg(arg, part, beat))
                        .collect::<Option<_>>()
                };
                let left: Vec<Vec<Arg>> = entries.iter().filter_map(keep).collect();
                (!left.is_empty()).then_some(Arg::List(left))
            }
            _ => Some(arg.clone()),
        }
    }

    fn binding(&self, binding: &RawBinding, beat: Option<&str>) -> Option<RawBinding> {
        let names = binding.names.iter().filter(|name| !self.is_gone(&name.value, beat)).cloned();
        let names: Vec<_> = names.collect();
        let goes = names.is_empty() && !binding.names.is_empty();
        (!goes).then(|| RawBinding { names, ..binding.clone() })
    }

    /// Whether a name means something of a beat that is cut, as names are looked up: one
    /// of its own beat first, then a full path, then a last word that only one has.
    fn is_gone(&self, name: &str, beat: Option<&str>) -> bool {
        let cut = |path: &str| self.beats.contains(&path.split('.').next().unwrap_or(path));
        if beat.is_some_and(|beat| self.paths.contains(format!("{beat}.{name}").as_str())) {
            return false;
        }
        if self.paths.contains(name) {
            return cut(name);
        }
        let ending = format!(".{name}");
        let mut found = self.paths.iter().filter(|path| path.ends_with(&ending));
        matches!((found.next(), found.next()), (Some(path), None) if cut(path))
    }
}

/// Parts that give no value.
fn is_silent(part: &Part) -> bool {
    matches!(part, Part::Word(_) | Part::Comma | Part::Arrow)
}
