//! The work of a note: passes in order, and clips to bring in.

use super::{Brought, Piece, Scope, Taken, Teller, needed};
use crate::model::PlateId;
use crate::packet::index::Index;
use crate::packet::views::footage::clip_name;
use crate::packet::views::passes::Wait;
use crate::packet::views::shape::{Told, fact};
use crate::recipe::{Owner, PassId};
use crate::rule::About;
use petgraph::Direction;

/// What rules speak of when they speak of a pass's owner.
pub(super) fn subject(owner: Owner) -> Option<About> {
    match owner {
        Owner::Plate(plate) => Some(About::Plate(plate)),
        Owner::Effect(effect) => Some(About::Effect(effect)),
        Owner::Join(join) => Some(About::Join(join)),
        Owner::Asset(asset) => Some(About::Asset(asset)),
        Owner::Sequence => None,
    }
}

/// Whether a number still says something once the footage is in.
fn lasts(told: &Told) -> bool {
    // Until when to shoot so that the light matches; a mismatch that stays is a finding.
    told.rule.text != "join-light"
}

/// The pass that brings a plate in.
fn ingest(index: &Index<'_>, plate: PlateId) -> Option<PassId> {
    index.owned(Owner::Plate(plate)).first().copied()
}

/// What is done with every clip: each line once, in the order of the first.
pub(super) fn bring_notes(index: &Index<'_>, bring: &[PassId]) -> Vec<String> {
    let mut notes: Vec<String> = Vec::new();
    for note in bring.iter().flat_map(|id| &index.input.breakdown.passes[*id].notes) {
        if !notes.contains(note) {
            notes.push(note.clone());
        }
    }
    notes
}

impl Teller<'_, '_> {
    pub(super) fn brought(&self, id: PassId) -> Brought {
        let row = self.passes.row(id);
        let plate = needed(self.index, id).first().copied();
        let desk = &self.index.input.plan.desk;
        let passes = &self.index.input.breakdown.passes;
        let first = self.index.feeds(id).iter().filter_map(|pass| Some((desk.done.get(pass)?, pass))).min();
        let first = first.map(|(_, pass)| &passes[*pass]);
        Brought {
            clip: plate.map_or_else(
                || crate::packet::views::shape::Link { text: row.owner.clone(), file: String::new() },
                |plate| self.index.plate_link(plate),
            ),
            file: plate.map(|plate| clip_name(self.index, plate)).unwrap_or_default(),
            hours: row.hours,
            start: row.start,
            due: row.due,
            first: first
                .map(|pass| format!("{}: {}", pass.title, self.index.owner_title(pass.owner)))
                .unwrap_or_default(),
        }
    }

    pub(super) fn piece(&self, id: PassId, scope: Scope) -> Piece {
        let index = self.index;
        let pass = &index.input.breakdown.passes[id];
        let row = self.passes.row(id);
        let mut facts = vec![fact("Hours", row.hours)];
        let mut said = |label: &str, value: &str| {
            if !value.is_empty() {
                facts.push(fact(label, value));
            }
        };
        match scope {
            Scope::Person => said("Department", &pass.department),
            Scope::Department => said("Who", &row.who),
        }
        said("Start", &row.start);
        said("Due", &row.due);
        said("Then", &row.after);
        said("Priority", &row.priority);
        if !row.critical {
            said("Can slip", &row.float);
        }
        let (method, story) = match pass.owner {
            Owner::Effect(effect) => {
                let beat = &index.model.beats[index.model.effects[effect].beat];
                (index.method(effect), beat.story.clone().unwrap_or_default())
            }
            Owner::Join(join) => (index.model.joins[join].kind.word().to_owned(), String::new()),
            _ => (String::new(), String::new()),
        };
        let mut notes = pass.notes.clone();
        if let Owner::Effect(effect) = pass.owner {
            notes.extend(index.model.effects[effect].named.notes.iter().cloned());
        }
        let set = index.told_all(subject(pass.owner).into_iter().chain([About::Pass(id)]));
        Piece {
            path: row.path,
            title: row.title,
            owner: row.owner,
            method,
            story,
            facts,
            critical: row.critical,
            unplanned: row.unplanned,
            notes,
            set: set.into_iter().filter(lasts).collect(),
            set_under: 0,
            inputs: needed(index, id).into_iter().map(|plate| self.taken(plate)).collect(),
            hand_over: Vec::new(),
            drawn: Vec::new(),
            waits: self.waits(id),
            feeds: self.passes.neighbours(id, Direction::Outgoing),
        }
    }

    fn taken(&self, plate: PlateId) -> Taken {
        let done = |pass: PassId| self.index.input.plan.desk.done.get(&pass);
        let from = match ingest(self.index, plate) {
            Some(pass) => {
                done(pass).map(|at| format!("in by {}", self.index.moment(*at))).unwrap_or_default()
            }
            None => self.index.shot_on(plate),
        };
        Taken { clip: self.index.plate_link(plate), file: clip_name(self.index, plate), from }
    }

    /// What a pass waits for besides the footage that it takes.
    fn waits(&self, id: PassId) -> Vec<Wait> {
        let passes = &self.index.input.breakdown.passes;
        let taken = needed(self.index, id);
        let mut stand = Vec::new();
        for plate in &taken {
            stand.push(self.index.plate(*plate).named.path.as_str());
            stand.extend(
                self.index.owned(Owner::Plate(*plate)).iter().map(|pass| passes[*pass].path.as_str()),
            );
        }
        let mut waits = self.passes.neighbours(id, Direction::Incoming);
        waits.retain(|wait| !stand.contains(&wait.path.as_str()));
        waits
    }
}
