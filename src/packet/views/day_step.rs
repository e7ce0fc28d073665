//! The steps of a day in words: what, how, why then, and what must not happen.

use super::shape::{Link, and, count};
use crate::model::{Hold, PlaceId, PlateId, PlateKind};
use crate::order::{PlannedDay, Step, StepKind};
use crate::packet::index::{Index, minutes, short_date};
use schemars::JsonSchema;
use serde::Serialize;

/// A step of the day.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct StepView {
    /// `06:20`.
    pub start: String,
    /// `06:41`.
    pub end: String,
    /// Start for programs.
    pub start_at: String,
    /// End for programs.
    pub end_at: String,
    /// `21 min`.
    pub length: String,
    /// `move`, `fit`, `shoot`, `reset`, `wait`, `meal`, `charge`, `pack`.
    pub kind: String,
    /// Of what is shot: its number in the day's picture, from 1; else empty.
    pub number: String,
    /// What, in a few words.
    pub what: String,
    /// The card, where there is one.
    pub card: Option<Link>,
    /// How: rig, mode, takes.
    pub detail: Vec<String>,
    /// Where.
    pub place: String,
    /// Why it is at this time.
    pub because: Vec<String>,
    /// What must not happen; empty when nothing special.
    pub mind: String,
}

/// Every step of the day, from the call on.
pub(crate) fn all(index: &Index<'_>, day: &PlannedDay) -> Vec<StepView> {
    let mut steps: Vec<StepView> = Vec::new();
    if let Some(first) = day.steps.first()
        && day.call < first.start
    {
        let place = day.base.unwrap_or(first.place);
        steps.push(StepView {
            start: index.clock_on(day.call, day.date),
            end: index.clock_on(first.start, day.date),
            start_at: index.stamp(day.call),
            end_at: index.stamp(first.start),
            length: minutes(first.start.0 - day.call.0),
            kind: "call".to_owned(),
            number: String::new(),
            what: format!("Call at {}", index.model.places[place].named.label()),
            card: None,
            detail: vec![
                "safety talk: what can hurt us today, who watches for it, the word that stops everything"
                    .to_owned(),
            ],
            place: index.model.places[place].named.label().to_owned(),
            because: Vec::new(),
            mind: String::new(),
        });
    }
    steps.extend(day.steps.iter().map(|step| view(index, day, step)));
    for (at, step) in steps.iter_mut().filter(|step| step.kind == "shoot").enumerate() {
        step.number = (at + 1).to_string();
    }
    steps
}

/// A step as the call sheet tells it.
fn view(index: &Index<'_>, day: &PlannedDay, step: &Step) -> StepView {
    let told = tell(index, day, step);
    // A camera that rolls with another runs as long as that one.
    let end = match step.kind {
        StepKind::Shoot(plate) => index.day_of(plate).map_or(step.end, |(.., end)| end),
        _ => step.end,
    };
    StepView {
        start: index.clock_on(step.start, day.date),
        end: index.clock_on(end, day.date),
        start_at: index.stamp(step.start),
        end_at: index.stamp(end),
        length: minutes(end.0 - step.start.0),
        kind: told.kind.to_owned(),
        number: String::new(),
        what: told.what,
        card: told.card,
        detail: told.detail,
        place: index.model.places[step.place].named.label().to_owned(),
        because: step.because.clone(),
        mind: told.mind,
    }
}

/// A step in words.
struct Telling {
    kind: &'static str,
    what: String,
    card: Option<Link>,
    detail: Vec<String>,
    mind: String,
}

fn tell(index: &Index<'_>, day: &PlannedDay, step: &Step) -> Telling {
    let place = |id: PlaceId| index.model.places[id].named.label();
    let told =
        |kind, what: String| Telling { kind, what, card: None, detail: Vec::new(), mind: String::new() };
    match &step.kind {
        StepKind::Move { from, to } => told("move", format!("Move to {} from {}", place(*to), place(*from))),
        StepKind::Fit(id) => {
            let setup = &index.input.plan.shoot.setups[*id];
            let (rig, mode) = (&index.model.rigs[setup.rig], &index.model.modes[setup.mode]);
            let mut telling = told("fit", format!("Set up {}", rig.named.label()));
            telling.detail = vec![format!(
                "{}, mode {}",
                index.model.cameras[mode.camera].named.label(),
                mode.named.name()
            )];
            telling.detail.extend(
                setup.mark.map(|mark| format!("at the mark: {}", index.model.marks[mark].named.label())),
            );
            telling.detail.extend(beside(index, day, step));
            if setup.locked {
                telling.mind =
                    "Fresh battery and card now: this set-up is locked and may not be touched.".into();
            }
            telling
        }
        StepKind::Shoot(id) => shoot(index, day, *id),
        StepKind::Reset { of, from, to } => {
            told("reset", format!("Reset {}: from {from} to {to}", index.state_name(*of).label()))
        }
        StepKind::Wait => told("wait", "Wait".to_owned()),
        StepKind::Meal => told("meal", "Meal".to_owned()),
        StepKind::Charge { camera, rig } => {
            let what = camera
                .map(|id| index.model.cameras[id].named.label())
                .or_else(|| rig.map(|id| index.model.rigs[id].named.label()));
            told("charge", format!("Wait for a charge: {}", what.unwrap_or("batteries")))
        }
        StepKind::Pack => told("pack", "Pack up and return to base".to_owned()),
    }
}

/// Cameras that are fitted together with the one of a step, since they roll with it.
fn beside(index: &Index<'_>, day: &PlannedDay, fit: &Step) -> Vec<String> {
    let shot = day.steps.iter().filter(|step| step.start >= fit.end).filter_map(|step| match step.kind {
        StepKind::Shoot(plate) => Some(index.plate(plate)),
        _ => None,
    });
    let companions = shot.take_while(|plate| plate.rolls_with.is_some());
    let words = companions.map(|plate| {
        let mode = &index.model.modes[plate.mode];
        format!(
            "beside it {} with {}, mode {}",
            index.model.rigs[plate.rig].named.label(),
            index.model.cameras[mode.camera].named.label(),
            mode.named.name()
        )
    });
    words.collect()
}

fn shoot(index: &Index<'_>, day: &PlannedDay, id: PlateId) -> Telling {
    let plate = index.plate(id);
    let kind = match plate.kind {
        PlateKind::Picture => String::new(),
        other => format!(" ({})", other.word()),
    };
    let mode = &index.model.modes[plate.mode];
    let mut detail =
        vec![format!("{}, mode {}", index.model.rigs[plate.rig].named.label(), mode.named.name())];
    let takes = count(plate.takes as usize, "take", "takes");
    detail.push(if plate.kind.is_footage() { format!("{takes} of {}", plate.lasts.value) } else { takes });
    // What was logged and is shot all the same has no take that can be used.
    if let Some(before) = index.model.record.plates.get(&id) {
        detail.push(format!("shot again: nothing of {} can be used", short_date(before.date)));
    }
    let people = index.people(plate);
    let spotters = index.spotters(plate);
    if !people.is_empty() {
        detail.push(format!("with {}", and(&people)));
    }
    if !spotters.is_empty() {
        detail.push(format!("spotter: {}", and(&spotters)));
    }
    detail
        .extend(plate.rolls_with.map(|host| format!("rolls with {}", index.plate(host.value).named.label())));
    Telling {
        kind: "shoot",
        what: format!("{}{kind}", plate.named.label()),
        card: Some(index.plate_link(id)),
        detail,
        mind: lock_words(index, day, id),
    }
}

/// What a locked set-up means at this plate of its group.
fn lock_words(index: &Index<'_>, day: &PlannedDay, id: PlateId) -> String {
    let Some(group) = index.group(id) else {
        let locked = index.plate(id).hold.value == Hold::Locked;
        return if locked {
            "Locked: do not touch the camera during the take.".into()
        } else {
            String::new()
        };
    };
    // The group as planned today; the order within it is the plan's.
    let today: Vec<PlateId> = day
        .steps
        .iter()
        .filter_map(|step| match step.kind {
            StepKind::Shoot(plate) if index.group(plate) == Some(group) => Some(plate),
            _ => None,
        })
        .collect();
    match (today.last(), today.first()) {
        (Some(last), _) if *last == id && today.len() > 1 => {
            "LOCKED still. Look at all takes of the group; only then touch the camera.".into()
        }
        (Some(last), first) if *last != id => {
            let starts = if first == Some(&id) { "LOCKED from here" } else { "LOCKED" };
            format!(
                "{starts} until “{}” is done: do not touch camera, stand, exposure or focus.",
                index.plate(*last).named.label()
            )
        }
        _ => "Locked: do not touch the camera during the take.".into(),
    }
}
