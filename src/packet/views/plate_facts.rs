//! The facts of a plate in words: where, how the camera is set, how often, who.

use super::shape::{Fact, and, fact};
use crate::model::{Hands, MarkUse, Named, Plate, PlateKind, Steadying};
use crate::packet::index::{Index, light, maybe};
use crate::quantity::{FrameRate, Projection, show};

/// What is done for a reference, which no action describes.
pub(crate) fn steps(kind: PlateKind) -> Vec<String> {
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

pub(crate) fn place(index: &Index<'_>, plate: &Plate) -> Vec<Fact> {
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

/// What a steadying mode means for whoever works on the footage.
pub(crate) fn steadied(steadying: Steadying) -> &'static str {
    match steadying {
        Steadying::Level => "level: the horizon was held in the camera",
        Steadying::Free => "free: roll is in the footage; keep it where the story wants it",
        Steadying::Off => "off: nothing was steadied in the camera",
    }
}

/// What a steadying mode means for whoever sets the camera.
pub(crate) fn steadying(steadying: Steadying) -> &'static str {
    match steadying {
        Steadying::Level => "level: horizon held, do not roll",
        Steadying::Free => "free: full roll passes through",
        Steadying::Off => "off",
    }
}

/// A mode by the name it has on the camera, with its title where it has one.
pub(crate) fn mode_name(named: &Named) -> String {
    named.title.as_ref().map_or(named.path.clone(), |title| format!("{}: {title}", named.path))
}

/// Length of a picture plate in the picture; it may be seen only inside an effect.
pub(crate) fn seen(plate: &Plate) -> String {
    if plate.in_picture.0 > 0.0 { plate.in_picture.to_string() } else { "inside an effect".to_owned() }
}

pub(crate) fn camera(index: &Index<'_>, plate: &Plate) -> Vec<Fact> {
    let mode = &index.model.modes[plate.mode];
    let lens = match mode.projection {
        Projection::Rectilinear => "straight lines stay straight",
        Projection::Equidistant => "fisheye, equidistant",
    };
    vec![
        fact("Camera", index.model.cameras[mode.camera].named.label()),
        fact("Mode", mode_name(&mode.named)),
        fact("Frame", format!("{} × {} at {}", mode.frame.width, mode.frame.height, rate(mode.rate))),
        fact("Shutter", show::exposure(mode.shutter.value)),
        fact("View", format!("{} across, {lens}", mode.view.value)),
        fact("Steadying", steadying(mode.steadying)),
    ]
}

pub(crate) fn takes(index: &Index<'_>, plate: &Plate) -> Vec<Fact> {
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
    let together = plate.rolls_with.iter().map(|host| host.value).chain(plate.beside.iter().copied());
    let together: Vec<String> =
        together.map(|other| format!("“{}”", index.plate(other).named.label())).collect();
    if !together.is_empty() {
        facts.push(fact("Rolls with", and(&together)));
    }
    if plate.kind == PlateKind::Picture {
        facts.push(fact("Seen in the picture", seen(plate)));
    }
    if plate.sound {
        facts.push(fact("Sound", "recorded with it"));
    }
    facts
}

pub(crate) fn scene(index: &Index<'_>, plate: &Plate) -> Vec<Fact> {
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
