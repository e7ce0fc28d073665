//! One planned day, read backwards and forwards.
//!
//! In: the setting and a planned day. Out: what holds a step at its time. The
//! steps of a day follow each other without a gap, so the way back from a step
//! is a sum of minutes up to a wait, whose end is the opening of something, or
//! to the call.

use super::chain::{Anchor, AnchorKind, Chain, Held, Link, LinkKind};
use super::words;
use crate::model::{DayPlan, PlateId};
use crate::order::duration::{ARRIVE, MARGIN, minutes};
use crate::order::plan::{Minute, PlannedDay, ShootPlan, Step, StepKind};
use crate::order::setting::Setting;
use crate::order::shoot::problem::Window;
use crate::order::window::{Limit, LimitKind, day_range};

/// A planned day with its blocks.
pub(crate) struct DayView<'v, 'a> {
    pub(super) setting: &'v Setting<'a>,
    pub(super) shoot: &'v ShootPlan,
    pub(super) day: &'v PlannedDay,
    pub(super) allowed: &'v DayPlan,
    pub(super) at: usize,
    pub(super) whole: Window,
    blocks: Vec<Block>,
}

/// Steps that are worked in one go: a plate, or a locked group with the resets inside it.
pub(super) struct Block {
    /// Its first step, by place in the day.
    pub(super) first: usize,
    /// Its last step.
    pub(super) last: usize,
    plates: Vec<PlateId>,
}

/// What ends after a block.
pub(super) struct Closing<'v> {
    /// Minutes from the end of the block.
    pub(super) left: i64,
    /// What ends.
    pub(super) limit: &'v Limit,
    /// When.
    pub(super) until: i64,
    /// The plates of the block.
    pub(super) plates: Vec<PlateId>,
}

impl<'v, 'a> DayView<'v, 'a> {
    /// A day of the plan; `None` where there is no such day.
    pub(crate) fn new(setting: &'v Setting<'a>, shoot: &'v ShootPlan, at: usize) -> Option<Self> {
        let day = shoot.days.get(at)?;
        let allowed = setting.days.get(day.allowed)?;
        let whole = day_range(allowed, &setting.zone)?;
        let blocks = blocks(setting, shoot, day);
        Some(Self { setting, shoot, day, allowed, at, whole, blocks })
    }

    /// What holds a step.
    pub(crate) fn held(&self, at: usize) -> Option<Held> {
        let step = self.day.steps.get(at)?;
        let mut before = self.before(at)?;
        let late = before.anchor.kind == AnchorKind::Price && before.anchor.at == self.day.call;
        let called = if late { self.called() } else { None };
        if late && called.is_none() {
            before.anchor.text.push_str(", and no other call makes the day cheaper");
        }
        let room = self.room(at);
        Some(Held { start: step.start, end: step.end, day: self.at, before, called, room })
    }

    /// Back from the start of a step.
    fn before(&self, at: usize) -> Option<Chain> {
        let mut links = Vec::new();
        let mut here = at;
        loop {
            let step = self.day.steps.get(here)?;
            if let Some(anchor) = self.opening(here) {
                return Some(Chain { links, anchor });
            }
            let Some(earlier) = here.checked_sub(1).and_then(|before| self.day.steps.get(before)) else {
                links.push(self.arriving(step.start));
                return Some(Chain { links, anchor: self.call() });
            };
            if earlier.kind == StepKind::Wait {
                // Every wait ends when something opens; were it not so, the wait is all there is to say.
                let text = earlier.because.first().cloned().unwrap_or_else(|| "it is waited for".into());
                let anchor =
                    Anchor { at: step.start, kind: AnchorKind::Price, text, plates: Vec::new(), span: None };
                return Some(Chain { links, anchor });
            }
            links.push(self.link(earlier));
            here -= 1;
        }
    }

    /// The call, and what keeps it from being earlier.
    fn call(&self) -> Anchor {
        let (day, call) = (self.day, self.day.call);
        let clock = call.clock(&self.setting.zone);
        let earlier = self.at.checked_sub(1).and_then(|at| self.shoot.days.get(at));
        let rest = minutes(self.allowed.rest);
        if let Some(earlier) = earlier.filter(|earlier| earlier.wrap.0 + rest == call.0) {
            let wrap = earlier.wrap.clock(&self.setting.zone);
            let text = format!("the {rest} min of rest after the wrap at {wrap} end at {clock}");
            let kind = AnchorKind::Rest(day.allowed);
            return Anchor { at: call, kind, text, plates: Vec::new(), span: Some(self.allowed.span) };
        }
        if call.0 <= self.whole.from {
            let text = format!("the earliest call of the day is {clock}");
            let kind = AnchorKind::EarliestCall(day.allowed);
            return Anchor { at: call, kind, text, plates: Vec::new(), span: Some(self.allowed.span) };
        }
        let text = format!("the call is at {clock}");
        Anchor { at: call, kind: AnchorKind::Price, text, plates: Vec::new(), span: None }
    }

    /// Forward from the call to what a later call would miss, or what an earlier one would wait for.
    fn called(&self) -> Option<Chain> {
        let first = self.day.steps.first()?;
        let mut links = vec![self.arriving(first.start)];
        let mut waited = 0;
        for (at, step) in self.day.steps.iter().enumerate() {
            if let Some(anchor) = self.opening(at).filter(|_| waited == 0) {
                return Some(Chain { links, anchor });
            }
            if step.kind == StepKind::Wait {
                waited += step.end.0 - step.start.0;
            }
            links.push(self.link(step));
            let closing = self.block_ending(at).and_then(|block| self.closing(block));
            if let Some(Closing { left, limit, until, plates }) =
                closing.filter(|one| one.left + waited <= MARGIN)
            {
                let ends = words::ends(self.setting, limit, Minute(until));
                let hand = left + waited;
                let text = if hand > 0 { format!("{ends}, {hand} min of it are kept in hand") } else { ends };
                let kind = AnchorKind::Closes(limit.kind);
                let anchor = Anchor { at: Minute(until), kind, text, plates, span: limit.span };
                return Some(Chain { links, anchor });
            }
        }
        None
    }

    /// The block that a step belongs to.
    pub(super) fn block_at(&self, at: usize) -> Option<&Block> {
        self.blocks.iter().find(|block| (block.first..=block.last).contains(&at))
    }

    /// The block that ends with a step.
    pub(super) fn block_ending(&self, at: usize) -> Option<&Block> {
        self.blocks.iter().find(|block| block.last == at)
    }

    /// What opens at the very start of a step, so that it cannot be earlier.
    fn opening(&self, at: usize) -> Option<Anchor> {
        let step = self.day.steps.get(at)?;
        let moment = step.start.0;
        let found = match step.kind {
            StepKind::Fit(_) | StepKind::Reset { .. } => self.opens(step, moment),
            StepKind::Shoot(_) => self
                .blocks
                .iter()
                .find(|block| block.first == at)
                .and_then(|block| self.begins(block, moment)),
            // Charge is waited for only once the light is there.
            StepKind::Charge { .. } => {
                self.blocks.iter().find(|block| block.first > at).and_then(|block| self.begins(block, moment))
            }
            _ => None,
        };
        found.filter(|_| moment != self.whole.from)
    }

    fn begins(&self, block: &Block, moment: i64) -> Option<Anchor> {
        let limit = self.limits(block).find(|limit| limit.windows.iter().any(|one| one.from == moment))?;
        let kind = AnchorKind::Opens(limit.kind);
        let text = words::begins(self.setting, limit, Minute(moment));
        Some(Anchor { at: Minute(moment), kind, text, plates: block.plates.clone(), span: limit.span })
    }

    /// The place of a step, where it opens then.
    fn opens(&self, step: &Step, moment: i64) -> Option<Anchor> {
        let windows = &self.setting.access[step.place].values().nth(self.day.allowed)?;
        windows.iter().find(|one| one.from == moment)?;
        let place = &self.setting.model.places[step.place];
        let text = format!("{} opens at {}", place.named.label(), self.clock(Minute(moment)));
        let kind = AnchorKind::Opens(LimitKind::Access(step.place));
        Some(Anchor {
            at: Minute(moment),
            kind,
            text,
            plates: Vec::new(),
            span: place.open.first().map(|open| open.span),
        })
    }

    /// The limits of a block.
    fn limits(&self, block: &'v Block) -> impl Iterator<Item = &'v Limit> {
        let of = |plate: &PlateId| self.setting.limits(*plate, self.day.allowed);
        block.plates.iter().filter_map(of).flat_map(|limits| &limits.each)
    }

    /// What ends soonest after a block.
    pub(super) fn closing(&self, block: &'v Block) -> Option<Closing<'v>> {
        let start = self.day.steps.get(block.first)?.start.0;
        let end = self.day.steps.get(block.last)?.end.0;
        self.limits(block)
            .filter_map(|limit| {
                let around = limit.windows.iter().find(|one| one.from <= start && end <= one.to)?;
                let (left, until, plates) = (around.to - end, around.to, block.plates.clone());
                (until != self.whole.to).then_some(Closing { left, limit, until, plates })
            })
            .min_by_key(|closing| closing.left)
    }

    pub(super) fn clock(&self, at: Minute) -> String {
        at.clock(&self.setting.zone)
    }

    fn arriving(&self, start: Minute) -> Link {
        Link {
            from: self.day.call,
            to: start,
            kind: LinkKind::Arrive,
            text: format!("arriving, unpacking and a word on safety take {ARRIVE} min"),
            span: None,
        }
    }

    pub(super) fn link(&self, step: &Step) -> Link {
        words::link(self.setting, self.shoot, self.allowed, step)
    }
}

/// Plates that are worked one by one, and locked groups whole.
fn blocks(setting: &Setting<'_>, shoot: &ShootPlan, day: &PlannedDay) -> Vec<Block> {
    let locked =
        |plate: &PlateId| setting.setups.of.get(plate).copied().filter(|setup| shoot.setups[*setup].locked);
    let mut blocks: Vec<Block> = Vec::new();
    for (at, step) in day.steps.iter().enumerate() {
        let StepKind::Shoot(plate) = step.kind else { continue };
        let group = locked(&plate);
        match blocks.last_mut() {
            Some(open) if group.is_some() && open.plates.last().and_then(locked) == group => {
                open.last = at;
                open.plates.push(plate);
            }
            _ => blocks.push(Block { first: at, last: at, plates: vec![plate] }),
        }
    }
    blocks
}
