//! `battery`: charge along the planned day, and within what must not be touched.
//!
//! In: takes, groups, the plan's use of each camera. Out: findings where a
//! charge does not last, and the charge plan for the call sheet.

use super::{recorded, untouched};
use crate::craft::power::RESERVE;
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::Plate;
use crate::order::{CameraUse, Plan};
use crate::quantity::{Seconds, show};
use crate::rule::advice::{at_most, either};
use crate::rule::plates::kit::other_modes_of_kit;
use crate::rule::{About, Check, Family, Report, Rule, Subject};

/// A charge that does not last.
pub(super) const CODE: Code = Code { id: "K01", name: "battery", severity: Severity::Error };

/// The rule.
pub(super) const RULE: Rule =
    Rule { code: CODE, family: Family::Kit, page: include_str!("battery.md"), check: Check::Plan(check) };

fn check(subject: &Subject<'_>, plan: &Plan, report: &mut Report) {
    check_takes(subject, report);
    check_groups(subject, report);
    for (index, day) in plan.shoot.days.iter().enumerate() {
        for usage in &day.cameras {
            tell_day(subject, index, usage, report);
        }
    }
}

/// One take must fit into one charge.
fn check_takes(subject: &Subject<'_>, report: &mut Report) {
    for (id, plate) in subject.breakdown.plates.iter() {
        let camera = subject.model.camera_of(plate);
        let Some(battery) = camera.battery else { continue };
        let usable = battery.value * (1.0 - RESERVE);
        if plate.kind.is_footage() && plate.lasts.value.0 > usable.0 {
            report.find(
                About::Plate(id),
                Diagnostic::new(
                    CODE,
                    plate.lasts.span,
                    format!(
                        "one take of plate '{}' is longer than a charge of {}",
                        plate.named.path,
                        camera.named.label()
                    ),
                )
                .label(format!("{} against {usable}", plate.lasts.value))
                .other(battery.span, "recording time on a full charge, of which a tenth is kept back")
                .help(longer(subject, plate, plate.lasts.value.0, || {
                    format!("keep a take shorter, 'lasts {}'", at_most(usable))
                })),
            );
        }
    }
}

/// A locked group must fit into one charge: changing the battery moves the camera.
fn check_groups(subject: &Subject<'_>, report: &mut Report) {
    let plates = &subject.breakdown.plates;
    for run in untouched(subject) {
        let Some(&first) = run.first() else { continue };
        let plate = &plates[first];
        let camera = subject.model.camera_of(plate);
        let Some(battery) = camera.battery else { continue };
        let needed: f64 = run
            .iter()
            .map(|&id| &plates[id])
            .filter(|plate| plate.kind.is_footage())
            .map(|plate| recorded(plate).0)
            .sum();
        report.instruct(
            About::Plate(first),
            CODE.name,
            "battery before locking",
            format!("fresh; the locked group records {}", Seconds(needed)),
            format!(
                "takes times length of {}; a charge lasts {}",
                if run.len() == 1 { "one plate".to_owned() } else { format!("{} plates", run.len()) },
                battery.value
            ),
        );
        if needed > battery.value.0 * (1.0 - RESERVE) {
            // What the rest of the group records stays as it is.
            let rest = needed - recorded(plate).0;
            let room = battery.value.0 * (1.0 - RESERVE) - rest;
            let keep = (room / plate.lasts.value.0.max(1e-3)).floor();
            report.find(
                About::Plate(first),
                Diagnostic::new(
                    CODE,
                    plate.hold.span,
                    format!("the locked group of plate '{}' outlasts a charge", plate.named.path),
                )
                .label(format!("{} recorded without touching the camera", Seconds(needed)))
                .other(battery.span, format!("a charge lasts {}", battery.value))
                .help(longer(subject, plate, needed, || {
                    if keep >= 1.0 {
                        format!(
                            "plan fewer takes, 'takes {}' in '{}'",
                            show::number(keep, 0),
                            plate.named.path
                        )
                    } else {
                        "plan shorter takes, or power the camera from outside".into()
                    }
                }))
                .note("a tenth of the charge is kept back; common practice, no source"),
            );
        }
    }
}

/// A camera of the kit that lasts so long, by name, behind what else would mend it.
fn longer(subject: &Subject<'_>, plate: &Plate, needed: f64, first: impl Fn() -> String) -> String {
    let other = other_modes_of_kit(subject.model, plate).find_map(|(_, mode)| {
        let battery = subject.model.cameras[mode.camera].battery?.value;
        (battery.0 * (1.0 - RESERVE) >= needed).then_some((mode, battery))
    });
    let mut ways = vec![first()];
    ways.extend(other.map(|(mode, battery)| format!("shoot in {}, which lasts {battery}", mode.named.path)));
    either(&ways).unwrap_or_default()
}

/// The charge plan. No finding: the planner never draws a battery below its reserve, and says
/// with `cannot-plan` what is left out for want of charge.
fn tell_day(subject: &Subject<'_>, index: usize, usage: &CameraUse, report: &mut Report) {
    let camera = &subject.model.cameras[usage.camera];
    let minutes = |value: f64| Seconds::minutes(value).to_string();
    report.instruct(
        About::Day(index),
        CODE.name,
        format!("charge of {}", camera.named.label()),
        format!(
            "records {}, starts with {}, wins {} in the gaps; least left {}",
            minutes(usage.records),
            minutes(usage.holds),
            minutes(usage.charged),
            minutes(usage.least.max(0.0))
        ),
        "takes times length along the planned day; charging in moves, meals and waits",
    );
}
