//! `card`: space along the planned day, and within what must not be touched.
//!
//! In: streams, takes, groups, the plan's use of each camera. Out: findings
//! where a card fills, and the card plan for the call sheet.

use super::{recorded, untouched};
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::{Model, Plate};
use crate::order::Plan;
use crate::quantity::{Data, Seconds, Stream};
use crate::rule::{About, Check, Family, Report, Rule, Subject};

/// A card that fills.
pub(super) const CODE: Code = Code { id: "K02", name: "card", severity: Severity::Error };

/// The rule.
pub(super) const RULE: Rule =
    Rule { code: CODE, family: Family::Kit, page: include_str!("card.md"), check: Check::Plan(check) };

/// Share of a card that is kept back: formatting takes some of the printed
/// size (a maker's manual gives 28 to 30 GB usable of 32 GB).
const RESERVE: f64 = 0.1;

fn check(subject: &Subject<'_>, plan: &Plan, report: &mut Report) {
    let plates = &subject.breakdown.plates;
    for run in untouched(subject) {
        let Some(&first) = run.first() else { continue };
        let plate = &plates[first];
        let camera = subject.model.camera_of(plate);
        let Some(card) = camera.card else { continue };
        let bytes: f64 = run.iter().map(|&id| bytes_of(subject.model, &plates[id])).sum();
        if bytes > card.value.0 * (1.0 - RESERVE) {
            report.find(
                About::Plate(first),
                Diagnostic::new(
                    CODE,
                    plate.hold.span,
                    format!("the locked group of plate '{}' fills more than a card", plate.named.path),
                )
                .label(format!("{} recorded without touching the camera", Data(bytes)))
                .other(card.span, format!("a card holds {}", card.value))
                .help("use a larger card, fewer or shorter takes, or a mode with a smaller stream")
                .note("a tenth of the card is kept back for formatting"),
            );
        }
    }
    for (index, day) in plan.shoot.days.iter().enumerate() {
        for usage in &day.cameras {
            let camera = &subject.model.cameras[usage.camera];
            let Some(card) = camera.card else { continue };
            report.instruct(
                About::Day(index),
                CODE.name,
                format!("cards of {}", camera.named.label()),
                format!("{} recorded of {}", Data(usage.bytes), Data(usage.space)),
                "stream times recording time over eight; 1 GB is 10⁹ bytes",
            );
            if usage.bytes > usage.space * (1.0 - RESERVE) {
                report.find(
                    About::Day(index),
                    Diagnostic::new(
                        CODE,
                        card.span,
                        format!("the cards of {} fill up on day {}", camera.named.label(), index + 1),
                    )
                    .label(format!("{} recorded, {} of space", Data(usage.bytes), Data(usage.space)))
                    .help("add cards (`cards`), use larger ones, or copy and check them at the meal"),
                );
            }
        }
    }
}

/// Bytes of all takes of a plate. Stills and modes without a stated stream count as nothing.
fn bytes_of(model: &Model, plate: &Plate) -> f64 {
    match model.modes[plate.mode].stream {
        Some(stream) if plate.kind.is_footage() => bytes(stream, recorded(plate)).0,
        _ => 0.0,
    }
}

/// Stream times time over eight.
fn bytes(stream: Stream, time: Seconds) -> Data {
    Data(stream.0 * time.0 / 8.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 100 Mb/s is 0.75 GB a minute; 20 Mb/s fills 64 GB in 7.11 h (a maker's
    /// published table gives the same).
    #[test]
    fn a_stream_fills_a_card_as_makers_say() {
        assert_eq!(bytes(Stream(100e6), Seconds(60.0)), Data(0.75e9));
        assert!((bytes(Stream(20e6), Seconds(7.11 * 3600.0)).0 - 64e9).abs() < 0.05e9);
    }
}
