//! What else of the kit would do: other modes of a camera, other rigs.
//!
//! In: the sequence and a plate. Out: candidates for advice, in the order in
//! which they were written.

use crate::model::{Mode, ModeId, Model, Plate, Rig, RigId};

/// Other modes of a plate's camera.
pub(in crate::rule) fn other_modes<'a>(
    model: &'a Model,
    plate: &'a Plate,
) -> impl Iterator<Item = (ModeId, &'a Mode)> {
    let camera = model.modes[plate.mode].camera;
    model.modes.iter().filter(move |(id, mode)| mode.camera == camera && *id != plate.mode)
}

/// Modes of the other cameras of the kit that the plate's rig carries.
pub(in crate::rule) fn other_modes_of_kit<'a>(
    model: &'a Model,
    plate: &'a Plate,
) -> impl Iterator<Item = (ModeId, &'a Mode)> {
    let camera = model.modes[plate.mode].camera;
    let most = model.rigs[plate.rig].carries;
    let carried = move |mode: &Mode| match (most, model.cameras[mode.camera].weighs) {
        (Some(most), Some(weighs)) => weighs <= most,
        _ => true,
    };
    model.modes.iter().filter(move |(_, mode)| mode.camera != camera && carried(mode))
}

/// Other rigs that carry a plate's camera.
pub(in crate::rule) fn other_rigs<'a>(
    model: &'a Model,
    plate: &'a Plate,
) -> impl Iterator<Item = (RigId, &'a Rig)> {
    model.rigs.iter().filter(move |(id, rig)| *id != plate.rig && carries(model, rig, plate))
}

/// Whether a rig carries a plate's camera, as far as is known.
pub(in crate::rule) fn carries(model: &Model, rig: &Rig, plate: &Plate) -> bool {
    match (rig.carries, model.camera_of(plate).weighs) {
        (Some(carries), Some(weighs)) => weighs <= carries,
        _ => true,
    }
}
