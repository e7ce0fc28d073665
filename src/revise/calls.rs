//! Who is called or released otherwise.
//!
//! In: both plans of the shoot, and what is logged. Out: [`Call`]s, by person, then by date.

use super::Call;
use super::pairs::Renames;
use super::plans::{day, zone};
use crate::Compiled;
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};

/// Calls that are different.
pub(super) fn calls(old: &Compiled, new: &Compiled, renames: &Renames) -> Vec<Call> {
    let before = by_person(old, renames);
    let after = by_person(new, &Renames::default());
    let keys: BTreeSet<_> = before.keys().chain(after.keys()).collect();
    let told = |one: Option<&(String, String)>| one.map(|(_, told)| told.clone());
    // Nobody is called off a day that is over.
    let record = &new.model.record;
    let is_over = |date: Date| record.day(date).is_some() || record.over().is_some_and(|over| date <= over);
    keys.into_iter()
        .filter(|key| after.contains_key(*key) || !is_over(key.1))
        .filter(|key| told(before.get(*key)) != told(after.get(*key)))
        .map(|key| {
            let (then, now) = (before.get(key), after.get(key));
            Call {
                person: key.0.clone(),
                name: now.or(then).map(|(name, _)| name.clone()).unwrap_or_default(),
                day: day(key.1),
                old: told(then),
                new: told(now),
            }
        })
        .collect()
}

/// Name, and `06:02 to 07:49`, of each person's days.
fn by_person(compiled: &Compiled, renames: &Renames) -> BTreeMap<(String, Date), (String, String)> {
    let zone = zone(compiled);
    let days = compiled.plan.shoot.days.iter().flat_map(|day| day.people.iter().map(move |call| (day, call)));
    days.map(|(day, call)| {
        let named = &compiled.model.people[call.person].named;
        let told = format!("{} to {}", call.call.clock(&zone), call.release.clock(&zone));
        ((renames.path(&named.path), day.date), (named.label().to_owned(), told))
    })
    .collect()
}
