//! Handoff notes: one for each person at the desk and one for each department,
//! for someone who was never there.
//!
//! In: passes, footage, findings and the cut, looked up through the index. Out:
//! [`Handoff`]: what is out of tolerance and what to ask for first, then the
//! work in order, then the footage with what was measured. Whoever works on the
//! whole picture gets it in story order: the editor as the cut, sound as cues,
//! the grade by light.

use super::assembly::Assembly;
use super::desk::about;
use super::hand_over::drawn;
use super::passes::{Passes, Wait, is_ingest, order};
use super::plate_card::Asked;
use super::plate_facts::rate;
use super::shape::{Fact, Found, Link, Told, WaivedView, count, fact};
use crate::model::{DeskId, PlateId};
use crate::packet::index::Index;
use crate::packet::names::Names;
use crate::quantity::{Seconds, show};
use crate::recipe::{Owner, PassId};
use crate::rule::About;
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

mod ask;
mod piece;
mod source;
mod whole;

use whole::{CutRow, Graded, Heard, Part};

/// A handoff note.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Handoff {
    /// Name of the document without ending.
    pub file: String,
    /// `Ilse`, or `track`.
    pub title: String,
    /// `person` or `department`.
    pub scope: String,
    /// How much there is to do, in a sentence.
    pub hours: String,
    /// What the sequence is, for someone who was never there.
    pub sequence: Vec<Fact>,
    /// Hours, departments, days away; for a department, who does it.
    pub about: Vec<Fact>,
    /// What is out of tolerance, and by how much.
    pub found: Vec<Found>,
    /// What is out of tolerance and was accepted, with the writer's reason.
    pub accepted: Vec<WaivedView>,
    /// What to ask for before starting: what is owed, was not measured or not said.
    pub ask: Vec<Fact>,
    /// The cut, for whoever assembles it; else empty.
    pub cut: Vec<CutRow>,
    /// What is heard when, for whoever makes the sound; else empty.
    pub heard: Vec<Heard>,
    /// Which light each piece was shot in, for whoever grades; else empty.
    pub graded: Vec<Graded>,
    /// Footage to bring in, in order; what is said for all of it stands in `bring_notes`.
    pub bring: Vec<Brought>,
    /// What to do with every clip that is brought in.
    pub bring_notes: Vec<String>,
    /// The other passes, in order.
    pub passes: Vec<Piece>,
    /// The footage and references of these passes, each once.
    pub sources: Vec<Source>,
}

/// A clip to bring in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Brought {
    /// The card.
    pub clip: Link,
    /// What to call the file.
    pub file: String,
    /// Work, in hours.
    pub hours: String,
    /// When it starts; empty when not planned.
    pub start: String,
    /// When it is due; empty when not planned.
    pub due: String,
    /// Who waits for it first; empty where nobody does.
    pub first: String,
}

/// One pass to do.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Piece {
    /// Its path.
    pub path: String,
    /// What is done.
    pub title: String,
    /// What it belongs to.
    pub owner: String,
    /// The method's title; empty for what is no effect.
    pub method: String,
    /// What happens in the story; empty where not said.
    pub story: String,
    /// Hours, who where it is not said at the head, start, due, float.
    pub facts: Vec<Fact>,
    /// Whether it cannot slip.
    pub critical: bool,
    /// Whether it is in no plan.
    pub unplanned: bool,
    /// What to do.
    pub notes: Vec<String>,
    /// Settings computed for the effect, join or asset; with the first pass of those that
    /// have the same, else empty.
    pub set: Vec<Told>,
    /// The number of that first pass in this note; 0 where it is this one, or none is set.
    pub set_under: usize,
    /// The footage it takes.
    pub inputs: Vec<Taken>,
    /// The card of the hand-over that it makes, whose drawings stand here; with the
    /// first pass of each join that has any, else empty.
    pub hand_over: Vec<Link>,
    /// What those drawings show, in words.
    pub drawn: Vec<String>,
    /// What else it waits for.
    pub waits: Vec<Wait>,
    /// What waits for it.
    pub feeds: Vec<Wait>,
}

/// Footage that a pass takes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Taken {
    /// The card.
    pub clip: Link,
    /// What the file is called.
    pub file: String,
    /// `in by Sat 15 May, 21:33`; for what nobody brings in, when it is shot; empty when not planned.
    pub from: String,
}

/// A plate or reference as the desk gets it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Source {
    /// Its path.
    pub path: String,
    /// The card.
    pub plate: Link,
    /// `clean plate`, …
    pub kind: String,
    /// File, camera, view, steadying, length, and when it is shot; what the logs say of its takes.
    pub facts: Vec<Fact>,
    /// Whether it is captured.
    pub captured: bool,
    /// Heights, angles and distances as planned, of which no log gives a measured one.
    pub planned: Vec<Fact>,
    /// What was asked of it on location for this work: what to look for in the takes.
    pub demands: Vec<Asked>,
    /// What rules computed for it that the desk can use.
    pub set: Vec<Told>,
    /// Notes.
    pub notes: Vec<String>,
}

/// The notes' names, by person.
pub(crate) fn links(index: &Index<'_>) -> BTreeMap<DeskId, Link> {
    let mut names = Names::default();
    index
        .model
        .desks
        .iter()
        .map(|(id, desk)| {
            let file = names.give("handoff", &format!("for-{}", desk.named.path));
            (id, Link { text: desk.named.label().to_owned(), file })
        })
        .collect()
}

/// Every note: persons in order, then departments by name.
pub(crate) fn notes(
    index: &Index<'_>,
    passes: &Passes<'_>,
    links: &BTreeMap<DeskId, Link>,
    assembly: &Assembly,
) -> Vec<Handoff> {
    let teller = Teller { index, passes, assembly };
    let order = order(index);
    let mut notes = Vec::new();
    for (id, link) in links {
        let mut theirs = order.clone();
        theirs.retain(|pass| index.assigned(*pass).is_some_and(|work| work.desk == *id));
        notes.push(teller.note(link.clone(), Scope::Person, about(index, *id), &theirs));
    }
    let mut departments: BTreeMap<&str, Vec<PassId>> = BTreeMap::new();
    for id in &order {
        let pass = &index.input.breakdown.passes[*id];
        // Moments such as the lock are nobody's work.
        if !pass.lock {
            departments.entry(&pass.department).or_default().push(*id);
        }
    }
    let mut names = Names::default();
    for (department, theirs) in departments {
        let file = names.give("handoff", &format!("department-{department}"));
        let link = Link { text: department.to_owned(), file };
        notes.push(teller.note(link, Scope::Department, who_does(index, department), &theirs));
    }
    notes
}

fn who_does(index: &Index<'_>, department: &str) -> Vec<Fact> {
    let people: Vec<String> = index
        .model
        .desks
        .values()
        .filter(|desk| desk.does.iter().any(|does| does.value == department))
        .map(|desk| desk.named.label().to_owned())
        .collect();
    let people =
        if people.is_empty() { "nobody at this desk".to_owned() } else { super::shape::and(&people) };
    vec![fact("Done by", people)]
}

/// Whom a note is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Scope {
    Person,
    Department,
}

/// What every part of a note looks up.
struct Teller<'t, 'a> {
    index: &'t Index<'a>,
    passes: &'t Passes<'a>,
    assembly: &'t Assembly,
}

impl Teller<'_, '_> {
    fn note(&self, link: Link, scope: Scope, about: Vec<Fact>, theirs: &[PassId]) -> Handoff {
        let index = self.index;
        let all = &index.input.breakdown.passes;
        let (bring, work): (Vec<PassId>, Vec<PassId>) = theirs.iter().partition(|id| is_ingest(&all[**id]));
        let mut plates: Vec<PlateId> = Vec::new();
        for plate in work.iter().flat_map(|pass| needed(index, *pass)) {
            if !plates.contains(&plate) {
                plates.push(plate);
            }
        }
        let parts = whole::parts(index, &work);
        let abouts = self.abouts(&work, &plates, &parts);
        let owners: BTreeSet<String> = work.iter().map(|id| index.owner_title(all[*id].owner)).collect();
        let hours: f64 = theirs.iter().map(|pass| all[*pass].effort.0).sum();
        Handoff {
            file: link.file,
            title: link.text,
            scope: match scope {
                Scope::Person => "person".to_owned(),
                Scope::Department => "department".to_owned(),
            },
            hours: format!("{}, {} h of work", count(theirs.len(), "pass", "passes"), show::number(hours, 1)),
            sequence: sequence(index),
            about,
            found: found(index, &abouts),
            accepted: index.accepted(|about| abouts.contains(&about)),
            ask: self.asks(&work, &plates, &parts),
            cut: if parts.contains(&Part::Cut) { whole::cut(index, self.assembly) } else { Vec::new() },
            heard: if parts.contains(&Part::Sound) { whole::heard(index, self.assembly) } else { Vec::new() },
            graded: if parts.contains(&Part::Grade) {
                whole::graded(index, self.assembly)
            } else {
                Vec::new()
            },
            bring_notes: piece::bring_notes(index, &bring),
            bring: bring.iter().map(|id| self.brought(*id)).collect(),
            passes: self.pieces(&work, scope),
            sources: plates.iter().map(|plate| source::source(index, *plate, &owners)).collect(),
        }
    }

    /// The work in order; drawings and settings stand with the first pass that has them.
    fn pieces(&self, work: &[PassId], scope: Scope) -> Vec<Piece> {
        let mut seen = BTreeSet::new();
        let mut pieces: Vec<Piece> = work.iter().map(|pass| self.piece(*pass, scope)).collect();
        for at in (1..pieces.len()).rev() {
            let (before, rest) = pieces.split_at_mut(at);
            let Some(piece) = rest.first_mut().filter(|piece| !piece.set.is_empty()) else { continue };
            if let Some(first) = before.iter().position(|other| other.set == piece.set) {
                piece.set.clear();
                piece.set_under = first + 1;
            }
        }
        for (piece, pass) in pieces.iter_mut().zip(work) {
            let Owner::Join(join) = self.index.input.breakdown.passes[*pass].owner else { continue };
            if seen.insert(join) {
                piece.drawn = drawn(self.index, join);
                piece.hand_over.extend((!piece.drawn.is_empty()).then(|| self.index.join_link(join)));
            }
        }
        pieces
    }

    /// What a note's findings may be about: the work, its footage, and for whoever
    /// works on the whole picture every join.
    fn abouts(&self, work: &[PassId], plates: &[PlateId], parts: &BTreeSet<Part>) -> Vec<About> {
        let all = &self.index.input.breakdown.passes;
        let mut abouts: Vec<About> = plates.iter().map(|plate| About::Plate(*plate)).collect();
        for id in work {
            abouts.extend(piece::subject(all[*id].owner));
            abouts.push(About::Pass(*id));
        }
        if parts.contains(&Part::Cut) || parts.contains(&Part::Grade) {
            abouts.extend(self.index.model.joins.ids().map(About::Join));
        }
        abouts
    }
}

fn found(index: &Index<'_>, abouts: &[About]) -> Vec<Found> {
    let mut all: Vec<Found> = Vec::new();
    for one in abouts.iter().flat_map(|about| index.found(*about)) {
        if !all.contains(&one) {
            all.push(one);
        }
    }
    all
}

/// What a pass takes in hand: its inputs, and for a join both sides.
fn needed(index: &Index<'_>, id: PassId) -> Vec<PlateId> {
    let pass = &index.input.breakdown.passes[id];
    let mut plates = pass.inputs.clone();
    match pass.owner {
        Owner::Join(join) => plates.extend([index.model.joins[join].from, index.model.joins[join].to]),
        Owner::Plate(plate) => plates.push(plate),
        Owner::Effect(_) | Owner::Asset(_) | Owner::Sequence => {}
    }
    let mut seen = BTreeSet::new();
    plates.retain(|plate| seen.insert(*plate));
    plates
}

fn sequence(index: &Index<'_>) -> Vec<Fact> {
    let sequence = &index.model.sequence;
    let rate_text = rate(sequence.rate);
    let frames = sequence.handles.0 * sequence.rate.per_second();
    let length: f64 = index.input.breakdown.plates.values().map(|plate| plate.in_picture.0).sum();
    let mut facts = vec![
        fact("Picture", format!("{} × {} at {rate_text}", sequence.picture.width, sequence.picture.height)),
        fact("Length", Seconds(length).to_string()),
        fact("Handles", format!("{} ({} frames)", sequence.handles, show::number(frames, 1))),
    ];
    if !index.model.record.days.is_empty() {
        facts.push(fact("Measured", "as the logs say, of what is captured; all else as planned"));
    }
    facts
}
