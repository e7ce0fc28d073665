//! What the recipes make of what was written: plates and references that nobody
//! wrote, and passes.
//!
//! In: the breakdown. Out: [`Thing`]s, as those that were written.

use super::things::{Said, Thing, Token};
use crate::Compiled;
use crate::model::{Hold, Origin, Pace, Plate};
use crate::quantity::Hours;
use crate::recipe::{Owner, Pass};

/// The kind of every pass.
pub(super) const PASS: &str = "pass";
/// What a pass's work is called.
pub(super) const WORK: &str = "work";
/// What a pass is said to take or to wait for; told where it starts over.
const LINKS: [&str; 2] = ["takes", "waits for"];

/// Everything that nobody wrote, in order.
pub(super) fn things(compiled: &Compiled) -> Vec<Thing> {
    let owed = compiled.breakdown.plates.values().filter_map(|plate| owed(compiled, plate));
    let passes = compiled.breakdown.passes.values().map(|pass| of_pass(compiled, pass));
    owed.chain(passes).collect()
}

/// Whether a difference is told where the pass starts over, and need not be told twice.
pub(super) fn is_link(what: &str) -> bool {
    LINKS.contains(&what)
}

fn value(what: &str, text: impl ToString) -> Said {
    let text = text.to_string();
    Said { what: what.to_owned(), means: vec![Token::Value(text.clone())], text }
}

fn name(what: &str, path: &str) -> Said {
    Said { what: what.to_owned(), text: path.to_owned(), means: vec![Token::Name(path.to_owned())] }
}

fn owed(compiled: &Compiled, plate: &Plate) -> Option<Thing> {
    let Origin::Owed { effect, role, .. } = &plate.origin else { return None };
    let model = &compiled.model;
    let mut said = vec![
        name("for", &model.effects[*effect].named.path),
        value("as", role),
        name("place", &model.places[plate.place].named.path),
        name("rig", &model.rigs[plate.rig].named.path),
        name("camera", &model.modes[plate.mode].named.path),
        value("lasts", plate.lasts.value),
        value("takes", plate.takes),
    ];
    if plate.hold.value == Hold::Locked {
        said.push(value("hold", "locked"));
    }
    Some(Thing {
        kind: plate.kind.word(),
        path: plate.named.path.clone(),
        title: plate.named.title.clone().unwrap_or_default(),
        said,
    })
}

fn of_pass(compiled: &Compiled, pass: &Pass) -> Thing {
    let breakdown = &compiled.breakdown;
    let mut said = vec![value(WORK, pass.effort), value("department", &pass.department)];
    for (what, hours) in [("render", pass.after.render), ("review", pass.after.review)] {
        if hours.0 > 0.0 {
            let pace =
                if what == "review" && pass.after.pace == Pace::Elapsed { " by the clock" } else { "" };
            said.push(value(what, format!("{hours}{pace}")));
        }
    }
    said.extend(pass.priority.map(|priority| value("priority", priority.rank)));
    said.extend(pass.or.iter().map(|other| value("or", other)));
    said.extend(pass.inputs.iter().map(|plate| name("takes", &breakdown.plates[*plate].named.path)));
    said.extend(pass.waits.iter().map(|(on, _)| name("waits for", &breakdown.passes[*on].path)));
    said.extend(pass.notes.iter().map(|note| value("note", note)));
    Thing { kind: PASS, path: pass.path.clone(), title: pass_title(compiled, pass), said }
}

/// `Track the camera, orrery in The rope walk`.
pub(super) fn pass_title(compiled: &Compiled, pass: &Pass) -> String {
    let model = &compiled.model;
    let owner = match pass.owner {
        Owner::Plate(id) => compiled.breakdown.plates[id].named.label().to_owned(),
        Owner::Effect(id) => model.effect_label(id),
        Owner::Join(id) => model.join_label(id),
        Owner::Asset(id) => model.assets[id].named.label().to_owned(),
        Owner::Sequence => return pass.title.clone(),
    };
    format!("{}, {owner}", pass.title)
}

/// Hours as they are summed up.
pub(super) fn hours<'a>(passes: impl Iterator<Item = &'a Pass>) -> Hours {
    Hours(passes.map(|pass| pass.effort.0).sum())
}
