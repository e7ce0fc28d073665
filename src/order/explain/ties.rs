//! What ties a plate to others: what it comes after, what comes after it, what
//! it is joined with.
//!
//! In: the setting and the plan. Out: a sentence for each, with its line.

use super::day::DayView;
use crate::model::{Join, JoinId, PlateId};
use crate::order::plan::{ShootPlan, StepKind};
use crate::order::setting::Setting;
use crate::quantity::show;
use crate::source::Span;

/// A sentence with the line behind it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tie {
    /// The sentence.
    pub text: String,
    /// The line.
    pub span: Option<Span>,
}

/// What the order of a plate is bound to by lines and recipes.
pub(super) fn bound(setting: &Setting<'_>, plate: PlateId) -> Vec<Tie> {
    let mut ties = Vec::new();
    for (before, reason) in setting.waits.get(&plate).into_iter().flat_map(|waits| &waits.plates) {
        let text = format!("it comes after {}: {}", setting.name(*before), reason.text);
        ties.push(Tie { text, span: reason.span });
    }
    for (pass, reason) in setting.waits.get(&plate).into_iter().flat_map(|waits| &waits.passes) {
        let text = format!("it comes on a day after {}: {}", setting.pass_name(*pass), reason.text);
        ties.push(Tie { text, span: reason.span });
    }
    for (&later, waits) in &setting.waits {
        for (_, reason) in waits.plates.iter().filter(|(before, _)| *before == plate) {
            let text = format!("{} comes after it: {}", setting.name(later), reason.text);
            ties.push(Tie { text, span: reason.span });
        }
    }
    ties
}

/// What a plate is joined with, how far apart both are shot, and what the light does meanwhile.
pub(super) fn joined(setting: &Setting<'_>, shoot: &ShootPlan, plate: PlateId) -> Vec<Tie> {
    let joins = setting.model.joins.values().filter(|join| join.from == plate || join.to == plate);
    joins.map(|join| Tie { text: apart(setting, shoot, join, plate), span: Some(join.span) }).collect()
}

/// How far apart both sides of a join are shot.
pub(super) fn of_join(setting: &Setting<'_>, shoot: &ShootPlan, join: JoinId) -> Option<Tie> {
    let join = &setting.model.joins[join];
    let first = setting.name(join.from);
    let told = apart(setting, shoot, join, join.from);
    let text = told.replacen("it is joined", &format!("{first} is joined"), 1);
    Some(Tie { text, span: Some(join.span) })
}

/// "it is joined with 'X', shot 3 min before it".
fn apart(setting: &Setting<'_>, shoot: &ShootPlan, join: &Join, plate: PlateId) -> String {
    let other = if join.from == plate { join.to } else { join.from };
    let name = setting.name(other);
    let at = join
        .mark
        .map_or(String::new(), |mark| format!(" at the mark '{}'", setting.model.marks[mark].named.label()));
    let (Some(own), Some(their)) = (shoot.shot.get(&plate), shoot.shot.get(&other)) else {
        return format!("it is joined with {name}{at}, which is not planned");
    };
    if own.0 != their.0 {
        return format!(
            "it is joined with {name}{at}, shot on day {}",
            shoot.days.get(their.0).map_or(their.0 + 1, |day| day.number)
        );
    }
    let (gap, word) =
        if their.1 >= own.2 { (their.1.0 - own.2.0, "after") } else { (own.1.0 - their.2.0, "before") };
    let sky = [plate, other].iter().any(|side| setting.breakdown.plates[*side].light.under_sky());
    let light = if sky { format!("; {}", light(setting)) } else { String::new() };
    format!("it is joined with {name}{at}, shot {} min {word} it{light}", gap.max(0))
}

/// How long the light holds across a join.
fn light(setting: &Setting<'_>) -> String {
    let sun = setting.model.sequence.budgets.sun.0;
    let minutes = crate::order::blocks::light_holds(sun);
    format!("within {minutes} min the sun's height changes by no more than {}°", show::number(sun, 1))
}

impl DayView<'_, '_> {
    /// The plates of the blocks right before and right after a step.
    pub(super) fn neighbours(&self, at: usize) -> (Option<PlateId>, Option<PlateId>) {
        let Some(own) = self.block_at(at) else { return (None, None) };
        let plate = |step: &crate::order::Step| match step.kind {
            StepKind::Shoot(plate) => Some(plate),
            _ => None,
        };
        let before = self.day.steps.get(..own.first).unwrap_or_default();
        let after = self.day.steps.get(own.last + 1..).unwrap_or_default();
        (before.iter().rev().find_map(plate), after.iter().find_map(plate))
    }
}
