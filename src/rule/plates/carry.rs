//! `carry`: whether each rig carries the camera on it.
//!
//! In: masses. Out: a finding for each rig and camera that do not go together.

use super::kit::{carries, other_rigs};
use crate::diagnostic::{Code, Diagnostic, Severity};
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
        let other = other_rigs(model, plate).find(|(_, other)| other.carries.is_some());
        let help = match other {
            Some((_, other)) => format!("shoot on {}, or with a lighter camera", other.named.label()),
            None => "take a lighter camera or a stronger rig".into(),
        };
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
            .help(help),
        );
    }
}
