//! Plates that roll together: a companion is worked with the plate that it rolls
//! with, and takes no time of its own.
//!
//! In: the breakdown. Out: for each plate those that are worked with it. A
//! companion that belongs to a locked group stays there: it cannot be in two
//! set-ups, and the rule of cameras says so.

use crate::model::{PersonId, Plate, PlateId};
use crate::recipe::Breakdown;
use std::collections::{BTreeMap, BTreeSet};

/// Which plates are worked with which.
#[derive(Debug, Clone, Default)]
pub(crate) struct Rolling {
    with: BTreeMap<PlateId, Vec<PlateId>>,
    host: BTreeMap<PlateId, PlateId>,
}

impl Rolling {
    /// Looks them up.
    pub(crate) fn new(breakdown: &Breakdown) -> Self {
        let mut rolling = Self::default();
        for (id, plate) in breakdown.plates.iter() {
            let Some(host) = plate.rolls_with.map(|host| host.value) else { continue };
            if breakdown.group_of(id).is_none() {
                rolling.with.entry(host).or_default().push(id);
                rolling.host.insert(id, host);
            }
        }
        rolling
    }

    /// Only what is among those plates.
    pub(crate) fn among(&self, plates: &BTreeSet<PlateId>) -> Self {
        let mut rolling = Self::default();
        for (&id, &host) in self.host.iter().filter(|(id, host)| plates.contains(id) && plates.contains(host))
        {
            rolling.with.entry(host).or_default().push(id);
            rolling.host.insert(id, host);
        }
        rolling
    }

    /// The companions of a plate.
    pub(crate) fn with(&self, plate: PlateId) -> &[PlateId] {
        self.with.get(&plate).map_or(&[], Vec::as_slice)
    }

    /// The plate that a companion rolls with.
    pub(crate) fn host(&self, plate: PlateId) -> Option<PlateId> {
        self.host.get(&plate).copied()
    }

    /// Plates with their companions, each behind the plate that it rolls with.
    pub(crate) fn whole<'r>(&'r self, plates: &'r [PlateId]) -> impl Iterator<Item = PlateId> + 'r {
        plates.iter().flat_map(|&plate| std::iter::once(plate).chain(self.with(plate).iter().copied()))
    }
}

/// Whoever performs in a plate or in one that rolls with it: nobody of them helps meanwhile.
pub(crate) fn performing<'b>(breakdown: &'b Breakdown, plate: &'b Plate) -> Vec<PersonId> {
    let host = plate.rolls_with.map_or(plate, |host| &breakdown.plates[host.value]);
    let beside = host.beside.iter().map(|&other| &breakdown.plates[other]);
    [plate, host].into_iter().chain(beside).flat_map(|one| one.people.iter().copied()).collect()
}
