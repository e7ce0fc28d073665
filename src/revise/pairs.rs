//! Which thing of the old version is which of the new one.
//!
//! In: the things of both. Out: [`Matched`] and [`Renames`]. Things of one kind
//! and one path are one. Of the rest, two are one under another name where that
//! is clear: the same title, or the same content, or for beats the same plates,
//! and nothing else to choose from on either side.

use super::things::{Thing, Token};
use super::words;
use std::collections::{BTreeMap, BTreeSet};

/// Fewer lines than this are no likeness.
const LEAST_CONTENT: usize = 2;
/// These are named by what they are about, and follow it.
const FOLLOW: [&str; 5] = ["join", "day", "sound", "days", "finish"];

/// Old paths and what they are called now.
#[derive(Debug, Default)]
pub(super) struct Renames(BTreeMap<String, String>);

impl Renames {
    /// A path of the old version as it is called now: `leap.swoop.ingest`, too,
    /// where `leap.swoop` or `leap` was renamed, and both sides of a join.
    pub(super) fn path(&self, path: &str) -> String {
        path.split("->").map(|side| self.side(side)).collect::<Vec<_>>().join("->")
    }

    fn side(&self, path: &str) -> String {
        let ends = path.match_indices('.').map(|(at, _)| at).chain([path.len()]);
        let longest = ends.rev().find_map(|end| {
            let (head, tail) = path.split_at_checked(end)?;
            self.0.get(head).map(|now| format!("{now}{tail}"))
        });
        longest.unwrap_or_else(|| path.to_owned())
    }

    /// Whether that very path was renamed, and not only something that it begins with.
    pub(super) fn is_own(&self, path: &str) -> bool {
        self.0.contains_key(path)
    }

    /// Whether two meanings are one.
    pub(super) fn same(&self, old: &[Token], new: &[Token]) -> bool {
        old.len() == new.len()
            && old.iter().zip(new).all(|pair| match pair {
                (Token::Name(old), Token::Name(new)) => old == new || self.path(old) == *new,
                (old, new) => old == new,
            })
    }
}

/// Things of both versions.
#[derive(Debug, Default)]
pub(super) struct Matched {
    /// In both, in the new order.
    pub(super) both: Vec<(Thing, Thing)>,
    /// In the old one alone, in its order.
    pub(super) gone: Vec<Thing>,
    /// In the new one alone, in its order.
    pub(super) fresh: Vec<Thing>,
}

/// What [`pair`] finds.
#[derive(Debug, Default)]
pub(super) struct Pairs {
    pub(super) matched: Matched,
    pub(super) renames: Renames,
}

/// Pairs what was written, finding renames.
pub(super) fn pair(old: Vec<Thing>, new: Vec<Thing>) -> Pairs {
    let mut renames = Renames::default();
    // Each round finds at least one rename, and there are no more than things.
    for _ in 0..=old.len() {
        let (gone, fresh) = left_over(&old, &new, &renames);
        let found = clear(&gone, &fresh, &renames);
        if found.is_empty() {
            break;
        }
        renames.0.extend(found);
    }
    let matched = match_up(old, new, &renames);
    Pairs { matched, renames }
}

/// Pairs by path alone.
pub(super) fn match_up(old: Vec<Thing>, new: Vec<Thing>, renames: &Renames) -> Matched {
    let places = places(&old, &new, renames);
    let mut partners: BTreeMap<usize, Thing> = BTreeMap::new();
    let mut matched = Matched::default();
    for (thing, place) in old.into_iter().zip(places) {
        match place {
            Some(place) => {
                partners.insert(place, thing);
            }
            None => matched.gone.push(thing),
        }
    }
    for (at, thing) in new.into_iter().enumerate() {
        match partners.remove(&at) {
            Some(partner) => matched.both.push((partner, thing)),
            None => matched.fresh.push(thing),
        }
    }
    matched
}

/// Where each old thing stands in the new version. No place is given twice.
fn places(old: &[Thing], new: &[Thing], renames: &Renames) -> Vec<Option<usize>> {
    let mut there: BTreeMap<(&str, &str), usize> = BTreeMap::new();
    for (at, thing) in new.iter().enumerate() {
        there.entry((thing.kind, thing.path.as_str())).or_insert(at);
    }
    let mut taken = BTreeSet::new();
    let mut find = |thing: &Thing| {
        let now = renames.path(&thing.path);
        let found = there.get(&(thing.kind, now.as_str()));
        let found = found.or_else(|| there.get(&(thing.kind, thing.path.as_str()))).copied()?;
        taken.insert(found).then_some(found)
    };
    old.iter().map(&mut find).collect()
}

fn left_over<'a>(old: &'a [Thing], new: &'a [Thing], renames: &Renames) -> (Vec<&'a Thing>, Vec<&'a Thing>) {
    let places = places(old, new, renames);
    let taken: BTreeSet<usize> = places.iter().flatten().copied().collect();
    let gone = old.iter().zip(&places).filter(|(_, place)| place.is_none()).map(|(thing, _)| thing);
    let fresh = new.iter().enumerate().filter(|(at, _)| !taken.contains(at)).map(|(_, thing)| thing);
    let may = |thing: &&Thing| !FOLLOW.contains(&thing.kind);
    (gone.filter(may).collect(), fresh.filter(may).collect())
}

/// Whether two things may be one.
type Like<'a> = &'a dyn Fn(&Thing, &Thing) -> bool;

/// Renames for which there is one choice only: beats first, since their plates follow
/// them; then by title, then by content.
fn clear(gone: &[&Thing], fresh: &[&Thing], renames: &Renames) -> Vec<(String, String)> {
    let titled = |old: &Thing, new: &Thing| !old.title.is_empty() && old.title == new.title;
    let same_plates = |old: &Thing, new: &Thing| {
        let (before, after) = (plates(gone, old), plates(fresh, new));
        !before.is_empty() && before == after
    };
    let is_beat = |thing: &Thing| thing.kind == "beat";
    let alike = |old: &Thing, new: &Thing| {
        old.kind == "sequence"
            || old.said.len() >= LEAST_CONTENT && words::of(old, new, renames, false).is_empty()
    };
    let tiers: [Like<'_>; 4] = [
        &|old, new| is_beat(old) && titled(old, new),
        &|old, new| is_beat(old) && same_plates(old, new),
        &|old, new| !is_beat(old) && titled(old, new),
        &|old, new| !is_beat(old) && alike(old, new),
    ];
    tiers.iter().map(|like| only(gone, fresh, like)).find(|found| !found.is_empty()).unwrap_or_default()
}

/// Pairs in which each is the only one that is like the other.
fn only(gone: &[&Thing], fresh: &[&Thing], like: impl Fn(&Thing, &Thing) -> bool) -> Vec<(String, String)> {
    let fits = |old: &Thing, new: &Thing| old.kind == new.kind && like(old, new);
    let mut found = Vec::new();
    for old in gone {
        let mut choices = fresh.iter().filter(|new| fits(old, new));
        if let (Some(new), None) = (choices.next(), choices.next())
            && gone.iter().filter(|other| fits(other, new)).count() == 1
        {
            found.push((old.path.clone(), new.path.clone()));
        }
    }
    found
}

/// Names of a beat's plates, without the beat.
fn plates<'a>(things: &[&'a Thing], beat: &Thing) -> BTreeSet<&'a str> {
    let own = things.iter().filter(|thing| thing.kind == "plate");
    own.filter_map(|thing| thing.path.strip_prefix(&beat.path)?.strip_prefix('.')).collect()
}
