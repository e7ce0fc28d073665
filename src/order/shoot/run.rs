//! One day, worked block by block: what it costs, and why it may not go on.
//!
//! In: a problem, a day, what earlier days left behind. Out: times of every
//! block, each as early as it can be after the one before it. Guaranteed: what
//! `append` and `close` accept breaks no window, no wrap, no meal, no charge,
//! no card and no state.

use super::problem::{Block, BlockId, CardId, Chance, Day, DayId, Problem, SpotId, StoreId, VarId};
use super::state::{Going, States};
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

/// Minutes and counts that cost something.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) struct Spent {
    /// On the way.
    pub(crate) moving: i64,
    /// Fitting.
    pub(crate) fitting: i64,
    /// Waiting for light or access.
    pub(crate) waiting: i64,
    /// Waiting for charge.
    pub(crate) charging: i64,
    /// Resetting.
    pub(crate) resetting: i64,
    /// Too long after the meal.
    pub(crate) hunger: i64,
    /// People waiting, added up.
    pub(crate) people: i64,
    /// Between linked blocks, already priced.
    pub(crate) links: i64,
    /// Between linked blocks, in minutes.
    pub(crate) apart: i64,
    /// Steps against story order.
    pub(crate) story: i64,
    /// Hazards times minutes since the start.
    pub(crate) danger: i64,
}

impl Spent {
    /// Adds another day's.
    pub(crate) fn add(&mut self, other: &Spent) {
        self.moving += other.moving;
        self.fitting += other.fitting;
        self.waiting += other.waiting;
        self.charging += other.charging;
        self.resetting += other.resetting;
        self.hunger += other.hunger;
        self.people += other.people;
        self.links += other.links;
        self.apart += other.apart;
        self.story += other.story;
        self.danger += other.danger;
    }

    /// In hundredths.
    pub(crate) fn cost(&self, problem: &Problem) -> i64 {
        let price = &problem.price;
        self.moving * price.moving
            + self.fitting * price.fitting
            + self.resetting * price.resetting
            + (self.waiting + self.charging) * price.waiting
            + self.hunger * price.hunger
            + self.people * price.person
            + self.links
            + self.story * price.story
            + self.danger * price.danger / 60
    }

    /// The part that no later decision can lower, given how long everybody has
    /// been idle and how many people are there. A later start can shorten what
    /// lies around idle minutes, and nothing else.
    fn sure(&self, problem: &Problem, idle: i64, people: usize) -> i64 {
        let price = &problem.price;
        let links = if idle == 0 { self.links } else { 0 };
        self.moving * price.moving
            + self.fitting * price.fitting
            + self.resetting * price.resetting
            + (self.people - idle * people as i64).max(0) * price.person
            + self.story * price.story
            + links
    }
}

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
    pub(crate) spent: Spent,
    seen: Vec<(PersonId, i64)>,
    pub(crate) times: Vec<(BlockId, i64, i64)>,
    rank: i64,
    least: Vec<i64>,
    pub(crate) events: Option<Vec<Event>>,
}

/// A place in time for a block.
struct Slot {
    fit_at: i64,
    begin: i64,
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
            spent: Spent::default(),
            seen: Vec::new(),
            times: Vec::new(),
            rank: i64::MIN,
            least: problem.stores.values().map(|store| store.holds * store.packs as i64).collect(),
            events: record.then(Vec::new),
        }
    }

    /// Minutes worked since the call.
    pub(crate) fn elapsed(&self) -> i64 {
        self.start.map_or(0, |start| self.now - start + self.problem.arrive)
    }

    /// The rig and camera that are fitted.
    pub(crate) fn fitted(&self) -> Option<usize> {
        self.fitted.map(|(fit, _)| fit)
    }

    /// Whether the meal has been.
    pub(crate) fn eaten(&self) -> bool {
        self.eaten.is_some()
    }

    /// What every day that begins like this costs at least.
    pub(crate) fn sure(&self) -> i64 {
        self.spent.sure(self.problem, self.idle, self.seen.len())
    }

    /// Latest start of the meal after the call.
    pub(crate) fn meal_within(&self) -> i64 {
        self.day.meal_within
    }

    /// First step, once there is one.
    pub(crate) fn start(&self) -> Option<i64> {
        self.start
    }

    /// By how much the day could start later without ending later.
    pub(crate) fn later(&self) -> i64 {
        self.idle.min(self.slack)
    }

    /// The least charge there was in a store, and the charge won, in seconds of use.
    /// The least is only kept while events are recorded.
    pub(crate) fn store(&self, store: StoreId) -> (i64, i64) {
        (self.least.get(store.index()).copied().unwrap_or(0), self.charge.won(store))
    }

    fn record(&mut self, start: i64, end: i64, what: Happening) {
        if let Some(events) = &mut self.events
            && end > start
        {
            events.push((start, end, what));
        }
    }

    /// Works a block next. After an error the run is void.
    pub(crate) fn append(&mut self, id: BlockId) -> Result<(), Clash> {
        let problem = self.problem;
        let block = &problem.blocks[id];
        let chance = &problem.classes[block.class].days[self.id];
        if self.id.index() < block.first || self.id.index() > block.last {
            return Err(Clash::Window);
        }
        let resets = self.states.pass(&problem.vars, &block.parts).map_err(Clash::State)?;
        let opening: i64 = resets.iter().filter(|reset| reset.part == 0).map(|reset| reset.takes).sum();
        let inner: i64 = resets.iter().filter(|reset| reset.part > 0).map(|reset| reset.takes).sum();
        let span = block.work() + inner;
        let from = self.spot.filter(|&spot| spot != block.spot);
        let way = from.map_or(0, |spot| problem.way(spot, block.spot));
        let fit = self.fitting(block, from.is_some());
        let arrived = self.now + way;
        let find = |begin| slot(problem, self.id, chance, block, arrived, (fit + opening, span, begin));
        let natural = find(i64::MIN).ok_or(Clash::Window)?;
        let mut place = natural;
        // The first block has nothing before it: the day simply starts later.
        let first = self.start.is_none();
        let charged_from = place.begin;
        let mut short = None;
        if !first {
            self.charge.charge(&problem.stores, self.day.chargers, place.begin - self.now);
        }
        if let Err(store) = self.charge.draw(&block.draws) {
            short = Some(store);
            let most = (self.day.wrap - place.begin).max(0);
            let wait = self
                .charge
                .wait_for(&problem.stores, self.day.chargers, &block.draws, most)
                .ok_or(Clash::Charge(store))?;
            place = find(place.begin + wait).ok_or(Clash::Charge(store))?;
            self.charge.charge(&problem.stores, self.day.chargers, place.begin - charged_from);
            self.charge.draw(&block.draws).map_err(Clash::Charge)?;
        }
        for &(card, bytes) in &block.bytes {
            let Some(left) = self.cards.get_mut(card.index()) else { continue };
            *left -= bytes;
            if *left < 0 {
                return Err(Clash::Card(card));
            }
        }
        let end = place.begin + span;
        if end + self.pack_up(block.spot) > self.day.wrap {
            return Err(Clash::Wrap);
        }
        let late = if first { place.begin - arrived - fit - opening } else { 0 };
        if first {
            place.fit_at = arrived + late;
            self.start = Some(self.not_before + late);
            if let Some(over) = &mut self.eaten {
                *over += late;
                let meal = (*over - self.day.meal, *over);
                self.record(meal.0, meal.1, Happening::Meal);
            }
            self.now += late;
        }
        let idle = charged_from - (self.now + way + fit + opening);
        let window_end = chance.windows.iter().find(|one| one.to >= end).map_or(end, |one| one.to);
        let idle = if first { 0 } else { idle.max(0) };
        let charging = if first { 0 } else { place.begin - charged_from };
        self.idle += idle;
        self.slack = self.slack.min(self.idle.saturating_add(window_end - end));
        self.spent.moving += way;
        self.spent.fitting += fit;
        self.spent.resetting += opening + inner;
        self.spent.waiting += idle;
        self.spent.charging += charging;
        if self.events.is_some() {
            for (store, least) in problem.stores.ids().zip(&mut self.least) {
                *least = (*least).min(self.charge.left(store));
            }
            self.tell(id, from, (way, fit), &place, (charging, short), &resets);
        }
        self.count(id, block, chance, place.begin, end);
        self.now = end;
        self.spot = Some(block.spot);
        self.fitted = Some((block.fit, block.setup));
        Ok(())
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
                    *last = end;
                }
                None => self.seen.push((person, end)),
            }
        }
        for &(other, price) in &block.links {
            if let Some(&(_, _, before)) = self.times.iter().find(|(one, _, _)| *one == other) {
                self.spent.links += (begin - before) * price;
                self.spent.apart += begin - before;
            }
        }
        self.spent.story += i64::from(block.rank < self.rank);
        self.spent.danger += block.danger * (begin - self.start.unwrap_or(begin));
        self.rank = block.rank;
        self.times.push((id, begin, end));
    }

    /// Writes down the steps that lead to a block and the block itself.
    fn tell(
        &mut self,
        id: BlockId,
        from: Option<SpotId>,
        (way, fit): (i64, i64),
        place: &Slot,
        (charging, short): (i64, Option<StoreId>),
        resets: &[Going],
    ) {
        let block = &self.problem.blocks[id];
        let mut at = self.now;
        if let Some(from) = from {
            self.record(at, at + way, Happening::Move(from, block.spot));
            at += way;
        }
        self.record(at, place.fit_at, Happening::Access(id));
        at = at.max(place.fit_at);
        self.record(at, at + fit, Happening::Fit(id));
        at += fit;
        for reset in resets.iter().filter(|reset| reset.part == 0) {
            self.record(at, at + reset.takes, Happening::Reset(id, *reset));
            at += reset.takes;
        }
        let light = (place.begin - charging).max(at);
        self.record(at, light, Happening::Light(id));
        if let Some(store) = short {
            self.record(light, place.begin, Happening::Charge(id, store));
        }
        at = place.begin;
        for (number, part) in block.parts.iter().enumerate() {
            for reset in resets.iter().filter(|reset| reset.part == number && number > 0) {
                self.record(at, at + reset.takes, Happening::Reset(id, *reset));
                at += reset.takes;
            }
            self.record(at, at + part.work, Happening::Work(id, number));
            at += part.work;
        }
    }

    /// Eats next.
    pub(crate) fn eat(&mut self) -> Result<(), Clash> {
        if self.elapsed() > self.day.meal_within {
            return Err(Clash::Meal);
        }
        let over = self.now + self.day.meal;
        if self.start.is_some() {
            self.charge.charge(&self.problem.stores, self.day.chargers, self.day.meal);
            self.record(self.now, over, Happening::Meal);
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
        self.record(self.now, wrap, Happening::Pack(spot));
        self.spent.moving += wrap - self.now - self.problem.pack;
        match self.eaten {
            None if wrap - call > self.day.meal_within => return Err(Clash::Meal),
            None => {}
            Some(over) => self.spent.hunger += (wrap - over - self.day.meal_within).max(0),
        }
        Ok((call, wrap))
    }
}

/// The first slot for a block: fitting inside an opening, work inside a window of it.
fn slot(
    problem: &Problem,
    day: DayId,
    chance: &Chance,
    block: &Block,
    arrived: i64,
    (prepare, span, begin): (i64, i64, i64),
) -> Option<Slot> {
    let openings = &problem.access[block.spot][day];
    chance.windows.iter().find_map(|window| {
        if window.to - window.from < span || window.to < arrived + span {
            return None;
        }
        let opening = openings.iter().find(|one| one.from <= window.from && window.to <= one.to)?;
        let fit_at = if prepare > 0 { arrived.max(opening.from) } else { arrived };
        let begin = (fit_at + prepare).max(window.from).max(begin);
        (begin + span <= window.to).then_some(Slot { fit_at, begin })
    })
}
