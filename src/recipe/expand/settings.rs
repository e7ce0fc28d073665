//! What the writer says of passes, laid over what the recipes say: priorities of
//! beats, then single passes.

use super::Expansion;
use crate::diagnostic::nearest::nearest;
use crate::diagnostic::{Diagnostic, codes};
use crate::model::{BeatId, PassSetting};
use crate::recipe::breakdown::{Owner, Pass, PassId, Priority};
use crate::source::Span;
use std::collections::BTreeMap;

/// How a value came about that stands in the sequence.
const WRITTEN: &str = "as written";

impl Expansion<'_> {
    /// Applies them to the passes, of which there are no more to come.
    pub(super) fn apply_settings(&mut self) {
        for id in self.out.passes.ids() {
            let beat = self.beat_of(&self.out.passes[id]);
            let rank = beat.and_then(|beat| Some((beat, self.model.beats[beat].priority?)));
            self.out.passes[id].priority =
                rank.map(|(beat, rank)| Priority { rank: rank.value, beat: Some(beat), span: rank.span });
        }
        let mut first: BTreeMap<PassId, Span> = BTreeMap::new();
        for setting in &self.model.passes {
            let Some(id) = self.pass_named(setting) else {
                self.unknown(setting);
                continue;
            };
            if let Some(&before) = first.get(&id) {
                let message = format!("the pass '{}' is changed twice", self.out.passes[id].path);
                let wrong = Diagnostic::new(codes::DUPLICATE, setting.named.span, message);
                self.diagnostics.push(wrong.label("changed again").other(before, "changed here first"));
                continue;
            }
            first.insert(id, setting.named.span);
            self.set(id, setting);
        }
    }

    fn set(&mut self, id: PassId, setting: &PassSetting) {
        let pass = &mut self.out.passes[id];
        if let Some(effort) = setting.effort {
            let wrong = |message: String| Diagnostic::new(codes::VALUE, effort.span, message);
            if pass.lock {
                let message = format!("'{}' is a moment and takes no work", pass.path);
                self.diagnostics.push(wrong(message).label("no work").help("remove the line"));
            } else if pass.effort_from == WRITTEN {
                let message = format!("the effort of '{}' is written twice", pass.path);
                let help = "keep it here or in the block that the pass belongs to";
                self.diagnostics.push(wrong(message).label("written again").help(help));
            } else {
                (pass.effort, pass.effort_from) = (effort.value, WRITTEN.to_owned());
            }
        }
        if let Some(render) = setting.render {
            (pass.after.render, pass.after.render_from) = (render.value, WRITTEN.to_owned());
        }
        if let Some(review) = setting.review {
            (pass.after.review, pass.after.pace) = review.value;
            pass.after.review_from = WRITTEN.to_owned();
        }
        if let Some(rank) = setting.priority {
            pass.priority = Some(Priority { rank: rank.value, beat: None, span: rank.span });
        }
        pass.notes.extend(setting.named.notes.iter().cloned());
    }

    /// The pass that a block means: in its beat, or from the top.
    fn pass_named(&self, setting: &PassSetting) -> Option<PassId> {
        let written = setting.named.path.as_str();
        let within = |name: &str| match &setting.beat {
            Some(beat) => vec![format!("{beat}.{name}"), name.to_owned()],
            None => vec![name.to_owned()],
        };
        let paths: Vec<String> = match written.split_once("->") {
            Some((from, to)) => within(from)
                .iter()
                .flat_map(|from| within(to).into_iter().map(move |to| format!("{from}->{to}")))
                .collect(),
            None => within(written),
        };
        paths
            .iter()
            .find_map(|path| self.out.passes.iter().find(|(_, pass)| pass.path == *path).map(|(id, _)| id))
    }

    fn unknown(&mut self, setting: &PassSetting) {
        let written = setting.named.path.as_str();
        let span = setting.named.span;
        let wrong = Diagnostic::new(codes::UNKNOWN_NAME, span, format!("no pass is called '{written}'"));
        let begins = |path: &&str| path.strip_prefix(written).is_some_and(|rest| rest.starts_with('.'));
        let paths: Vec<&str> = self.out.passes.values().map(|pass| pass.path.as_str()).collect();
        let own: Vec<&str> = paths.iter().copied().filter(begins).take(8).collect();
        let inside = setting.beat.as_ref().map(|beat| format!("{beat}."));
        let short = paths.iter().filter_map(|path| path.strip_prefix(inside.as_deref()?));
        let near = nearest(written, paths.iter().copied().chain(short));
        let wrong = wrong.label("not a pass at the desk");
        self.diagnostics.push(match (own.is_empty(), near) {
            (false, _) => wrong.help(format!("its passes are {}", own.join(", "))),
            (true, Some(near)) => wrong.help(format!("did you mean '{near}'?")).patch(span, near),
            (true, None) => wrong.help("'seamster why FILE' lists every pass"),
        });
    }

    fn beat_of(&self, pass: &Pass) -> Option<BeatId> {
        match pass.owner {
            Owner::Plate(plate) => Some(self.out.plates[plate].beat),
            Owner::Effect(effect) => Some(self.model.effects[effect].beat),
            Owner::Join(join) => Some(self.out.plates[self.model.joins[join].to].beat),
            Owner::Asset(asset) => {
                let (beat, _) = self.model.assets[asset].named.path.rsplit_once('.')?;
                self.model.beats.iter().find(|(_, one)| one.named.path == beat).map(|(id, _)| id)
            }
            Owner::Sequence => None,
        }
    }
}
