//! One card for each plate: what the operator sets, what the performer does,
//! what would spoil it.

use super::care;
use super::shape::{Cautions, Fact, Found, Link, Told, and, fact};
use crate::model::{Hands, Hold, MarkUse, Origin, Plate, PlateId, PlateKind, Steadying};
use crate::packet::index::{Index, light, long_date, maybe};
use crate::packet::pictures::Svg;
use crate::quantity::{FrameRate, Projection, show};
use crate::recipe::Owner;
use crate::rule::About;
use serde::Serialize;

/// A plate card.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct PlateCard {
    /// Name of the document without ending.
    pub file: String,
    /// `leap.swoop`.
    pub path: String,
    /// Title, or the path.
    pub title: String,
    /// `plate`, `clean plate`, …
    pub kind: String,
    /// Where it comes from, when nobody wrote it.
    pub owed: Option<Owed>,
    /// The beat's title.
    pub beat: String,
    /// What happens in the beat; empty where not said.
    pub story: String,
    /// When it is shot.
    pub slot: Option<Slot>,
    /// Why it is not planned; empty when it is.
    pub unplanned: Vec<String>,
    /// What to do, in steps, for what is not an acted plate.
    pub steps: Vec<String>,
    /// Where, on what, how high, which way.
    pub place: Vec<Fact>,
    /// How the camera is set.
    pub camera: Vec<Fact>,
    /// How long, how often, how much of it is used.
    pub takes: Vec<Fact>,
    /// Who and what is in front of the camera.
    pub scene: Vec<Fact>,
    /// Whether the camera may be touched.
    pub hold: HoldView,
    /// Numbers that rules computed for it.
    pub set: Vec<Told>,
    /// What effects ask of it: what would spoil it.
    pub demands: Vec<Asked>,
    /// What it is for.
    pub serves: Vec<Link>,
    /// Findings about it.
    pub found: Vec<Found>,
    /// What can hurt someone.
    pub cautions: Cautions,
    /// The writer's notes.
    pub notes: Vec<String>,
    /// A drawing, where there is one.
    pub picture: Option<Svg>,
}

/// Why a plate exists that nobody wrote.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Owed {
    /// The effect's title.
    pub effect: String,
    /// The recipe's title.
    pub method: String,
    /// The role it fills.
    pub role: String,
    /// `file:line` of the line that caused it.
    pub at: String,
}

/// When a plate is shot.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Slot {
    /// Number of the day, from 1.
    pub day: usize,
    /// `Friday 14 May 2027`.
    pub date: String,
    /// `06:20`.
    pub start: String,
    /// `06:41`.
    pub end: String,
    /// The call sheet.
    pub sheet: Link,
}

/// Whether the camera may be touched.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct HoldView {
    /// Whether it is locked.
    pub locked: bool,
    /// In words.
    pub text: String,
    /// The plates of the locked group, in the order in which they are shot.
    pub group: Vec<Link>,
}

/// Something an effect asks of a plate.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Asked {
    /// What.
    pub text: String,
    /// Who asks: the effect's or join's title.
    pub by: String,
    /// `file:line` of the line that binds the plate.
    pub at: String,
}

/// The card of one plate.
pub(crate) fn card(index: &Index<'_>, id: PlateId) -> PlateCard {
    let plate = index.plate(id);
    let beat = &index.model.beats[plate.beat];
    PlateCard {
        file: index.plate_file(id),
        path: plate.named.path.clone(),
        title: plate.named.label().to_owned(),
        kind: plate.kind.word().to_owned(),
        owed: owed(index, plate),
        beat: beat.named.label().to_owned(),
        story: beat.story.clone().unwrap_or_default(),
        slot: slot(index, id),
        unplanned: unplanned(index, id),
        steps: steps(plate.kind),
        place: place(index, plate),
        camera: camera(index, plate),
        takes: takes(index, plate),
        scene: scene(index, plate),
        hold: hold(index, id),
        set: index.told(About::Plate(id)),
        demands: asked(index, id),
        serves: serves(index, id),
        found: index.found(About::Plate(id)),
        cautions: care::for_plate(index, id),
        notes: plate.named.notes.clone(),
        picture: None,
    }
}

/// When a plate is shot, if it is planned.
pub(crate) fn slot(index: &Index<'_>, id: PlateId) -> Option<Slot> {
    let (day, planned, start, end) = index.day_of(id)?;
    Some(Slot {
        day,
        date: long_date(planned.date),
        start: index.clock_on(start, planned.date),
        end: index.clock_on(end, planned.date),
        sheet: Link { text: format!("Day {day}"), file: format!("call-sheet-{day}") },
    })
}

/// Why a plate is not planned. Nothing is left without a word.
pub(crate) fn unplanned(index: &Index<'_>, id: PlateId) -> Vec<String> {
    if index.day_of(id).is_some() {
        return Vec::new();
    }
    let shoot = &index.input.plan.shoot;
    let reasons: Vec<String> = shoot
        .unplanned
        .iter()
        .filter(|left| left.what == id)
        .flat_map(|left| &left.reasons)
        .map(|reason| super::reason(index, reason))
        .collect();
    if reasons.is_empty() { vec!["no plan of the shoot holds it".to_owned()] } else { reasons }
}

fn owed(index: &Index<'_>, plate: &Plate) -> Option<Owed> {
    let Origin::Owed { effect, role, because } = &plate.origin else { return None };
    Some(Owed {
        effect: index.model.effects[*effect].named.label().to_owned(),
        method: index.method(*effect),
        role: role.clone(),
        at: index.at(*because),
    })
}

/// What is done for a reference, which no action describes.
fn steps(kind: PlateKind) -> Vec<String> {
    let steps: &[&str] = match kind {
        PlateKind::Picture | PlateKind::Element => &[],
        PlateKind::Clean => &[
            "Same set-up as the action: touch neither camera, exposure, focus nor white balance.",
            "Clear the frame of people, hands and what moves; leave everything else where it is.",
            "Wait until shadows and water are still, then record without a break.",
        ],
        PlateKind::Patch => &[
            "Same mark, height and direction as the action, same light.",
            "Record the ground behind what will be removed, without it.",
        ],
        PlateKind::Still => &[
            "Sharp and square on: brace the camera, no zoom, no digital steadying.",
            "Take three with the same exposure as the plate and one a stop under.",
            "Fill the frame with the surface; take a second with a scale or a tape in it.",
        ],
        PlateKind::LightReference => &[
            "Where the object will stand, at its height: a grey ball, then a mirror ball, filling a third of the frame.",
            "Camera, exposure and white balance as in the plate; then a bracketed round of stills if there is time.",
            "Take it within minutes of the plate, before the light moves; say the time aloud.",
        ],
        PlateKind::LensReference => &[
            "A flat grid or chessboard, filling the frame, square to the lens, evenly lit.",
            "Camera in the same mode and the same steadying as the plate; corners and edges must be in it.",
            "Hold each for three seconds: centre, four corners, once tilted.",
        ],
        PlateKind::Survey => &[
            "Write down: lens height, tilt by a phone's level, compass heading.",
            "Measure with a tape: to the nearest thing in view, to where the object will stand, and one known length in the picture.",
            "Take a photo of the tape in place, and one of the whole set-up from the side.",
        ],
    };
    steps.iter().map(|step| (*step).to_owned()).collect()
}

fn place(index: &Index<'_>, plate: &Plate) -> Vec<Fact> {
    let model = index.model;
    let rig = &model.rigs[plate.rig];
    let mark = plate.mark.map(|id| &model.marks[id]);
    let mut facts =
        vec![fact("Place", model.places[plate.place].named.label()), fact("Rig", rig.named.label())];
    facts.extend(mark.map(|mark| fact("Stays at mark", mark.named.label())));
    facts.extend(plate.enters.as_ref().map(|at| fact("Starts at mark", mark_use(index, at))));
    facts.extend(plate.leaves.as_ref().map(|at| fact("Ends at mark", mark_use(index, at))));
    let height = plate
        .height
        .map(|height| height.value.to_string())
        .or_else(|| mark.and_then(|mark| mark.height).map(|height| format!("{} (the mark's)", height.value)))
        .or_else(|| rig.height.map(|height| format!("{height} (the rig's usual)")));
    facts.extend(maybe("Lens height", height));
    facts.extend(maybe(
        "Heading",
        plate.heading.or(mark.and_then(|mark| mark.heading)).map(|angle| heading(angle.value.0)),
    ));
    facts.extend(maybe(
        "Tilt",
        plate.tilt.or(mark.and_then(|mark| mark.tilt)).map(|tilt| tilt_text(tilt.value.0)),
    ));
    let near = plate.near.or(mark.and_then(|mark| mark.near)).map(|near| near.value);
    let far = plate.far.or(mark.and_then(|mark| mark.far)).map(|far| far.value);
    facts.extend(maybe("Nearest thing in view", near));
    facts.extend(maybe("Farthest thing in view", far));
    facts.extend(maybe("Camera travels at", plate.moves.map(|speed| speed.value)));
    facts.extend(maybe("Camera turns at", plate.turns_camera.map(|rate| rate.value)));
    facts.extend(maybe("Camera rolls by", plate.rolls.map(|angle| angle.value)));
    facts.push(fact("Light", light(plate.light)));
    facts
}

/// `140° (south-east)`: a compass direction with its nearest wind.
pub(crate) fn heading(degrees: f64) -> String {
    const WINDS: [&str; 8] =
        ["north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"];
    let turn = degrees.rem_euclid(360.0);
    let nearest = (turn / 45.0).round() as usize % WINDS.len();
    let wind = WINDS.get(nearest).copied().unwrap_or("north");
    format!("{}° ({wind})", show::number(turn, 1))
}

/// `35° down`.
pub(crate) fn tilt_text(degrees: f64) -> String {
    let size = show::number(degrees.abs(), 1);
    match size.as_str() {
        "0" => "level".to_owned(),
        _ if degrees > 0.0 => format!("{size}° up"),
        _ => format!("{size}° down"),
    }
}

fn mark_use(index: &Index<'_>, at: &MarkUse) -> String {
    let mut text = index.model.marks[at.mark].named.label().to_owned();
    if let Some(speed) = at.speed {
        text.push_str(&format!(", at {speed}"));
    }
    if let Some(angle) = at.heading {
        text.push_str(&format!(", moving towards {}", heading(angle.0)));
    }
    text
}

/// `25 fps`, exact fractions as the trade writes them.
pub(crate) fn rate(rate: FrameRate) -> String {
    format!("{} fps", show::number(rate.per_second(), 3))
}

/// What a steadying mode means for whoever sets the camera.
pub(crate) fn steadying(steadying: Steadying) -> &'static str {
    match steadying {
        Steadying::Level => "level: horizon held, do not roll",
        Steadying::Free => "free: full roll passes through",
        Steadying::Off => "off",
    }
}

fn camera(index: &Index<'_>, plate: &Plate) -> Vec<Fact> {
    let mode = &index.model.modes[plate.mode];
    let lens = match mode.projection {
        Projection::Rectilinear => "straight lines stay straight",
        Projection::Equidistant => "fisheye, equidistant",
    };
    vec![
        fact("Camera", index.model.cameras[mode.camera].named.label()),
        fact("Mode", mode.named.label()),
        fact("Frame", format!("{} × {} at {}", mode.frame.width, mode.frame.height, rate(mode.rate))),
        fact("Shutter", show::exposure(mode.shutter.value)),
        fact("View", format!("{} across, {lens}", mode.view.value)),
        fact("Steadying", steadying(mode.steadying)),
    ]
}

fn takes(index: &Index<'_>, plate: &Plate) -> Vec<Fact> {
    let rate = index.model.modes[plate.mode].rate;
    let lasts = plate.lasts.value;
    let mut facts = Vec::new();
    if plate.kind.is_footage() {
        let frames = show::number((lasts.0 * rate.per_second()).round(), 0);
        facts.push(fact("Record", format!("{lasts} a take ({frames} frames)")));
    } else {
        facts.push(fact("Allow", lasts.to_string()));
    }
    facts.push(fact("Takes", plate.takes.to_string()));
    if plate.takes > 1 {
        facts.push(fact("Between takes", plate.between.to_string()));
    }
    if plate.kind == PlateKind::Picture {
        facts.push(fact("Seen in the picture", plate.in_picture.to_string()));
    }
    if plate.sound {
        facts.push(fact("Sound", "recorded with it"));
    }
    facts
}

fn scene(index: &Index<'_>, plate: &Plate) -> Vec<Fact> {
    let mut facts = Vec::new();
    let people = index.people(plate);
    if !people.is_empty() {
        facts.push(fact("With", and(&people)));
    }
    let spotters = index.spotters(plate);
    if !spotters.is_empty() {
        facts.push(fact("Spotter", format!("{}, who does nothing else", and(&spotters))));
    }
    facts.push(fact(
        "Hands",
        match plate.hands.value {
            Hands::Out => "out of the picture",
            Hands::Behind => "in the picture, always behind what they carry",
            Hands::In => "in the picture",
        },
    ));
    if index.model.rigs[plate.rig].silences {
        facts.push(fact("Signals", "the wearer cannot speak: agree on hand signals, one of them for stop"));
    }
    for (of, state, _) in &plate.shows {
        facts.push(fact(index.state_name(*of).label(), state.clone()));
    }
    for turn in &plate.turns {
        let text = format!("goes from {} to {} during the take", turn.from, turn.to);
        facts.push(fact(index.state_name(turn.of).label(), text));
    }
    facts.extend(plate.must.iter().map(|text| fact("Must be in frame", text.clone())));
    facts.extend(plate.avoid.iter().map(|text| fact("Must stay out of frame", text.clone())));
    if let Some(id) = plate.screen {
        facts.push(fact("Screen", index.model.screens[id].named.label()));
    }
    facts
}

fn hold(index: &Index<'_>, id: PlateId) -> HoldView {
    let locked = index.plate(id).hold.value == Hold::Locked || index.group(id).is_some();
    let group: Vec<Link> = index
        .group(id)
        .map(|group| {
            index.input.breakdown.groups[group].plates.iter().map(|plate| index.plate_link(*plate)).collect()
        })
        .unwrap_or_default();
    let text = match (locked, group.len()) {
        (false, _) => "The camera may move.",
        (true, 0 | 1) => "Locked: nobody touches camera or stand while it is shot.",
        (true, _) => {
            "Locked: nobody touches camera, stand, exposure or focus from the first to the last plate of this \
             group; change batteries and cards before it starts."
        }
    };
    HoldView { locked, text: text.to_owned(), group }
}

pub(crate) fn asked(index: &Index<'_>, id: PlateId) -> Vec<Asked> {
    index
        .demands(id)
        .iter()
        .map(|demand| Asked {
            text: demand.text.clone(),
            by: index.owner_title(demand.by),
            at: index.at(demand.span),
        })
        .collect()
}

/// Effects and joins that a plate serves, each once.
fn serves(index: &Index<'_>, id: PlateId) -> Vec<Link> {
    let mut links: Vec<Link> = Vec::new();
    for role in index.roles(id) {
        let effect = &index.model.effects[role.effect].named;
        let text = format!("{} ({}), as {}", effect.label(), index.method(role.effect), role.title);
        links.push(Link { text, file: String::new() });
    }
    links.extend(index.joins(id).iter().map(|join| {
        let link = index.join_link(*join);
        Link { text: format!("{}: {}", index.model.joins[*join].kind.word(), link.text), file: link.file }
    }));
    let builds = index.using(id).iter().filter_map(|pass| match index.input.breakdown.passes[*pass].owner {
        Owner::Asset(asset) => Some(index.model.assets[asset].named.label()),
        _ => None,
    });
    links.extend(builds.map(|asset| Link { text: format!("build of {asset}"), file: String::new() }));
    links.dedup();
    links
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Compass points: the eight winds lie 45° apart, clockwise from north.
    #[test]
    fn headings_name_the_nearest_wind() {
        assert_eq!(heading(0.0), "0° (north)");
        assert_eq!(heading(140.0), "140° (south-east)");
        assert_eq!(heading(-90.0), "270° (west)");
        assert_eq!(heading(350.0), "350° (north)");
    }

    #[test]
    fn tilts_say_which_way() {
        assert_eq!(tilt_text(-35.0), "35° down");
        assert_eq!(tilt_text(0.01), "level");
        assert_eq!(tilt_text(12.5), "12.5° up");
    }
}
