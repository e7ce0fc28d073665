//! A plate as its lens sees it: scale in the picture, movement, picture to spare.
//!
//! In: a plate and the sequence around it. Out: the quantities that several rules
//! of plates and joins share, so that all of them reckon alike.

use crate::craft::blur::Movement;
use crate::craft::crop::Crop;
use crate::craft::optics;
use crate::model::{Hold, MarkUse, Plate};
use crate::quantity::{Length, Pixels, Speed, TurnRate};
use crate::rule::Subject;

pub(in crate::rule) use crate::craft::shutter::usual as usual_shutter;
pub(in crate::rule) use crate::quantity::show::{level, px, tape, tilt};

/// Focal length of a plate, in pixels of a picture of that width; a reframe at
/// the desk lengthens it.
pub(in crate::rule) fn focal(subject: &Subject<'_>, plate: &Plate, width: u32) -> Pixels {
    let mode = &subject.model.modes[plate.mode];
    optics::focal(width, mode.view.value, mode.projection) * plate.reframe.0
}

/// How the camera moves during a plate. A locked camera on a stand does not.
pub(in crate::rule) fn movement(subject: &Subject<'_>, plate: &Plate) -> Movement {
    let rig = &subject.model.rigs[plate.rig];
    if plate.hold.value == Hold::Locked && rig.fixed {
        return Movement::default();
    }
    Movement {
        turn: plate.turns_camera.map_or(TurnRate(0.0), |turn| TurnRate(turn.value.0.abs())),
        sway: rig.sway,
        travel: travel(plate),
        near: near(subject, plate),
    }
}

/// How fast the camera travels at most.
fn travel(plate: &Plate) -> Speed {
    let at_mark = |mark: &Option<MarkUse>| mark.as_ref().and_then(|mark| mark.speed);
    [plate.moves.map(|moves| moves.value), at_mark(&plate.enters), at_mark(&plate.leaves)]
        .into_iter()
        .flatten()
        .fold(Speed(0.0), Speed::max)
}

/// The nearest thing in view: as the plate says, else as its marks say.
pub(in crate::rule) fn near(subject: &Subject<'_>, plate: &Plate) -> Option<Length> {
    let marks =
        [plate.enters.as_ref().map(|at| at.mark), plate.leaves.as_ref().map(|at| at.mark), plate.mark];
    plate.near.map(|near| near.value).or_else(|| {
        marks
            .into_iter()
            .flatten()
            .filter_map(|mark| subject.model.marks[mark].near)
            .map(|near| near.value)
            .reduce(Length::min)
    })
}

/// What is cut from a plate's picture.
fn crop(subject: &Subject<'_>, plate: &Plate) -> Crop {
    let mode = &subject.model.modes[plate.mode];
    Crop {
        captured: mode.frame,
        kept: mode.kept,
        reframe: plate.reframe,
        picture: subject.model.sequence.picture,
    }
}

/// How much the captured picture is enlarged to fill the delivered one: 1 is
/// pixel for pixel, above 1 is enlarged.
pub(in crate::rule) fn scale(subject: &Subject<'_>, plate: &Plate) -> f64 {
    crop(subject, plate).enlargement().0
}

/// How far a reframe at the desk may push the picture sideways before it is
/// enlarged beyond what is allowed, in pixels of the delivered picture.
pub(in crate::rule) fn spare(subject: &Subject<'_>, plate: &Plate) -> Pixels {
    crop(subject, plate).spare(subject.model.sequence.budgets.enlarge)
}

/// How high the lens stands: as the plate says, else its mark, else the eyes of
/// whoever wears the rig, else as the rig is used.
pub(in crate::rule) fn height(subject: &Subject<'_>, plate: &Plate) -> Option<Length> {
    let (model, rig) = (subject.model, &subject.model.rigs[plate.rig]);
    let own = plate.height.map(|line| line.value);
    let at_mark = || plate.mark.and_then(|mark| model.marks[mark].height).map(|line| line.value);
    let eyes = || {
        let worn = rig.worn.then_some(&plate.people).into_iter().flatten();
        worn.filter_map(|&person| model.people[person].eyes).next()
    };
    own.or_else(at_mark).or_else(eyes).or(rig.height)
}

/// `1.70 m`: always two decimals, as on a tape.
pub(in crate::rule) fn settable(length: Length) -> String {
    format!("{:.2} m", length.0)
}
