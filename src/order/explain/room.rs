//! By how much something may come later.
//!
//! In: a planned day and one of its steps. Out: the minutes by which the step
//! may be late while everything after it still fits in the same order, and
//! what ends first. Waits between take a delay up; charging does not.

use super::chain::{Anchor, AnchorKind, Chain, Room};
use super::day::{Closing, DayView};
use super::words;
use crate::order::duration::minutes;
use crate::order::plan::{Minute, StepKind};

/// What gives way least so far.
struct Least {
    minutes: i64,
    step: usize,
    anchor: Anchor,
}

fn offer(least: &mut Option<Least>, minutes: i64, step: usize, anchor: Anchor) {
    if least.as_ref().is_none_or(|known| minutes < known.minutes) {
        *least = Some(Least { minutes, step, anchor });
    }
}

impl DayView<'_, '_> {
    /// By how much a step may come later, the order kept.
    pub(super) fn room(&self, at: usize) -> Option<Room> {
        let mut least: Option<Least> = None;
        let mut absorbed = 0;
        let from = self.block_at(at).map_or(at, |block| block.first);
        for (here, step) in self.day.steps.iter().enumerate().skip(from) {
            match step.kind {
                StepKind::Wait => absorbed += step.end.0 - step.start.0,
                StepKind::Meal => {
                    offer(&mut least, self.meal_by() - step.start.0 + absorbed, here, self.meal_anchor());
                }
                _ => {}
            }
            if let Some(closing) = self.block_ending(here).and_then(|block| self.closing(block)) {
                let Closing { left, limit, until, plates } = closing;
                let text = words::ends(self.setting, limit, Minute(until));
                let kind = AnchorKind::Closes(limit.kind);
                let anchor = Anchor { at: Minute(until), kind, text, plates, span: limit.span };
                offer(&mut least, left + absorbed, here, anchor);
            }
        }
        let last = self.day.steps.len().checked_sub(1)?;
        for (left, anchor) in self.evening() {
            offer(&mut least, left + absorbed, last, anchor);
        }
        let Least { minutes, step, anchor } = least?;
        let between = self.day.steps.get(at + 1..=step.max(at)).unwrap_or_default();
        let links =
            between.iter().filter(|step| step.kind != StepKind::Wait).map(|step| self.link(step)).collect();
        Some(Room { minutes: minutes.max(0), chain: Chain { links, anchor } })
    }

    /// The latest start of the meal.
    fn meal_by(&self) -> i64 {
        self.day.call.0 + minutes(self.allowed.meal_within)
    }

    fn meal_anchor(&self) -> Anchor {
        let by = Minute(self.meal_by());
        let within = minutes(self.allowed.meal_within);
        let text = format!("the meal must begin by {}, {within} min after the call", self.clock(by));
        Anchor {
            at: by,
            kind: AnchorKind::Meal(self.day.allowed),
            text,
            plates: Vec::new(),
            span: Some(self.allowed.span),
        }
    }

    /// What the end of the day may not pass, each with the minutes up to it.
    fn evening(&self) -> Vec<(i64, Anchor)> {
        let (day, span) = (self.day, Some(self.allowed.span));
        let wrap = day.wrap.0;
        let text = format!("all must be packed and back by {}", self.clock(day.latest));
        let kind = AnchorKind::LatestWrap(day.allowed);
        let mut ends =
            vec![(day.latest.0 - wrap, Anchor { at: day.latest, kind, text, plates: Vec::new(), span })];
        if !day.steps.iter().any(|step| step.kind == StepKind::Meal) {
            let by = Minute(self.meal_by());
            let text = format!("after {} the day would need a meal", self.clock(by));
            let kind = AnchorKind::Meal(day.allowed);
            ends.push((by.0 - wrap, Anchor { at: by, kind, text, plates: Vec::new(), span }));
        }
        let next = self.shoot.days.get(self.at + 1);
        if let Some((next, allowed)) =
            next.and_then(|next| Some((next, self.setting.days.get(next.allowed)?)))
        {
            let rest = minutes(allowed.rest);
            let by = Minute(next.call.0 - rest);
            let text = format!(
                "the call of the next day at {} comes {rest} min of rest after {}",
                self.clock(next.call),
                self.clock(by)
            );
            let kind = AnchorKind::NextCall(next.allowed);
            ends.push((
                by.0 - wrap,
                Anchor { at: by, kind, text, plates: Vec::new(), span: Some(allowed.span) },
            ));
        }
        ends
    }
}
