//! One card for each plate shot in front of a screen: for whoever sets it.

use super::care;
use super::plate_card::{Asked, Slot, asked, slot, unplanned};
use super::plate_facts::{mode_name, rate, tilt_text};
use super::shape::{Cautions, Fact, Found, Link, Told, fact};
use crate::model::PlateId;
use crate::packet::index::{Index, maybe};
use crate::packet::names::Names;
use crate::packet::pictures::screen as drawing;
use crate::quantity::show;
use crate::recipe::{DemandKind, Owner};
use crate::rule::About;
use crate::rule::plates::{Staged, staged};
use schemars::JsonSchema;
use serde::Serialize;

/// A screen card.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct ScreenCard {
    /// Name of the document without ending.
    pub file: String,
    /// The plate's title.
    pub title: String,
    /// The plate's card.
    pub plate: Link,
    /// When it is shot.
    pub slot: Option<Slot>,
    /// Why it is not planned.
    pub unplanned: Vec<String>,
    /// Size, distance, sweep.
    pub screen: Vec<Fact>,
    /// Height, tilt, view.
    pub camera: Vec<Fact>,
    /// What the drawing shows, in words: from above, then from the side; empty where the
    /// plate says no sweep or no gap, so that nothing is drawn.
    pub drawn: Vec<String>,
    /// The plate that it is laid over, whose view must be met.
    pub over: Vec<Link>,
    /// Numbers that rules computed.
    pub set: Vec<Told>,
    /// What effects ask of the plate.
    pub demands: Vec<Asked>,
    /// What to do, in order.
    pub steps: Vec<String>,
    /// Findings about the plate or the screen.
    pub found: Vec<Found>,
    /// What can hurt someone.
    pub cautions: Cautions,
}

/// Setting a screen, in order (common practice).
const STEPS: &[&str] = &[
    "Hang the screen flat: no folds, no seam behind the hands; weigh down stands and corners.",
    "Set distance and heights from this card with a tape; write down what they became.",
    "Light the screen first, evenly, from both sides; then the hands on their own. No light of the hands may hit the screen.",
    "Nothing green on hands, sleeves or props; no shiny things that mirror the screen.",
    "Sweep the hands through the whole move: they must never leave the screen in the picture.",
    "Same shutter, frame rate and view as the plate below; light from the same side.",
    "Record a few seconds of the empty screen.",
];

/// Every plate before a screen with the name of its card, in the order of plates.
pub(crate) fn files(index: &Index<'_>) -> Vec<(PlateId, String)> {
    let mut names = Names::default();
    let plates = index.input.breakdown.plates.iter().filter(|(_, plate)| plate.screen.is_some());
    plates.map(|(id, plate)| (id, names.give("screens", &plate.named.path))).collect()
}

/// Every screen card, in the order of plates.
pub(crate) fn cards(index: &Index<'_>) -> Vec<ScreenCard> {
    let staged = staged(&index.subject());
    files(index).into_iter().map(|(id, file)| card(index, id, file, staged.get(&id))).collect()
}

fn card(index: &Index<'_>, id: PlateId, file: String, staged: Option<&Staged<'_>>) -> ScreenCard {
    let plate = index.plate(id);
    let mut abouts = vec![About::Plate(id)];
    abouts.extend(plate.screen.map(About::Screen));
    abouts.extend(index.roles(id).iter().map(|role| About::Effect(role.effect)));
    let mut set = index.told_all(abouts.iter().copied());
    set.retain(|told| !told.is_for_planning() && !told.is_for_desk());
    let mut found: Vec<Found> = Vec::new();
    for one in abouts.into_iter().flat_map(|about| index.found(about)) {
        if !found.contains(&one) {
            found.push(one);
        }
    }
    ScreenCard {
        file,
        title: plate.named.label().to_owned(),
        plate: index.plate_link(id),
        slot: slot(index, id),
        unplanned: unplanned(index, id),
        screen: screen(index, id),
        camera: camera(index, id),
        drawn: staged.map_or_else(Vec::new, |staged| drawing::of(index, id, staged).words().into()),
        over: over(index, id),
        set,
        demands: asked(index, id),
        steps: STEPS.iter().map(|step| (*step).to_owned()).collect(),
        found,
        cautions: care::for_plate(index, id),
    }
}

fn screen(index: &Index<'_>, id: PlateId) -> Vec<Fact> {
    let plate = index.plate(id);
    let Some(screen) = plate.screen.map(|screen| &index.model.screens[screen]) else { return Vec::new() };
    let mut facts = vec![
        fact("Screen", screen.named.label()),
        fact("Size", format!("{} wide, {} high", screen.width, screen.height)),
        fact(
            "Lower edge",
            if screen.foot.0 > 0.0 {
                format!("{} above the floor", screen.foot)
            } else {
                "on the floor".to_owned()
            },
        ),
    ];
    facts.extend(maybe("Hands to screen", plate.gap.map(|gap| gap.value)));
    facts.extend(
        plate.sweep.map(|(across, down)| fact("Hands sweep", format!("{across} across, {down} down"))),
    );
    facts
}

fn camera(index: &Index<'_>, id: PlateId) -> Vec<Fact> {
    let plate = index.plate(id);
    let (mode, rig) = (&index.model.modes[plate.mode], &index.model.rigs[plate.rig]);
    let mut facts = vec![
        fact("Rig", rig.named.label()),
        fact("Mode", mode_name(&mode.named)),
        fact("Frame rate", rate(mode.rate)),
        fact("Shutter", show::exposure(mode.shutter.value)),
        fact("View", format!("{} across", mode.view.value)),
    ];
    facts.extend(maybe("Lens height", plate.height.map(|height| height.value).or(rig.height)));
    facts.extend(maybe("Tilt", plate.tilt.map(|tilt| tilt_text(tilt.value.0))));
    facts
}

/// Plates whose view this one must meet: the other roles of the effects that ask for it.
fn over(index: &Index<'_>, id: PlateId) -> Vec<Link> {
    let asks = index.demands(id).iter().filter(|demand| demand.kind == DemandKind::SameView);
    let mut plates: Vec<PlateId> = asks
        .filter_map(|demand| match demand.by {
            Owner::Effect(effect) => Some(effect),
            _ => None,
        })
        .flat_map(|effect| {
            let roles = &index.input.breakdown.roles;
            roles.iter().filter(move |role| role.effect == effect && role.role == "over")
        })
        .flat_map(|role| role.plates.iter().copied())
        .filter(|plate| *plate != id)
        .collect();
    plates.dedup();
    plates.into_iter().map(|plate| index.plate_link(plate)).collect()
}
