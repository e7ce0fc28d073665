//! What holds a pass at its time: what it waits for, or who.
//!
//! In: the plan of the desk, and what each pass waits for. Out: a chain from
//! the start of a pass back to footage that comes in, or to the first day of
//! the desk. A link to the one before is tight: whoever does the pass has not a
//! working minute between the two.

use super::chain::{Anchor, AnchorKind, Chain, Link, LinkKind};
use super::change::{Change, Off};
use crate::model::{Desk, DeskId, Pace, PlateId};
use crate::order::desk::calendar::Calendar;
use crate::order::plan::{Assignment, Minute, Plan, WaitKind, Waited};
use crate::order::setting::Setting;
use crate::order::waits::Before;
use crate::recipe::{Pass, PassId};
use crate::source::Span;
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};

/// Nobody is asked to work longer than so many hours a day (common practice, no source).
const LONGEST: f64 = 10.0;

/// What holds a pass at its time.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PassHeld {
    /// Who does it; nobody for a moment.
    pub desk: Option<DeskId>,
    /// Start of the work; the moment itself for a moment.
    pub start: Minute,
    /// End of the work.
    pub end: Minute,
    /// When what waits for it can begin.
    pub ready: Minute,
    /// What lies between, in order of time.
    pub after: Vec<Waited>,
    /// What it waits for right before it: the pass, and whether only because the same hands do it.
    pub waits: Option<(PassId, bool)>,
    /// Back from the start to what does not give.
    pub chain: Chain,
}

/// The plan of the desk, looked up once.
pub(super) struct DeskView<'v, 'a> {
    setting: &'v Setting<'a>,
    plan: &'v Plan,
    before: &'v BTreeMap<PassId, Before>,
    work: BTreeMap<PassId, &'v Assignment>,
}

/// What ends right before a pass begins.
enum Holder {
    /// A pass: its end, the words that ask for it; none where only the hands do.
    Pass(PassId, Minute, Option<String>),
    /// Footage that comes in.
    Footage(PlateId, Minute),
    /// The first day of the desk.
    Begin(Minute),
}

impl<'v, 'a> DeskView<'v, 'a> {
    pub(super) fn new(
        setting: &'v Setting<'a>,
        plan: &'v Plan,
        before: &'v BTreeMap<PassId, Before>,
    ) -> Self {
        let work = plan.desk.work.iter().map(|work| (work.pass, work)).collect();
        Self { setting, plan, before, work }
    }

    /// What holds a pass; `None` where it is not planned.
    pub(super) fn held(&self, pass: PassId) -> Option<PassHeld> {
        let ready = *self.plan.desk.done.get(&pass)?;
        let (start, end) = self.worked(pass)?;
        let own = self.work.get(&pass);
        let first = self.holder(pass);
        let waits = match &first {
            Some(Holder::Pass(on, _, words)) => Some((*on, words.is_none())),
            _ => None,
        };
        let (desk, after) = (own.map(|work| work.desk), self.after(pass).to_vec());
        Some(PassHeld { desk, start, end, ready, after, waits, chain: self.chain(pass, start) })
    }

    /// Start and end of the work of a pass; for a moment the moment itself.
    fn worked(&self, pass: PassId) -> Option<(Minute, Minute)> {
        if let Some(work) = self.work.get(&pass) {
            return Some((work.start, work.end));
        }
        let ready = *self.plan.desk.done.get(&pass)?;
        let at = self.after(pass).first().map_or(ready, |first| first.from);
        Some((at, at))
    }

    fn after(&self, pass: PassId) -> &'v [Waited] {
        self.plan.desk.after.get(&pass).map_or(&[], Vec::as_slice)
    }

    fn chain(&self, pass: PassId, start: Minute) -> Chain {
        let mut links: Vec<Link> = Vec::new();
        let (mut here, mut at) = (pass, start);
        let mut seen = BTreeSet::from([pass]);
        loop {
            match self.holder(here) {
                Some(Holder::Pass(on, end, words)) if seen.insert(on) => {
                    links.extend(self.pause(end, at));
                    links.extend(self.after(on).iter().rev().map(|one| self.waited(on, one)));
                    let (begun, end) = self.worked(on).unwrap_or((end, end));
                    links.push(self.link(on, (begun, end), here, words));
                    (here, at) = (on, begun);
                }
                Some(Holder::Footage(plate, from)) => {
                    links.extend(self.pause(from, at));
                    let date = from.civil(&self.setting.zone).date();
                    let text = format!("the footage of {} is in hand on {date}", self.setting.name(plate));
                    let span = Some(self.setting.breakdown.plates[plate].named.span);
                    let kind = AnchorKind::Footage(plate);
                    return Chain {
                        links,
                        anchor: Anchor { at: from, kind, text, plates: vec![plate], span },
                    };
                }
                Some(Holder::Begin(from)) => {
                    links.extend(self.pause(from, at));
                    let date = from.civil(&self.setting.zone).date();
                    let text = format!("the desk begins on the first day that is allowed, {date}");
                    let span = self.setting.days.first().map(|day| day.span);
                    let kind = AnchorKind::DeskBegins;
                    return Chain {
                        links,
                        anchor: Anchor { at: from, kind, text, plates: Vec::new(), span },
                    };
                }
                _ => {
                    let text = "an earlier start would not make the whole sooner".to_owned();
                    let kind = AnchorKind::Price;
                    return Chain {
                        links,
                        anchor: Anchor { at, kind, text, plates: Vec::new(), span: None },
                    };
                }
            }
        }
    }

    fn link(&self, on: PassId, (from, to): (Minute, Minute), here: PassId, words: Option<String>) -> Link {
        let pass = &self.setting.breakdown.passes[on];
        let name = self.setting.pass_name(on);
        let who = |pass: PassId| self.work.get(&pass).map(|work| self.name(work.desk));
        let text = match (words, who(on)) {
            (None, Some(by)) => {
                let because = pass.before(&self.setting.breakdown.passes[here]);
                format!("{by} finishes {name} first{because}")
            }
            (Some(words), Some(by)) if who(here) != Some(by) => {
                format!("it waits for {name}, by {by}: {words}")
            }
            (words, _) => format!("it waits for {name}: {}", words.unwrap_or_default()),
        };
        Link { from, to, kind: LinkKind::Pass(on), text, span: Some(pass.span) }
    }

    fn waited(&self, on: PassId, one: &Waited) -> Link {
        let pass = &self.setting.breakdown.passes[on];
        let name = self.setting.pass_name(on);
        let after = &pass.after;
        let text = match (one.kind, after.pace) {
            (WaitKind::Render, _) => format!("{name} renders for {}, day and night", after.render),
            (WaitKind::Review, Pace::Worked) => {
                format!("the review of {name} takes {} of work", after.review)
            }
            (WaitKind::Review, Pace::Elapsed) => {
                format!("the review of {name} takes {} by the clock", after.review)
            }
        };
        Link { from: one.from, to: one.to, kind: LinkKind::After(on, one.kind), text, span: Some(pass.span) }
    }

    /// The time between, where there is any: nobody has a working minute in it.
    fn pause(&self, from: Minute, to: Minute) -> Option<Link> {
        let text = "no hour of work lies between".to_owned();
        (from < to).then_some(Link { from, to, kind: LinkKind::Night, text, span: None })
    }

    fn name(&self, desk: DeskId) -> &'a str {
        self.setting.model.desks[desk].named.label()
    }

    /// Of all that ends before a pass begins, what leaves no working minute between.
    fn holder(&self, pass: PassId) -> Option<Holder> {
        let own = self.work.get(&pass);
        let (start, _) = self.worked(pass)?;
        let desk = own.map(|work| work.desk);
        let tight =
            |end: Minute| end <= start && desk.map_or(end == start, |desk| self.idle(desk, end, start) == 0);
        let before = self.before.get(&pass);
        let asked = before.into_iter().flat_map(|before| &before.passes);
        let by_logic = asked
            .filter_map(|(on, words)| Some((*self.plan.desk.done.get(on)?, *on, words)))
            .filter(|(end, ..)| tight(*end))
            .max_by_key(|(end, on, _)| (*end, std::cmp::Reverse(*on)));
        if let Some((end, on, words)) = by_logic {
            return Some(Holder::Pass(on, end, Some(words.clone())));
        }
        let plates = before.into_iter().flat_map(|before| &before.plates);
        let footage = plates
            .filter_map(|&plate| Some((self.in_hand(plate)?, plate)))
            .max_by_key(|(from, plate)| (*from, std::cmp::Reverse(*plate)));
        if let Some((from, plate)) = footage.filter(|(from, _)| tight(*from)) {
            return Some(Holder::Footage(plate, from));
        }
        let same = self.plan.desk.work.iter().filter(|work| Some(work.desk) == desk && work.pass != pass);
        let by_hands = same.filter(|work| tight(work.end)).max_by_key(|work| (work.end, work.start));
        if let Some(work) = by_hands {
            return Some(Holder::Pass(work.pass, work.end, None));
        }
        let begin =
            self.setting.days.iter().map(|day| day.date).min().and_then(|date| self.midnight(date))?;
        tight(begin).then_some(Holder::Begin(begin))
    }

    fn in_hand(&self, plate: PlateId) -> Option<Minute> {
        let (model, zone) = (self.setting.model, &self.setting.zone);
        let calendar = Calendar { model, zone, shoot: &self.plan.shoot };
        calendar.in_hand(plate).map(Minute)
    }

    fn midnight(&self, date: Date) -> Option<Minute> {
        Minute::from_civil(date.at(0, 0, 0, 0), &self.setting.zone)
    }

    fn idle(&self, desk: DeskId, from: Minute, to: Minute) -> i64 {
        let (model, zone) = (self.setting.model, &self.setting.zone);
        let calendar = Calendar { model, zone, shoot: &self.plan.shoot };
        working(&calendar, desk, (from, to))
    }
}

/// Ordinary working minutes of someone at the desk between two moments.
pub(super) fn working(calendar: &Calendar<'_>, desk: DeskId, (from, to): (Minute, Minute)) -> i64 {
    let desk = &calendar.model.desks[desk];
    // A shift may begin on the day before and go on past midnight.
    let Ok(mut date) = from.civil(calendar.zone).date().yesterday() else { return 0 };
    let last = to.civil(calendar.zone).date();
    let mut sum = 0;
    while date <= last {
        for (start, end) in calendar.hours(desk, date) {
            sum += (to.0.min(end) - from.0.max(start)).max(0);
        }
        let Ok(next) = date.tomorrow() else { break };
        date = next;
    }
    sum
}

impl DeskView<'_, '_> {
    /// What people could give way on to have a pass done sooner, least asked first.
    pub(super) fn candidates(&self, held: &PassHeld, pass: PassId) -> Vec<(Change, Option<Span>)> {
        let passes = held.chain.links.iter().filter_map(|link| match link.kind {
            LinkKind::Pass(pass) => Some(pass),
            _ => None,
        });
        let mut hands: Vec<(DeskId, PassId)> = Vec::new();
        for one in std::iter::once(pass).chain(passes) {
            if let Some(work) = self.work.get(&one)
                && !hands.iter().any(|(known, _)| *known == work.desk)
            {
                hands.push((work.desk, one));
            }
        }
        let mut found: Vec<(Change, Option<Span>)> =
            hands.into_iter().flat_map(|(desk, one)| self.of_hand(held, desk, one)).collect();
        found.sort_by(|a, b| (a.0.asks(), &a.0).cmp(&(b.0.asks(), &b.0)));
        found.dedup_by(|a, b| a.0 == b.0);
        found
    }

    /// Whether someone does not do the work of a department, but of one near to it: one whose passes
    /// the recipes give to either.
    fn could(&self, who: &Desk, department: &str) -> bool {
        let does = |word: &str| who.does.iter().any(|does| does.value == word);
        let near = |one: &Pass| {
            let of = |word: &str| one.department == word || one.or.iter().any(|or| or == word);
            of(department) && who.does.iter().any(|does| of(&does.value))
        };
        !does(department) && self.setting.breakdown.passes.values().any(near)
    }

    fn of_hand(&self, held: &PassHeld, desk: DeskId, pass: PassId) -> Vec<(Change, Option<Span>)> {
        let (model, zone) = (self.setting.model, &self.setting.zone);
        let who = &model.desks[desk];
        let span = Some(who.named.span);
        let mut found = Vec::new();
        if who.hours.0 + 1.0 <= LONGEST {
            found.push((Change::DeskHours(desk, 60), span));
        }
        let (from, to) = (held.chain.anchor.at.civil(zone).date(), held.end.civil(zone).date());
        let missed = who.away.iter().find(|away| away.value.to >= from && away.value.from <= to);
        found.extend(missed.map(|away| (Change::DeskThere(desk), Some(away.span))));
        // A day off in the week stays (Directive 2003/88/EC, Art. 5).
        if let [one, _, ..] = who.off.as_slice() {
            found.push((Change::DeskDay(desk, Off(*one)), span));
        }
        let department = &self.setting.breakdown.passes[pass].department;
        let others = model.desks.iter().filter(|(other, who)| *other != desk && self.could(who, department));
        found.extend(others.map(|(other, who)| {
            (Change::DeskToo(other, department.clone()), who.does.first().map(|does| does.span))
        }));
        found
    }
}
