//! What of a thing is different.
//!
//! In: two things that are one. Out: [`Change`]s. Lines of one word are taken
//! as a set; what is left on both sides is told as old and new.

use super::derived::{self, PASS, WORK};
use super::pairs::{Matched, Renames};
use super::things::{Said, Thing};
use super::{Change, Difference, How};

/// Every change, in the order of the new version; what is gone comes first. `titled`
/// compares titles as well; those of derived things only follow the written ones.
pub(super) fn changes(matched: &Matched, renames: &Renames, titled: bool) -> Vec<Change> {
    let gone = matched.gone.iter().map(|thing| alone(thing, How::Gone));
    let fresh = matched.fresh.iter().map(|thing| alone(thing, How::New));
    let both = matched.both.iter().filter_map(|(old, new)| changed(old, new, renames, titled));
    gone.chain(fresh).chain(both).collect()
}

fn alone(thing: &Thing, how: How) -> Change {
    let work = thing.said.iter().filter(|said| thing.kind == PASS && said.what == WORK);
    let words = work.map(|said| {
        let text = Some(said.text.clone());
        let (old, new) = if how == How::Gone { (text, None) } else { (None, text) };
        Difference { what: said.what.clone(), old, new }
    });
    Change {
        kind: thing.kind.to_owned(),
        how,
        path: thing.path.clone(),
        was: None,
        title: thing.title.clone(),
        words: words.collect(),
    }
}

fn changed(old: &Thing, new: &Thing, renames: &Renames, titled: bool) -> Option<Change> {
    let mut words = of(old, new, renames, titled);
    if new.kind == PASS {
        words.retain(|word| !derived::is_link(&word.what));
    }
    // Only what was renamed itself is told as renamed, not what follows it.
    let renamed = old.path != new.path && renames.is_own(&old.path);
    if words.is_empty() && !renamed {
        return None;
    }
    Some(Change {
        kind: new.kind.to_owned(),
        how: if renamed { How::Renamed } else { How::Changed },
        path: new.path.clone(),
        was: renamed.then(|| old.path.clone()),
        title: new.title.clone(),
        words,
    })
}

/// What is different between two things; `titled` compares their titles as well.
pub(super) fn of(old: &Thing, new: &Thing, renames: &Renames, titled: bool) -> Vec<Difference> {
    let mut found = Vec::new();
    if titled && old.title != new.title {
        let quoted = |title: &str| (!title.is_empty()).then(|| format!("“{title}”"));
        let (old, new) = (quoted(&old.title), quoted(&new.title));
        found.push(Difference { what: "title".to_owned(), old, new });
    }
    let mut whats: Vec<&str> = Vec::new();
    for said in old.said.iter().chain(&new.said) {
        if !whats.contains(&said.what.as_str()) {
            whats.push(&said.what);
        }
    }
    for what in whats {
        word(what, &old.said, &new.said, renames, &mut found);
    }
    found
}

fn word(what: &str, old: &[Said], new: &[Said], renames: &Renames, found: &mut Vec<Difference>) {
    let mut after: Vec<&Said> = new.iter().filter(|said| said.what == what).collect();
    let mut before: Vec<&Said> = Vec::new();
    for said in old.iter().filter(|said| said.what == what) {
        match after.iter().position(|other| renames.same(&said.means, &other.means)) {
            Some(at) => {
                after.remove(at);
            }
            None => before.push(said),
        }
    }
    let text = |said: Option<&&Said>| said.map(|said| said.text.clone());
    for at in 0..before.len().max(after.len()) {
        found.push(Difference { what: what.to_owned(), old: text(before.get(at)), new: text(after.get(at)) });
    }
}
