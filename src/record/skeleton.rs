//! A log to begin with: the plates that are planned for a day, in order.

use crate::model::Model;
use crate::order::{PlannedDay, StepKind};
use crate::recipe::Breakdown;
use std::fmt::Write;

/// The text of a log of that day, in the canonical layout, with a line to fill in
/// for each plate. `papers` is the version that stands on the papers of the day.
pub fn skeleton(model: &Model, breakdown: &Breakdown, day: &PlannedDay, papers: &str) -> String {
    let mut text = format!(
        "# `seamster explain --log-files` says how this is written.\n\
         # Fill in, remove the '#' before what you use, and leave out what was not shot.\n\
         log {} {{\n  day {}\n  # by \"\"\n  papers \"{papers}\"\n  # wrapped 18:00\n",
        model.sequence.named.path, day.date
    );
    let plates = day.steps.iter().filter_map(|step| match step.kind {
        StepKind::Shoot(plate) => Some(plate),
        _ => None,
    });
    for id in plates.flat_map(|id| std::iter::once(id).chain(breakdown.plates[id].beside.iter().copied())) {
        let plate = &breakdown.plates[id];
        let title = plate.named.title.as_ref().map_or(String::new(), |title| format!(" # {title}"));
        let _ = write!(text, "\n  plate {} {{{title}\n    # take 1 \"\" circled\n", plate.named.path);
        let has_mark =
            |word: &str, at: bool| if at { format!("    # {word} 0 cm, 0 deg\n") } else { String::new() };
        text.push_str("    # height 0 m\n    # tilt 0 deg\n");
        text.push_str(&has_mark("entered", plate.enters.is_some()));
        text.push_str(&has_mark("left", plate.leaves.is_some()));
        if plate.screen.is_some() {
            text.push_str("    # gap 0 m\n");
        }
        text.push_str("    # note \"\"\n  }\n");
    }
    text.push_str("}\n");
    text
}
