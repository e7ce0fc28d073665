//! `silent-impact`: what happens is heard.
//!
//! In: layers and cues of sound, effects, changes of props. Out: findings where
//! sound was written and something that lands, breaks or starts has none.
//!
//! Sound is laid last, layer upon layer, and every impact is felt (common
//! practice, no source).

use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::{BeatId, Model, Sound, StateOf, Turn};
use crate::rule::{About, Check, Family, PRACTICE, Report, Rule, Subject};
use crate::source::Span;

/// Something happens without a sound.
pub(super) const CODE: Code = Code { id: "W05", name: "silent-impact", severity: Severity::Warning };

/// The rule.
pub(super) const RULE: Rule = Rule {
    code: CODE,
    family: Family::Desk,
    page: include_str!("silent_impact.md"),
    check: Check::Work(check),
};

/// The layer in which things land.
const IMPACTS: &str = "impacts";

fn check(subject: &Subject<'_>, report: &mut Report) {
    let model = subject.model;
    let sound = &model.sound;
    let effects = model.effects.len();
    if effects > 0 {
        report.instruct(
            About::Sequence,
            CODE.name,
            "impacts",
            format!(
                "{effects} impossible things, each with a weight of its own; laid last, layer upon layer"
            ),
            PRACTICE,
        );
    }
    // Where nobody wrote of sound, the usual layers are planned, impacts among them.
    let Some(span) = sound.span else { return };
    check_layer(subject, sound, span, report);
    for (id, beat) in model.beats.iter() {
        let plates = beat.plates.iter().flat_map(|&plate| &model.plates[plate].turns);
        let mut turns = beat.turns.iter().chain(plates);
        let broken = turns.find(|turn| matches!(turn.of, StateOf::Prop(_)));
        if let Some(turn) = broken.filter(|_| !is_heard(subject, id)) {
            check_turn(model, (id, span), turn, report);
        }
    }
}

/// Whether a cue, the writer's or a recipe's, belongs to a beat.
fn is_heard(subject: &Subject<'_>, beat: BeatId) -> bool {
    subject.model.sound.cues.iter().any(|cue| cue.beat == beat)
        || subject.breakdown.cues.iter().any(|(of, ..)| *of == beat)
}

fn check_layer(subject: &Subject<'_>, sound: &Sound, span: Span, report: &mut Report) {
    let written = sound.layers.iter().any(|layer| layer.name.value == IMPACTS);
    if written || sound.layers.is_empty() || subject.breakdown.cues.is_empty() {
        return;
    }
    let model = subject.model;
    let layers: Vec<&str> = sound.layers.iter().map(|layer| layer.name.value.as_str()).collect();
    let mut finding = Diagnostic::new(CODE, span, "sound has no layer for what lands, breaks and starts")
        .label(format!("layers: {}", layers.join(", ")))
        .help(format!("write 'layer {}, {IMPACTS}'", layers.join(", ")))
        .note(format!("every impact is felt; {PRACTICE}"));
    for (_, text, effect) in subject.breakdown.cues.iter().take(4) {
        finding = finding.other(model.effects[*effect].named.span, format!("owes: {text}"));
    }
    report.find(About::Sequence, finding);
}

fn check_turn(model: &Model, (beat, sound): (BeatId, Span), turn: &Turn, report: &mut Report) {
    let StateOf::Prop(prop) = turn.of else { return };
    let what = model.props[prop].named.label();
    let name = &model.beats[beat].named.path;
    let finding = Diagnostic::new(
        CODE,
        turn.span,
        format!("{what} goes from {} to {} in beat '{name}', and nothing of it is heard", turn.from, turn.to),
    )
    .label("no cue")
    .other(sound, "cues stand here")
    .help(format!("write 'cue \"{what}, {}\" at {name}'", turn.to))
    .note(format!("every impact is felt; {PRACTICE}"));
    report.find(About::Beat(beat), finding);
}
