//! Picture length: how much of each beat each plate fills.
//!
//! In: a model and the recipes of its effects. Out: `in_picture` of every plate,
//! in whole frames where it is shared out, and a report where a beat's plates do
//! not add up to what it runs. The length of a beat is the sum of what its
//! picture plates use, less the overlaps of joins between them. A join across
//! two beats overlaps handles and takes nothing from either.

use super::library::Library;
use crate::diagnostic::{Diagnostic, Severity, codes};
use crate::model::{BeatId, Model, PlateId, PlateKind};
use crate::quantity::{Seconds, show};

/// Settles which written plates fill the picture, and for how long.
pub fn share_out(model: &mut Model, library: &Library, diagnostics: &mut Vec<Diagnostic>) {
    for (id, kind) in super::serving(model, library) {
        let plate = &mut model.plates[id];
        plate.kind = kind;
        plate.uses.get_or_insert(crate::source::Spanned::new(Seconds(0.0), plate.named.span));
    }
    for beat in model.beats.ids() {
        let mut wrong = Vec::new();
        share_beat(model, beat, &mut wrong);
        // Lengths that miss a plate which has been reported would only repeat its mistake.
        if !wrong.is_empty() && !has_mistake(model, beat, diagnostics) {
            diagnostics.extend(wrong);
        }
    }
}

/// Whether an error stands between the name of a beat and that of the next one in its file.
fn has_mistake(model: &Model, beat: BeatId, diagnostics: &[Diagnostic]) -> bool {
    let start = model.beats[beat].named.span;
    let later = model.beats.values().map(|other| other.named.span);
    let end = later
        .filter(|other| other.file == start.file && other.start > start.start)
        .map(|other| other.start)
        .min();
    diagnostics.iter().filter(|one| one.severity == Severity::Error).filter_map(|one| one.span).any(|span| {
        span.file == start.file && span.start >= start.start && end.is_none_or(|end| span.start < end)
    })
}

fn share_beat(model: &mut Model, beat: BeatId, diagnostics: &mut Vec<Diagnostic>) {
    let rate = model.sequence.rate.per_second();
    let plates: Vec<PlateId> = model.beats[beat].plates.clone();
    let seen: Vec<PlateId> =
        plates.iter().copied().filter(|&id| model.plates[id].kind == PlateKind::Picture).collect();
    for &id in &plates {
        let plate = &mut model.plates[id];
        plate.in_picture = plate.uses.map_or(Seconds(0.0), |uses| uses.value);
    }
    let open: Vec<PlateId> = seen.iter().copied().filter(|&id| model.plates[id].uses.is_none()).collect();
    let Some(runs) = model.beats[beat].runs else {
        for id in open {
            model.plates[id].in_picture = model.plates[id].lasts.value;
        }
        return;
    };
    let overlaps: f64 = model
        .joins
        .values()
        .filter(|join| seen.contains(&join.from) && seen.contains(&join.to))
        .map(|join| model.seconds(join.overlap).0)
        .sum();
    let stated: f64 = seen.iter().map(|&id| model.plates[id].in_picture.0).sum();
    let left = ((runs.value.0 + overlaps - stated) * rate).round() as i64;
    let label = model.beats[beat].named.label().to_owned();
    let told = |seconds: f64| Seconds(seconds).to_string();
    if open.is_empty() {
        if left == 0 {
            return;
        }
        let fills = stated - overlaps;
        let mut wrong = Diagnostic::new(
            codes::LENGTH,
            runs.span,
            format!("'{label}' runs {}, its plates fill {}", told(runs.value.0), told(fills)),
        )
        .label(format!(
            "{} too {}",
            told((left as f64 / rate).abs()),
            if left > 0 { "long" } else { "short" }
        ));
        for &id in &seen {
            if let Some(uses) = model.plates[id].uses {
                wrong = wrong
                    .other(uses.span, format!("'{}' uses {}", model.plates[id].named.name(), uses.value));
            }
        }
        diagnostics.push(wrong.help(format!(
            "write 'runs {} s', or change what the plates use{}",
            show::number(fills.max(0.0), 2),
            if overlaps > 0.0 {
                format!(" (overlaps of joins take {})", told(overlaps))
            } else {
                String::new()
            }
        )));
        return;
    }
    if left < open.len() as i64 {
        diagnostics.push(
            Diagnostic::new(
                codes::LENGTH,
                runs.span,
                format!(
                    "'{label}' runs {}, and nothing of it is left for {} of its plates",
                    told(runs.value.0),
                    open.len()
                ),
            )
            .label(format!("the others use {}", told(stated - overlaps)))
            .help("let the beat run longer, or let its plates use less"),
        );
        return;
    }
    let total: f64 = open.iter().map(|&id| model.plates[id].lasts.value.0).sum();
    let mut given = 0;
    for (at, &id) in open.iter().enumerate() {
        let frames = if at + 1 == open.len() {
            left - given
        } else {
            let share = model.plates[id].lasts.value.0 / total.max(f64::MIN_POSITIVE);
            let rest = (open.len() - at - 1) as i64;
            ((left as f64 * share).round() as i64).clamp(1, (left - given - rest).max(1))
        };
        given += frames;
        model.plates[id].in_picture = Seconds(frames as f64 / rate);
    }
}
