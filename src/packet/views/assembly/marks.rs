//! What is told at a frame: beats, owed footage, joins, speeds, sound, passes, notes.
//!
//! Every pass but bringing clips in, and every cue, is told once: at the first
//! piece that it belongs to, else at the whole. Marks of one piece lie a frame
//! apart, so that none covers another.

use super::{Item, Mark, MarkKind, Plan, unplanned};
use crate::model::{BeatId, EffectId, JoinKind, PlateId};
use crate::packet::index::Index;
use crate::quantity::Share;
use crate::recipe::{Owner, Pass, PassId};

/// What is to be told at one piece.
type Told = (MarkKind, String, String);

/// Marks every piece and gives what belongs to the whole.
pub(super) fn put(index: &Index<'_>, plan: &[Plan], items: &mut [Item]) -> Vec<Mark> {
    let mut teller = Teller { index, plan, pieces: vec![Vec::new(); plan.len()], whole: Vec::new() };
    teller.pieces();
    teller.sound();
    for (id, pass) in index.input.breakdown.passes.iter() {
        teller.pass(id, pass);
    }
    for (item, mut told) in items.iter_mut().zip(teller.pieces) {
        told.sort_by_key(|(kind, ..)| *kind);
        item.marks = marks(told, item.frames);
    }
    let frames = items.last().map_or(1, |last| last.at + last.frames);
    marks(teller.whole, frames)
}

fn marks(told: Vec<Told>, frames: u64) -> Vec<Mark> {
    let marks = told.into_iter().zip(0..).map(|((kind, title, says), at)| Mark {
        kind,
        title,
        says,
        at: u64::min(at, frames.saturating_sub(1)),
    });
    marks.collect()
}

struct Teller<'t, 'a> {
    index: &'t Index<'a>,
    plan: &'t [Plan],
    pieces: Vec<Vec<Told>>,
    whole: Vec<Told>,
}

impl Teller<'_, '_> {
    fn tell(&mut self, at: Option<usize>, kind: MarkKind, title: String, says: String) {
        match at.and_then(|at| self.pieces.get_mut(at)) {
            Some(piece) => piece.push((kind, title, says)),
            None => self.whole.push((kind, title, says)),
        }
    }

    fn of_plate(&self, id: PlateId) -> Option<usize> {
        self.plan.iter().position(|piece| piece.plate == Some(id))
    }

    fn of_beat(&self, id: BeatId) -> Option<usize> {
        self.plan.iter().position(|piece| piece.beat == id)
    }

    /// The piece whose plate the effect is bound to, else the first of its beat.
    fn of_effect(&self, id: EffectId) -> Option<usize> {
        let roles = self.index.input.breakdown.roles.iter().filter(|role| role.effect == id);
        let mut plates = roles.flat_map(|role| &role.plates);
        plates
            .find_map(|plate| self.of_plate(*plate))
            .or_else(|| self.of_beat(self.index.model.effects[id].beat))
    }

    /// Beats, owed footage, joins, speeds and notes.
    fn pieces(&mut self) {
        let (index, model) = (self.index, self.index.model);
        let mut last = None;
        for (at, piece) in self.plan.iter().enumerate() {
            if last.replace(piece.beat) != Some(piece.beat) {
                let beat = &model.beats[piece.beat];
                let story = beat.story.clone().unwrap_or_default();
                self.tell(Some(at), MarkKind::Beat, format!("Beat: {}", beat.named.label()), story);
            }
            let Some(id) = piece.plate else {
                let title = format!("Owed: {}", model.beats[piece.beat].named.label());
                self.tell(Some(at), MarkKind::Owed, title, "no plate of it is written".to_owned());
                continue;
            };
            let named = &index.plate(id).named;
            let reasons = unplanned(index, id);
            if !reasons.is_empty() {
                self.tell(Some(at), MarkKind::Owed, format!("Owed: {}", named.label()), reasons.join("; "));
            }
            if let Some(join) = piece.join.filter(|join| model.joins[*join].kind != JoinKind::Dissolve) {
                let kind = model.joins[join].kind.word();
                let says = "a fade stands in for it until its passes are done".to_owned();
                self.tell(
                    Some(at),
                    MarkKind::Join,
                    format!("Join: {kind}, {}", index.join_title(join)),
                    says,
                );
            }
            self.speeds(at, id);
            for note in &named.notes {
                self.tell(Some(at), MarkKind::Note, format!("Note: {note}"), String::new());
            }
        }
    }

    /// Speeds that change, and those of objects that each run at their own.
    fn speeds(&mut self, at: usize, plate: PlateId) {
        for effect in self.index.model.effects.values().filter(|effect| effect.retimes() == Some(plate)) {
            let points: Vec<String> = if effect.each_its_own_speed() {
                effect.speed.iter().map(|point| point.speed.to_string()).collect()
            } else if effect.speed.windows(2).any(|pair| matches!(pair, [one, two] if one.speed != two.speed))
            {
                effect.speed.iter().map(|point| format!("{} at {} of it", point.speed, point.at)).collect()
            } else {
                continue;
            };
            let (title, says) = if effect.each_its_own_speed() {
                (
                    format!("Speed: each object on its own, {}", points.join(" to ")),
                    "the plate runs as captured",
                )
            } else {
                let mean = Share(crate::craft::retime::mean_speed(&effect.speed));
                (
                    format!("Speed: a curve, {}; mean {mean}", points.join(", ")),
                    "the mean stands in for the curve",
                )
            };
            self.tell(Some(at), MarkKind::Speed, title, says.to_owned());
        }
    }

    /// The writer's cues and those that recipes suggest.
    fn sound(&mut self) {
        let (model, breakdown) = (self.index.model, self.index.input.breakdown);
        let title = |text: &str| format!("Sound: {text}");
        for cue in &model.sound.cues {
            self.tell(self.of_beat(cue.beat), MarkKind::Sound, title(&cue.text), String::new());
        }
        for (_, text, effect) in &breakdown.cues {
            let says = model.effect_label(*effect);
            self.tell(self.of_effect(*effect), MarkKind::Sound, title(text), says);
        }
        for (join, text) in &breakdown.join_cues {
            let at = self.of_plate(model.joins[*join].to);
            self.tell(at, MarkKind::Sound, title(text), self.index.join_title(*join));
        }
    }

    /// A pass, unless it only brings a clip in: the ingest list has those.
    fn pass(&mut self, id: PassId, pass: &Pass) {
        let (index, model) = (self.index, self.index.model);
        let at = match pass.owner {
            Owner::Plate(_) => return,
            Owner::Effect(effect) => self.of_effect(effect),
            Owner::Join(join) => self.of_plate(model.joins[join].to),
            Owner::Asset(_) => pass.inputs.iter().find_map(|plate| self.of_plate(*plate)),
            Owner::Sequence => None,
        };
        let title = format!("Pass: {} ({})", pass.title, pass.department);
        let planned = index.assigned(id).map_or("in no plan".to_owned(), |work| {
            format!("{}, due {}", model.desks[work.desk].named.label(), index.moment(work.end))
        });
        let says = if pass.lock { pass.path.clone() } else { format!("{}; {planned}", pass.path) };
        self.tell(at, MarkKind::Pass, title, says);
    }
}
