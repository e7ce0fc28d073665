//! What was captured of a plate, and what was measured beside what was planned.

use super::plate_facts::{heading, tilt_text};
use super::shape::{Fact, fact};
use crate::model::{Measured, OffMark, PlateId, Take};
use crate::packet::index::{Index, short_date};
use crate::quantity::{Angle, Length};
use crate::source::Spanned;

/// What the logs say of a plate, in any case: takes, light, remarks, and of one
/// that is captured what was measured.
pub(crate) fn captured(index: &Index<'_>, id: PlateId) -> Vec<Fact> {
    let Some(capture) = index.model.record.plates.get(&id) else { return Vec::new() };
    let used = index.captured(id).and_then(|capture| capture.best());
    let mut facts = vec![match index.captured(id) {
        Some(_) => fact("Captured", short_date(capture.date)),
        None => fact("Logged", format!("{}; owed again", short_date(capture.date))),
    }];
    for take in &capture.takes {
        let which = if Some(take) == used { ", the one to use" } else { "" };
        facts.push(fact(&format!("Take {}{which}", take.number), told(index, take)));
    }
    facts.extend(measured(&capture.measured, &capture.planned));
    facts.extend(capture.light.iter().map(|light| fact("Light as it was", light.clone())));
    facts.extend(capture.notes.iter().map(|note| fact("Note from the day", note.clone())));
    facts.extend(capture.problems.iter().map(|problem| fact("Problem", problem.clone())));
    facts
}

fn told(index: &Index<'_>, take: &Take) -> String {
    let mut parts = vec![take.clip.clone(), take.worth.word().to_owned()];
    if let Some((from, to)) = &take.timecode {
        parts.push(format!("{from} to {to}"));
    }
    match take.at {
        Some(at) => parts.push(format!("{} {}", short_date(take.date), index.clock_on(at, take.date))),
        None => parts.push(short_date(take.date)),
    }
    parts.extend(take.remark.clone());
    parts.join(", ")
}

fn measured(measured: &Measured, planned: &Measured) -> Vec<Fact> {
    let length = |length: Length| length.to_string();
    let turn = |angle: Angle| heading(angle.0);
    let tilt = |angle: Angle| tilt_text(angle.0);
    let each = [
        beside("Lens height, measured", measured.height, planned.height, length),
        beside("Heading, measured", measured.heading, planned.heading, turn),
        beside("Tilt, measured", measured.tilt, planned.tilt, tilt),
        beside("Nearest thing, measured", measured.near, planned.near, length),
        beside("Farthest thing, measured", measured.far, planned.far, length),
        beside("Subject to screen, measured", measured.gap, planned.gap, length),
        measured.entered.map(|out| fact("Began off its mark by", off(out.value))),
        measured.left.map(|out| fact("Ended off its mark by", off(out.value))),
    ];
    each.into_iter().flatten().collect()
}

/// `1.38 m (planned 1.4 m)`.
fn beside<T>(
    label: &str,
    measured: Option<Spanned<T>>,
    planned: Option<Spanned<T>>,
    words: impl Fn(T) -> String,
) -> Option<Fact> {
    let text = words(measured?.value);
    Some(match planned {
        Some(planned) => fact(label, format!("{text} (planned {})", words(planned.value))),
        None => fact(label, text),
    })
}

/// `9 cm and 2°, at 2.6 m/s`.
fn off(out: OffMark) -> String {
    let turned = out.turned.map_or_else(String::new, |turned| format!(" and {turned}"));
    let speed = out.speed.map_or_else(String::new, |speed| format!(", at {speed}"));
    format!("{}{turned}{speed}", out.off)
}
