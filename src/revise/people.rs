//! A page for each person, with only what is different for them.
//!
//! In: the comparison. Out: its pages. Somebody who is on location and sits at
//! a desk under one name gets one page.

use super::pairs::Renames;
use super::{Comparison, Page, Papers, Person, Side};
use crate::Compiled;
use crate::model::{Named, PersonId};
use crate::packet::Names;
use std::collections::{BTreeMap, BTreeSet};

/// Fills in the pages, by name of the path.
pub(super) fn pages(comparison: &mut Comparison, old: &Side<'_>, new: &Side<'_>, renames: &Renames) {
    let mut people = everybody(old.compiled, renames);
    people.extend(everybody(new.compiled, &Renames::default()));
    let mut names = Names::default();
    for (path, name) in people {
        let mut page = page(comparison, &path, &name, new.compiled);
        page.file = names.give_flat("for", &path);
        page.papers = papers(&comparison.papers, &carried(&name, [old, new]));
        if page.is_empty() {
            comparison.untouched.push(Person { path, name });
        } else {
            comparison.people.push(page);
        }
    }
}

fn everybody(compiled: &Compiled, renames: &Renames) -> BTreeMap<String, String> {
    let model = &compiled.model;
    let named = |named: &Named| (renames.path(&named.path), named.label().to_owned());
    let desks = model.desks.values().map(|desk| named(&desk.named));
    desks.chain(model.people.values().map(|person| named(&person.named))).collect()
}

fn page(comparison: &Comparison, path: &str, name: &str, new: &Compiled) -> Page {
    let is = |one: &str| one == path;
    let may_be = |one: &Option<String>| one.as_deref().is_some_and(is);
    let plates = plates(new, path);
    Page {
        path: path.to_owned(),
        name: name.to_owned(),
        written: comparison
            .written
            .iter()
            .filter(|one| ["person", "desk"].contains(&one.kind.as_str()) && is(&one.path))
            .cloned()
            .collect(),
        calls: comparison.calls.iter().filter(|one| is(&one.person)).cloned().collect(),
        moved: comparison.moved.iter().filter(|one| one.people.iter().any(|one| is(one))).cloned().collect(),
        plates: comparison.written.iter().filter(|one| plates.contains(&one.path)).cloned().collect(),
        desk: comparison
            .desk
            .iter()
            .filter(|one| may_be(&one.old_who) || may_be(&one.new_who))
            .cloned()
            .collect(),
        again: comparison.again.iter().filter(|one| is(&one.who)).cloned().collect(),
        waiting: comparison.waiting.iter().filter(|one| is(&one.who)).cloned().collect(),
        ..Page::default()
    }
}

/// Paths of the plates that a person is called for.
fn plates(compiled: &Compiled, path: &str) -> BTreeSet<String> {
    let is = |id: PersonId| compiled.model.people[id].named.path == path;
    let calls = compiled.plan.shoot.days.iter().flat_map(|day| &day.people).filter(|call| is(call.person));
    let plates = calls.flat_map(|call| &call.for_plates);
    plates.map(|(plate, _)| compiled.breakdown.plates[*plate].named.path.clone()).collect()
}

/// Names of the documents that somebody is handed, before or after.
fn carried(name: &str, sides: [&Side<'_>; 2]) -> BTreeSet<String> {
    let hand_out = sides.into_iter().flat_map(|side| &side.packet.cover.hand_out);
    hand_out.filter(|out| out.who == name).flat_map(|out| &out.gets).map(|link| link.file.clone()).collect()
}

/// Those of the papers that somebody carries.
fn papers(all: &Papers, carried: &BTreeSet<String>) -> Papers {
    let keep = |names: &[String]| names.iter().filter(|name| carried.contains(*name)).cloned().collect();
    let void = all.void.iter().filter(|one| carried.contains(&one.name)).cloned().collect();
    let [good, gone, done, new] = [&all.good, &all.gone, &all.done, &all.new].map(|names| keep(names));
    Papers { void, good, gone, done, new }
}

impl Page {
    /// Whether nothing is different for them.
    fn is_empty(&self) -> bool {
        self.written.is_empty()
            && self.calls.is_empty()
            && self.moved.is_empty()
            && self.plates.is_empty()
            && self.desk.is_empty()
            && self.again.is_empty()
            && self.waiting.is_empty()
            && self.papers.void.is_empty()
            && self.papers.gone.is_empty()
            && self.papers.new.is_empty()
    }
}
