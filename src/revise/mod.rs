//! Two versions of a sequence, laid side by side: what is new, gone, changed or
//! renamed, and what that does to days, calls, papers, passes and hours.
//!
//! In: two [`Side`]s. Out: [`Comparison`], plain values in words, and from it a
//! text for people. Both sides are read alone; the same two give the same
//! answer, and swapped they give its mirror image.
//!
//! The way through this room:
//!
//! ```text
//! things · derived     what was written, and what the recipes make of it
//!       └→ pairs       which thing is which; renames
//!            └→ words  what of each thing is different
//! again                passes whose inputs are different, along the graph
//! plans · calls        days, moves, calls, the finish, hours
//! findings             what is wrong now, and what no more
//! reading → apart      what a page says to act on; what two pages say otherwise
//! papers · marks       documents that are void; signs at what changed
//!       └→ people      all of it, for each person alone
//! sheet → text         in words, and laid out
//! ```

use crate::Compiled;
use crate::diagnostic::Severity;
use crate::packet::{Document, Packet};
use serde::Serialize;

mod again;
mod align;
mod apart;
mod calls;
mod derived;
mod findings;
mod marks;
mod pairs;
mod papers;
mod people;
mod plans;
mod quiet;
mod reading;
mod sheet;
mod text;
mod things;
mod words;

pub use marks::{Since, mark};
pub use text::{alone, documents, json, text};

/// Version of the shape of [`Comparison`] as JSON; changes when a key changes meaning or goes.
pub const SCHEMA: &str = "seamster.comparison.1";

/// One version: the sequence without errors, and its packet.
#[derive(Debug, Clone, Copy)]
pub struct Side<'a> {
    /// The sequence.
    pub compiled: &'a Compiled,
    /// The views of its packet.
    pub packet: &'a Packet,
    /// Every document that they give.
    pub documents: &'a [Document],
}

/// Everything that is different between two versions.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Comparison {
    /// Version of this shape.
    pub schema: String,
    /// The sequence, by its new title.
    pub title: String,
    /// Ten hexadecimal digits of the old text's hash, as its papers show them.
    pub old: String,
    /// The same of the new text.
    pub new: String,
    /// What is supposed of the old text, in words; empty where two texts are compared.
    pub supposed: Vec<String>,
    /// Whether nothing that counts is different.
    pub nothing: bool,
    /// What was written: beats, plates, effects, joins, kit, people, days.
    pub written: Vec<Change>,
    /// What the recipes make of it: plates and references that nobody wrote, passes.
    pub derived: Vec<Change>,
    /// Shoot days that are new, gone or moved, or that begin or end otherwise.
    pub days: Vec<Difference>,
    /// Plates and references that are shot on another day or at another time.
    pub moved: Vec<Moved>,
    /// Who is called or released otherwise.
    pub calls: Vec<Call>,
    /// Passes that somebody else does, or at another time.
    pub desk: Vec<Work>,
    /// Passes whose inputs are different: what is done of them is done again.
    pub again: Vec<Again>,
    /// Passes whose inputs only grew: what is done of them stands, and they wait for more.
    pub waiting: Vec<Again>,
    /// Work of the passes that start over in all; empty when there are none.
    pub again_hours: String,
    /// Errors and warnings that were not there, or are there no more.
    pub found: Vec<Found>,
    /// Documents of the packet.
    pub papers: Papers,
    /// When the last pass is done, where that is different.
    pub finish: Option<Difference>,
    /// What it costs or saves.
    pub costs: Vec<Cost>,
    /// A page for each person for whom something is different.
    pub people: Vec<Page>,
    /// Everybody else.
    pub untouched: Vec<Person>,
}

/// How a thing is different.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum How {
    /// It was not there.
    New,
    /// It is there no more.
    Gone,
    /// Something of it is different.
    Changed,
    /// It is there under another name; perhaps something of it is different as well.
    Renamed,
}

impl How {
    /// As it is told.
    pub fn word(self) -> &'static str {
        match self {
            How::New => "new",
            How::Gone => "gone",
            How::Changed => "changed",
            How::Renamed => "renamed",
        }
    }
}

/// One thing that is different.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Change {
    /// What it is: `beat`, `plate`, `light reference`, `pass`.
    pub kind: String,
    /// How it is different.
    pub how: How,
    /// Its path; the new one where it was renamed.
    pub path: String,
    /// Its former path, where it was renamed.
    pub was: Option<String>,
    /// Its title; empty where it has none.
    pub title: String,
    /// What of it is different; of a new pass and one that is gone, its work.
    pub words: Vec<Difference>,
}

/// A value before and after.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Difference {
    /// What it is: `lasts`.
    pub what: String,
    /// Before; `null` where it was not there.
    pub old: Option<String>,
    /// After; `null` where it is there no more.
    pub new: Option<String>,
}

/// A plate that is shot at another time.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Moved {
    /// Its new path, or the old one where it is gone.
    pub path: String,
    /// Its title, or path.
    pub title: String,
    /// When before: `Fri 14 May, 06:42`.
    pub old: Option<String>,
    /// When after.
    pub new: Option<String>,
    /// `Fri 14 May`, where it is shot no more since it is captured.
    pub captured: Option<String>,
    /// Whether it was logged and has no take that can be used, so that it is shot again.
    pub again: bool,
    /// Title of the plate that it is shot again with: its own takes are good, and those of
    /// the other one, which it is bound to, are not.
    pub again_with: Option<String>,
    /// Whether that is another day.
    pub other_day: bool,
    /// Paths of those who perform in it or watch over it, before or after.
    pub people: Vec<String>,
}

/// A person's day.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Call {
    /// Path of the person; the new one where it was renamed.
    pub person: String,
    /// Name.
    pub name: String,
    /// `Fri 14 May`.
    pub day: String,
    /// Call and release before: `06:02 to 07:49`; `null` when not called.
    pub old: Option<String>,
    /// After.
    pub new: Option<String>,
}

/// A pass in the plan of the desk.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Work {
    /// Path of the pass.
    pub pass: String,
    /// What is done, and of what.
    pub title: String,
    /// Whether the same person does it on the same days, and only the hours differ.
    pub same_days: bool,
    /// Path of who did it in the old plan; `null` when it was in none.
    pub old_who: Option<String>,
    /// From when to when.
    pub old: Option<String>,
    /// Path of who does it in the new plan.
    pub new_who: Option<String>,
    /// From when to when.
    pub new: Option<String>,
}

/// A pass that starts over, or waits for more.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Again {
    /// Its path.
    pub pass: String,
    /// What is done, and of what.
    pub title: String,
    /// Path of who does it; empty when it is in no plan.
    pub who: String,
    /// Its work.
    pub hours: String,
    /// Why, one sentence.
    pub because: String,
}

/// An error or warning that only one version has.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Found {
    /// Whether the new version has it.
    pub how: How,
    /// How much it matters.
    pub severity: Severity,
    /// `join-offset`.
    pub code: String,
    /// One sentence.
    pub message: String,
}

/// Documents by name without ending, each sorted.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Papers {
    /// They say something else to act on now; copies that were handed out are void.
    pub void: Vec<Void>,
    /// Their words differ, and nothing to act on does; copies that were handed out are good.
    pub good: Vec<String>,
    /// They are made no more; copies that were handed out are void.
    pub gone: Vec<String>,
    /// They are of what is shot; nobody on location needs them any more.
    pub done: Vec<String>,
    /// They were not there.
    pub new: Vec<String>,
}

/// A document that says something else now.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Void {
    /// Its name without ending.
    pub name: String,
    /// What of it is different; empty of a file that a program reads.
    pub changes: Vec<Difference>,
}

/// A sum before and after.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Cost {
    /// What: `work at the desk`.
    pub what: String,
    /// Before.
    pub old: String,
    /// After.
    pub new: String,
    /// `12.5 h less`.
    pub by: String,
}

/// Somebody for whom nothing is different.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Person {
    /// Path.
    pub path: String,
    /// Name.
    pub name: String,
}

/// What is different for one person.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Page {
    /// Path of the person.
    pub path: String,
    /// Name of the page without ending: `for-mei`.
    pub file: String,
    /// Name.
    pub name: String,
    /// What was written about them: hours, days away, skills.
    pub written: Vec<Change>,
    /// Their days.
    pub calls: Vec<Call>,
    /// Plates that they perform in or watch over.
    pub moved: Vec<Moved>,
    /// What is different of those plates.
    pub plates: Vec<Change>,
    /// Their passes in the plan.
    pub desk: Vec<Work>,
    /// Their passes that start over.
    pub again: Vec<Again>,
    /// Their passes that wait for more.
    pub waiting: Vec<Again>,
    /// Papers to take from them, and to hand to them.
    pub papers: Papers,
}

/// Lays two versions side by side.
pub fn compare(old: &Side<'_>, new: &Side<'_>) -> Comparison {
    let (before, after) = (things::written(old.compiled), things::written(new.compiled));
    let written = pairs::pair(before, after);
    let renames = &written.renames;
    let made = pairs::match_up(derived::things(old.compiled), derived::things(new.compiled), renames);
    let changes = words::changes(&written.matched, renames, true);
    let derived = words::changes(&made, renames, false);
    let touched = again::passes(old.compiled, new.compiled, &changes, &derived, renames);
    let named = &new.compiled.model.sequence.named;
    let mut comparison = Comparison {
        schema: SCHEMA.to_owned(),
        title: named.label().to_owned(),
        old: old.packet.head.version.clone(),
        new: new.packet.head.version.clone(),
        supposed: Vec::new(),
        nothing: false,
        days: plans::days(old.compiled, new.compiled, renames),
        moved: plans::moved(old.compiled, new.compiled, renames),
        calls: calls::calls(old.compiled, new.compiled, renames),
        desk: plans::desk(old.compiled, new.compiled, renames),
        again_hours: again::hours(new.compiled, &touched.over),
        again: touched.over,
        waiting: touched.more,
        found: findings::found(old.compiled, new.compiled),
        papers: papers::papers(old, new),
        finish: plans::finish(old.compiled, new.compiled),
        costs: plans::costs(old.compiled, new.compiled),
        written: changes,
        derived,
        people: Vec::new(),
        untouched: Vec::new(),
    };
    people::pages(&mut comparison, old, new, renames);
    comparison.nothing = comparison.is_empty();
    comparison
}

impl Comparison {
    /// The page of somebody, by path or name; an empty one where nothing is different
    /// for them, `None` where nobody is called so.
    pub fn page(&self, whom: &str) -> Option<Page> {
        let empty = |one: &Person| Page {
            path: one.path.clone(),
            file: "index".to_owned(),
            name: one.name.clone(),
            ..Page::default()
        };
        let found = self.people.iter().find(|one| one.path == whom || one.name == whom).cloned();
        found.or_else(|| self.untouched.iter().find(|one| one.path == whom || one.name == whom).map(empty))
    }

    /// Whether every list is empty.
    fn is_empty(&self) -> bool {
        let papers = &self.papers;
        self.written.is_empty()
            && self.derived.is_empty()
            && self.days.is_empty()
            && self.moved.is_empty()
            && self.calls.is_empty()
            && self.desk.is_empty()
            && self.again.is_empty()
            && self.waiting.is_empty()
            && self.found.is_empty()
            && self.finish.is_none()
            && self.costs.is_empty()
            && papers.void.is_empty()
            && papers.gone.is_empty()
            && papers.new.is_empty()
    }
}
