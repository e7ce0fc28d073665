//! Lays what was measured over what was planned, in plates that are captured.
//!
//! Guaranteed: afterwards every stage reads the real numbers from the plates, with
//! the log's lines as their places; what they replaced stands in the record.

use crate::model::arena::Id;
use crate::model::{Mark, Measured, Model, Plate};
use crate::recipe::Breakdown;

pub(super) fn apply(model: &mut Model, breakdown: &mut Breakdown) {
    let taken: Vec<_> = model.record.taken.iter().copied().collect();
    for id in taken {
        let plate = &breakdown.plates[id];
        let mark = plate.mark.map(|mark| &model.marks[mark]);
        let planned = planned(plate, mark);
        let Some(capture) = model.record.plates.get_mut(&id) else { continue };
        capture.planned = planned;
        let measured = capture.measured;
        lay(&mut breakdown.plates[id], &measured);
        if id.index() < model.plates.len() {
            lay(&mut model.plates[id], &measured);
        }
    }
}

fn planned(plate: &Plate, mark: Option<&Mark>) -> Measured {
    Measured {
        height: plate.height.or(mark.and_then(|mark| mark.height)),
        heading: plate.heading.or(mark.and_then(|mark| mark.heading)),
        tilt: plate.tilt.or(mark.and_then(|mark| mark.tilt)),
        near: plate.near.or(mark.and_then(|mark| mark.near)),
        far: plate.far.or(mark.and_then(|mark| mark.far)),
        gap: plate.gap,
        entered: None,
        left: None,
    }
}

fn lay(plate: &mut Plate, measured: &Measured) {
    plate.height = measured.height.or(plate.height);
    plate.heading = measured.heading.or(plate.heading);
    plate.tilt = measured.tilt.or(plate.tilt);
    plate.near = measured.near.or(plate.near);
    plate.far = measured.far.or(plate.far);
    plate.gap = measured.gap.or(plate.gap);
    if let (Some(at), Some(speed)) = (&mut plate.enters, measured.entered.and_then(|out| out.value.speed)) {
        at.speed = Some(speed);
    }
    if let (Some(at), Some(speed)) = (&mut plate.leaves, measured.left.and_then(|out| out.value.speed)) {
        at.speed = Some(speed);
    }
}
