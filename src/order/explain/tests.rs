use super::*;
use crate::order::duration::{MARGIN, minutes};
use crate::order::tests::fixture::Stage;
use crate::order::tests::random::{Draft, draft, stage};
use crate::order::{Minute, limits};
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
    let plan = stage.plan();
    let explainer = Explainer::new(&stage.model, &stage.breakdown, &stage.work, &plan, Effort::default());
    for &plate in plan.shoot.shot.keys() {
        let held = explainer.plate(plate).ok_or_else(|| format!("{plate:?} has no chain"))?;
        if let Some(wrong) = wrong(stage, &plan, &held) {
            return Err(format!("{plate:?}: {wrong}"));
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
}
