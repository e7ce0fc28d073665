//! `lock-broken`: whether a locked group can be, and is, shot without touching the camera.
//!
//! In: locked groups, set-ups of their plates, the plan. Out: findings where a
//! plate of a group needs another set-up, or where the plan would part the group.

use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::{Capture, Model, Plate, PlateId};
use crate::order::{Plan, StepKind};
use crate::quantity::{Angle, Length, show};
use crate::recipe::Group;
use crate::rule::{About, Check, Family, Report, Rule, Subject};
use crate::source::Spanned;

const CODE: Code = Code { id: "P14", name: "lock-broken", severity: Severity::Error };

/// The rule.
pub(super) const RULE: Rule = Rule {
    code: CODE,
    family: Family::Plates,
    page: include_str!("lock_broken.md"),
    check: Check::Plan(check),
};

/// Lens heights and tilts closer than this are the same (metres, degrees).
const SAME: f64 = 0.01;

fn check(subject: &Subject<'_>, plan: &Plan, report: &mut Report) {
    for group in subject.breakdown.groups.values() {
        let Some((&first, others)) = group.plates.split_first() else { continue };
        let before = report.found.len();
        for &other in others {
            check_same(subject, first, other, report);
        }
        if report.found.len() == before {
            check_plan(subject, plan, group, report);
        }
    }
}

/// What two plates of one group do not share, with the line that the second would
/// have to say; the camera would have to be touched.
fn differences(model: &Model, one: &Plate, other: &Plate) -> Vec<(&'static str, String)> {
    let mut found = Vec::new();
    let mut differ = |what, differs: bool, line: String| {
        if differs {
            found.push((what, line));
        }
    };
    differ("place", one.place != other.place, format!("place {}", model.places[one.place].named.path));
    differ("rig", one.rig != other.rig, format!("rig {}", model.rigs[one.rig].named.path));
    let mode = &model.modes[one.mode].named.path;
    differ("camera mode", one.mode != other.mode, format!("camera {mode}"));
    if let (Some(here), Some(there)) = (one.mark, other.mark) {
        differ("mark", here != there, format!("mark {}", model.marks[here].named.path));
    }
    let mut apart = |what: &'static str, one: Option<f64>, other: Option<f64>, line: &str, unit: &str| {
        if let (Some(one), Some(other)) = (one, other) {
            differ(what, (one - other).abs() > SAME, format!("{line} {} {unit}", show::number(one, 2)));
        }
    };
    let metres = |line: &Option<Spanned<Length>>| line.map(|line| line.value.0);
    let degrees = |line: &Option<Spanned<Angle>>| line.map(|line| line.value.0);
    apart("lens height", metres(&one.height), metres(&other.height), "height", "m");
    apart("tilt", degrees(&one.tilt), degrees(&other.tilt), "tilt", "deg");
    apart("heading", degrees(&one.heading), degrees(&other.heading), "heading", "deg");
    found
}

fn check_same(subject: &Subject<'_>, first: PlateId, other: PlateId, report: &mut Report) {
    let (one, two) = (&subject.breakdown.plates[first], &subject.breakdown.plates[other]);
    let differences = differences(subject.model, one, two);
    if differences.is_empty() {
        return;
    }
    if let Some(moved) = was_moved(subject, (first, other), &differences) {
        report.find(About::Plate(other), moved);
        return;
    }
    let what: Vec<&str> = differences.iter().map(|(what, _)| *what).collect();
    let lines: Vec<String> = differences.iter().map(|(_, line)| format!("'{line}'")).collect();
    report.find(
        About::Plate(other),
        Diagnostic::new(
            CODE,
            two.named.span,
            format!(
                "'{}' is locked together with '{}', and they differ in {}",
                two.named.path,
                one.named.path,
                what.join(", ")
            ),
        )
        .label("the camera would have to be touched")
        .other(one.named.span, "locked together with this")
        .help(format!(
            "write {} in '{}' as well, or leave the plate out so that it is derived",
            lines.join(" and "),
            two.named.path
        )),
    );
}

/// Both are captured and were measured apart: no line of the text mends that, and what
/// is shot stays shot, so it is a warning for whoever looks at the takes.
fn was_moved(
    subject: &Subject<'_>,
    (first, other): (PlateId, PlateId),
    differences: &[(&'static str, String)],
) -> Option<Diagnostic> {
    let record = &subject.model.record;
    let (one, two) = (record.captured(first)?, record.captured(other)?);
    let line = |capture: &Capture, what: &str| match what {
        "lens height" => capture.measured.height.map(|line| line.span),
        "tilt" => capture.measured.tilt.map(|line| line.span),
        "heading" => capture.measured.heading.map(|line| line.span),
        _ => None,
    };
    let both = |what: &str| line(one, what).zip(line(two, what));
    let lines: Option<Vec<_>> = differences.iter().map(|(what, _)| both(what)).collect();
    let &(here, there) = lines.as_ref()?.first()?;
    let what: Vec<&str> = differences.iter().map(|(what, _)| *what).collect();
    let [one, two] = [first, other].map(|id| subject.breakdown.plates[id].named.path.as_str());
    let mut found = Diagnostic::new(
        CODE,
        there,
        format!("'{two}' is locked together with '{one}', and another {} was measured", what.join(", ")),
    )
    .label("the camera moved between them, or one number is wrong")
    .other(here, "measured first")
    .help(format!(
        "lay both takes over each other; write one number in both where they agree, else write 'spoiled' \
         behind the take of '{two}', and the group is shot again"
    ));
    found.severity = Severity::Warning;
    Some(found)
}

/// A group stands on one day, and between its first and last plate nothing else is fitted or shot.
fn check_plan(subject: &Subject<'_>, plan: &Plan, group: &Group, report: &mut Report) {
    let shot: Vec<_> = group
        .plates
        .iter()
        .filter_map(|id| plan.shoot.shot.get(id).map(|&(day, start, end)| (*id, day, start, end)))
        .collect();
    let Some(&(first, day, ..)) = shot.first() else { return };
    let plates = &subject.breakdown.plates;
    let part = |report: &mut Report, id: PlateId, why: String| {
        report.find(
            About::Plate(id),
            Diagnostic::new(
                CODE,
                plates[id].named.span,
                format!(
                    "the plan parts '{}' from '{}': {why}",
                    plates[id].named.path, plates[first].named.path
                ),
            )
            .label("locked together")
            .other(plates[first].named.span, "first of its group")
            .help("give the group room: shorter takes, a wider light or access window, or a day of its own"),
        );
    };
    if let Some(&(id, ..)) = shot.iter().find(|(_, other, ..)| *other != day) {
        part(report, id, "they are on different days".into());
        return;
    }
    let start = shot.iter().map(|&(.., start, _)| start).min();
    let end = shot.iter().map(|&(.., end)| end).max();
    // A camera that rolls beside one of them touches nothing.
    let rolls_with =
        |plate: PlateId| plates[plate].rolls_with.is_some_and(|host| group.plates.contains(&host.value));
    let (Some(start), Some(end), Some(day)) = (start, end, plan.shoot.days.get(day)) else { return };
    for step in day.steps.iter().filter(|step| step.start >= start && step.end <= end) {
        let why = match &step.kind {
            StepKind::Shoot(plate) if !group.plates.contains(plate) && !rolls_with(*plate) => {
                format!("'{}' is shot between", plates[*plate].named.path)
            }
            StepKind::Fit(_) if step.start > start => "something is fitted between".into(),
            StepKind::Move { .. } if step.start > start => "the unit moves between".into(),
            _ => continue,
        };
        let last = shot.last().map_or(first, |&(id, ..)| id);
        part(report, last, why);
        return;
    }
}
