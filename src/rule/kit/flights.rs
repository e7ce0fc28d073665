//! `flights`: flying time of each take and of the packs together.
//!
//! In: flying plates, endurance and packs of their rigs. Out: findings where a
//! pack does not last, and how many packs to charge.

use crate::craft::power;
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::{Plate, PlateId, RigId};
use crate::order::Plan;
use crate::quantity::Seconds;
use crate::rule::advice::{at_most, either};
use crate::rule::plates::kit::other_rigs;
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
        let number = plan.shoot.days.get(day).map_or(day + 1, |day| day.number);
        check_day(subject, (day, number), rig, &plates, report);
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
            .help(help(subject, plate, usable)),
        );
    }
}

fn check_day(
    subject: &Subject<'_>,
    (day, number): (usize, usize),
    rig: RigId,
    plates: &[PlateId],
    report: &mut Report,
) {
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
            format!("the flights of day {number} need more packs than {} has", rig.named.label()),
        )
        .label(format!("{needed} packs of flying, {} at hand and none charged on the day", rig.packs))
        .help(format!(
            "bring more packs, 'packs {needed}', or say how long one takes to charge, 'recharge 60 min', or plan fewer takes"
        )),
    );
}

/// A take that a pack bears, or a rig that flies longer.
fn help(subject: &Subject<'_>, plate: &Plate, usable: f64) -> String {
    let needed = plate.lasts.value.0 + AROUND;
    let mut ways = Vec::new();
    if usable > AROUND + 1.0 {
        ways.push(format!("keep the take shorter, 'lasts {}'", at_most(Seconds(usable - AROUND))));
    }
    let other = other_rigs(subject.model, plate).find_map(|(_, rig)| {
        let endurance = rig.endurance.filter(|_| rig.flies)?.value;
        (endurance.0 * USABLE >= needed).then_some((rig, endurance))
    });
    ways.extend(other.map(|(rig, endurance)| format!("fly {}, which lasts {endurance}", rig.named.label())));
    if ways.is_empty() {
        ways.push(format!("use a pack that flies {}", Seconds(needed / USABLE)));
    }
    either(&ways).unwrap_or_default()
}

/// Packs that takes of one length use, none flown below its reserve. One take that
/// is too long for any pack counts as a pack.
fn packs_for(lasts: Seconds, takes: u32, endurance: Seconds) -> u32 {
    let flight = Seconds(lasts.0 + AROUND);
    let each = vec![flight; takes.min(1000) as usize];
    power::flights(&each, endurance, 1.0 - USABLE).unwrap_or(takes)
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
