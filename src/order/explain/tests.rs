use super::*;
use crate::order::duration::{MARGIN, minutes};
use crate::order::tests::fixture::Stage;
use crate::order::tests::random::{Draft, draft, stage};
use crate::order::{Minute, limits};
use crate::quantity::Range;
use jiff::civil::date;
use jiff::tz::TimeZone;
use proptest::prelude::*;

/// What is wrong with a chain that should lead back from a time to its anchor.
fn broken_back(chain: &Chain, from: Minute) -> Option<String> {
    let mut at = from;
    for link in &chain.links {
        if link.to != at || link.from >= link.to {
            return Some(format!("a gap at {at:?}: {link:?}"));
        }
        at = link.from;
    }
    (at != chain.anchor.at).then(|| format!("it ends at {at:?}, not at {:?}", chain.anchor))
}

/// What is wrong with a plate's chain; the sequence and the plan alone are asked.
fn wrong(stage: &Stage, plan: &Plan, held: &Held) -> Option<String> {
    let broken = broken_back(&held.before, held.start);
    if broken.is_some() {
        return broken;
    }
    if let Some(called) = &held.called {
        let mut at = held.before.anchor.at;
        for link in &called.links {
            if link.from != at {
                return Some(format!("a gap after the call at {at:?}: {link:?}"));
            }
            at = link.to;
        }
        let close = called.anchor.at.0 - at.0;
        if !(0..=MARGIN).contains(&close) {
            return Some(format!("{:?} is {close} min off", called.anchor));
        }
    }
    loose(stage, plan, held)
}

/// Whether the moment at the end of the chain gives.
fn loose(stage: &Stage, plan: &Plan, held: &Held) -> Option<String> {
    let zone = TimeZone::get(&stage.model.sequence.zone).unwrap();
    let day = &plan.shoot.days[held.day];
    let frame = &stage.model.days.as_ref().unwrap().each[day.allowed];
    let root = held.root();
    let edge = |ends: bool| {
        let shot = day.steps.iter().filter_map(|step| match step.kind {
            StepKind::Shoot(plate) => Some((plate, step)),
            _ => None,
        });
        shot.flat_map(|(plate, _)| limits(&stage.model, &stage.breakdown, plate, frame, &zone).each)
            .flat_map(|limit| limit.windows)
            .any(|window| if ends { window.to == root.at.0 } else { window.from == root.at.0 })
    };
    let civil = |clock| Minute::from_civil(frame.date.to_datetime(clock), &zone).unwrap();
    let tight = match root.kind {
        AnchorKind::Opens(_) => edge(false),
        AnchorKind::Closes(_) => edge(true),
        AnchorKind::EarliestCall(_) => root.at == civil(frame.call),
        AnchorKind::Rest(_) => root.at.0 == plan.shoot.days[held.day - 1].wrap.0 + minutes(frame.rest),
        // A later call leaves less time for charging, so what opens is no longer met to the minute.
        AnchorKind::Price => day.steps.iter().any(|step| matches!(step.kind, StepKind::Charge { .. })),
        _ => false,
    };
    (!tight).then(|| format!("nothing holds {root:?}\n{:#?}", day.steps))
}

fn all_held(stage: &Stage) -> Result<(), String> {
    let plan = stage.bare_plan();
    let explainer = Explainer::new(&stage.model, &stage.breakdown, &stage.work, &plan, Effort::default());
    for &plate in plan.shoot.shot.keys() {
        let held = explainer.plate(plate).ok_or_else(|| format!("{plate:?} has no chain"))?;
        if let Some(wrong) = wrong(stage, &plan, &held) {
            return Err(format!("{plate:?}: {wrong}"));
        }
    }
    Ok(())
}

/// Whether whoever does a pass has an hour of work between two moments, looked at minute by minute.
fn works_between(stage: &Stage, plan: &Plan, pass: PassId, (from, to): (Minute, Minute)) -> bool {
    let zone = TimeZone::get(&stage.model.sequence.zone).unwrap();
    let Some(work) = plan.desk.work.iter().find(|work| work.pass == pass) else { return from < to };
    let desk = &stage.model.desks[work.desk];
    let length = (desk.hours.0 * 60.0) as i64;
    // Who is at the shoot is not at the desk.
    let person = stage.model.people.iter().find(|(_, one)| one.named.path == desk.named.path);
    let calls = plan.shoot.days.iter().flat_map(|day| &day.people);
    let calls: Vec<_> = calls.filter(|call| person.is_some_and(|(id, _)| id == call.person)).collect();
    (from.0..to.0).any(|at| {
        let civil = Minute(at).civil(&zone);
        let into = i64::from(civil.hour()) * 60 + i64::from(civil.minute()) - 600;
        let away =
            desk.away.iter().any(|away| away.value.from <= civil.date() && civil.date() <= away.value.to);
        let called = calls.iter().any(|call| call.call.0 <= at && at < call.release.0);
        !away && !called && !desk.off.contains(&civil.date().weekday()) && (0..length).contains(&into)
    })
}

/// What is wrong with the chains of passes.
fn passes_held(stage: &Stage) -> Result<(), String> {
    let plan = stage.bare_plan();
    let explainer = Explainer::new(&stage.model, &stage.breakdown, &stage.work, &plan, Effort::default());
    for &pass in plan.desk.done.keys() {
        let held = explainer.pass(pass).ok_or_else(|| format!("{pass:?} has no chain"))?;
        if let Some(wrong) = broken_back(&held.chain, held.start) {
            return Err(format!("{pass:?}: {wrong}"));
        }
        let mut here = pass;
        for link in &held.chain.links {
            match link.kind {
                LinkKind::Pass(pass) => here = pass,
                LinkKind::Night if works_between(stage, &plan, here, (link.from, link.to)) => {
                    return Err(format!("{here:?} could begin sooner: {link:?}"));
                }
                _ => {}
            }
        }
        let root = &held.chain.anchor;
        if !matches!(root.kind, AnchorKind::Footage(_) | AnchorKind::DeskBegins) {
            return Err(format!("{pass:?}: nothing holds {root:?}"));
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, ..ProptestConfig::default() })]

    #[test]
    fn every_plate_hangs_on_something_that_does_not_give(
        drafts in proptest::collection::vec(draft(), 1..13),
        days in 1i8..4,
        resets in any::<bool>(),
        group in any::<bool>(),
    ) {
        let drafts: Vec<Draft> = drafts;
        prop_assert_eq!(all_held(&stage(&drafts, days, resets, group, false)), Ok(()));
    }

    #[test]
    fn every_pass_hangs_on_footage_or_on_the_first_day(
        drafts in proptest::collection::vec(draft(), 1..8),
        more in proptest::collection::vec((0usize..3, 1u32..14, 0usize..6, any::<bool>()), 0..10),
    ) {
        let mut stage = stage(&drafts, 2, true, false, false);
        let mei = stage.desk("mei", &["comp", "roto", "paint"], 5.0);
        let gone = stage.said(Range { from: date(2027, 5, 17), to: date(2027, 5, 18) });
        stage.model.desks[mei].away.push(gone);
        for (at, (what, hours, on, footage)) in more.into_iter().enumerate() {
            let department = ["comp", "roto", "paint"][what];
            let known: Vec<_> = stage.breakdown.passes.ids().collect();
            let waits: Vec<_> = known.get(on).copied().into_iter().collect();
            let plates: Vec<_> = stage.breakdown.plates.ids().take(usize::from(footage)).collect();
            stage.pass(&format!("more{at}"), department, f64::from(hours) / 2.0, &plates, &waits);
        }
        prop_assert_eq!(passes_held(&stage), Ok(()));
    }
}
