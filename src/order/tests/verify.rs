//! Checks a plan against every hard constraint, from the model and the plan
//! alone: none of the planner's own code is asked.

use super::fixture::Stage;
use crate::graph::Node;
use crate::model::*;
use crate::order::{Minute, Plan, PlannedDay, StepKind, limits};
use jiff::tz::TimeZone;
use std::collections::{BTreeMap, BTreeSet};

/// Everything that is wrong with a plan; empty when it holds.
pub(crate) fn wrong(stage: &Stage, plan: &Plan) -> Vec<String> {
    let mut wrong = Vec::new();
    let zone = TimeZone::get(&stage.model.sequence.zone).unwrap();
    accounted(stage, plan, &mut wrong);
    let mut last_wrap: Option<Minute> = None;
    let allowed = &stage.model.days.as_ref().unwrap().each;
    for day in &plan.shoot.days {
        let frame = &allowed[day.allowed];
        let call = Minute::from_civil(frame.date.to_datetime(frame.call), &zone).unwrap();
        if day.call < call {
            wrong.push(format!("{} is called before {call:?}", day.date));
        }
        if day.wrap > day.latest {
            wrong.push(format!("{} wraps too late", day.date));
        }
        if let Some(wrap) = last_wrap
            && day.call.0 - wrap.0 < (frame.rest.0 / 60.0) as i64
        {
            wrong.push(format!("{} comes before the rest is over", day.date));
        }
        last_wrap = Some(day.wrap);
        steps(stage, plan, day, &mut wrong);
        meal(stage, day, frame, &mut wrong);
        windows(stage, day, frame, &zone, &mut wrong);
        power(stage, day, frame, &mut wrong);
        people(day, &mut wrong);
    }
    order(stage, plan, &mut wrong);
    states(stage, plan, &mut wrong);
    wrong
}

/// Every plate is shot once or named once with a reason.
fn accounted(stage: &Stage, plan: &Plan, wrong: &mut Vec<String>) {
    let mut seen: BTreeMap<PlateId, usize> = BTreeMap::new();
    for step in plan.shoot.days.iter().flat_map(|day| &day.steps) {
        if let StepKind::Shoot(plate) = step.kind {
            *seen.entry(plate).or_default() += 1;
        }
    }
    for one in &plan.shoot.unplanned {
        *seen.entry(one.what).or_default() += 1;
        if one.reasons.is_empty() {
            wrong.push(format!("{:?} is left out without a reason", one.what));
        }
    }
    for plate in stage.breakdown.plates.ids() {
        if seen.get(&plate) != Some(&1) {
            wrong.push(format!("{plate:?} is there {:?} times", seen.get(&plate)));
        }
    }
}

fn steps(stage: &Stage, plan: &Plan, day: &PlannedDay, wrong: &mut Vec<String>) {
    let mut at = day.steps.first().map(|step| step.start).unwrap();
    let mut here = day.base;
    let mut fitted: Option<(RigId, CameraId)> = None;
    for step in &day.steps {
        // A camera that rolls with another starts right before it, and takes no time of its own.
        let companion = match step.kind {
            StepKind::Shoot(id) => stage.breakdown.plates[id].rolls_with,
            _ => None,
        };
        if let Some(host) = companion {
            let StepKind::Shoot(id) = step.kind else { continue };
            let times = |id| plan.shoot.shot.get(id).map(|one| (one.1, one.2));
            let whole = times(&id) == times(&host.value) && times(&id).is_some_and(|one| one.0 == step.start);
            if step.start != at || step.end != at || !whole {
                wrong.push(format!("{id:?} does not roll with {:?}", host.value));
            }
            continue;
        }
        if step.start != at || step.end <= step.start {
            wrong.push(format!("{} has a gap or an overlap at {:?}", day.date, step.start));
        }
        at = step.end;
        match step.kind {
            StepKind::Move { from, to } => {
                if here.is_some_and(|here| here != from) {
                    wrong.push(format!("{from:?} is left without being there"));
                }
                let takes = stage.model.travel(from, to).map_or(30, |span| (span.0 / 60.0).ceil() as i64);
                if step.end.0 - step.start.0 != takes {
                    wrong.push("a way has the wrong length".into());
                }
                here = Some(to);
                fitted = None;
            }
            StepKind::Fit(setup) => {
                let setup = &plan.shoot.setups[setup];
                fitted = Some((setup.rig, stage.model.modes[setup.mode].camera));
            }
            StepKind::Shoot(id) => {
                let plate = &stage.breakdown.plates[id];
                here = here.or(Some(plate.place));
                if here != Some(plate.place) || step.place != plate.place {
                    wrong.push(format!("{id:?} is shot elsewhere"));
                }
                let fit = stage.model.rigs[plate.rig].fitting.0 > 0.0;
                if fit && fitted != Some((plate.rig, stage.model.modes[plate.mode].camera)) {
                    wrong.push(format!("{id:?} is shot on a rig that is not fitted"));
                }
                let takes = f64::from(plate.takes);
                let minutes = (plate.lasts.value.0 * takes + plate.between.0 * (takes - 1.0)) / 60.0;
                if ((step.end.0 - step.start.0) as f64) < minutes - 1e-6 {
                    wrong.push(format!("{id:?} has too little time"));
                }
                if plan.shoot.shot.get(&id).map(|one| (one.1, one.2)) != Some((step.start, step.end)) {
                    wrong.push(format!("{id:?} is noted at another time"));
                }
            }
            _ => {}
        }
    }
    if at != day.wrap || day.steps.first().unwrap().start < day.call {
        wrong.push(format!("{} does not span its steps", day.date));
    }
}

fn meal(stage: &Stage, day: &PlannedDay, frame: &DayPlan, wrong: &mut Vec<String>) {
    let within = (frame.meal_within.0 / 60.0) as i64;
    let meals: Vec<_> = day.steps.iter().filter(|step| step.kind == StepKind::Meal).collect();
    if day.wrap.0 - day.call.0 > within && meals.is_empty() {
        wrong.push(format!("{} has no meal", day.date));
    }
    for meal in meals {
        if meal.start.0 - day.call.0 > within || meal.end.0 - meal.start.0 < (frame.meal.0 / 60.0) as i64 {
            wrong.push(format!("{} has its meal too late or too short", day.date));
        }
    }
    for group in stage.breakdown.groups.values() {
        let at: Vec<usize> = group
            .plates
            .iter()
            .filter_map(|&plate| day.steps.iter().position(|step| step.kind == StepKind::Shoot(plate)))
            .collect();
        if at.is_empty() {
            continue;
        }
        let between = &day.steps[at[0]..=at[at.len() - 1]];
        let whole = between.iter().all(|step| {
            matches!(step.kind, StepKind::Shoot(id) if group.plates.contains(&id))
                || matches!(step.kind, StepKind::Reset { .. })
        });
        if at.len() != group.plates.len() || !at.is_sorted() || !whole {
            wrong.push("a locked group is broken".into());
        }
    }
}

fn windows(stage: &Stage, day: &PlannedDay, frame: &DayPlan, zone: &TimeZone, wrong: &mut Vec<String>) {
    for step in &day.steps {
        if let StepKind::Shoot(id) = step.kind {
            for limit in limits(&stage.model, &stage.breakdown, id, frame, zone).each {
                if !limit.windows.iter().any(|one| one.from <= step.start.0 && step.end.0 <= one.to) {
                    wrong.push(format!("{id:?} is shot outside: {}", limit.what));
                }
            }
            let plate = &stage.breakdown.plates[id];
            for &person in &plate.people {
                let who = &stage.model.people[person];
                if who.away.iter().any(|away| away.value.from <= day.date && day.date <= away.value.to) {
                    wrong.push(format!("{person:?} is away"));
                }
            }
        }
    }
}

/// One battery, one charger: charge never falls below what a take needs. The
/// charge here is a sum, which is never stricter than packs.
fn power(stage: &Stage, day: &PlannedDay, frame: &DayPlan, wrong: &mut Vec<String>) {
    for (id, camera) in stage.model.cameras.iter() {
        let Some(battery) = &camera.battery else { continue };
        let packs = f64::from(camera.count * camera.packs);
        let full = battery.value.0 * packs;
        let mut left = full;
        let mut bytes = 0.0;
        for step in &day.steps {
            if let StepKind::Shoot(plate) = step.kind {
                let plate = &stage.breakdown.plates[plate];
                let mode = &stage.model.modes[plate.mode];
                if mode.camera == id && plate.kind.is_footage() {
                    left -= plate.lasts.value.0 * f64::from(plate.takes);
                    bytes += mode.stream.unwrap().0 / 8.0 * plate.lasts.value.0 * f64::from(plate.takes);
                }
                if left < -1e-6 {
                    wrong.push(format!("{} runs out of charge on {}", camera.named.path, day.date));
                    return;
                }
            } else if let Some(recharge) = camera.recharge {
                let rate = battery.value.0 / recharge.0 * f64::from(frame.chargers).min(packs);
                left = (left + rate * (step.end.0 - step.start.0) as f64 * 60.0).min(full);
            }
        }
        if let Some(card) = &camera.card
            && bytes > card.value.0 * f64::from(camera.cards * camera.count)
        {
            wrong.push(format!("{} runs out of card", camera.named.path));
        }
    }
}

fn people(day: &PlannedDay, wrong: &mut Vec<String>) {
    for call in &day.people {
        if call.call < day.call || call.release > day.wrap || call.for_plates.is_empty() {
            wrong.push(format!("{:?} is called wrongly", call.person));
        }
        for (plate, _) in &call.for_plates {
            let step = day.steps.iter().find(|step| step.kind == StepKind::Shoot(*plate));
            if step.is_none_or(|step| step.start < call.call || step.end > call.release) {
                wrong.push(format!("{:?} is not there for {plate:?}", call.person));
            }
        }
        let plates: BTreeSet<_> = call.for_plates.iter().map(|(plate, _)| plate).collect();
        if plates.len() != call.for_plates.len() {
            wrong.push(format!("{:?} is two people at once", call.person));
        }
    }
}

fn order(stage: &Stage, plan: &Plan, wrong: &mut Vec<String>) {
    for edge in stage.work.edge_indices() {
        let (from, to) = stage.work.edge_endpoints(edge).unwrap();
        match (stage.work[from], stage.work[to]) {
            (Node::Plate(a), Node::Plate(b)) => {
                if let Some(then) = plan.shoot.shot.get(&b)
                    && plan.shoot.shot.get(&a).is_none_or(|first| first.2 > then.1)
                {
                    wrong.push(format!("{b:?} is shot before {a:?}"));
                }
            }
            (Node::Pass(a), Node::Plate(b)) => {
                if let Some(then) = plan.shoot.shot.get(&b)
                    && plan.desk.done.get(&a).is_none_or(|done| *done > then.1)
                {
                    wrong.push(format!("{b:?} is shot before {a:?} is done"));
                }
            }
            (Node::Plate(a), Node::Pass(b)) => {
                let start = plan.desk.work.iter().find(|one| one.pass == b).map(|one| one.start);
                if let Some(start) = start
                    && plan.shoot.shot.get(&a).is_none_or(|shot| shot.2 > start)
                {
                    wrong.push(format!("{b:?} starts without {a:?}"));
                }
            }
            (Node::Pass(a), Node::Pass(b)) => {
                let start = plan.desk.work.iter().find(|one| one.pass == b).map(|one| one.start);
                if let Some(start) = start
                    && plan.desk.done.get(&a).is_none_or(|done| *done > start)
                {
                    wrong.push(format!("{b:?} starts before {a:?} is done"));
                }
            }
            _ => {}
        }
    }
}

/// Props only go forward, unless a reset step says otherwise; overnight what has a reset may go back.
fn states(stage: &Stage, plan: &Plan, wrong: &mut Vec<String>) {
    for (id, prop) in stage.model.props.iter() {
        let at = |word: &str| prop.states.iter().position(|one| one == word).unwrap();
        let mut items = vec![0usize; prop.spares as usize + 1];
        for day in &plan.shoot.days {
            if !prop.resets.is_empty() {
                items = vec![0; items.len()];
            }
            for step in &day.steps {
                match &step.kind {
                    StepKind::Reset { of: StateOf::Prop(one), from, to } if *one == id => {
                        let item = items.iter_mut().find(|item| **item == at(from));
                        match item {
                            Some(item) => *item = at(to),
                            None => wrong.push("a reset goes back from a state that is not there".into()),
                        }
                    }
                    StepKind::Shoot(plate) => {
                        let plate = &stage.breakdown.plates[*plate];
                        let turn = plate.turns.iter().find(|turn| turn.of == StateOf::Prop(id));
                        let shows = plate.shows.iter().find(|show| show.0 == StateOf::Prop(id));
                        let wanted = match (turn, shows) {
                            (Some(turn), _) => Some((at(&turn.from), at(&turn.to))),
                            (None, Some(show)) => Some((at(&show.1), at(&show.1))),
                            (None, None) => None,
                        };
                        if let Some((needs, leaves)) = wanted {
                            match items.iter_mut().filter(|item| **item <= needs).max() {
                                Some(item) => *item = leaves,
                                None => wrong.push(format!("{} cannot be {needs} any more", prop.named.path)),
                            }
                        }
                    }
                    _ => {}
                }
            }
        }
    }
}
