//! `hands-cross`: whether hands stay out of what is tracked, and behind what is masked.
//!
//! In: demands on hands, what each plate says of hands. Out: findings where they
//! meet, and what to keep out of frame.
//!
//! A hand kept behind what it carries leaves the least to paint; hands in a tracked
//! plate are shot apart against a screen (common practice, no source).

use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::Hands;
use crate::recipe::DemandKind;
use crate::rule::{About, Check, Family, PRACTICE, Report, Rule, Subject};
use std::collections::BTreeSet;

const CODE: Code = Code { id: "P05", name: "hands-cross", severity: Severity::Error };

/// The rule.
pub(super) const RULE: Rule = Rule {
    code: CODE,
    family: Family::Plates,
    page: include_str!("hands_cross.md"),
    check: Check::Work(check),
};

fn check(subject: &Subject<'_>, report: &mut Report) {
    let mut told = BTreeSet::new();
    for demand in &subject.breakdown.demands {
        let plate = &subject.breakdown.plates[demand.plate];
        let (crossing, order) = match demand.kind {
            DemandKind::HandsOut => (plate.hands.value != Hands::Out, "no hands in the picture at any time"),
            DemandKind::HandsBehind => {
                (plate.hands.value == Hands::In, "hands stay behind what they carry, never in front of it")
            }
            _ => continue,
        };
        if told.insert((demand.plate, demand.kind)) {
            let how = format!("{}; {PRACTICE}", demand.text);
            report.instruct(About::Plate(demand.plate), CODE.name, "hands", order, how);
        }
        if !crossing {
            continue;
        }
        let (message, help) = if demand.kind == DemandKind::HandsOut {
            (
                format!("hands are in plate '{}', which must be without them", plate.named.path),
                "write 'hands out', and shoot the hands apart against a screen from the same height at the same angle ('by keyed_hands')",
            )
        } else {
            (
                format!("hands pass in front of what is masked in plate '{}'", plate.named.path),
                "write 'hands behind' and carry from behind, or count on masking every finger by hand",
            )
        };
        report.find(
            About::Plate(demand.plate),
            Diagnostic::new(CODE, plate.hands.span, message)
                .label("hands here")
                .other(demand.span, demand.text.clone())
                .help(help),
        );
    }
}
