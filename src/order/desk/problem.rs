//! The desk as a plain problem: tasks, hands that can do them, working hours.
//!
//! All times are whole minutes; absolute ones count as [`Minute`](crate::order::Minute) does.
//! It is project scheduling with scarce resources: a hand is a person, or a
//! house with seats of several kinds. A project with renewable resources and
//! no nights is one house that never closes, with a kind of seat for each
//! resource.

use super::hours::Hours;
use crate::model::{Arena, arena};

arena::ids! {
    /// A task.
    TaskId;
    /// Someone who works.
    HandId;
}

/// The whole problem.
#[derive(Debug, Clone, Default)]
pub struct Problem {
    /// What must be done.
    pub tasks: Arena<TaskId, Task>,
    /// Who can do it.
    pub hands: Arena<HandId, Hand>,
    /// When all should be done.
    pub due: Option<i64>,
}

/// A task. Work goes on over nights, and stops for nothing else but what is urgent.
#[derive(Debug, Clone, Default)]
pub struct Task {
    /// Minutes of work; 0 is a moment and needs no hand.
    pub work: i64,
    /// Who can do it, the likeliest first. One of them does all of it.
    pub able: Vec<HandId>,
    /// Seats that it takes at its hand, by kind; where nothing is said, one of the first kind.
    pub seats: Vec<u16>,
    /// What must be done before.
    pub before: Vec<Wait>,
    /// Not before this.
    pub release: i64,
    /// When it should be done.
    pub due: Option<i64>,
    /// Whether it comes before all that is not, as soon as it can be done, and
    /// interrupts other work for it. What waits for work that is not urgent is not.
    pub urgent: bool,
    /// How much a minute counts by which it is done sooner, where nothing is later
    /// than it is due and all is done no later; 0 for most.
    pub wanted: i64,
    /// What it is a part of; going from one thing to another is a change of task.
    pub part_of: Option<u32>,
}

/// What a task waits for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wait {
    /// What must be done before.
    pub on: TaskId,
    /// Minutes that pass between, day and night: a render, a review; never negative.
    pub gap: i64,
}

/// Someone who works.
#[derive(Debug, Clone, Default)]
pub struct Hand {
    /// When.
    pub hours: Hours,
    /// When urgent work alone is done besides; apart from `hours`.
    pub late_hours: Hours,
    /// Seats by kind, each at most [`MOST_SEATS`]; a person is one seat.
    pub seats: Vec<u16>,
}

/// A hand has no more seats of a kind than this.
pub const MOST_SEATS: u16 = i16::MAX as u16;

impl Hand {
    /// One person who works at these hours.
    pub fn person(hours: Hours) -> Self {
        Self { hours, late_hours: Hours::default(), seats: vec![1] }
    }
}

impl Task {
    /// Seats of a kind that it takes.
    pub fn takes(&self, kind: usize) -> u16 {
        match self.seats.get(kind) {
            Some(&seats) => seats,
            None => u16::from(self.seats.is_empty() && kind == 0),
        }
    }
}

/// Why a task cannot be done at all.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fault {
    /// No hand is named that has seats enough.
    Nobody,
    /// The hours of those named are not enough for all there is to do.
    Hours,
    /// It waits for itself, through others.
    Circle,
    /// It waits for another that cannot be done.
    Behind(TaskId),
}
