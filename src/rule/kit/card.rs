//! `card`: space along the planned day, and within what must not be touched.
//!
//! In: streams, takes, groups, the plan's use of each camera. Out: findings
//! where a card fills, and the card plan for the call sheet.

use super::{recorded, untouched};
use crate::craft::power;
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::{Camera, Mode, Model, Plate};
use crate::order::Plan;
use crate::quantity::{Data, show};
use crate::rule::advice::{either, up};
use crate::rule::plates::kit::other_modes;
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
                .help(help(subject, plate, bytes, card.value))
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
                        format!("the cards of {} fill up on day {}", camera.named.label(), day.number),
                    )
                    .label(format!("{} recorded, {} of space", Data(usage.bytes), Data(usage.space)))
                    .help(more_cards(camera, usage.bytes)),
                );
            }
        }
    }
}

/// A card, a number of takes or a mode that would do for what may not be opened.
fn help(subject: &Subject<'_>, plate: &Plate, bytes: f64, card: Data) -> String {
    let model = subject.model;
    let mut ways = vec![format!("use a larger card, 'card {}'", gigabytes(bytes / (1.0 - RESERVE)))];
    let own = bytes_of(model, plate);
    let each = own / f64::from(plate.takes.max(1));
    let keep = ((card.0 * (1.0 - RESERVE) - (bytes - own)) / each.max(1.0)).floor();
    if keep >= 1.0 {
        let takes = show::number(keep, 0);
        ways.push(format!("plan fewer takes, 'takes {takes}' in '{}'", plate.named.path));
    }
    let stream = |mode: &Mode| mode.stream.map_or(0.0, |stream| stream.0);
    let now = stream(&model.modes[plate.mode]);
    let smaller = other_modes(model, plate).find(|(_, mode)| {
        stream(mode) > 0.0 && bytes * stream(mode) / now.max(1.0) <= card.0 * (1.0 - RESERVE)
    });
    ways.extend(smaller.map(|(_, mode)| {
        format!("shoot in {}, {} Mb/s", mode.named.path, show::number(stream(mode) / 1e6, 0))
    }));
    either(&ways).unwrap_or_default()
}

/// How many cards would be enough.
fn more_cards(camera: &Camera, bytes: f64) -> String {
    let each = camera.card.map_or(0.0, |card| card.value.0) * f64::from(camera.count.max(1));
    let cards = (bytes / (1.0 - RESERVE) / each.max(1.0)).ceil();
    format!(
        "bring more cards, 'cards {}' for each body, or larger ones, or copy and check them at the meal",
        show::number(cards.clamp(1.0, 1000.0), 0)
    )
}

/// `8 GB`, at least so much.
fn gigabytes(bytes: f64) -> String {
    format!("{} GB", show::number(up(bytes / 1e9, 1.0), 0))
}

/// Bytes of all takes of a plate. Stills and modes without a stated stream count as nothing.
fn bytes_of(model: &Model, plate: &Plate) -> f64 {
    match model.modes[plate.mode].stream {
        Some(stream) if plate.kind.is_footage() => power::recorded(stream, recorded(plate)).0,
        _ => 0.0,
    }
}
