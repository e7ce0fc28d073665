//! What effects lay over the picture, each clip above the piece that it serves.

use super::reel::Reels;
use super::{Item, Laid, Layer, Plan, Source, source};
use crate::model::PlateId;
use crate::packet::index::Index;
use std::collections::BTreeSet;

/// Elements, clean and patch plates, and other takes of the frame, as few layers
/// as hold them. What is in no plan is left out: its card says why.
pub(super) fn layers(index: &Index<'_>, plan: &[Plan], items: &[Item], reels: &mut Reels) -> Vec<Layer> {
    let seen: BTreeSet<PlateId> = plan.iter().filter_map(|piece| piece.plate).collect();
    let mut laid: BTreeSet<PlateId> = BTreeSet::new();
    let mut layers: Vec<Layer> = Vec::new();
    for (piece, item) in plan.iter().zip(items) {
        let Some(under) = piece.plate else { continue };
        let mut above = 0;
        for id in serving(index, under) {
            let there = index.there(id) && index.plate(id).kind.is_footage();
            if !there || seen.contains(&id) || !laid.insert(id) {
                continue;
            }
            let clip = clip(index, id, item, reels);
            match layers.get_mut(above) {
                Some(layer) => layer.clips.push(clip),
                None => layers.push(Layer { clips: vec![clip] }),
            }
            above += 1;
        }
    }
    layers
}

/// The plates of every effect that a plate has a role in, in order of effect and role.
fn serving(index: &Index<'_>, under: PlateId) -> Vec<PlateId> {
    let effects: BTreeSet<_> = index.roles(under).iter().map(|role| role.effect).collect();
    let roles = index.input.breakdown.roles.iter().filter(|role| effects.contains(&role.effect));
    roles.flat_map(|role| &role.plates).copied().filter(|id| *id != under).collect()
}

/// A clip from its handles on, as long as the piece under it or as the take lasts.
fn clip(index: &Index<'_>, id: PlateId, under: &Item, reels: &mut Reels) -> Laid {
    let source = source::source(index, id, under.frames, 0);
    let speed = source.speed;
    let mut frames = under.frames;
    let mut start = source.start;
    if source.frames > source.take.saturating_sub(start) {
        start = 0;
        let fits =
            u128::from(source.take) * source::AS_CAPTURED as u128 / u128::from(speed.unsigned_abs().max(1));
        frames = frames.min(u64::try_from(fits).unwrap_or(u64::MAX)).max(1);
    }
    let plate = index.plate(id);
    Laid {
        title: plate.named.label().to_owned(),
        kind: plate.kind.word().to_owned(),
        at: under.at,
        frames,
        source: Source {
            reel: reels.give(&source.plate),
            start,
            frames: source::eaten(frames, speed),
            ..source
        },
    }
}
