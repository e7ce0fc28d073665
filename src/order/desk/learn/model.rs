//! The problem as starts, waits and seats.

use super::super::hours::Hours;
use super::super::net::Net;
use super::super::problem::{HandId, TaskId};
use super::bounds::{Bounds, Fact, Half, Reason};
use super::room::{Clash, Room};
use super::waits::{Edge, FAR, small};
use crate::model::Arena;
use crate::model::arena::Id;
use crate::order::shoot::problem::{collected, filled};
use std::rc::Rc;

/// Starts count in working minutes of the task's hand, those of moments in
/// minutes from a base on.
#[derive(Debug)]
pub(in super::super) struct Model {
    /// Hours in which each start counts.
    pub(super) hours: Arena<TaskId, Rc<Hours>>,
    /// Minutes of work of each task.
    pub(super) work: Vec<i32>,
    /// Waits.
    pub(super) edges: Vec<Edge>,
    /// Waits that a task is part of: those for it, and its own.
    around: Arena<TaskId, (Vec<u32>, Vec<u32>)>,
    /// Seats.
    pub(super) rooms: Vec<Room>,
    /// Rooms that a task takes seats of.
    pub(super) rooms_of: Arena<TaskId, Vec<u32>>,
}

impl Model {
    /// Reads a net with a hand for each task.
    pub(in super::super) fn new(net: &Net, hand_of: &Arena<TaskId, Option<HandId>>) -> Self {
        let shared: Arena<HandId, Rc<Hours>> = collected(net.hours.values().cloned().map(Rc::new));
        let moments = Rc::new(always(net));
        let hours_of = |hand: Option<HandId>| hand.map_or(&moments, |hand| &shared[hand]).clone();
        let hours: Arena<TaskId, Rc<Hours>> = collected(hand_of.values().map(|&hand| hours_of(hand)));
        let mut edges = Vec::new();
        let mut around: Arena<TaskId, (Vec<u32>, Vec<u32>)> = filled(net.len(), (Vec::new(), Vec::new()));
        for (id, before) in net.before.iter() {
            for &(on, gap) in before {
                let plain = hours[id].shifts().count() == 1 && hours[id] == hours[on];
                let both = (!plain).then(|| (hours[on].clone(), hours[id].clone()));
                around[on].0.push(edges.len() as u32);
                around[id].1.push(edges.len() as u32);
                edges.push(Edge::new((on.index(), id.index()), (net.work[on], gap), both));
            }
        }
        let work = net.work.values().map(|&work| small(work)).collect();
        let mut model =
            Self { hours, work, edges, around, rooms: Vec::new(), rooms_of: filled(net.len(), Vec::new()) };
        model.seat(net, hand_of);
        model
    }

    fn seat(&mut self, net: &Net, hand_of: &Arena<TaskId, Option<HandId>>) {
        for (hand, words) in net.seats.iter() {
            for kind in 0..words.len() * super::super::load::KINDS {
                let of = |words: &[super::super::load::Seats]| {
                    words.get(kind / super::super::load::KINDS).map_or(0, |word| word.of(kind)) as i32
                };
                let mut tasks = Vec::new();
                for (id, need) in net.need.iter().filter(|(id, _)| hand_of[*id] == Some(hand)) {
                    if of(need) > 0 {
                        tasks.push((id.index(), small(net.work[id]), of(need)));
                    }
                }
                let needed: i32 = tasks.iter().map(|task| task.2).sum();
                if needed > of(words) {
                    let place = self.rooms.len() as u32;
                    for task in &tasks {
                        self.rooms_of[TaskId::from_index(task.0)].push(place);
                    }
                    self.rooms.push(Room::new(place, of(words), tasks));
                }
            }
        }
    }

    /// First and last starts, if all is to be done by `end`; none where that cannot be.
    pub(in super::super) fn bounds(&self, net: &Net, end: i64) -> Option<Bounds> {
        let ranges: Vec<(i32, i32)> = self
            .hours
            .iter()
            .map(|(id, hours)| (small(hours.worked(net.release[id])), self.last(net, id, end)))
            .collect();
        let all_open = ranges.iter().all(|(first, last)| first <= last);
        all_open.then(|| Bounds::new(ranges))
    }

    /// The last start of a task if all is to be done by `end`.
    pub(super) fn last(&self, net: &Net, id: TaskId, end: i64) -> i32 {
        let hours = &self.hours[id];
        // What takes no time is not done before the first hours either.
        let early = end < hours.begin(0);
        small(if early { -1 } else { hours.worked(end) - net.work[id] })
    }

    /// A moment as the start of a task.
    pub(in super::super) fn start(&self, id: TaskId, at: i64) -> i32 {
        small(self.hours[id].worked(at))
    }

    /// Follows a half that grew along the waits.
    pub(super) fn follow(&self, half: Half, bounds: &mut Bounds) -> Result<(), Clash> {
        let around = &self.around[TaskId::from_index(half.task())];
        let edges = if half.is_negative() { &around.1 } else { &around.0 };
        for &id in edges {
            let Some(edge) = self.edges.get(id as usize) else { continue };
            let fact = if half.is_negative() {
                let last = -bounds.least(half);
                Fact { half: Half::start(edge.from).other(), least: 1 - edge.before(last + 1) }
            } else {
                Fact { half: Half::start(edge.to), least: edge.after(bounds.least(half)) }
            };
            if bounds.is_true(fact) {
                continue;
            }
            if bounds.is_false(fact) {
                return Err(vec![fact.not(), self.because(edge, fact)]);
            }
            bounds.set(fact, Reason::Wait(id));
        }
        Ok(())
    }

    /// The fact from which another follows by a wait.
    pub(super) fn because(&self, edge: &Edge, fact: Fact) -> Fact {
        if fact.half.is_negative() {
            let last = -fact.least;
            Fact { half: Half::start(edge.to).other(), least: 1 - edge.after(last + 1) }
        } else {
            Fact { half: Half::start(edge.from), least: edge.before(fact.least) }
        }
    }

    /// The moment at which a task starts, counted back into absolute minutes.
    pub(in super::super) fn moment(&self, task: TaskId, start: i32) -> i64 {
        self.hours[task].begin(i64::from(start))
    }
}

/// Hours for moments: those of a house that does not close before all is done,
/// so that waits between it and moments need no hours, or else all time.
fn always(net: &Net) -> Hours {
    let base = net.release.values().copied().min().unwrap_or(0);
    let is_long = |hours: &&Hours| {
        let mut shifts = hours.shifts();
        let first = shifts.next();
        first.is_some_and(|(from, to)| from <= base && to.saturating_sub(base) >= net.reach)
            && shifts.next().is_none()
    };
    let only = net.hours.values().find(is_long).cloned();
    only.unwrap_or_else(|| Hours::new([(base, base + i64::from(FAR))]))
}
