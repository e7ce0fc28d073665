//! `flicker`: whether the shutter gathers whole pulses of lamps on the mains.
//!
//! In: plates under lamps, their shutters, the mains. Out: findings where frames
//! differ in brightness, and the shutters that are safe.

use super::kit::other_modes;
use crate::craft::flicker::{Evenness, evenness, nearest_even, pulses};
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::{Light, Mode, Origin, Plate};
use crate::quantity::{Frequency, Seconds, show};
use crate::rule::advice::either;
use crate::rule::{About, Check, Family, Report, Rule, Subject};

const CODE: Code = Code { id: "P06", name: "flicker", severity: Severity::Warning };

/// The rule.
pub(super) const RULE: Rule =
    Rule { code: CODE, family: Family::Plates, page: include_str!("flicker.md"), check: Check::Work(check) };

fn check(subject: &Subject<'_>, report: &mut Report) {
    let lit = || {
        subject
            .breakdown
            .plates
            .iter()
            .filter(|(_, plate)| plate.kind.is_footage() && plate.light == Light::Lamp)
    };
    let Some(mains) = subject.model.sequence.mains else {
        if let Some((_, plate)) = lit().next() {
            report.find(About::Sequence, unknown_mains(subject, plate));
        }
        return;
    };
    for (id, plate) in lit() {
        let mode = &subject.model.modes[plate.mode];
        let frame = Seconds(1.0 / mode.rate.per_second().max(1e-9));
        let safe = nearest_even(mode.shutter.value, mains, frame);
        report.instruct(
            About::Plate(id),
            CODE.name,
            "shutter under lamps",
            safe_words(safe),
            format!(
                "a multiple of 1/{} s, since lamps pulse twice a cycle of the mains",
                show::number(2.0 * mains.0, 0)
            ),
        );
        let even = evenness(mode.shutter.value, mains);
        if even != Evenness::Even && plate.origin == Origin::Written {
            let mut diagnostic = finding(subject, plate, mode, mains, safe);
            if even == Evenness::Nearly {
                diagnostic.severity = Severity::Note;
            }
            report.find(About::Plate(id), diagnostic);
        }
    }
}

fn safe_words(safe: (Option<Seconds>, Option<Seconds>)) -> String {
    let mut shutters: Vec<String> = [safe.0, safe.1].into_iter().flatten().map(show::exposure).collect();
    shutters.dedup();
    if shutters.is_empty() {
        return "none at this rate: use lamps that do not pulse".into();
    }
    shutters.join(" or ")
}

fn unknown_mains(subject: &Subject<'_>, plate: &Plate) -> Diagnostic {
    let mut diagnostic = Diagnostic::new(
        CODE,
        subject.model.sequence.named.span,
        "the mains frequency is not stated, so flicker under lamps cannot be checked",
    )
    .other(plate.named.span, "shot under lamps")
    .help("write 'mains 50 Hz' or 'mains 60 Hz', as where you shoot");
    diagnostic.severity = Severity::Note;
    diagnostic
}

fn finding(
    subject: &Subject<'_>,
    plate: &Plate,
    mode: &Mode,
    mains: Frequency,
    safe: (Option<Seconds>, Option<Seconds>),
) -> Diagnostic {
    let mut ways = Vec::new();
    let even = other_modes(subject.model, plate)
        .find(|(_, other)| evenness(other.shutter.value, mains) == Evenness::Even);
    if let Some((_, other)) = even {
        ways.push(format!("shoot in {}, {}", other.named.path, show::exposure(other.shutter.value)));
    }
    for shutter in [safe.0, safe.1].into_iter().flatten() {
        ways.push(format!("set 'shutter {}'", show::exposure(shutter)));
    }
    ways.dedup();
    ways.push("use lamps that do not pulse, and waive this".into());
    let diagnostic = Diagnostic::new(
        CODE,
        mode.shutter.span,
        format!(
            "{} gathers {} pulses of {} Hz lamps, so plate '{}' flickers",
            show::exposure(mode.shutter.value),
            show::number(pulses(mode.shutter.value, mains), 2),
            show::number(mains.0, 0),
            plate.named.path
        ),
    )
    .label("no whole number of pulses")
    .other(plate.named.span, "shot under lamps");
    match either(&ways) {
        Some(help) => diagnostic.help(help),
        None => diagnostic,
    }
}
