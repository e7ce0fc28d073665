//! Charge and cards of a day: what each camera and each thing that flies needs and has.

use super::shape::{Fact, count};
use super::{day_hours, kit};
use crate::model::Rig;
use crate::order::PlannedDay;
use crate::packet::index::Index;
use crate::quantity::{Data, Seconds, show};
use schemars::JsonSchema;
use serde::Serialize;

/// Charge and space of one camera type.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Power {
    /// Which.
    pub camera: String,
    /// Recording planned.
    pub records: String,
    /// Recording time at hand without charging.
    pub holds: String,
    /// Won by charging in the gaps.
    pub charged: String,
    /// Least left at any moment.
    pub least: String,
    /// Recorded data.
    pub data: String,
    /// Space on the cards.
    pub space: String,
    /// What is left of charge and cards whenever that changed: the clock, and how much.
    pub left: Vec<Fact>,
    /// What to do.
    pub advice: String,
}

/// What each camera of the day needs and has, then what flies.
pub(crate) fn power(index: &Index<'_>, day: &PlannedDay) -> Vec<Power> {
    day.cameras
        .iter()
        .map(|used| {
            let camera = &index.model.cameras[used.camera];
            let span = |minutes: f64| whole_minutes(minutes);
            Power {
                camera: camera.named.label().to_owned(),
                records: span(used.records),
                holds: span(used.holds),
                charged: span(used.charged),
                least: span(used.least),
                data: Data(used.bytes).to_string(),
                space: Data(used.space).to_string(),
                left: day_hours::left(index, day, used.camera),
                advice: advice(used.records > used.holds, used.bytes > used.space * 0.8, camera.recharge),
            }
        })
        .chain(flying(index, day))
        .collect()
}

/// Packs of what flies, which the plan's camera list does not hold.
fn flying<'i>(index: &'i Index<'_>, day: &'i PlannedDay) -> impl Iterator<Item = Power> + 'i {
    kit::rigs(index, day).into_iter().map(|id| &index.model.rigs[id]).filter(|rig| rig.flies).map(
        |rig: &Rig| {
            let all = rig.endurance.map(|one| Seconds(one.value.0 * f64::from(rig.packs.max(1))));
            Power {
                camera: format!("{} (flying)", rig.named.label()),
                records: "see its plates".to_owned(),
                holds: all.map_or("not said".to_owned(), |all| {
                    format!("{all} on {}", count(rig.packs.max(1) as usize, "pack", "packs"))
                }),
                charged: String::new(),
                least: String::new(),
                data: String::new(),
                space: String::new(),
                left: Vec::new(),
                advice: "Land with a reserve. Number the packs; note which flew when.".to_owned(),
            }
        },
    )
}

fn whole_minutes(value: f64) -> String {
    format!("{} min", show::number(value, 0))
}

fn advice(charges: bool, tight: bool, recharge: Option<Seconds>) -> String {
    let mut words = Vec::new();
    if charges {
        let takes = recharge.map(|span| format!(" (a full charge takes {span})")).unwrap_or_default();
        words.push(format!("Put each empty battery on the charger at once{takes}."));
    } else {
        words.push("One full charge is enough; start with every battery full.".to_owned());
    }
    if tight {
        words.push(
            "Cards get nearly full: copy at the meal, check the copy, and only then empty a card.".to_owned(),
        );
    } else {
        words
            .push("No need to empty a card today: keep every card until two copies were checked.".to_owned());
    }
    words.join(" ")
}
