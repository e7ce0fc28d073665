//! `access`: a place is open long enough, between call and wrap, for what is shot there.
//!
//! In: opening hours, calls and wraps. Out: findings where no allowed day does.

use super::window::{longest, of_access, shooting_minutes, span, words, zone_of};
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::rule::{About, Check, Family, Report, Rule, Subject};

/// A place is never open long enough.
pub(super) const CODE: Code = Code { id: "D02", name: "access", severity: Severity::Error };

/// The rule.
pub(super) const RULE: Rule =
    Rule { code: CODE, family: Family::Day, page: include_str!("access.md"), check: Check::Work(check) };

fn check(subject: &Subject<'_>, report: &mut Report) {
    let model = subject.model;
    let Some(days) = &model.days else { return };
    let zone = zone_of(model);
    for (id, plate) in subject.breakdown.plates.iter() {
        let place = &model.places[plate.place];
        let Some(open) = place.open.first() else { continue };
        let fitting = (model.rigs[plate.rig].fitting.0 / 60.0).ceil() as i64;
        let needed = shooting_minutes(plate);
        let windows: Vec<_> =
            days.each.iter().map(|day| (day, of_access(model, plate.place, day, &zone))).collect();
        for (day, window) in &windows {
            report.instruct(
                About::Plate(id),
                CODE.name,
                format!("access on {}", day.date),
                words(window, &zone),
                "opening hours between call and wrap",
            );
        }
        if windows.iter().any(|(_, window)| longest(window) >= needed + fitting) {
            continue;
        }
        let mut finding = Diagnostic::new(
            CODE,
            open.span,
            format!(
                "'{}' is never open long enough between call and wrap for plate '{}'",
                place.named.path, plate.named.path
            ),
        )
        .label(format!("{} to fit the rig and {} to shoot", span(fitting), span(needed)))
        .other(plate.named.span, "shot here")
        .other(days.span, "the days that may be used")
        .help("move call or wrap, ask for longer access, or plan fewer takes");
        for (day, window) in windows.iter().take(3) {
            finding = finding.note(format!("{}: open {}", day.date, words(window, &zone)));
        }
        report.find(About::Plate(id), finding);
    }
}
