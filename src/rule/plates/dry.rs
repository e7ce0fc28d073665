//! `dry`: whether camera and rig bear the water of a plate.
//!
//! In: hazards of a plate's action, ratings. Out: findings where something would
//! get wet that must not; a word for every plate near water.

use super::kit::{other_modes_of_kit, other_rigs};
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::Plate;
use crate::quantity::Length;
use crate::rule::{About, Check, Family, Report, Rule, Subject};
use crate::source::Span;

const CODE: Code = Code { id: "P11", name: "dry", severity: Severity::Error };

/// The rule.
pub(super) const RULE: Rule =
    Rule { code: CODE, family: Family::Plates, page: include_str!("dry.md"), check: Check::Work(check) };

/// What ratings mean: IEC 60529 as makers' sheets give it; the standard itself was not at hand.
const RATINGS: &str = "IEC 60529: IPX4 is splashes, IPX7 1 m for 30 min, IPX8 as the maker says, never any depth; \
    a jet or a fall into water is more than its depth";

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
                report.instruct(About::Plate(id), CODE.name, "near water", text, RATINGS);
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
            let text = format!("check every lid, tether it, rinse in fresh water after the plate{depth}");
            report.instruct(About::Plate(id), CODE.name, "in water", text, RATINGS);
            continue;
        };
        let mut mends = Vec::new();
        if !rated {
            let camera_fit = other_modes_of_kit(model, plate).find_map(|(_, mode)| {
                let depth = model.cameras[mode.camera].water.filter(|depth| depth.0 > 0.0)?;
                Some(format!("shoot in {}, rated to {depth}", mode.named.path))
            });
            let housing = "put it into a rated housing and write its depth, 'water 1 m' in the camera";
            mends.push(camera_fit.unwrap_or_else(|| housing.into()));
        }
        if !rig.water {
            let rig_fit = other_rigs(model, plate).find(|(_, other)| other.water);
            mends.push(match rig_fit {
                Some((_, other)) => format!("mount it on {}, which may get wet", other.named.label()),
                None => "mount it on something that may get wet, 'water yes' in the rig".into(),
            });
        }
        let mut diagnostic =
            Diagnostic::new(CODE, wet, format!("plate '{}' gets wet, and {first}", plate.named.path))
                .label("water in the action");
        for (text, span) in &faults {
            diagnostic = diagnostic.other(*span, text.clone());
        }
        report.find(About::Plate(id), diagnostic.help(mends.join(", and ")));
    }
}

/// The line that makes a plate wet.
fn wet(plate: &Plate) -> Option<Span> {
    plate.hazards.iter().find(|hazard| WET.contains(&hazard.value.as_str())).map(|hazard| hazard.span)
}
