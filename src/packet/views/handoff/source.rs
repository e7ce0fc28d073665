//! Footage and references as the desk gets them.

use super::Source;
use crate::model::{Measured, PlateId, PlateKind};
use crate::packet::index::Index;
use crate::packet::views::captured::captured;
use crate::packet::views::footage::{clip_name, measured};
use crate::packet::views::plate_card::{asked, slot};
use crate::packet::views::plate_facts::{rate, seen, steadied};
use crate::packet::views::shape::{Fact, Told, count, fact};
use crate::quantity::{Projection, show};
use crate::rule::About;
use std::collections::BTreeSet;

/// Rules whose numbers the desk still uses when the day is over. What the others
/// tell was for whoever stood there: charge, calls, how fast to walk.
const USED_AT_DESK: &[&str] = &[
    "headroom",
    "join-overlap",
    "join-mode",
    "retime-range",
    "told-danger",
    "hands-cross",
    "lock-needed",
    "fall-time",
];

fn is_used(told: &Told) -> bool {
    USED_AT_DESK.contains(&told.rule.text.as_str()) && !told.topic.starts_with("least length")
}

/// A plate as the desk gets it; of what was asked on location, what `owners` asked.
pub(super) fn source(index: &Index<'_>, id: PlateId, owners: &BTreeSet<String>) -> Source {
    let plate = index.plate(id);
    Source {
        path: plate.named.path.clone(),
        plate: index.plate_link(id),
        kind: plate.kind.word().to_owned(),
        facts: facts(index, id),
        captured: index.captured(id).is_some(),
        planned: planned(index, id),
        demands: asked(index, id).into_iter().filter(|asked| owners.contains(&asked.by)).collect(),
        set: index.told_all([About::Plate(id)]).into_iter().filter(is_used).collect(),
        notes: plate.named.notes.clone(),
    }
}

fn facts(index: &Index<'_>, id: PlateId) -> Vec<Fact> {
    let plate = index.plate(id);
    let mode = &index.model.modes[plate.mode];
    let shot = slot(index, id).map_or("in no plan".to_owned(), |slot| {
        format!("day {}, {}, about {}", slot.day, slot.date, slot.start)
    });
    let shot = if index.captured(id).is_some() { index.shot_on(id) } else { shot };
    let mut facts = vec![
        fact("File", clip_name(index, id)),
        fact("Shot", shot),
        fact("Place", index.model.places[plate.place].named.label()),
        fact("Rig", index.model.rigs[plate.rig].named.label()),
        fact(
            "Camera",
            format!(
                "{}: {} × {} at {}, {}",
                mode.named.path,
                mode.frame.width,
                mode.frame.height,
                rate(mode.rate),
                show::exposure(mode.shutter.value)
            ),
        ),
        fact("View", format!("{} across, {}", mode.view.value, lens(mode.projection))),
        fact("Steadying", steadied(mode.steadying)),
    ];
    if let Some(readout) = index.model.cameras[mode.camera].readout {
        facts.push(fact("Readout", format!("{readout} from the first line to the last")));
    }
    if plate.kind.is_footage() {
        facts.push(fact(
            "Take",
            format!("{}, {}", plate.lasts.value, count(plate.takes as usize, "take", "takes")),
        ));
    }
    if plate.kind == PlateKind::Picture {
        facts.push(fact("In the picture", seen(plate)));
    }
    facts.extend(captured(index, id));
    facts
}

/// What was planned and no log gives as measured.
fn planned(index: &Index<'_>, id: PlateId) -> Vec<Fact> {
    let logged = index.captured(id).map(|capture| capture.measured).unwrap_or_default();
    measured(index, id).into_iter().filter(|fact| !is_logged(&logged, &fact.label)).collect()
}

/// Whether a log gives what the log sheet calls by this name.
pub(super) fn is_logged(logged: &Measured, label: &str) -> bool {
    match label {
        "lens height" => logged.height.is_some(),
        "heading" => logged.heading.is_some(),
        "tilt" => logged.tilt.is_some(),
        "nearest thing" => logged.near.is_some(),
        // The mode stands with the camera.
        _ => true,
    }
}

fn lens(projection: Projection) -> &'static str {
    match projection {
        Projection::Rectilinear => "rectilinear",
        Projection::Equidistant => "equidistant fisheye",
    }
}
