//! Why something is at its time, what would move it, and what keeps things out.
//!
//! In: the sequence and its plan. Out: chains of words and minutes. Nothing
//! here plans: times are read off the plan, and whatever is claimed about
//! another plan is found by planning again.

pub mod chain;
mod day;
mod room;
mod words;

pub use chain::{Anchor, AnchorKind, Chain, Held, Link, LinkKind, Room};

use super::setting::Setting;
use super::{Plan, StepKind};
use crate::graph::Work;
use crate::model::{Model, PlateId};
use crate::recipe::Breakdown;
use day::DayView;

#[cfg(test)]
mod tests;

/// A plan, ready to be asked.
pub struct Explainer<'a> {
    setting: Setting<'a>,
    plan: &'a Plan,
}

impl<'a> Explainer<'a> {
    /// Of that plan of that sequence.
    pub fn new(model: &'a Model, breakdown: &'a Breakdown, work: &Work, plan: &'a Plan) -> Self {
        Self { setting: Setting::new(model, breakdown, work), plan }
    }

    /// What holds a plate at its time; `None` where it is not planned.
    pub fn plate(&self, plate: PlateId) -> Option<Held> {
        let &(day, _, _) = self.plan.shoot.shot.get(&plate)?;
        let view = DayView::new(&self.setting, &self.plan.shoot, day)?;
        let at = view.day.steps.iter().position(|step| step.kind == StepKind::Shoot(plate))?;
        view.held(at)
    }

    /// What holds the end of a day, by its place in the plan.
    pub fn wrap(&self, day: usize) -> Option<Held> {
        let view = DayView::new(&self.setting, &self.plan.shoot, day)?;
        view.held(view.day.steps.len().checked_sub(1)?)
    }
}
