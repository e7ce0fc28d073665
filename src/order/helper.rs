//! Who is needed besides the performers: someone to watch, to fly, to pull.
//!
//! In: model, breakdown, a plate. Out: each need with all who could meet it.
//! Rules ask the same questions of the same function, so that plan and rules agree.

use super::rolling::performing;
use crate::model::{Model, PersonId, Plate, PlateId};
use crate::recipe::Breakdown;
use crate::source::Span;

/// A helper that a plate needs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Helper {
    /// The skill, as in `can spotter`.
    pub skill: &'static str,
    /// What they do, as call lists say it: `spots`, `flies`, `pulls`.
    pub word: &'static str,
    /// Why, one clause.
    pub why: String,
    /// The line that asks for it.
    pub span: Option<Span>,
    /// Whether the plate cannot be shot without. Where nobody has the skill of
    /// a spotter, a rule reports it and the plan goes on.
    pub must: bool,
    /// Who could do it and does not perform in the plate.
    pub candidates: Vec<PersonId>,
}

/// The recipe whose body is dragged by a person.
const PULLED: &str = "pulled_body";

/// The helpers of a plate, in the order in which they are chosen; nobody is two of them.
pub fn helpers_for(model: &Model, breakdown: &Breakdown, plate: PlateId) -> Vec<Helper> {
    let work = &breakdown.plates[plate];
    let rig = &model.rigs[work.rig];
    let performing = performing(breakdown, work);
    let able = |skill: &str| -> Vec<PersonId> {
        let can = |id: &PersonId| model.people[*id].can.iter().any(|one| one == skill);
        model.people.ids().filter(|id| !performing.contains(id)).filter(can).collect()
    };
    let mut helpers = Vec::new();
    // Whom the writer names for the plate and who can fly is who flies.
    if rig.flies && flyer(model, work).is_none() {
        helpers.push(Helper {
            skill: "fly",
            word: "flies",
            why: format!("{} flies", rig.named.label()),
            span: Some(rig.named.span),
            must: true,
            candidates: able("fly"),
        });
    }
    if let Some(span) = pulled(model, breakdown, plate) {
        helpers.push(Helper {
            skill: "pull",
            word: "pulls",
            why: "a body is pulled in it".into(),
            span: Some(span),
            must: true,
            candidates: able("pull"),
        });
    }
    helpers.extend(watchers(model, work, &able));
    helpers
}

/// Who watches: those whom the writer names, else anyone who can where something can hurt.
fn watchers(model: &Model, work: &Plate, able: &dyn Fn(&str) -> Vec<PersonId>) -> Vec<Helper> {
    let (rig, place) = (&model.rigs[work.rig], &model.places[work.place]);
    let mut helpers = Vec::new();
    let hazards = work.hazards.iter().chain(&place.hazards).chain(&rig.hazards);
    let words: Vec<(&str, Span)> = hazards.map(|hazard| (hazard.value.as_str(), hazard.span)).collect();
    // Whoever performs cannot watch as well: a rule says so, and another is looked for.
    let named: Vec<PersonId> =
        work.spotters.iter().copied().filter(|one| !work.people.contains(one)).collect();
    if !named.is_empty() {
        for person in named {
            helpers.push(Helper {
                skill: "spotter",
                word: "spots",
                why: format!("{} is named to watch", model.people[person].named.label()),
                span: Some(work.named.span),
                must: true,
                candidates: vec![person],
            });
        }
    } else if !words.is_empty() || rig.flies {
        let mut named: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
        named.dedup();
        let why =
            if named.is_empty() { "something flies".into() } else { format!("hazard: {}", named.join(", ")) };
        helpers.push(Helper {
            skill: "spotter",
            word: "spots",
            why,
            span: words.first().map(|(_, span)| *span),
            must: false,
            candidates: able("spotter"),
        });
    }
    helpers
}

/// Whoever of the people named for a plate flies its rig, where it flies.
pub(crate) fn flyer(model: &Model, plate: &Plate) -> Option<PersonId> {
    let can = |id: &PersonId| model.people[*id].can.iter().any(|one| one == "fly");
    plate.people.iter().copied().find(can).filter(|_| model.rigs[plate.rig].flies)
}

/// The line of the effect that drags a body in the plate, if one does.
fn pulled(model: &Model, breakdown: &Breakdown, plate: PlateId) -> Option<Span> {
    let pulls = |effect| model.effects[effect].recipe.value == PULLED;
    breakdown
        .roles
        .iter()
        .find(|role| pulls(role.effect) && role.plates.contains(&plate))
        .map(|role| model.effects[role.effect].recipe.span)
}
