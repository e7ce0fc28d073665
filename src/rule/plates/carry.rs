//! `carry`: whether each rig carries the camera on it.
//!
//! In: masses. Out: a finding for each rig and camera that do not go together.

use super::kit::{carries, other_modes_of_kit, other_rigs};
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::rule::advice::either;
use crate::rule::{About, Check, Family, Report, Rule, Subject};
use std::collections::BTreeMap;

const CODE: Code = Code { id: "P10", name: "carry", severity: Severity::Error };

/// The rule.
pub(super) const RULE: Rule =
    Rule { code: CODE, family: Family::Plates, page: include_str!("carry.md"), check: Check::Work(check) };

fn check(subject: &Subject<'_>, report: &mut Report) {
    let model = subject.model;
    let mut pairs = BTreeMap::new();
    for (_, plate) in subject.breakdown.plates.iter() {
        pairs.entry((plate.rig, model.modes[plate.mode].camera)).or_insert(plate);
    }
    for ((rig_id, camera_id), plate) in pairs {
        let (rig, camera) = (&model.rigs[rig_id], &model.cameras[camera_id]);
        let (Some(may), Some(weighs)) = (rig.carries, camera.weighs) else { continue };
        report.instruct(
            About::Rig(rig_id),
            CODE.name,
            format!("load with {}", camera.named.label()),
            format!("{weighs} of {may}; weigh the camera with its housing and card"),
            "masses as written",
        );
        if carries(model, rig, plate) {
            continue;
        }
        let mut ways = Vec::new();
        let other = other_rigs(model, plate).find_map(|(_, other)| Some((other, other.carries?)));
        ways.extend(
            other.map(|(other, may)| format!("shoot on {}, which carries {may}", other.named.label())),
        );
        let lighter = other_modes_of_kit(model, plate)
            .find_map(|(_, mode)| Some((mode, model.cameras[mode.camera].weighs?)));
        ways.extend(
            lighter.map(|(mode, weighs)| format!("shoot in {}, which weighs {weighs}", mode.named.path)),
        );
        if ways.is_empty() {
            ways.push(format!("take a rig that carries {weighs}, or a camera of at most {may}"));
        }
        report.find(
            About::Rig(rig_id),
            Diagnostic::new(
                CODE,
                rig.named.span,
                format!("{} carries {may}, and {} weighs {weighs}", rig.named.label(), camera.named.label()),
            )
            .label("too weak")
            .other(camera.named.span, format!("weighs {weighs}"))
            .other(plate.named.span, "used together here")
            .help(either(&ways).unwrap_or_default()),
        );
    }
}
