//! What a maker would give for what: the prices by which orders of the shoot are compared.
//!
//! Everything is priced in one coin, the minute on the way: a weight says how
//! many hundredths of such a minute something costs. An order is cheaper when
//! the sum is smaller, so weights only say what a maker would give for what:
//! at a weight of 25 for people, four people kept waiting for ten minutes cost
//! as much as a way of ten minutes. The defaults are common practice, no source.

use super::PersonId;
use std::collections::BTreeMap;

/// Weights, in hundredths of a minute on the way. None may be negative.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Weights {
    /// A minute on the way.
    pub travel: i64,
    /// A minute of fitting a rig and camera, or of changing the set-up.
    pub fitting: i64,
    /// A minute for which everybody waits: for light, access, people or charge.
    pub waiting: i64,
    /// A minute of bringing a prop or a look back.
    pub resetting: i64,
    /// A minute for which one person waits between two plates.
    pub people: i64,
    /// The same for those who are worth more or less than others.
    pub person: BTreeMap<PersonId, i64>,
    /// A minute by which the meal comes too early, or the work after it lasts too long.
    pub meal: i64,
    /// A minute of a day beyond its [`long`](super::DayPlan::long), besides whatever fills it.
    pub overtime: i64,
    /// A day on which something is shot.
    pub extra_day: i64,
    /// A block that comes after one that is later in the story.
    pub story_order: i64,
    /// An hour by which something dangerous or tiring comes later in the day, for each hazard.
    pub danger: i64,
    /// A minute between both sides of a join under the sky.
    pub join: i64,
    /// The same under lamps, where the light does not change.
    pub join_lamp: i64,
    /// A minute between both sides of a join under the sky besides, once the sun may have risen or
    /// sunk by more than the join allows.
    pub join_light: i64,
    /// Minutes that count between both sides of a join on different days.
    pub join_apart: i64,
    /// A set-up that has another place in its day than in the kept plan.
    pub moved: i64,
    /// A set-up that is on another day than in the kept plan.
    pub moved_day: i64,
    /// A person who is called on a day for which the kept plan did not call them.
    pub recalled: i64,
    /// Minutes by which the desk must be done sooner for each pass that goes to another person, or
    /// has another place in their order, than in the kept plan.
    pub moved_pass: i64,
    /// A plate that is not planned.
    pub unplanned: i64,
}

impl Default for Weights {
    fn default() -> Self {
        Self {
            travel: 100,
            fitting: 100,
            // A little less than work for nothing, so that nobody refits to pass the time.
            waiting: 80,
            resetting: 100,
            people: 25,
            person: BTreeMap::new(),
            meal: 100,
            // What keeps everybody late costs as much again as a way.
            overtime: 100,
            // One day outweighs any minutes of a shoot, one plate any days.
            extra_day: 100_000_000,
            story_order: 1,
            danger: 1,
            join: 50,
            join_lamp: 10,
            join_light: 100,
            join_apart: 240,
            // Less than an hour together is seldom worth a new call sheet; a person who was told
            // another day is worth an hour.
            moved: 1_000,
            moved_day: 3_000,
            recalled: 6_000,
            moved_pass: 120,
            unplanned: 1_000_000_000_000,
        }
    }
}

impl Weights {
    /// Everything free but what is left out, for problems that price one thing alone.
    pub fn nothing() -> Self {
        Self {
            travel: 0,
            fitting: 0,
            waiting: 0,
            resetting: 0,
            people: 0,
            person: BTreeMap::new(),
            meal: 0,
            overtime: 0,
            extra_day: 0,
            story_order: 0,
            danger: 0,
            join: 0,
            join_lamp: 0,
            join_light: 0,
            join_apart: 0,
            moved: 0,
            moved_day: 0,
            recalled: 0,
            moved_pass: 0,
            ..Self::default()
        }
    }

    /// What a minute of waiting of that person costs.
    pub fn of(&self, person: PersonId) -> i64 {
        self.person.get(&person).copied().unwrap_or(self.people)
    }
}
