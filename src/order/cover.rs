//! What is shot instead on a day whose weather fails: its cover, planned by the
//! same planner, alone on that day.
//!
//! In: the plan as it stands, and days that say what they need of the weather.
//! Out: a [`Cover`] for each such day on which something is planned. Under
//! cover a day shoots what its `cover` names, and of its own plan what the
//! weather does not touch; what is captured or planned for an earlier day is
//! shot by then. Every plate that is named and cannot be shot is named with why.

use super::blocks::Bounds;
use super::effort::Effort;
use super::plan::{Minute, Plan, PlannedDay, ShootPlan, Unplanned};
use super::reasons::Reasons;
use super::rolling::Rolling;
use super::setting::Setting;
use super::shooting::shoot;
use super::weather::spoiled;
use super::window::day_range;
use crate::graph::Work;
use crate::model::{Covered, DayPlan, Fallen, Model, Plate, PlateId, Weather};
use crate::recipe::Breakdown;
use crate::source::Span;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use std::collections::{BTreeMap, BTreeSet};

/// A day as it is shot when its weather fails.
#[derive(Debug, Clone)]
pub struct Cover {
    /// Which of the allowed days it is (index into `model.days.each`).
    pub allowed: usize,
    /// Which of the planned days it stands in for (index into the shoot plan's days).
    pub planned: usize,
    /// The date.
    pub date: Date,
    /// That day alone: no day where nothing can be shot, and what finds no room on it.
    pub shoot: ShootPlan,
    /// Of what is shot, what the day's own plan holds and the `cover` line does not name.
    pub own: BTreeSet<PlateId>,
    /// Named and shot by then, each with its date, where that is known.
    pub spent: BTreeMap<PlateId, Option<Date>>,
    /// Named, but the weather spoils them as well: why.
    pub exposed: BTreeMap<PlateId, String>,
    /// Named, and impossible on that day for another reason than room; each with its reasons.
    pub unfit: Vec<Unplanned<PlateId>>,
}

impl Cover {
    /// The day under cover; `None` where nothing can be shot.
    pub fn day(&self) -> Option<&PlannedDay> {
        self.shoot.days.first()
    }
}

/// The cover of each planned day that depends on the weather and is not over.
pub(crate) fn covers(
    model: &Model,
    breakdown: &Breakdown,
    work: &Work,
    (plan, effort): (&Plan, Effort),
) -> Vec<Cover> {
    let Some(days) = &model.days else { return Vec::new() };
    let over = model.record.over();
    let fallen = days.fallen.as_ref().map(|fallen| fallen.date);
    let is_over = |date: Date| [over, fallen].into_iter().flatten().any(|last| date <= last);
    let mut covers = Vec::new();
    for (planned, day) in plan.shoot.days.iter().enumerate().filter(|(_, day)| !is_over(day.date)) {
        let allowed = days.each.get(day.allowed);
        let Some((allowed, weather)) = allowed.and_then(|day| Some((day, day.weather.as_ref()?))) else {
            continue;
        };
        let scene = Scene { model, breakdown, work, plan, effort, planned, day, allowed, weather };
        covers.push(scene.cover());
    }
    covers
}

/// The sequence on a day whose weather failed: what is shot by its end, for a plan of the rest.
pub fn fallen(breakdown: &Breakdown, plan: &Plan, cover: &Cover, span: Span) -> Fallen {
    let path = |plate: &PlateId| breakdown.plates[*plate].named.path.clone();
    let mut held = BTreeMap::new();
    for (plate, (day, ..)) in &plan.shoot.shot {
        if let Some(day) = plan.shoot.days.get(*day).filter(|day| day.date < cover.date) {
            held.insert(path(plate), day.date);
        }
    }
    held.extend(cover.shoot.shot.keys().map(|plate| (path(plate), cover.date)));
    Fallen { date: cover.date, held, span }
}

/// Every plate that one name of a cover brings along: all of a beat or at a place, or a plate
/// with what recipes owe beside it; locked groups whole, and with what rolls together.
pub fn named_by(breakdown: &Breakdown, covered: Covered) -> BTreeSet<PlateId> {
    let is_meant = |plate: &Plate| match covered {
        Covered::Beat(beat) => plate.beat == beat,
        Covered::Place(place) => plate.place == place,
        Covered::Plate(_) => false,
    };
    let mut named: BTreeSet<PlateId> =
        breakdown.plates.iter().filter(|(_, plate)| is_meant(plate)).map(|(id, _)| id).collect();
    if let Covered::Plate(plate) = covered {
        named.insert(plate);
        named.extend(breakdown.owed_beside(plate));
    }
    whole(breakdown, named)
}

/// With the rest of locked groups, and what rolls together.
fn whole(breakdown: &Breakdown, plates: BTreeSet<PlateId>) -> BTreeSet<PlateId> {
    let rolling = Rolling::new(breakdown);
    let mut whole = BTreeSet::new();
    for plate in plates {
        let host = rolling.host(plate).unwrap_or(plate);
        let group = breakdown.group_of(host).map(|group| &breakdown.groups[group].plates);
        let together: &[PlateId] = group.map_or(std::slice::from_ref(&host), Vec::as_slice);
        whole.extend(rolling.whole(together));
    }
    whole
}

/// One day that is planned again.
struct Scene<'a> {
    model: &'a Model,
    breakdown: &'a Breakdown,
    work: &'a Work,
    plan: &'a Plan,
    effort: Effort,
    planned: usize,
    day: &'a PlannedDay,
    allowed: &'a DayPlan,
    weather: &'a Weather,
}

impl Scene<'_> {
    fn cover(&self) -> Cover {
        let named = self.named();
        let shot_by_then: BTreeMap<PlateId, Option<Date>> = self.shot_by_then();
        let spent = named.iter().filter_map(|plate| Some((*plate, *shot_by_then.get(plate)?))).collect();
        let mut exposed = BTreeMap::new();
        let mut wanted = BTreeSet::new();
        let own = self.own();
        for &plate in named.iter().chain(&own).filter(|plate| !shot_by_then.contains_key(plate)) {
            match self.spoils(plate) {
                Some(why) if named.contains(&plate) => {
                    exposed.insert(plate, why);
                }
                Some(_) => {}
                None => {
                    wanted.insert(plate);
                }
            }
        }
        let model = self.alone(&shot_by_then);
        let mut setting = Setting::new(&model, self.breakdown, self.work);
        setting.effort = self.effort;
        let mut unfit = self.waiting(&setting, &mut wanted, &shot_by_then);
        let mut shoot = shoot(&setting, &wanted, &Bounds::new(), &BTreeMap::new());
        for day in &mut shoot.days {
            day.allowed = self.day.allowed;
        }
        // What finds no room beside the others is no fault of the cover's; the rest cannot be that day.
        let impossible = self.impossible(&setting, &shoot);
        let (cannot, crowded) = std::mem::take(&mut shoot.unplanned)
            .into_iter()
            .partition(|left| impossible.contains(&left.what));
        shoot.unplanned = crowded;
        unfit.extend::<Vec<_>>(cannot);
        unfit.retain(|left| named.contains(&left.what));
        unfit.sort_by_key(|left| left.what);
        let own = shoot.shot.keys().copied().filter(|plate| !named.contains(plate)).collect();
        Cover {
            allowed: self.day.allowed,
            planned: self.planned,
            date: self.day.date,
            shoot,
            own,
            spent,
            exposed,
            unfit,
        }
    }

    /// Everything that the cover names, with what belongs to it.
    fn named(&self) -> BTreeSet<PlateId> {
        let names = self.weather.cover.iter();
        names.flat_map(|covered| named_by(self.breakdown, covered.value)).collect()
    }

    /// Of the day's own plan, what the weather does not touch: whole groups only.
    fn own(&self) -> BTreeSet<PlateId> {
        let today = self.plan.shoot.shot.iter().filter(|(_, (day, ..))| *day == self.planned);
        let fine = today.map(|(plate, _)| *plate).filter(|plate| self.spoils(*plate).is_none());
        let all_fine = |plate: &PlateId| {
            let group = whole(self.breakdown, BTreeSet::from([*plate]));
            group.iter().all(|plate| self.spoils(*plate).is_none())
        };
        fine.filter(all_fine).collect()
    }

    fn spoils(&self, plate: PlateId) -> Option<String> {
        spoiled(self.model, &self.breakdown.plates[plate], &self.weather.needs)
    }

    /// What is captured, or planned for an earlier day.
    fn shot_by_then(&self) -> BTreeMap<PlateId, Option<Date>> {
        let dates: BTreeMap<PlateId, Date> = self.model.record.dates().collect();
        let taken = self.model.record.taken.iter().map(|plate| (*plate, dates.get(plate).copied()));
        let days = &self.plan.shoot.days;
        let before = self.plan.shoot.shot.iter().filter(|(_, (day, ..))| *day < self.planned);
        taken.chain(before.map(|(plate, (day, ..))| (*plate, days.get(*day).map(|day| day.date)))).collect()
    }

    /// The sequence with that day alone, called no earlier than the night before it allows,
    /// and with what is shot by then captured.
    fn alone(&self, shot_by_then: &BTreeMap<PlateId, Option<Date>>) -> Model {
        let zone = TimeZone::get(&self.model.sequence.zone).unwrap_or(TimeZone::UTC);
        let mut day = self.allowed.clone();
        day.base = self.weather.base.or(day.base);
        let before = self.planned.checked_sub(1).and_then(|at| self.plan.shoot.days.get(at));
        if let Some(before) = before {
            let rested = before.wrap.plus(super::duration::minutes(day.rest)).civil(&zone);
            if rested.date() == day.date && rested.time() > day.call && day.call < day.wrap {
                day.call = rested.time().min(day.wrap);
            }
        }
        let mut model = self.model.clone();
        model.record.taken.extend(shot_by_then.keys());
        model.kept = model.kept.pins_alone();
        if let Some(days) = &mut model.days {
            days.each = vec![day];
        }
        model
    }

    /// Takes out what waits for something that is neither shot by then nor in the cover, one
    /// after the other, with its reasons.
    fn waiting(
        &self,
        setting: &Setting<'_>,
        wanted: &mut BTreeSet<PlateId>,
        shot_by_then: &BTreeMap<PlateId, Option<Date>>,
    ) -> Vec<Unplanned<PlateId>> {
        let begins = day_range(self.allowed, &setting.zone).map_or(i64::MIN, |range| range.from);
        let mut out: BTreeMap<PlateId, Reasons> = BTreeMap::new();
        loop {
            let mut more: BTreeMap<PlateId, Reasons> = BTreeMap::new();
            for &plate in wanted.iter() {
                let Some(waits) = setting.waits.get(&plate) else { continue };
                let mut reasons = Reasons::new();
                for (before, reason) in &waits.plates {
                    if !wanted.contains(before) && !shot_by_then.contains_key(before) {
                        let name = setting.name(*before);
                        let text = format!("it waits for {name}, which is not shot by then: {}", reason.text);
                        reasons.push((text, reason.span));
                    }
                }
                for (pass, reason) in &waits.passes {
                    let done: Option<Minute> = self.plan.desk.done.get(pass).copied();
                    if done.is_none_or(|done| done.0 > begins) {
                        let name = setting.pass_name(*pass);
                        let text = format!("it waits for {name}, which is not done by then: {}", reason.text);
                        reasons.push((text, reason.span));
                    }
                }
                if !reasons.is_empty() {
                    for plate in whole(self.breakdown, BTreeSet::from([plate])) {
                        more.entry(plate).or_insert_with(|| reasons.clone());
                    }
                }
            }
            more.retain(|plate, _| wanted.contains(plate));
            if more.is_empty() {
                return out.into_iter().map(|(what, reasons)| Unplanned { what, reasons }).collect();
            }
            wanted.retain(|plate| !more.contains_key(plate));
            out.extend(more);
        }
    }

    /// What could not be shot that day even with the day to itself.
    fn impossible(&self, setting: &Setting<'_>, shoot: &ShootPlan) -> BTreeSet<PlateId> {
        let left: BTreeSet<PlateId> = shoot.unplanned.iter().map(|left| left.what).collect();
        if left.is_empty() {
            return left;
        }
        let built = super::blocks::build(setting, &left, &Bounds::new());
        let gone = super::reasons::impossible(setting, &built);
        gone.keys().flat_map(|&block| built.rolling.whole(&built.plates[block])).collect()
    }
}
