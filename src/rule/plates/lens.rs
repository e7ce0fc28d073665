//! A plate as its lens sees it: scale in the picture, movement, picture to spare.
//!
//! In: a plate and the sequence around it. Out: the quantities that several rules
//! of plates and joins share, so that all of them reckon alike.

use crate::craft::blur::Movement;
use crate::craft::optics;
use crate::model::{Hold, MarkUse, Plate};
use crate::quantity::{Angle, Length, Pixels, Seconds, Speed, TurnRate, show};
use crate::rule::Subject;

/// Shutters that cameras offer, as the number below the one.
const SHUTTERS: &[u32] = &[
    25, 30, 50, 60, 100, 120, 160, 200, 240, 320, 400, 480, 640, 800, 960, 1000, 1250, 1600, 2000, 2500,
    3200, 4000, 5000, 6400, 8000,
];

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

/// How much the captured picture is enlarged to fill the delivered one: 1 is
/// pixel for pixel, above 1 is enlarged. Steadying keeps a share of the width and
/// of the height; a reframe enlarges further.
pub(in crate::rule) fn scale(subject: &Subject<'_>, plate: &Plate) -> f64 {
    let (picture, mode) = (subject.model.sequence.picture, &subject.model.modes[plate.mode]);
    let kept = mode.kept.0.clamp(0.01, 1.0);
    let across = f64::from(picture.width) / (f64::from(mode.frame.width.max(1)) * kept);
    let down = f64::from(picture.height) / (f64::from(mode.frame.height.max(1)) * kept);
    across.max(down) * plate.reframe.0
}

/// How far a reframe at the desk may push the picture sideways before it is
/// enlarged beyond what is allowed, in pixels of the delivered picture:
/// `W/2 × (limit / scale − 1)`.
pub(in crate::rule) fn spare(subject: &Subject<'_>, plate: &Plate) -> Pixels {
    let room = subject.model.sequence.budgets.enlarge.0 / scale(subject, plate).max(1e-6) - 1.0;
    Pixels(f64::from(subject.model.sequence.picture.width) / 2.0 * room.max(0.0))
}

/// The slowest shutter of a usual camera that is no slower than this.
pub(in crate::rule) fn usual_shutter(slowest: Seconds) -> Option<Seconds> {
    SHUTTERS
        .iter()
        .map(|&below| Seconds(1.0 / f64::from(below)))
        .find(|usual| usual.0 <= slowest.0 * 1.000_001)
}

/// Pixels as people read them: whole ones from ten on.
pub(in crate::rule) fn px(pixels: Pixels) -> String {
    format!("{} px", show::number(pixels.0, if pixels.0.abs() < 10.0 { 1 } else { 0 }))
}

/// A tilt in words: `35° down`, `10° up`, `level`.
pub(in crate::rule) fn tilt(angle: Angle) -> String {
    match angle.0 {
        down if down <= -0.05 => format!("{} down", -angle),
        up if up >= 0.05 => format!("{angle} up"),
        _ => "level".into(),
    }
}

/// `1.70 m`: always two decimals, as on a tape.
pub(in crate::rule) fn settable(length: Length) -> String {
    format!("{:.2} m", length.0)
}

/// A tolerance that a tape can set, rounded down: whole centimetres from two on.
pub(in crate::rule) fn tape(tolerance: Length) -> String {
    let centimetres = tolerance.0 * 100.0 + 1e-9;
    let step = if centimetres >= 2.0 {
        1.0
    } else if centimetres >= 0.5 {
        0.5
    } else {
        0.1
    };
    format!("{} cm", show::number((centimetres / step).floor() * step, 1))
}

/// A tolerance that a phone's level can set, rounded down: whole degrees from two
/// on, halves below.
pub(in crate::rule) fn level(tolerance: Angle) -> String {
    let degrees = tolerance.0 + 1e-9;
    let step = if degrees >= 2.0 {
        1.0
    } else if degrees >= 0.5 {
        0.5
    } else {
        0.1
    };
    format!("{}°", show::number((degrees / step).floor() * step, 1))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tolerances_are_rounded_down_to_what_can_be_set() {
        assert_eq!(tape(Length(0.0478)), "4 cm");
        assert_eq!(tape(Length(0.0199)), "1.5 cm");
        assert_eq!(tape(Length(0.004)), "0.4 cm");
        assert_eq!(level(Angle(2.9)), "2°");
        assert_eq!(level(Angle(1.4)), "1°");
        assert_eq!(tilt(Angle(-35.0)), "35° down");
        assert_eq!(tilt(Angle(0.0)), "level");
    }

    #[test]
    fn a_usual_shutter_is_never_slower_than_asked() {
        assert_eq!(usual_shutter(Seconds(1.0 / 50.0)), Some(Seconds(1.0 / 50.0)));
        assert_eq!(usual_shutter(Seconds(1.0 / 333.0)), Some(Seconds(1.0 / 400.0)));
        assert_eq!(usual_shutter(Seconds(1e-6)), None);
    }
}
