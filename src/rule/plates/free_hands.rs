//! `free-hands`: whether the rig leaves the performer the hands that are seen.
//!
//! In: hands in a plate, hands that its rig leaves free. Out: findings where none
//! is left, and how many there are.

use super::kit::other_rigs;
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::Hands;
use crate::rule::{About, Check, Family, Report, Rule, Subject};

const CODE: Code = Code { id: "P12", name: "free-hands", severity: Severity::Error };

/// The rule.
pub(super) const RULE: Rule = Rule {
    code: CODE,
    family: Family::Plates,
    page: include_str!("free_hands.md"),
    check: Check::Work(check),
};

fn check(subject: &Subject<'_>, report: &mut Report) {
    for (id, plate) in subject.breakdown.plates.iter() {
        if plate.hands.value == Hands::Out {
            continue;
        }
        let rig = &subject.model.rigs[plate.rig];
        if rig.hands > 0 {
            let text = if rig.hands == 1 { "one hand is free" } else { "both hands are free" };
            let how = format!("{} leaves {}", rig.named.label(), rig.hands);
            report.instruct(About::Plate(id), CODE.name, "performer's hands", text, how);
            continue;
        }
        let help = match other_rigs(subject.model, plate).find(|(_, other)| other.hands > 0) {
            Some((_, other)) => {
                format!(
                    "shoot on {}, which leaves {}, or let a second person's hands play",
                    other.named.label(),
                    other.hands
                )
            }
            None => "let a second person's hands play, or take a rig that leaves a hand".into(),
        };
        report.find(
            About::Plate(id),
            Diagnostic::new(
                CODE,
                plate.hands.span,
                format!(
                    "hands are seen in plate '{}', and {} leaves none free",
                    plate.named.path,
                    rig.named.label()
                ),
            )
            .label("hands here")
            .other(rig.named.span, "hands 0")
            .help(help),
        );
    }
}
