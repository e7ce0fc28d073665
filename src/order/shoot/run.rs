//! One day, worked block by block: what it costs, and why it may not go on.
//!
//! In: a problem, a day, what earlier days left behind. Out: times of every
//! block, each as early as it can be after the one before it. Guaranteed: what
//! `append` and `close` accept breaks no window, no wrap, no meal, no charge,
//! no card and no state.

use super::event::{Approach, Event, Happening, record, tell};
use super::problem::{Block, BlockId, CardId, Chance, Day, DayId, Problem, SpotId, StoreId, VarId};
use super::spent::Spent;
use super::state::States;
use super::store::Charge;
use crate::model::PersonId;
use crate::model::arena::Id;

/// Why a block or the end of a day does not fit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Clash {
    /// No window is left that is long enough.
    Window,
    /// Back too late.
    Wrap,
    /// No meal in time.
    Meal,
    /// A store cannot give enough.
    Charge(StoreId),
    /// Cards are full.
    Card(CardId),
    /// A state cannot go back.
    State(VarId),
}

/// What earlier days leave behind.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Carry {
    /// States.
    pub(crate) states: States,
    /// Earliest call after the rest.
    pub(crate) rested: i64,
}

/// A day as it is worked.
#[derive(Debug, Clone)]
pub(crate) struct Run<'p> {
    problem: &'p Problem,
    id: DayId,
    day: Day,
    not_before: i64,
    start: Option<i64>,
    now: i64,
    spot: Option<SpotId>,
    fitted: Option<(usize, usize)>,
    charge: Charge,
    cards: Vec<i64>,
    pub(crate) states: States,
    idle: i64,
    slack: i64,
    eaten: Option<i64>,
    must_move: bool,
    pub(crate) spent: Spent,
    seen: Vec<(PersonId, i64)>,
    pub(crate) times: Vec<(BlockId, i64, i64)>,
    rank: i64,
    least: Vec<i64>,
    pub(crate) events: Option<Vec<Event>>,
}

impl<'p> Run<'p> {
    /// A day that has not begun; its first step is not before `start`.
    pub(crate) fn new(problem: &'p Problem, id: DayId, carry: &Carry, start: i64, record: bool) -> Self {
        let day = problem.days[id];
        let not_before = start.max(day.call.max(carry.rested) + problem.arrive);
        Self {
            problem,
            id,
            day,
            not_before,
            start: None,
            now: not_before,
            spot: day.base,
            fitted: None,
            charge: Charge::full(&problem.stores),
            cards: problem.cards.values().copied().collect(),
            states: carry.states.clone(),
            idle: 0,
            slack: i64::MAX,
            eaten: None,
            must_move: false,
            spent: Spent::default(),
            seen: Vec::new(),
            times: Vec::new(),
            rank: i64::MIN,
            least: problem.stores.values().map(|store| store.holds * store.packs as i64).collect(),
            events: record.then(Vec::new),
        }
    }

    /// Minutes worked since the call, where it is moved as far as it can be.
    pub(crate) fn elapsed(&self) -> i64 {
        self.start.map_or(0, |start| self.now - start - self.later() + self.problem.arrive)
    }

    /// Whether a meal is in time only because the day is called later.
    pub(crate) fn must_move(&self) -> bool {
        self.must_move
    }

    /// The rig and camera that are fitted.
    pub(crate) fn fitted(&self) -> Option<usize> {
        self.fitted.map(|(fit, _)| fit)
    }

    /// Whether the meal has been.
    pub(crate) fn eaten(&self) -> bool {
        self.eaten.is_some()
    }

    /// What every day that begins like this and goes on with all the `open`
    /// blocks costs at least. Where they may also come on another day,
    /// `elsewhere` says so.
    ///
    /// A later start or a meal can shorten what lies around idle or charging
    /// minutes and nothing else, so without such minutes all gaps are certain.
    pub(crate) fn least(&self, open: &[BlockId], elsewhere: bool) -> i64 {
        let (problem, price) = (self.problem, &self.problem.weights);
        let loose = self.idle + self.spent.charging;
        let (mut links, mut people) = (self.spent.links, self.spent.kept);
        for &(done, _, end) in &self.times {
            for link in problem.blocks[done].links.iter().filter(|link| open.contains(&link.to)) {
                let gap = self.now - end;
                links += link.cost(if elsewhere { gap.min(price.join_apart) } else { gap });
            }
        }
        let needed = |person: &PersonId| {
            let chance = |one: &BlockId| &problem.classes[problem.blocks[*one].class].days[self.id];
            open.iter().any(|one| chance(one).people.contains(person))
        };
        if !elsewhere {
            let back = self.seen.iter().filter(|(person, _)| needed(person));
            people += back.map(|(person, last)| (self.now - last) * price.of(*person)).sum::<i64>();
        }
        let spent = &self.spent;
        let everybody: i64 = self.seen.iter().map(|(person, _)| price.of(*person)).sum();
        spent.moving * price.travel
            + spent.fitting * price.fitting
            + spent.resetting * price.resetting
            + spent.story * price.story_order
            + (people - loose * everybody).max(0)
            + if loose == 0 { links } else { 0 }
    }

    /// Where it is now.
    pub(crate) fn spot(&self) -> Option<SpotId> {
        self.spot
    }

    /// Latest start of the meal after the call.
    pub(crate) fn meal_within(&self) -> i64 {
        self.day.meal_within
    }

    /// First step, once there is one.
    pub(crate) fn start(&self) -> Option<i64> {
        self.start
    }

    /// By how much the day could start later without ending later: what is done before
    /// a wait moves towards it, but no work closer to the end of its window than the margin.
    pub(crate) fn later(&self) -> i64 {
        self.idle.min(self.slack)
    }

    /// The least charge there was in a store, and the charge won, in seconds of use.
    /// The least is only kept while events are recorded.
    pub(crate) fn store(&self, store: StoreId) -> (i64, i64) {
        (self.least.get(store.index()).copied().unwrap_or(0), self.charge.won(store))
    }

    /// Works a block next. After an error the run is void.
    pub(crate) fn append(&mut self, id: BlockId) -> Result<(), Clash> {
        let problem = self.problem;
        let block = &problem.blocks[id];
        let mut come = self.approach(block)?;
        self.power(block, &mut come)?;
        for &(card, bytes) in &block.bytes {
            let Some(left) = self.cards.get_mut(card.index()) else { continue };
            *left -= bytes;
            if *left < 0 {
                return Err(Clash::Card(card));
            }
        }
        let end = come.begin + come.span;
        if end + self.pack_up(block.spot) > self.day.wrap {
            return Err(Clash::Wrap);
        }
        if self.start.is_none() {
            self.begin(&mut come);
        }
        let idle = come.begin - come.charging - (self.now + come.way + come.fit + come.opening);
        let chance = &problem.classes[block.class].days[self.id];
        let closes = chance.windows.iter().find(|one| one.to >= end).map_or(end, |one| one.to);
        self.idle += idle;
        self.slack = self.slack.min(self.idle.saturating_add((closes - end - problem.margin).max(0)));
        self.spent.moving += come.way;
        self.spent.fitting += come.fit;
        self.spent.resetting += come.opening + come.span - block.work();
        self.spent.waiting += idle;
        self.spent.charging += come.charging;
        if let Some(events) = &mut self.events {
            for (store, least) in problem.stores.ids().zip(&mut self.least) {
                *least = (*least).min(self.charge.left(store));
            }
            tell(events, (id, block), self.now, &come);
        }
        self.count(id, block, chance, come.begin, end);
        self.now = end;
        self.spot = Some(block.spot);
        self.fitted = Some((block.fit, block.setup));
        Ok(())
    }

    /// The way to a block and the first slot for it, charge aside.
    fn approach(&mut self, block: &Block) -> Result<Approach, Clash> {
        if self.id.index() < block.first || self.id.index() > block.last {
            return Err(Clash::Window);
        }
        let resets = self.states.pass(&self.problem.vars, &block.parts).map_err(Clash::State)?;
        let (mut opening, mut inner) = (0, 0);
        for reset in &resets {
            *if reset.part == 0 { &mut opening } else { &mut inner } += reset.takes;
        }
        let from = self.spot.filter(|&spot| spot != block.spot);
        let mut come = Approach {
            from,
            way: from.map_or(0, |spot| self.problem.way(spot, block.spot)),
            fit: self.fitting(block, from.is_some()),
            opening,
            span: block.work() + inner,
            fit_at: 0,
            begin: i64::MIN,
            charging: 0,
            short: None,
            resets,
        };
        self.slot(block, &mut come).ok_or(Clash::Window)?;
        Ok(come)
    }

    /// The first slot not before `come.begin`: fitting inside an opening of the
    /// place, work inside a window of the block.
    fn slot(&self, block: &Block, come: &mut Approach) -> Option<()> {
        let chance = &self.problem.classes[block.class].days[self.id];
        let openings = &self.problem.access[block.spot][self.id];
        let arrived = self.now + come.way;
        let prepare = come.fit + come.opening;
        let (fit_at, begin) = chance.windows.iter().find_map(|window| {
            if window.to - window.from < come.span || window.to < arrived + come.span {
                return None;
            }
            let opening = openings.iter().find(|one| one.from <= window.from && window.to <= one.to)?;
            let fit_at = if prepare > 0 { arrived.max(opening.from) } else { arrived };
            let begin = (fit_at + prepare).max(window.from).max(come.begin);
            (begin + come.span <= window.to).then_some((fit_at, begin))
        })?;
        (come.fit_at, come.begin) = (fit_at, begin);
        Some(())
    }

    /// Charges on the way to a block, draws for it, and waits where that is not enough.
    fn power(&mut self, block: &Block, come: &mut Approach) -> Result<(), Clash> {
        let stores = &self.problem.stores;
        let chargers = self.day.chargers;
        if self.start.is_some() {
            self.charge.charge(stores, chargers, come.begin - self.now);
        }
        let Err(store) = self.charge.draw(&block.draws) else { return Ok(()) };
        let natural = come.begin;
        let most = (self.day.wrap - natural).max(0);
        let wait = self.charge.wait_for(stores, chargers, &block.draws, most).ok_or(Clash::Charge(store))?;
        come.begin = natural + wait;
        self.slot(block, come).ok_or(Clash::Charge(store))?;
        come.charging = come.begin - natural;
        come.short = Some(store);
        self.charge.charge(stores, chargers, come.charging);
        self.charge.draw(&block.draws).map_err(Clash::Charge)
    }

    /// The first block has nothing before it: the day simply starts so late
    /// that nobody waits for it.
    fn begin(&mut self, come: &mut Approach) {
        let late = come.begin - self.now - come.way - come.fit - come.opening;
        come.fit_at = self.now + late + come.way;
        self.start = Some(self.not_before + late);
        self.now += late;
        if let Some(over) = &mut self.eaten {
            *over += late;
            let over = *over;
            if let Some(events) = &mut self.events {
                record(events, over - self.day.meal, over, Happening::Meal);
            }
        }
    }

    fn fitting(&self, block: &Block, moved: bool) -> i64 {
        match self.fitted {
            Some((fit, setup)) if !moved && fit == block.fit => {
                if setup == block.setup {
                    0
                } else {
                    block.turning
                }
            }
            _ => block.fitting,
        }
    }

    fn pack_up(&self, spot: SpotId) -> i64 {
        self.problem.pack + self.day.base.map_or(0, |base| self.problem.way(spot, base))
    }

    /// People's waiting, links, and what breaks ties.
    fn count(&mut self, id: BlockId, block: &Block, chance: &Chance, begin: i64, end: i64) {
        for &person in &chance.people {
            match self.seen.iter_mut().find(|(one, _)| *one == person) {
                Some((_, last)) => {
                    self.spent.people += begin - *last;
                    self.spent.kept += (begin - *last) * self.problem.weights.of(person);
                    *last = end;
                }
                None => self.seen.push((person, end)),
            }
        }
        for link in &block.links {
            if let Some(&(_, _, before)) = self.times.iter().find(|(one, _, _)| *one == link.to) {
                self.spent.links += link.cost(begin - before);
                self.spent.apart += begin - before;
            }
        }
        self.spent.story += i64::from(block.rank < self.rank);
        self.spent.danger += block.danger * (begin - self.start.unwrap_or(begin));
        self.rank = block.rank;
        self.times.push((id, begin, end));
    }

    /// Eats next.
    pub(crate) fn eat(&mut self) -> Result<(), Clash> {
        if self.elapsed() > self.day.meal_within {
            return Err(Clash::Meal);
        }
        self.must_move |= self.elapsed() + self.later() > self.day.meal_within;
        let over = self.now + self.day.meal;
        if self.start.is_some() {
            self.charge.charge(&self.problem.stores, self.day.chargers, self.day.meal);
            if let Some(events) = &mut self.events {
                record(events, self.now, over, Happening::Meal);
            }
        }
        self.now = over;
        self.eaten = Some(over);
        Ok(())
    }

    /// Packs and goes back to base: (call, wrap).
    pub(crate) fn close(&mut self) -> Result<(i64, i64), Clash> {
        let (Some(start), Some(spot)) = (self.start, self.spot) else { return Err(Clash::Window) };
        let wrap = self.now + self.pack_up(spot);
        let call = start - self.problem.arrive;
        if let Some(events) = &mut self.events {
            record(events, self.now, wrap, Happening::Pack(spot));
        }
        self.spent.moving += wrap - self.now - self.problem.pack;
        self.spent.overtime += (wrap - call - self.day.long).max(0);
        match self.eaten {
            None if wrap - call - self.later() > self.day.meal_within => return Err(Clash::Meal),
            None => self.must_move |= wrap - call > self.day.meal_within,
            // A day so short has no meal, even where it would fill a wait.
            Some(_) if wrap - call - self.later() <= self.day.meal_within => return Err(Clash::Meal),
            Some(over) => self.spent.hunger += (wrap - over - self.day.meal_within).max(0),
        }
        Ok((call, wrap))
    }
}
