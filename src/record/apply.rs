//! Lays what was measured over what was planned, in plates that are captured.
//!
//! Guaranteed: afterwards every stage reads the real numbers from the plates, with
//! the log's lines as their places; what they replaced stands in the record.
//!
//! Nobody touches the camera within a locked group, so where it stood and looked is
//! measured once and holds for every plate of the group.

use crate::model::arena::Id;
use crate::model::{Mark, Measured, Model, Plate, Record};
use crate::recipe::{Breakdown, Group};

pub(super) fn apply(model: &mut Model, breakdown: &mut Breakdown) {
    for group in breakdown.groups.values() {
        hold(&mut model.record, group);
    }
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

/// Height, heading and tilt of a captured group, first measured first: what its plates
/// do not say themselves. Distances are of what each plate shows, and stay its own.
fn hold(record: &mut Record, group: &Group) {
    let captured = || group.plates.iter().filter_map(|plate| record.captured(*plate));
    let height = captured().find_map(|capture| capture.measured.height);
    let heading = captured().find_map(|capture| capture.measured.heading);
    let tilt = captured().find_map(|capture| capture.measured.tilt);
    for plate in group.plates.iter().filter(|plate| record.taken.contains(plate)) {
        let Some(capture) = record.plates.get_mut(plate) else { continue };
        let own = &mut capture.measured;
        own.height = own.height.or(height);
        own.heading = own.heading.or(heading);
        own.tilt = own.tilt.or(tilt);
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
