//! When all can be done at the earliest, whatever the order.
//!
//! In: a net and its mirror. Out: a moment before which no schedule ends. Two
//! things hold it: the longest way through the tasks, and the hours of people.
//! For the second an end is assumed, from which follows by when each task must
//! be done; where the work that lies between two moments is more than its
//! people have hours there, the end is too early (energy over intervals; Baptiste,
//! Le Pape and Nuijten 1999).

use super::net::Net;
use super::problem::{HandId, TaskId};
use super::schedule::{Schedule, alone, finish};
use std::collections::BTreeSet;

/// Tasks times moments from which intervals begin, at most, for each group of people.
const TRIED: usize = 40_000;

/// People who alone can do some tasks, and these tasks.
struct Group {
    hands: Vec<HandId>,
    tasks: Vec<TaskId>,
}

/// No schedule ends before this.
pub(super) fn least_finish(net: &Net, back: &Net) -> i64 {
    let soonest = alone(net, i64::MIN);
    let shortest = finish(&soonest);
    let groups = groups(net);
    let (mut no, mut yes) = (shortest, shortest);
    let mut step = 1;
    // What ends at `yes` may be possible; what ends before `no` is not.
    while !may_end(net, back, &groups, &soonest, yes) {
        no = yes + 1;
        yes = yes.saturating_add(step);
        step *= 2;
    }
    while no < yes {
        let middle = no + (yes - no) / 2;
        if may_end(net, back, &groups, &soonest, middle) {
            yes = middle;
        } else {
            no = middle + 1;
        }
    }
    yes
}

/// Every group that somebody names, every person alone, and all who could do
/// each other's work, directly or through others.
fn groups(net: &Net) -> Vec<Group> {
    let mut sets: BTreeSet<Vec<HandId>> = net.hours.ids().map(|hand| vec![hand]).collect();
    let mut near: Vec<BTreeSet<HandId>> = net.hours.ids().map(|hand| BTreeSet::from([hand])).collect();
    for able in net.able.values().filter(|able| able.len() > 1) {
        let mut able = able.clone();
        able.sort_unstable();
        if sets.insert(able.clone()) {
            let (own, others): (Vec<_>, Vec<_>) =
                near.into_iter().partition(|set| able.iter().any(|hand| set.contains(hand)));
            near = others;
            near.push(own.into_iter().flatten().collect());
        }
    }
    sets.extend(near.into_iter().map(|set| set.into_iter().collect()));
    let tasks_of = |hands: &Vec<HandId>| -> Vec<TaskId> {
        let inside = |id: &TaskId| net.work[*id] > 0 && net.able[*id].iter().all(|hand| hands.contains(hand));
        net.work.ids().filter(inside).collect()
    };
    sets.into_iter().map(|hands| Group { tasks: tasks_of(&hands), hands }).collect()
}

/// Whether the hours of all groups are enough for an end.
fn may_end(net: &Net, back: &Net, groups: &[Group], soonest: &Schedule, end: i64) -> bool {
    let latest = alone(back, -end);
    groups.iter().all(|group| {
        let mut tasks: Vec<(i64, i64, TaskId)> =
            group.tasks.iter().map(|&id| (soonest[id].start, -latest[id].start, id)).collect();
        tasks.sort_unstable_by_key(|&(_, by, id)| (by, id));
        let mut starts: Vec<i64> = tasks.iter().map(|task| task.0).collect();
        starts.sort_unstable();
        starts.dedup();
        let most = TRIED.checked_div(tasks.len()).unwrap_or(1).max(8);
        let every = starts.len().div_ceil(most).max(1);
        starts.iter().step_by(every).all(|&from| has_room(net, group, &tasks, from))
    })
}

/// Whether whatever lies after a moment can be done in time, by hours alone.
fn has_room(net: &Net, group: &Group, tasks: &[(i64, i64, TaskId)], from: i64) -> bool {
    let kinds = group.hands.iter().map(|&hand| net.seats[hand].len()).max().unwrap_or(0) * super::load::KINDS;
    let mut needed = vec![0i64; kinds];
    let begun: Vec<i64> = group.hands.iter().map(|&hand| net.hours[hand].worked(from)).collect();
    let mut open = tasks.iter().filter(|(start, ..)| *start >= from).peekable();
    while let Some(&(_, by, id)) = open.next() {
        for (kind, needed) in needed.iter_mut().enumerate() {
            *needed += net.work[id] * seats(&net.need[id], kind);
        }
        if open.peek().is_some_and(|next| next.1 == by) {
            continue;
        }
        let mut has = vec![0i64; kinds];
        for (&hand, begun) in group.hands.iter().zip(&begun) {
            let minutes = net.hours[hand].worked(by) - begun;
            for (kind, has) in has.iter_mut().enumerate() {
                *has = has.saturating_add(minutes.max(0) * seats(&net.seats[hand], kind));
            }
        }
        if needed.iter().zip(&has).any(|(needed, has)| needed > has) {
            return false;
        }
    }
    true
}

fn seats(words: &[super::load::Seats], kind: usize) -> i64 {
    words.get(kind / super::load::KINDS).map_or(0, |word| word.of(kind))
}
