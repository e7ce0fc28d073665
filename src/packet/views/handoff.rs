//! Handoff notes: one for each person at the desk and one for each department,
//! for someone who was never there.

use super::captured::captured;
use super::desk::about;
use super::footage::measured;
use super::hand_over::drawn;
use super::passes::{Passes, Wait, is_ingest, order};
use super::plate_card::{Asked, asked, slot};
use super::plate_facts::{rate, seen, steadied};
use super::shape::{Fact, Found, Link, Told, count, fact};
use crate::model::{DeskId, PlateId, PlateKind};
use crate::packet::index::Index;
use crate::packet::names::Names;
use crate::quantity::{Seconds, show};
use crate::recipe::{Owner, PassId};
use crate::rule::About;
use petgraph::Direction;
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// A handoff note.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Handoff {
    /// Name of the document without ending.
    pub file: String,
    /// `Ilse`, or `track`.
    pub title: String,
    /// `person` or `department`.
    pub scope: String,
    /// What the sequence is, for someone who was never there.
    pub sequence: Vec<Fact>,
    /// Hours, departments, days away; for a department, who does it.
    pub about: Vec<Fact>,
    /// The passes in order.
    pub passes: Vec<Piece>,
    /// The footage and references, each once.
    pub sources: Vec<Source>,
    /// What is known to be out of tolerance.
    pub found: Vec<Found>,
    /// How much there is to do, in a sentence.
    pub hours: String,
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
    /// Department, hours, start, due, float.
    pub facts: Vec<Fact>,
    /// Where the hours come from; empty where the number says it all.
    pub hours_from: String,
    /// Whether it cannot slip.
    pub critical: bool,
    /// Whether it is in no plan.
    pub unplanned: bool,
    /// What to do.
    pub notes: Vec<String>,
    /// Settings computed for the effect, join or asset.
    pub set: Vec<Told>,
    /// The footage it takes.
    pub inputs: Vec<Link>,
    /// The card of the hand-over that it makes, whose drawings stand here; with the
    /// first pass of each join that has any, else empty.
    pub hand_over: Vec<Link>,
    /// What those drawings show, in words.
    pub drawn: Vec<String>,
    /// What it waits for.
    pub waits: Vec<Wait>,
    /// What waits for it.
    pub feeds: Vec<Wait>,
    /// Findings about what it belongs to.
    pub found: Vec<Found>,
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
    /// Camera, view, steadying, length, and when it is shot.
    pub facts: Vec<Fact>,
    /// What is measured on location, as planned.
    pub measured: Vec<Fact>,
    /// What was asked of it on location.
    pub demands: Vec<Asked>,
    /// What rules computed for it.
    pub set: Vec<Told>,
    /// Findings about it.
    pub found: Vec<Found>,
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
pub(crate) fn notes(index: &Index<'_>, passes: &Passes<'_>, links: &BTreeMap<DeskId, Link>) -> Vec<Handoff> {
    let order = order(index);
    let mut notes = Vec::new();
    for (id, link) in links {
        let theirs: Vec<PassId> = order
            .iter()
            .copied()
            .filter(|pass| index.assigned(*pass).is_some_and(|work| work.desk == *id))
            .collect();
        notes.push(note(index, passes, link.clone(), "person", about(index, *id), &theirs));
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
        notes.push(note(index, passes, link, "department", who_does(index, department), &theirs));
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

fn note(
    index: &Index<'_>,
    passes: &Passes<'_>,
    link: Link,
    scope: &str,
    about: Vec<Fact>,
    theirs: &[PassId],
) -> Handoff {
    let all = &index.input.breakdown.passes;
    let mut plates: Vec<PlateId> = Vec::new();
    let mut seen = BTreeSet::new();
    for plate in theirs.iter().flat_map(|pass| needed(index, *pass)) {
        if seen.insert(plate) {
            plates.push(plate);
        }
    }
    let mut pieces: Vec<Piece> = theirs.iter().map(|pass| piece(index, passes, *pass)).collect();
    show_hand_overs(index, &mut pieces, theirs);
    let sources: Vec<Source> = plates.iter().map(|plate| source(index, *plate)).collect();
    let mut found: Vec<Found> = Vec::new();
    for one in
        pieces.iter().flat_map(|piece| &piece.found).chain(sources.iter().flat_map(|source| &source.found))
    {
        if !found.contains(one) {
            found.push(one.clone());
        }
    }
    let hours: f64 = theirs.iter().map(|pass| all[*pass].effort.0).sum();
    Handoff {
        file: link.file,
        title: link.text,
        scope: scope.to_owned(),
        sequence: sequence(index),
        about,
        hours: format!("{}, {} h of work", count(theirs.len(), "pass", "passes"), show::number(hours, 1)),
        passes: pieces,
        sources,
        found,
    }
}

/// Puts the drawing of each join with the first of its passes.
fn show_hand_overs(index: &Index<'_>, pieces: &mut [Piece], theirs: &[PassId]) {
    let mut seen = BTreeSet::new();
    for (piece, pass) in pieces.iter_mut().zip(theirs) {
        let Owner::Join(join) = index.input.breakdown.passes[*pass].owner else { continue };
        if seen.insert(join) {
            piece.drawn = drawn(index, join);
            piece.hand_over.extend((!piece.drawn.is_empty()).then(|| index.join_link(join)));
        }
    }
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
    vec![
        fact("Picture", format!("{} × {} at {rate_text}", sequence.picture.width, sequence.picture.height)),
        fact("Length", Seconds(length).to_string()),
        fact("Handles", format!("{} ({} frames)", sequence.handles, show::number(frames, 1))),
        fact("Measured", "as planned; the day's log replaces it where it says otherwise"),
    ]
}

fn piece(index: &Index<'_>, passes: &Passes<'_>, id: PassId) -> Piece {
    let pass = &index.input.breakdown.passes[id];
    let row = passes.row(id);
    let mut facts = vec![fact("Department", row.department.clone()), fact("Hours", row.hours.clone())];
    let mut dated = |label: &str, value: &String| {
        if !value.is_empty() {
            facts.push(fact(label, value.clone()));
        }
    };
    dated("Who", &row.who);
    dated("Start", &row.start);
    dated("Due", &row.due);
    dated("Can slip", &row.float);
    let subject = subject(pass.owner);
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
    Piece {
        path: row.path,
        title: row.title,
        owner: row.owner,
        method,
        story,
        facts,
        hours_from: if row.hours_from == row.hours { String::new() } else { row.hours_from },
        critical: row.critical,
        unplanned: row.unplanned,
        notes,
        // Bringing a plate in repeats what stands with the plate itself.
        set: index.told_all(subject.filter(|_| !is_ingest(pass)).into_iter().chain([About::Pass(id)])),
        inputs: needed(index, id).into_iter().map(|plate| index.plate_link(plate)).collect(),
        hand_over: Vec::new(),
        drawn: Vec::new(),
        waits: waits(index, passes, id),
        feeds: passes.neighbours(id, Direction::Outgoing),
        found: subject
            .filter(|_| !is_ingest(pass))
            .map(|about| index.found(about))
            .into_iter()
            .flatten()
            .chain(index.found(About::Pass(id)))
            .collect(),
    }
}

/// What a pass waits for; the footage that it takes stands with it already.
fn waits(index: &Index<'_>, passes: &Passes<'_>, id: PassId) -> Vec<Wait> {
    let taken = needed(index, id);
    let mut waits = passes.neighbours(id, Direction::Incoming);
    waits.retain(|wait| !taken.iter().any(|plate| index.plate(*plate).named.path == wait.path));
    waits
}

fn subject(owner: Owner) -> Option<About> {
    match owner {
        Owner::Plate(plate) => Some(About::Plate(plate)),
        Owner::Effect(effect) => Some(About::Effect(effect)),
        Owner::Join(join) => Some(About::Join(join)),
        Owner::Asset(asset) => Some(About::Asset(asset)),
        Owner::Sequence => None,
    }
}

fn source(index: &Index<'_>, id: PlateId) -> Source {
    let plate = index.plate(id);
    let mode = &index.model.modes[plate.mode];
    let captured = captured(index, id);
    let shot = slot(index, id).map_or("not planned".to_owned(), |slot| {
        format!("day {}, {}, about {}", slot.day, slot.date, slot.start)
    });
    let shot = if index.captured(id).is_some() { index.shot_on(id) } else { shot };
    let mut facts = vec![
        fact("Shot", shot),
        fact("Place", index.model.places[plate.place].named.label()),
        fact("Rig", index.model.rigs[plate.rig].named.label()),
        fact(
            "Camera",
            format!(
                "{}: {} × {} at {}, {}",
                mode.named.path,
                mode.frame.width,
                mode.frame.height,
                rate(mode.rate),
                show::exposure(mode.shutter.value)
            ),
        ),
        fact("View", format!("{} across, {}", mode.view.value, lens(mode.projection))),
        fact("Steadying", steadied(mode.steadying)),
    ];
    if plate.kind.is_footage() {
        facts.push(fact(
            "Take",
            format!("{}, {}", plate.lasts.value, count(plate.takes as usize, "take", "takes")),
        ));
    }
    if plate.kind == PlateKind::Picture {
        facts.push(fact("In the picture", seen(plate)));
    }
    facts.extend(captured);
    Source {
        path: plate.named.path.clone(),
        plate: index.plate_link(id),
        kind: plate.kind.word().to_owned(),
        facts,
        measured: measured(index, id).into_iter().filter(|fact| fact.label != "mode").collect(),
        demands: asked(index, id),
        set: index.told_all([About::Plate(id)]).into_iter().filter(|told| !told.is_for_planning()).collect(),
        found: index.found(About::Plate(id)),
        notes: plate.named.notes.clone(),
    }
}

fn lens(projection: crate::quantity::Projection) -> &'static str {
    match projection {
        crate::quantity::Projection::Rectilinear => "rectilinear",
        crate::quantity::Projection::Equidistant => "equidistant fisheye",
    }
}
