//! `dry`: whether camera and rig bear the water of a plate.
//!
//! In: hazards of a plate's action, ratings. Out: findings where something would
//! get wet that must not; a word for every plate near water.

use super::lens::either;
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::Plate;
use crate::quantity::Length;
use crate::rule::{About, Check, Family, Report, Rule, Subject};
use crate::source::Span;

const CODE: Code = Code { id: "P11", name: "dry", severity: Severity::Error };

/// The rule.
pub(super) const RULE: Rule =
    Rule { code: CODE, family: Family::Plates, page: include_str!("dry.md"), check: Check::Work(check) };

/// Hazards of an action that make things wet.
const WET: &[&str] = &["water", "under_water", "rain", "spray", "wet"];

fn check(subject: &Subject<'_>, report: &mut Report) {
    let model = subject.model;
    for (id, plate) in subject.breakdown.plates.iter() {
        let (camera, rig) = (model.camera_of(plate), &model.rigs[plate.rig]);
        let place = &model.places[plate.place];
        let rated = camera.water.is_some_and(|depth| depth.0 > 0.0);
        let Some(wet) = wet(plate) else {
            if place.hazards.iter().any(|hazard| hazard.value == "water") {
                let text = match camera.water {
                    Some(Length(depth)) if depth > 0.0 => {
                        format!("rated to {}; tether it and close every lid", Length(depth))
                    }
                    _ => "keep it dry: tether it, and a dry bag within reach".into(),
                };
                report.instruct(About::Plate(id), CODE.name, "near water", text, "the place names water");
            }
            continue;
        };
        let mut faults: Vec<(String, Span)> = Vec::new();
        if !rated {
            faults.push((format!("{} must be kept dry", camera.named.label()), camera.named.span));
        }
        if !rig.water {
            faults.push((format!("{} may not get wet", rig.named.label()), rig.named.span));
        }
        let Some((first, _)) = faults.first() else {
            let depth = camera.water.map_or_else(String::new, |depth| format!(", never below {depth}"));
            let text = format!("rinse in fresh water after the plate{depth}");
            report.instruct(About::Plate(id), CODE.name, "in water", text, "ratings as written");
            continue;
        };
        let mut ways = Vec::new();
        let camera_fit = model.cameras.values().find(|other| other.water.is_some_and(|depth| depth.0 > 0.0));
        if let (false, Some(other)) = (rated, camera_fit) {
            ways.push(format!("shoot with {}", other.named.label()));
        }
        if let (false, Some(other)) = (rig.water, model.rigs.values().find(|other| other.water)) {
            ways.push(format!("mount it on {}", other.named.label()));
        }
        ways.push("put it into a rated housing and say so with 'water'".into());
        let mut diagnostic =
            Diagnostic::new(CODE, wet, format!("plate '{}' gets wet, and {first}", plate.named.path))
                .label("water in the action");
        for (text, span) in &faults {
            diagnostic = diagnostic.other(*span, text.clone());
        }
        if let Some(help) = either(&ways) {
            diagnostic = diagnostic.help(help);
        }
        report.find(About::Plate(id), diagnostic);
    }
}

/// The line that makes a plate wet.
fn wet(plate: &Plate) -> Option<Span> {
    plate.hazards.iter().find(|hazard| WET.contains(&hazard.value.as_str())).map(|hazard| hazard.span)
}
