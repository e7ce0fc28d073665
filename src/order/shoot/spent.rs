//! What a day costs, kind by kind.

use super::problem::Problem;

/// Minutes and counts that cost something.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) struct Spent {
    /// On the way.
    pub(crate) moving: i64,
    /// Fitting.
    pub(crate) fitting: i64,
    /// Waiting for light or access.
    pub(crate) waiting: i64,
    /// Waiting for charge.
    pub(crate) charging: i64,
    /// Resetting.
    pub(crate) resetting: i64,
    /// Too long after the meal.
    pub(crate) hunger: i64,
    /// Beyond the length of a day.
    pub(crate) overtime: i64,
    /// People waiting, added up.
    pub(crate) people: i64,
    /// People waiting, already priced.
    pub(crate) kept: i64,
    /// Between linked blocks, already priced.
    pub(crate) links: i64,
    /// Between linked blocks, in minutes.
    pub(crate) apart: i64,
    /// Steps against story order.
    pub(crate) story: i64,
    /// Hazards times minutes since the start.
    pub(crate) danger: i64,
}

impl Spent {
    /// Adds another day's.
    pub(crate) fn add(&mut self, other: &Spent) {
        self.moving += other.moving;
        self.fitting += other.fitting;
        self.waiting += other.waiting;
        self.charging += other.charging;
        self.resetting += other.resetting;
        self.hunger += other.hunger;
        self.overtime += other.overtime;
        self.people += other.people;
        self.kept += other.kept;
        self.links += other.links;
        self.apart += other.apart;
        self.story += other.story;
        self.danger += other.danger;
    }

    /// In hundredths.
    pub(crate) fn cost(&self, problem: &Problem) -> i64 {
        let price = &problem.weights;
        self.moving * price.travel
            + self.fitting * price.fitting
            + self.resetting * price.resetting
            + (self.waiting + self.charging) * price.waiting
            + self.hunger * price.meal
            + self.overtime * price.overtime
            + self.kept
            + self.links
            + self.story * price.story_order
            + self.danger * price.danger / 60
    }
}
