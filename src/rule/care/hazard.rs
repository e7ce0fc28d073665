//! What can hurt someone at a plate, and whether the usual words about it are there.
//!
//! In: hazards of place, rig and action. Out: [`Hazard`]s of a plate, and for a
//! rule about one kind of them its cautions and findings.

use crate::diagnostic::{Code, Diagnostic};
use crate::model::{Origin, Plate, PlateId};
use crate::rule::{About, Report, Subject};
use crate::source::Span;
use std::collections::BTreeMap;

/// Words that mean the same danger, as they are written after `hazard`.
pub(super) const WATER: &[&str] = &["water", "sea", "river", "canal", "lake", "surf", "boat", "ice"];
/// Falling, and what falls.
pub(super) const HEIGHT: &[&str] = &["height", "edge", "overhead", "roof", "ladder", "cliff", "fall"];
/// Whatever drives.
pub(super) const TRAFFIC: &[&str] = &["traffic", "road", "vehicle", "rail", "tram", "train", "car", "bike"];
/// Whatever flies.
pub(super) const AIRCRAFT: &[&str] = &["aircraft", "drone"];

/// Where a hazard comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Source {
    /// The place has it.
    Place,
    /// The rig brings it.
    Rig,
    /// The action brings it.
    Plate,
}

/// One hazard of one plate.
#[derive(Debug, Clone)]
pub(super) struct Hazard {
    /// As written.
    pub(super) word: String,
    /// Where.
    pub(super) span: Span,
    /// Whose.
    pub(super) source: Source,
}

/// Every hazard of a plate: its place's, its rig's, its own. A rig that flies is one.
pub(super) fn hazards_of(subject: &Subject<'_>, plate: &Plate) -> Vec<Hazard> {
    let place = &subject.model.places[plate.place];
    let rig = &subject.model.rigs[plate.rig];
    let lists =
        [(Source::Place, &place.hazards), (Source::Rig, &rig.hazards), (Source::Plate, &plate.hazards)];
    let mut hazards: Vec<Hazard> = lists
        .into_iter()
        .flat_map(|(source, list)| {
            list.iter().map(move |word| Hazard { word: word.value.clone(), span: word.span, source })
        })
        .collect();
    if rig.flies && !hazards.iter().any(|hazard| AIRCRAFT.contains(&hazard.word.as_str())) {
        hazards.push(Hazard { word: "aircraft".into(), span: rig.named.span, source: Source::Rig });
    }
    hazards
}

/// What a rule about one kind of danger says.
pub(super) struct Kind {
    /// The rule.
    pub(super) code: Code,
    /// Words of the danger.
    pub(super) words: &'static [&'static str],
    /// What it is called in a sentence.
    pub(super) called: &'static str,
    /// Printed on every card; each with where it comes from.
    pub(super) cautions: &'static [(&'static str, &'static str)],
}

/// Prints the cautions, and finds where nobody wrote one of their own or where
/// the place names no emergency department.
pub(super) fn check(subject: &Subject<'_>, kind: &Kind, report: &mut Report) {
    let mut silent: BTreeMap<Span, (Hazard, Vec<PlateId>)> = BTreeMap::new();
    let mut far: BTreeMap<Span, (Hazard, PlateId)> = BTreeMap::new();
    for (id, plate) in subject.breakdown.plates.iter() {
        let hazards = hazards_of(subject, plate).into_iter();
        let mut hazards = hazards.filter(|hazard| kind.words.contains(&hazard.word.as_str())).peekable();
        if hazards.peek().is_some() {
            for (text, how) in kind.cautions {
                report.instruct(About::Plate(id), kind.code.name, "caution", *text, *how);
            }
        }
        for hazard in hazards {
            if plate.origin == Origin::Written && !has_caution(subject, plate) {
                silent.entry(hazard.span).or_insert_with(|| (hazard.clone(), Vec::new())).1.push(id);
            }
            let place = &subject.model.places[plate.place];
            if place.hospital.is_none() {
                far.entry(place.named.span).or_insert((hazard, id));
            }
        }
    }
    for (span, (hazard, plates)) in silent {
        report_silent(subject, kind, span, (&hazard, &plates), report);
    }
    for (span, (hazard, id)) in far {
        let plate = &subject.breakdown.plates[id];
        let place = &subject.model.places[plate.place];
        report.find(
            About::Place(plate.place),
            Diagnostic::new(
                kind.code,
                span,
                format!("place '{}' has {} and names no emergency department", place.named.path, kind.called),
            )
            .label("nobody should have to look it up then")
            .other(hazard.span, format!("'{}' here", hazard.word))
            .help("add 'hospital \"…\"' with the way and the emergency number"),
        );
    }
}

/// Whether a human wrote a caution for the plate: there, or for its beat, place or rig.
fn has_caution(subject: &Subject<'_>, plate: &Plate) -> bool {
    let model = subject.model;
    [
        &plate.named,
        &model.beats[plate.beat].named,
        &model.places[plate.place].named,
        &model.rigs[plate.rig].named,
    ]
    .iter()
    .any(|named| !named.cautions.is_empty())
}

fn report_silent(
    subject: &Subject<'_>,
    kind: &Kind,
    span: Span,
    (hazard, plates): (&Hazard, &[PlateId]),
    report: &mut Report,
) {
    let Some(&first) = plates.first() else { return };
    let plate = &subject.breakdown.plates[first];
    let (about, whose) = match hazard.source {
        Source::Place => {
            (About::Place(plate.place), format!("place '{}'", subject.model.places[plate.place].named.path))
        }
        Source::Rig => (About::Rig(plate.rig), format!("rig '{}'", subject.model.rigs[plate.rig].named.path)),
        Source::Plate => (About::Plate(first), format!("plate '{}'", plate.named.path)),
    };
    let mut finding = Diagnostic::new(
        kind.code,
        span,
        format!("{whose} brings {}, and nobody has written how people stay safe", kind.called),
    )
    .label(format!("'{}' without a caution of your own", hazard.word))
    .help("add 'caution \"…\"': who watches, where people stand, what stops the take");
    if hazard.source != Source::Plate {
        for &id in plates.iter().take(4) {
            let plate = &subject.breakdown.plates[id];
            finding = finding.other(plate.named.span, format!("'{}' is shot with it", plate.named.path));
        }
    }
    report.find(
        about,
        finding.note("the built-in cautions are printed anyway; local rules and licensed practice decide"),
    );
}
