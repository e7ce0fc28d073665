//! What to ask for before starting: what is owed, was not measured or not said.

use super::Teller;
use super::source::is_logged;
use super::whole::Part;
use crate::model::{PlateId, Worth};
use crate::packet::views::footage::measured;
use crate::packet::views::plate_card::unplanned;
use crate::packet::views::shape::{Fact, and, fact};
use crate::recipe::PassId;
use std::collections::BTreeSet;

/// What the desk needs of every plate whose camera stood somewhere.
const NEEDED: [&str; 3] = ["lens height", "tilt", "nearest thing"];

impl Teller<'_, '_> {
    /// What to ask for, each under what it is about.
    pub(super) fn asks(&self, work: &[PassId], plates: &[PlateId], parts: &BTreeSet<Part>) -> Vec<Fact> {
        let mut asks: Vec<Fact> = plates.iter().flat_map(|plate| self.plate_asks(*plate)).collect();
        if parts.contains(&Part::Cut) {
            let owed = self.assembly.items.iter().filter(|item| item.source.is_none());
            asks.extend(
                owed.map(|item| fact(&item.title, "owed: a gap stands for it in the cut; ask when it comes")),
            );
        }
        if parts.contains(&Part::Sound) {
            asks.extend(self.ambiences());
        }
        asks.extend(self.left_out(work));
        asks
    }

    fn plate_asks(&self, id: PlateId) -> Vec<Fact> {
        let index = self.index;
        let plate = index.plate(id);
        let ask = |text: String| fact(plate.named.label(), text);
        let reasons = unplanned(index, id);
        if !reasons.is_empty() {
            return vec![ask(format!("it is in no plan ({}); ask when it will be shot", reasons.join("; ")))];
        }
        let known = measured(index, id);
        let is_known = |label: &str| known.iter().any(|fact| fact.label == label);
        let words = |labels: Vec<&str>| and(&labels.into_iter().map(str::to_owned).collect::<Vec<_>>());
        let Some(capture) = index.captured(id) else {
            let mut asks = Vec::new();
            if index.model.record.plates.contains_key(&id) {
                asks.push(ask(format!("no take of it can be used; it is shot again: {}", index.shot_on(id))));
            }
            let missing: Vec<&str> = NEEDED.into_iter().filter(|label| !is_known(label)).collect();
            if plate.kind.is_footage() && !missing.is_empty() {
                asks.push(ask(format!(
                    "nobody wrote its {}: have it measured on the day and logged",
                    words(missing)
                )));
            }
            return asks;
        };
        let mut asks = Vec::new();
        if capture.best().is_some_and(|take| take.worth != Worth::Circled) && capture.takes.len() > 1 {
            asks.push(ask(
                "no take is circled; the last usable one stands here: ask which one is meant".to_owned()
            ));
        }
        let missing: Vec<&str> =
            NEEDED.into_iter().filter(|label| !is_logged(&capture.measured, label)).collect();
        if plate.kind.is_footage() && !missing.is_empty() {
            let (planned, nowhere): (Vec<&str>, Vec<&str>) =
                missing.into_iter().partition(|label| is_known(label));
            if !planned.is_empty() {
                asks.push(ask(format!(
                    "no log gives its {}: what stands here is the plan; ask whoever kept the log",
                    words(planned)
                )));
            }
            if !nowhere.is_empty() {
                asks.push(ask(format!(
                    "neither plan nor log gives its {}: ask whoever set the camera",
                    words(nowhere)
                )));
            }
        }
        asks
    }

    /// A minute of each place alone, to lay under the picture (common practice, no source).
    fn ambiences(&self) -> Vec<Fact> {
        let index = self.index;
        let seen = self.assembly.items.iter().filter_map(|item| item.source.as_ref());
        let paths: BTreeSet<&str> = seen.map(|source| source.plate.as_str()).collect();
        let plates = index.input.breakdown.plates.values();
        let places: BTreeSet<_> = plates
            .filter(|plate| paths.contains(plate.named.path.as_str()))
            .map(|plate| plate.place)
            .collect();
        let label = |place| index.model.places[place].named.label();
        places
            .into_iter()
            .map(|place| {
                fact(label(place), "a minute of the place alone, recorded there while nobody moves or speaks")
            })
            .collect()
    }

    /// Work that is in no plan.
    fn left_out(&self, work: &[PassId]) -> Vec<Fact> {
        let index = self.index;
        let desk = &index.input.plan.desk;
        let passes = &index.input.breakdown.passes;
        let left = work.iter().filter(|id| !desk.done.contains_key(*id));
        left.map(|id| {
            fact(&passes[*id].title, format!("{} is in no plan; the desk plan says why", passes[*id].path))
        })
        .collect()
    }
}
