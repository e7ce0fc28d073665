//! `flights`: flying time of each take and of the packs together.
//!
//! In: flying plates, endurance and packs of their rigs. Out: findings where a
//! pack does not last, and how many packs to charge.

use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::{PlateId, RigId};
use crate::order::Plan;
use crate::quantity::{Seconds, show};
use crate::rule::{About, Check, Family, Report, Rule, Subject};
use std::collections::BTreeMap;

/// A flight longer than its pack.
pub(super) const CODE: Code = Code { id: "K03", name: "flights", severity: Severity::Error };

/// The rule.
pub(super) const RULE: Rule =
    Rule { code: CODE, family: Family::Kit, page: include_str!("flights.md"), check: Check::Plan(check) };

/// Share of a pack that may be flown before landing (common practice: land
/// with about a quarter left; no source).
const USABLE: f64 = 0.75;
/// Seconds of climbing, lining up and landing around each take (common practice, no source).
const AROUND: f64 = 60.0;

fn check(subject: &Subject<'_>, plan: &Plan, report: &mut Report) {
    let mut by_day: BTreeMap<(usize, RigId), Vec<PlateId>> = BTreeMap::new();
    for (id, plate) in subject.breakdown.plates.iter() {
        let rig = &subject.model.rigs[plate.rig];
        if !rig.flies || !plate.kind.is_footage() {
            continue;
        }
        let Some(endurance) = rig.endurance else { continue };
        check_take(subject, id, report);
        if let Some(&(day, ..)) = plan.shoot.shot.get(&id) {
            by_day.entry((day, plate.rig)).or_default().push(id);
        }
        let packs = packs_for(plate.lasts.value, plate.takes, endurance.value);
        report.instruct(
            About::Plate(id),
            CODE.name,
            "packs",
            format!("{} charged for {} takes; land by {}", packs, plate.takes, endurance.value * USABLE),
            format!(
                "{} a flight with {} around it, from {} of a pack's {}",
                Seconds(plate.lasts.value.0 + AROUND),
                Seconds(AROUND),
                crate::quantity::Share(USABLE),
                endurance.value
            ),
        );
    }
    for ((day, rig), plates) in by_day {
        check_day(subject, day, rig, &plates, report);
    }
}

fn check_take(subject: &Subject<'_>, id: PlateId, report: &mut Report) {
    let plate = &subject.breakdown.plates[id];
    let rig = &subject.model.rigs[plate.rig];
    let Some(endurance) = rig.endurance else { return };
    let usable = endurance.value.0 * USABLE;
    if plate.lasts.value.0 + AROUND > usable {
        report.find(
            About::Plate(id),
            Diagnostic::new(
                CODE,
                plate.lasts.span,
                format!("a take of plate '{}' flies longer than a pack safely lasts", plate.named.path),
            )
            .label(format!("{} with climb and landing", Seconds(plate.lasts.value.0 + AROUND)))
            .other(
                endurance.span,
                format!("{} of flying, of which {} are used", endurance.value, Seconds(usable)),
            )
            .help(format!("keep the take below {}", Seconds((usable - AROUND).max(0.0)))),
        );
    }
}

fn check_day(subject: &Subject<'_>, day: usize, rig: RigId, plates: &[PlateId], report: &mut Report) {
    let rig = &subject.model.rigs[rig];
    let Some(endurance) = rig.endurance else { return };
    let needed: u32 = plates
        .iter()
        .map(|&id| &subject.breakdown.plates[id])
        .map(|plate| packs_for(plate.lasts.value, plate.takes, endurance.value))
        .fold(0, u32::saturating_add);
    if needed <= rig.packs || rig.recharge.is_some() {
        return;
    }
    report.find(
        About::Day(day),
        Diagnostic::new(
            CODE,
            endurance.span,
            format!("the flights of day {} need more packs than {} has", day + 1, rig.named.label()),
        )
        .label(format!("{needed} packs of flying, {} at hand and none charged on the day", rig.packs))
        .help(format!(
            "bring `packs {}`, say how long one takes to charge, or plan fewer takes",
            show::number(f64::from(needed), 0)
        )),
    );
}

/// Packs that takes of one length use, none flown below its reserve.
fn packs_for(lasts: Seconds, takes: u32, endurance: Seconds) -> u32 {
    let flight = lasts.0 + AROUND;
    let flights_in_a_pack = (endurance.0 * USABLE / flight).floor().max(1.0);
    (f64::from(takes) / flights_in_a_pack).ceil() as u32
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: three quarters of 18 min are 810 s; flights of 80 s go ten times into it.
    #[test]
    fn a_pack_holds_as_many_flights_as_three_quarters_of_it_allow() {
        let endurance = Seconds::minutes(18.0);
        assert_eq!(packs_for(Seconds(20.0), 10, endurance), 1);
        assert_eq!(packs_for(Seconds(20.0), 11, endurance), 2);
        assert_eq!(packs_for(Seconds::minutes(12.0), 3, endurance), 3);
    }
}
