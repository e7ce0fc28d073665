//! Names of the kept plan that are clearly other names of what there is now.
//!
//! In: the names that the plan was written with, and those of what is to be planned.
//! Out: [`Renamed`]. A beat or an effect is renamed where one is gone, one is new and
//! most of what they hold is called alike; a plate, where in one beat one is gone and one
//! is new. Where more than one answer fits there is none: nothing is guessed.

use std::collections::{BTreeMap, BTreeSet};

/// Former names and what they are now; of beats and effects the beginnings of names.
#[derive(Debug, Default)]
pub(super) struct Renamed(Vec<(String, String)>);

impl Renamed {
    /// Compares the plates of the kept plan with those that are still to be planned.
    pub(super) fn find(kept: &BTreeSet<&str>, there: &BTreeSet<&str>) -> Self {
        let mut renamed = Self::default();
        for depth in [1, 2] {
            let found = heads(&renamed.of_all(kept), there, depth);
            renamed.0.extend(found);
        }
        let found = single(&renamed.of_all(kept), there);
        renamed.0.extend(found);
        renamed
    }

    /// What a plate is called now.
    pub(super) fn plate(&self, name: &str) -> String {
        self.0.iter().fold(name.to_owned(), |name, (old, new)| match name.strip_prefix(old.as_str()) {
            Some(rest) if rest.is_empty() || rest.starts_with('.') => format!("{new}{rest}"),
            _ => name,
        })
    }

    /// What a pass is called now: of a plate, an effect, or a join of two plates.
    pub(super) fn pass(&self, name: &str) -> String {
        name.split("->").map(|part| self.plate(part)).collect::<Vec<_>>().join("->")
    }

    fn of_all(&self, names: &BTreeSet<&str>) -> BTreeSet<String> {
        names.iter().map(|name| self.plate(name)).collect()
    }
}

/// Beats (of depth 1) or effects (of depth 2) that are gone, with the only one that is new
/// and holds most of the same names.
fn heads(kept: &BTreeSet<String>, there: &BTreeSet<&str>, depth: usize) -> Vec<(String, String)> {
    let before = by_head(kept.iter().map(String::as_str), depth);
    let after = by_head(there.iter().copied(), depth);
    let gone: Vec<_> = before.iter().filter(|(head, _)| !after.contains_key(*head)).collect();
    let fresh: Vec<_> = after.iter().filter(|(head, _)| !before.contains_key(*head)).collect();
    let alike = |one: &BTreeSet<&str>, other: &BTreeSet<&str>| {
        one.intersection(other).count() * 2 > one.len().max(other.len())
    };
    let within = |one: &str, other: &str| depth == 1 || beat(one) == beat(other);
    let pairs = gone.iter().flat_map(|(old, held)| {
        let fits = fresh.iter().filter(|(new, holds)| alike(held, holds) && within(old, new));
        fits.map(|(new, _)| (**old, **new)).collect::<Vec<_>>()
    });
    let pairs: Vec<(&str, &str)> = pairs.collect();
    let once = |pair: &&(&str, &str)| {
        pairs.iter().filter(|(old, new)| *old == pair.0 || *new == pair.1).count() == 1
    };
    pairs.iter().filter(once).map(|(old, new)| ((*old).to_owned(), (*new).to_owned())).collect()
}

/// What each beat or effect holds, by the rest of its names.
fn by_head<'a>(names: impl Iterator<Item = &'a str>, depth: usize) -> BTreeMap<&'a str, BTreeSet<&'a str>> {
    let mut heads: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
    for name in names {
        let dots = name.match_indices('.').nth(depth - 1);
        if let Some((head, rest)) = dots.and_then(|(at, _)| name.split_at_checked(at)) {
            heads.entry(head).or_default().insert(rest);
        }
    }
    heads
}

/// Plates that are written: in one beat one is gone, and one is new.
fn single(kept: &BTreeSet<String>, there: &BTreeSet<&str>) -> Vec<(String, String)> {
    let written = |name: &&str| name.matches('.').count() == 1;
    let gone = kept.iter().map(String::as_str).filter(|name| !there.contains(name)).filter(written);
    let fresh = there.iter().copied().filter(|name| !kept.contains(*name)).filter(written);
    let (gone, fresh): (Vec<&str>, Vec<&str>) = (gone.collect(), fresh.collect());
    let only = |names: &[&str], name: &str| names.iter().filter(|one| beat(one) == beat(name)).count() == 1;
    let pairs = gone.iter().filter(|old| only(&gone, old) && only(&fresh, old)).filter_map(|old| {
        let new = fresh.iter().find(|new| beat(new) == beat(old))?;
        Some(((*old).to_owned(), (*new).to_owned()))
    });
    pairs.collect()
}

fn beat(name: &str) -> &str {
    name.split('.').next().unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn renamed(kept: &[&str], there: &[&str]) -> Renamed {
        Renamed::find(&kept.iter().copied().collect(), &there.iter().copied().collect())
    }

    #[test]
    fn one_plate_of_a_beat_keeps_what_it_had() {
        let found = renamed(&["a.one", "a.two", "b.one"], &["a.one", "a.three", "b.one"]);
        assert_eq!(found.plate("a.two"), "a.three");
        assert_eq!(found.pass("a.two.ingest"), "a.three.ingest");
        assert_eq!(found.pass("a.one->a.two.blend"), "a.one->a.three.blend");
        assert_eq!(found.plate("a.twosome"), "a.twosome");
    }

    #[test]
    fn a_beat_and_an_effect_take_what_they_hold_along() {
        let kept = ["a.one", "a.fly.clean", "a.fly.still", "b.one"];
        let found = renamed(&kept, &["c.one", "c.fly.clean", "c.fly.still", "b.one"]);
        assert_eq!((found.plate("a.one"), found.pass("a.fly.mask")), ("c.one".into(), "c.fly.mask".into()));
        let found = renamed(&kept, &["a.one", "a.soar.clean", "a.soar.still", "b.one"]);
        assert_eq!(found.plate("a.fly.clean"), "a.soar.clean");
    }

    /// Two are gone and two are new: which is which nobody knows.
    #[test]
    fn nothing_is_guessed() {
        let found = renamed(&["a.one", "a.two"], &["a.three", "a.four"]);
        assert!(found.0.is_empty(), "{found:?}");
        let found = renamed(&["a.one", "b.one"], &["c.one", "d.one"]);
        assert!(found.0.is_empty(), "{found:?}");
    }
}
