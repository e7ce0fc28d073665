//! Which part of a take a piece of the picture is, and how fast it plays.

use super::{SpeedStep, UsedTake};
use crate::craft::retime;
use crate::model::{Effect, PlateId, SpeedPoint};
use crate::packet::index::Index;
use crate::packet::views::footage;
use crate::quantity::Seconds;
use crate::recipe::{DemandKind, Owner};

/// As captured, in the hundredths of a per cent in which speeds are told.
pub(super) const AS_CAPTURED: i64 = 10_000;

/// How a plate is played.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Played {
    /// Mean speed in hundredths of a per cent; below 0 backwards.
    pub(super) speed: i64,
    /// The curve, where the speed changes.
    pub(super) curve: Vec<SpeedStep>,
}

fn hundredths(share: f64) -> i64 {
    (share * AS_CAPTURED as f64).round() as i64
}

/// How a plate is played: the effect that eats most of it decides, as it does for
/// how much must be captured. Objects that each run at their own speed leave the
/// plate as it is. What is shot from its end state runs backwards.
pub(super) fn played(index: &Index<'_>, plate: PlateId) -> Played {
    let effects = index.model.effects.values();
    let retimes = |effect: &&Effect| effect.retimes() == Some(plate) && !effect.each_its_own_speed();
    let mean = |points: &[SpeedPoint]| retime::mean_speed(points);
    let curve = effects
        .filter(retimes)
        .map(|effect| effect.speed.as_slice())
        .max_by(|one, other| mean(one).total_cmp(&mean(other)))
        .unwrap_or_default();
    let backwards = index
        .demands(plate)
        .iter()
        .any(|demand| demand.kind == DemandKind::EndState && matches!(demand.by, Owner::Effect(_)));
    let speed = hundredths(mean(curve)).max(1);
    let changes = curve.windows(2).any(|pair| matches!(pair, [one, two] if one.speed != two.speed));
    let steps =
        curve.iter().map(|point| SpeedStep { at: hundredths(point.at.0), speed: hundredths(point.speed.0) });
    Played {
        speed: if backwards { -speed } else { speed },
        curve: if changes { steps.collect() } else { Vec::new() },
    }
}

/// Frames of the take that a result of so many frames eats.
pub(super) fn eaten(frames: u64, speed: i64) -> u64 {
    let all = u128::from(frames) * u128::from(speed.unsigned_abs());
    let whole = AS_CAPTURED as u128;
    u64::try_from((all + whole / 2) / whole).unwrap_or(u64::MAX)
}

/// The part of a plate's take that is seen for `frames`, of which `before` more
/// are seen while it fades in. A take that only leaves a mark is used up to its
/// end, any other from its start, each less the handles.
pub(super) fn source(index: &Index<'_>, id: PlateId, frames: u64, before: u64) -> UsedTake {
    let (plate, sequence) = (index.plate(id), &index.model.sequence);
    let mode = &index.model.modes[plate.mode];
    let at_picture = |seconds: Seconds| (seconds.0 * sequence.rate.per_second()).round().max(0.0) as u64;
    let Played { speed, curve } = played(index, id);
    let (take, handles) = (at_picture(plate.lasts.value), at_picture(sequence.handles));
    let used = eaten(frames, speed);
    let wanted = if plate.leaves.is_some() && plate.enters.is_none() {
        take.saturating_sub(handles + used)
    } else {
        handles
    };
    UsedTake {
        plate: plate.named.path.clone(),
        card: index.plate_link(id),
        name: footage::clip_name(index, id),
        reel: String::new(),
        start: wanted.max(eaten(before, speed)),
        frames: used,
        take,
        capture: mode.rate,
        capture_frames: footage::clip_frames(index, id),
        speed,
        curve,
        shot: footage::shot(index, id),
    }
}

impl UsedTake {
    /// Whether it is played at another speed than it was captured at.
    pub(crate) fn is_retimed(&self) -> bool {
        self.speed != AS_CAPTURED || !self.curve.is_empty()
    }

    /// Frames of the take that so many frames of the picture eat.
    pub(crate) fn eats(&self, frames: u64) -> u64 {
        eaten(frames, self.speed)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The sample edit list `speed_effects.edl`: 36 frames at 47.6 of 24 frames a
    /// second eat 71.4; own arithmetic for the others.
    #[test]
    fn a_result_eats_its_length_times_its_speed() {
        assert_eq!(eaten(36, hundredths(47.6 / 24.0)), 71);
        assert_eq!(eaten(100, AS_CAPTURED), 100);
        assert_eq!(eaten(24, 20_000), 48);
        assert_eq!(eaten(24, -5_000), 12);
        assert_eq!(eaten(0, 19_500), 0);
    }
}
