//! Waivers: which blocks they stand in, and which of them waive nothing.
//!
//! In: what the rules looked at, and the waivers that held. Out: the blocks whose
//! waivers apply to a finding, and findings about waivers that are idle. A waiver of
//! something that is shot is never idle: what it waived was true when it was shot.

use super::{About, Check, Subject};
use crate::diagnostic::{Diagnostic, codes};
use crate::model::{Named, PlateId, Waiver};
use crate::recipe::Owner;
use crate::source::Span;
use std::collections::{BTreeMap, BTreeSet};

/// The blocks whose waivers apply to a finding, innermost first.
pub(super) fn blocks<'a>(subject: &Subject<'a>, about: About) -> Vec<&'a Named> {
    let model = subject.model;
    let mut blocks: Vec<&Named> = Vec::new();
    let beat_of = |plate: PlateId| &model.beats[subject.breakdown.plates[plate].beat].named;
    match about {
        About::Plate(id) => blocks.extend([&subject.breakdown.plates[id].named, beat_of(id)]),
        About::Join(id) => {
            let join = &model.joins[id];
            blocks.extend([
                &join.named,
                &model.plates[join.from].named,
                &model.plates[join.to].named,
                beat_of(join.from),
                beat_of(join.to),
            ]);
        }
        About::Effect(id) => {
            blocks.extend([&model.effects[id].named, &model.beats[model.effects[id].beat].named])
        }
        About::Beat(id) => blocks.push(&model.beats[id].named),
        About::Asset(id) => blocks.push(&model.assets[id].named),
        About::Place(id) => blocks.push(&model.places[id].named),
        About::Mark(id) => blocks.push(&model.marks[id].named),
        About::Camera(id) => blocks.push(&model.cameras[id].named),
        About::Rig(id) => blocks.push(&model.rigs[id].named),
        About::Screen(id) => blocks.push(&model.screens[id].named),
        About::Person(id) => blocks.push(&model.people[id].named),
        About::Desk(id) => blocks.push(&model.desks[id].named),
        About::Prop(id) => blocks.push(&model.props[id].named),
        About::Look(id) => blocks.push(&model.looks[id].named),
        About::Pass(id) => {
            let owner = match subject.breakdown.passes[id].owner {
                Owner::Plate(plate) => About::Plate(plate),
                Owner::Effect(effect) => About::Effect(effect),
                Owner::Join(join) => About::Join(join),
                Owner::Asset(asset) => About::Asset(asset),
                Owner::Sequence => About::Sequence,
            };
            return self::blocks(subject, owner);
        }
        About::Day(_) => blocks.extend(model.days.as_ref().map(|days| &days.named)),
        About::Finish => blocks.extend(model.finish.as_ref().map(|finish| &finish.named)),
        About::Sequence => {}
    }
    blocks.push(&model.sequence.named);
    blocks
}

/// A finding for each waiver that waives nothing.
pub(super) fn idle(subject: &Subject<'_>, used: &[&Waiver]) -> Vec<Diagnostic> {
    let used: BTreeSet<Span> = used.iter().map(|waiver| waiver.span).collect();
    let left = open(subject).into_iter().filter(|waiver| !used.contains(&waiver.span));
    left.map(told).collect()
}

fn told(waiver: &Waiver) -> Diagnostic {
    let rule = &waiver.rule;
    let reads = super::find(rule).is_some_and(|rule| matches!(rule.check, Check::Reading));
    let (message, label, help) = if reads {
        (
            format!("'{rule}' cannot be waived: it says how a file is read, not how the sequence is made"),
            "waives nothing",
            "remove the line, and mend what the finding names, in the file that it names",
        )
    } else {
        (
            format!("the waiver of '{rule}' waives nothing here"),
            "nothing to accept",
            "remove the line, or move it into the block that the finding speaks of",
        )
    };
    Diagnostic::new(codes::STALE_WAIVER, waiver.span, message).label(label).help(help)
}

/// Every waiver in the text of what is not shot, in order of place.
fn open<'a>(subject: &Subject<'a>) -> Vec<&'a Waiver> {
    let (model, plates) = (subject.model, &subject.breakdown.plates);
    let taken: Vec<PlateId> = model.record.taken.iter().copied().collect();
    let any = |is: &dyn Fn(PlateId) -> bool| taken.iter().any(|plate| is(*plate));
    let mut blocks: Vec<(bool, &Named)> = vec![(!taken.is_empty(), &model.sequence.named)];
    blocks.extend(model.places.iter().map(|(id, part)| (any(&|one| plates[one].place == id), &part.named)));
    blocks
        .extend(model.marks.iter().map(|(id, part)| (any(&|one| plates[one].mark == Some(id)), &part.named)));
    let camera = |plate: PlateId| model.modes[plates[plate].mode].camera;
    blocks.extend(model.cameras.iter().map(|(id, part)| (any(&|one| camera(one) == id), &part.named)));
    blocks.extend(model.modes.iter().map(|(id, part)| (any(&|one| plates[one].mode == id), &part.named)));
    blocks.extend(model.rigs.iter().map(|(id, part)| (any(&|one| plates[one].rig == id), &part.named)));
    blocks.extend(
        model.screens.iter().map(|(id, part)| (any(&|one| plates[one].screen == Some(id)), &part.named)),
    );
    blocks.extend(model.people.iter().map(|(id, part)| {
        (any(&|one| plates[one].people.contains(&id) || plates[one].spotters.contains(&id)), &part.named)
    }));
    blocks.extend(model.desks.values().map(|part| (false, &part.named)));
    blocks.extend(model.props.values().map(|part| (!taken.is_empty(), &part.named)));
    blocks.extend(model.looks.values().map(|part| (!taken.is_empty(), &part.named)));
    blocks.extend(model.beats.iter().map(|(id, part)| (any(&|one| plates[one].beat == id), &part.named)));
    blocks.extend(model.plates.iter().map(|(id, part)| (any(&|one| one == id), &part.named)));
    blocks.extend(model.effects.iter().map(|(id, part)| {
        let mut roles = subject.breakdown.roles.iter().filter(|role| role.effect == id);
        (roles.any(|role| role.plates.iter().any(|plate| taken.contains(plate))), &part.named)
    }));
    blocks.extend(
        model.joins.iter().map(|(_, part)| (any(&|one| [part.from, part.to].contains(&one)), &part.named)),
    );
    blocks.extend(model.assets.values().map(|part| (false, &part.named)));
    blocks.extend(model.days.as_ref().map(|days| (!taken.is_empty(), &days.named)));
    blocks.extend(model.finish.as_ref().map(|finish| (false, &finish.named)));
    let mut waivers: BTreeMap<Span, &Waiver> = BTreeMap::new();
    for waiver in blocks.into_iter().filter(|(shot, _)| !shot).flat_map(|(_, named)| &named.waivers) {
        waivers.insert(waiver.span, waiver);
    }
    waivers.into_values().collect()
}
