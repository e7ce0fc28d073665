//! `camera-clash`: whether what rolls together has a camera, a rig and hands each.
//!
//! In: plates that roll with others, cameras, rigs, people. Out: findings where
//! one body, one rig or one pair of hands would be in two places, and how to start
//! both cameras.

use super::kit::{carries, other_modes_of_kit};
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::{CameraId, PersonId, Plate, PlateId};
use crate::rule::advice::either;
use crate::rule::{About, Check, Family, PRACTICE, Report, Rule, Subject};

const CODE: Code = Code { id: "P18", name: "camera-clash", severity: Severity::Error };

/// The rule.
pub(super) const RULE: Rule = Rule {
    code: CODE,
    family: Family::Plates,
    page: include_str!("camera_clash.md"),
    check: Check::Work(check),
};

/// A plate and all that roll with it.
struct Together<'a> {
    plates: Vec<(PlateId, &'a Plate)>,
}

fn check(subject: &Subject<'_>, report: &mut Report) {
    let plates = &subject.breakdown.plates;
    for (id, plate) in plates.iter().filter(|(_, plate)| !plate.beside.is_empty()) {
        let beside = plate.beside.iter().map(|&other| (other, &plates[other]));
        let together = Together { plates: std::iter::once((id, plate)).chain(beside).collect() };
        instruct(&together, report);
        check_groups(subject, &together, report);
        check_cameras(subject, &together, report);
        check_rigs(subject, &together, report);
        check_hands(subject, &together, report);
    }
}

fn instruct(together: &Together<'_>, report: &mut Report) {
    let count = together.plates.len();
    for &(id, _) in &together.plates {
        report.instruct(
            About::Plate(id),
            CODE.name,
            "rolling together",
            format!(
                "start all {count} cameras, then one clap or flash that each of them sees; stop none alone"
            ),
            format!("the desk lines the clips up by it; {PRACTICE}"),
        );
    }
}

/// The finding at a companion's `rolls_with`.
fn clash(plate: &Plate, message: String, label: &str) -> Diagnostic {
    let span = plate.rolls_with.map_or(plate.named.span, |host| host.span);
    Diagnostic::new(CODE, span, message).label(label.to_owned())
}

/// A plate of a locked group is shot with its group, so it cannot roll with another.
fn check_groups(subject: &Subject<'_>, together: &Together<'_>, report: &mut Report) {
    for &(id, plate) in together.plates.iter().filter(|(_, plate)| plate.rolls_with.is_some()) {
        let Some(group) = subject.breakdown.group_of(id) else { continue };
        let others = &subject.breakdown.groups[group].plates;
        let Some(&other) = others.iter().find(|&&other| other != id) else { continue };
        let other = &subject.breakdown.plates[other].named;
        let message = format!(
            "'{}' is locked together with '{}', so it cannot roll with another plate",
            plate.named.path, other.path
        );
        let finding = clash(plate, message, "one camera in two places")
            .other(other.span, "locked together with this")
            .help("take 'rolls_with' out, or let another plate be the witness");
        report.find(About::Plate(id), finding);
    }
}

/// Each needs a body of its own.
fn check_cameras(subject: &Subject<'_>, together: &Together<'_>, report: &mut Report) {
    let model = subject.model;
    let camera_of = |plate: &Plate| model.modes[plate.mode].camera;
    let needed = |camera: CameraId| {
        together.plates.iter().filter(|(_, plate)| camera_of(plate) == camera).count() as u32
    };
    let mut told: Vec<CameraId> = Vec::new();
    for &(id, plate) in together.plates.iter().rev() {
        let id_of = camera_of(plate);
        let camera = &model.cameras[id_of];
        if needed(id_of) <= camera.count || told.contains(&id_of) {
            continue;
        }
        told.push(id_of);
        let mut ways = Vec::new();
        let free = other_modes_of_kit(model, plate)
            .find(|(_, mode)| needed(mode.camera) < model.cameras[mode.camera].count);
        if let Some((_, mode)) = free {
            ways.push(format!("shoot '{}' in {}", plate.named.path, mode.named.path));
        }
        ways.push(format!("bring as many bodies, 'count {}'", needed(id_of)));
        ways.push("take 'rolls_with' out and shoot one after the other".into());
        let message = format!(
            "{} plates that roll together use {}, of which there is {}",
            needed(id_of),
            camera.named.label(),
            camera.count
        );
        let mut finding = clash(plate, message, "one camera in two places")
            .other(camera.named.span, format!("count {}", camera.count));
        for &(_, other) in together.plates.iter().filter(|(_, other)| camera_of(other) == id_of) {
            finding = finding.other(other.named.span, "uses it at the same moment");
        }
        if let Some(help) = either(&ways) {
            finding = finding.help(help);
        }
        report.find(About::Plate(id), finding);
    }
}

/// Each needs a rig of its own; there is one of each.
fn check_rigs(subject: &Subject<'_>, together: &Together<'_>, report: &mut Report) {
    let model = subject.model;
    for (at, &(id, plate)) in together.plates.iter().enumerate() {
        let before = together.plates.iter().take(at);
        let Some((_, other)) = before.clone().find(|(_, other)| other.rig == plate.rig) else { continue };
        let rig = &model.rigs[plate.rig];
        let free = model.rigs.iter().find(|(id, one)| {
            !together.plates.iter().any(|(_, used)| used.rig == *id)
                && one.fixed == rig.fixed
                && one.flies == rig.flies
                && carries(model, one, plate)
        });
        let mut ways: Vec<String> = Vec::new();
        ways.extend(free.map(|(_, one)| {
            format!("shoot '{}' on {}{}", plate.named.path, one.named.label(), strength(one.carries))
        }));
        ways.push(format!("add a second one as a rig of its own, a copy of '{}'", rig.named.path));
        ways.push("take 'rolls_with' out and shoot one after the other".into());
        let message = format!(
            "'{}' and '{}' roll together on {}, and there is one",
            other.named.path,
            plate.named.path,
            rig.named.label()
        );
        let mut finding = clash(plate, message, "one rig in two places")
            .other(rig.named.span, "this rig")
            .other(other.named.span, "stands on it at the same moment");
        if let Some(help) = either(&ways) {
            finding = finding.help(help);
        }
        report.find(About::Plate(id), finding);
    }
}

fn strength(carries: Option<crate::quantity::Mass>) -> String {
    carries.map_or_else(String::new, |mass| format!(", which carries {mass}"))
}

/// Hands that the rigs of a set take: all that they do not leave to their bearers.
fn check_hands(subject: &Subject<'_>, together: &Together<'_>, report: &mut Report) {
    let model = subject.model;
    let borne: Vec<&(PlateId, &Plate)> =
        together.plates.iter().filter(|(_, plate)| !model.rigs[plate.rig].fixed).collect();
    let mut bearers: Vec<PersonId> = borne.iter().flat_map(|(_, plate)| plate.people.clone()).collect();
    bearers.sort_unstable();
    bearers.dedup();
    let taken: u32 = borne.iter().map(|(_, plate)| 2 - model.rigs[plate.rig].hands.min(2)).sum();
    let seen = borne.iter().any(|(_, plate)| plate.hands.value != crate::model::Hands::Out);
    let needed = taken + u32::from(seen);
    let there = 2 * bearers.len() as u32;
    // Where somebody is not named, anybody may bear the rig.
    if borne.len() < 2 || borne.iter().any(|(_, plate)| plate.people.is_empty()) || needed <= there {
        return;
    }
    let Some(&&(id, plate)) = borne.last() else { return };
    let names: Vec<&str> = bearers.iter().map(|&person| model.people[person].named.label()).collect();
    let message = format!(
        "what rolls together takes {needed} hands, and {} {} {there}",
        names.join(" and "),
        if names.len() == 1 { "has" } else { "have" }
    );
    let mut finding = clash(plate, message, "hands that are not there");
    for (_, other) in &borne {
        let rig = &model.rigs[other.rig];
        let hands = 2 - rig.hands.min(2);
        finding = finding.other(rig.named.span, format!("takes {hands} for '{}'", other.named.path));
    }
    let mut ways = Vec::new();
    let busy = |person: &PersonId| together.plates.iter().any(|(_, plate)| plate.people.contains(person));
    let free = model.people.iter().find(|(person, _)| !busy(person));
    ways.extend(
        free.map(|(_, someone)| format!("write 'person {}' in '{}'", someone.named.name(), plate.named.path)),
    );
    let fixed = model.rigs.iter().find(|(id, rig)| {
        rig.fixed && carries(model, rig, plate) && !together.plates.iter().any(|(_, used)| used.rig == *id)
    });
    ways.extend(fixed.map(|(_, rig)| format!("stand it on {}", rig.named.label())));
    ways.push("bring someone else to bear it".into());
    if let Some(help) = either(&ways) {
        finding = finding.help(help);
    }
    report.find(About::Plate(id), finding);
}
