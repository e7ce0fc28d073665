//! Stretches of time and moments in words.

use super::chain::{Link, LinkKind};
use crate::model::{DayPlan, PlaceId, StateOf};
use crate::order::plan::{Minute, ShootPlan, Step, StepKind};
use crate::order::setting::Setting;
use crate::order::window::{Limit, LimitKind};
use crate::source::Span;

/// "Parcel loft opens at 07:00".
pub(super) fn begins(setting: &Setting<'_>, limit: &Limit, at: Minute) -> String {
    let clock = at.clock(&setting.zone);
    match limit.kind {
        LimitKind::Access(place) => format!("{} opens at {clock}", place_name(setting, place)),
        LimitKind::Person(person) => {
            format!("{} is there from {clock}", setting.model.people[person].named.label())
        }
        LimitKind::Pin(_) => limit.what.clone(),
        LimitKind::Light(_)
        | LimitKind::Rig(_)
        | LimitKind::Nobody
        | LimitKind::Over
        | LimitKind::Weather => {
            format!("{} begins at {clock}", limit.what)
        }
    }
}

/// "golden morning light at Old quay ends at 07:04".
pub(super) fn ends(setting: &Setting<'_>, limit: &Limit, at: Minute) -> String {
    let clock = at.clock(&setting.zone);
    match limit.kind {
        LimitKind::Access(place) => format!("{} closes at {clock}", place_name(setting, place)),
        LimitKind::Person(person) => {
            format!("{} is there until {clock}", setting.model.people[person].named.label())
        }
        LimitKind::Pin(_) => limit.what.clone(),
        LimitKind::Light(_)
        | LimitKind::Rig(_)
        | LimitKind::Nobody
        | LimitKind::Over
        | LimitKind::Weather => {
            format!("{} ends at {clock}", limit.what)
        }
    }
}

fn place_name<'a>(setting: &Setting<'a>, place: PlaceId) -> &'a str {
    setting.model.places[place].named.label()
}

/// A step as a stretch of time between two others.
pub(super) fn link(setting: &Setting<'_>, shoot: &ShootPlan, day: &DayPlan, step: &Step) -> Link {
    let takes = step.end.0 - step.start.0;
    let (kind, text, span) = told(setting, shoot, day, step, takes);
    Link { from: step.start, to: step.end, kind, text, span }
}

fn told(
    setting: &Setting<'_>,
    shoot: &ShootPlan,
    day: &DayPlan,
    step: &Step,
    takes: i64,
) -> (LinkKind, String, Option<Span>) {
    let model = setting.model;
    match &step.kind {
        StepKind::Shoot(plate) => {
            let span = setting.breakdown.plates[*plate].lasts.span;
            (LinkKind::Shoot(*plate), format!("{} takes {takes} min", setting.name(*plate)), Some(span))
        }
        StepKind::Fit(setup) => {
            let rig = shoot.setups[*setup].rig;
            let named = &model.rigs[rig].named;
            let label = named.label();
            if takes < crate::order::duration::minutes(model.rigs[rig].fitting) {
                let text = format!("changing the set-up on {label} takes {takes} min");
                (LinkKind::Turn(rig), text, Some(named.span))
            } else {
                (LinkKind::Fit(rig), format!("setting up {label} takes {takes} min"), Some(named.span))
            }
        }
        StepKind::Move { from, to } => {
            let (one, other) = (place_name(setting, *from), place_name(setting, *to));
            let text = format!("the way from {one} to {other} takes {takes} min");
            (LinkKind::Way(*from, *to), text, way(setting, *from, *to))
        }
        StepKind::Reset { of, to, .. } => {
            let named = match of {
                StateOf::Prop(id) => &model.props[*id].named,
                StateOf::Look(id) => &model.looks[*id].named,
            };
            let text = format!("bringing {} back to {to} takes {takes} min", named.label());
            (LinkKind::Reset, text, Some(named.span))
        }
        StepKind::Meal => (LinkKind::Meal, format!("the meal takes {takes} min"), Some(day.span)),
        StepKind::Charge { camera, rig } => {
            let named = match (camera, rig) {
                (Some(camera), _) => Some(&model.cameras[*camera].named),
                (_, Some(rig)) => Some(&model.rigs[*rig].named),
                _ => None,
            };
            let label = named.map_or("", |named| named.label());
            let text = format!("charging {label} takes {takes} min");
            (LinkKind::Charge(*camera, *rig), text, named.map(|named| named.span))
        }
        StepKind::Wait => (LinkKind::Wait, format!("{takes} min are waited"), None),
        StepKind::Pack => {
            let back = day.base.filter(|base| *base != step.place);
            let text = match back {
                Some(base) => {
                    format!("packing and the way to {} take {takes} min", place_name(setting, base))
                }
                None => format!("packing takes {takes} min"),
            };
            (LinkKind::Pack, text, back.and_then(|base| way(setting, step.place, base)))
        }
    }
}

/// The line that says how long a way takes.
fn way(setting: &Setting<'_>, from: PlaceId, to: PlaceId) -> Option<Span> {
    let is = |ends: (PlaceId, PlaceId)| ends == (from, to) || ends == (to, from);
    setting.model.travels.iter().find(|travel| is((travel.from, travel.to))).map(|travel| travel.span)
}
