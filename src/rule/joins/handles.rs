//! `join-handles`: whether enough is captured to cut and to overlap.
//!
//! In: what is captured, what the picture uses, overlaps, retimes, handles. Out:
//! findings where a take is too short, and the least length of a take.

use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::{PlateId, PlateKind};
use crate::quantity::{Seconds, show};
use crate::rule::advice::{at_least, at_most};
use crate::rule::plates::speed;
use crate::rule::{About, Check, Family, Report, Rule, Subject};

const CODE: Code = Code { id: "J07", name: "join-handles", severity: Severity::Warning };

/// The rule.
pub(super) const RULE: Rule =
    Rule { code: CODE, family: Family::Joins, page: include_str!("handles.md"), check: Check::Work(check) };

fn check(subject: &Subject<'_>, report: &mut Report) {
    let mut joined: Vec<PlateId> =
        subject.model.joins.values().flat_map(|join| [join.from, join.to]).collect();
    joined.sort();
    joined.dedup();
    for id in joined {
        check_plate(subject, id, report);
    }
}

fn check_plate(subject: &Subject<'_>, id: PlateId, report: &mut Report) {
    let model = subject.model;
    let plates = &subject.breakdown.plates;
    let plate = &plates[id];
    if plate.kind != PlateKind::Picture || plate.in_picture.0 <= 0.0 {
        return;
    }
    let overlap: f64 = model
        .joins
        .values()
        .filter(|join| join.from == id || join.to == id)
        // Within a beat the lengths of its plates hold the overlap already.
        .filter(|join| plates[join.from].beat != plates[join.to].beat)
        .map(|join| model.seconds(join.overlap).0)
        .sum();
    let source = plate.in_picture.0 * speed::mean_on(subject, id);
    let handles = model.sequence.handles;
    let needed = Seconds(source + overlap + 2.0 * handles.0);
    let rate = model.modes[plate.mode].rate.per_second();
    let frames = |time: Seconds| show::number((time.0 * rate - 1e-6).ceil().max(0.0), 0);
    let how = format!(
        "{} in the picture{} + {} of overlap with other beats + handles of {} at both ends",
        plate.in_picture,
        if (source - plate.in_picture.0).abs() > 1e-9 {
            format!(", which eat {} of source", Seconds(source))
        } else {
            String::new()
        },
        Seconds(overlap),
        handles
    );
    report.instruct(
        About::Plate(id),
        CODE.name,
        "least length of a take",
        format!("{} ({} frames)", needed, frames(needed)),
        how.clone(),
    );
    if plate.lasts.value.0 + 1e-9 < needed.0 {
        report.find(
            About::Plate(id),
            Diagnostic::new(
                CODE,
                plate.lasts.span,
                format!(
                    "a take of '{}' is {} frames, and its cut, overlaps and handles take {}",
                    plate.named.path,
                    frames(plate.lasts.value),
                    frames(needed)
                ),
            )
            .label(format!("{} short", Seconds(needed.0 - plate.lasts.value.0)))
            .note(how)
            .help(match most_used(plate.lasts.value, (source, plate.in_picture), needed) {
                Some(most) => format!(
                    "capture longer, 'lasts {}', or use less of it in the picture, 'uses {}'",
                    at_least(needed),
                    at_most(most)
                ),
                None => format!("capture longer, 'lasts {}'", at_least(needed)),
            }),
        );
    }
}

/// How much of a take the picture may use beside overlaps and handles; `None` where
/// those alone take it all.
fn most_used(lasts: Seconds, (source, in_picture): (f64, Seconds), needed: Seconds) -> Option<Seconds> {
    let left = lasts.0 - (needed.0 - source);
    (left > 0.1 && source > 0.0).then(|| Seconds(left * in_picture.0 / source))
}
