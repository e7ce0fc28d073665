//! What happens on a day, written down step by step.

use super::problem::{Block, BlockId, SpotId, StoreId};
use super::state::Going;

/// Something that happens.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Happening {
    /// On the way.
    Move(SpotId, SpotId),
    /// Fitting, or changing the set-up.
    Fit(BlockId),
    /// Waiting until one may be at the place.
    Access(BlockId),
    /// Waiting for the block's window.
    Light(BlockId),
    /// Waiting for charge.
    Charge(BlockId, StoreId),
    /// Going back to a state, before a part of a block.
    Reset(BlockId, Going),
    /// A part of a block.
    Work(BlockId, usize),
    /// The meal.
    Meal,
    /// Packing and the way back from that place.
    Pack(SpotId),
}

/// A happening with its start and end.
pub(crate) type Event = (i64, i64, Happening);

/// How a block is come to, and when it is worked.
#[derive(Debug)]
pub(crate) struct Approach {
    /// From where, if it is elsewhere.
    pub(crate) from: Option<SpotId>,
    /// Minutes on the way.
    pub(crate) way: i64,
    /// Minutes to fit.
    pub(crate) fit: i64,
    /// Minutes of resets before the block.
    pub(crate) opening: i64,
    /// Minutes of the block with the resets inside it.
    pub(crate) span: i64,
    /// When fitting starts.
    pub(crate) fit_at: i64,
    /// When work starts.
    pub(crate) begin: i64,
    /// Minutes of waiting for charge right before the work.
    pub(crate) charging: i64,
    /// What was short of charge.
    pub(crate) short: Option<StoreId>,
    /// Every reset.
    pub(crate) resets: Vec<Going>,
}

/// Writes down something that lasts.
pub(crate) fn record(events: &mut Vec<Event>, start: i64, end: i64, what: Happening) {
    if end > start {
        events.push((start, end, what));
    }
}

/// Writes down the steps that lead to a block from `now` on, and the block itself.
pub(crate) fn tell(events: &mut Vec<Event>, (id, block): (BlockId, &Block), now: i64, come: &Approach) {
    let mut at = now;
    if let Some(from) = come.from {
        record(events, at, at + come.way, Happening::Move(from, block.spot));
        at += come.way;
    }
    record(events, at, come.fit_at, Happening::Access(id));
    at = at.max(come.fit_at);
    record(events, at, at + come.fit, Happening::Fit(id));
    at += come.fit;
    for reset in come.resets.iter().filter(|reset| reset.part == 0) {
        record(events, at, at + reset.takes, Happening::Reset(id, *reset));
        at += reset.takes;
    }
    let light = (come.begin - come.charging).max(at);
    record(events, at, light, Happening::Light(id));
    if let Some(store) = come.short {
        record(events, light, come.begin, Happening::Charge(id, store));
    }
    at = come.begin;
    for (number, part) in block.parts.iter().enumerate() {
        for reset in come.resets.iter().filter(|reset| reset.part == number && number > 0) {
            record(events, at, at + reset.takes, Happening::Reset(id, *reset));
            at += reset.takes;
        }
        record(events, at, at + part.work, Happening::Work(id, number));
        at += part.work;
    }
}
