//! Everything a view may want to look up, gathered once.
//!
//! In: the stages' values. Out: [`Index`]: who uses a plate, when it is shot,
//! what is asked of it, what was found about it, and the name of its document.

use super::Input;
use super::names::Names;
use super::spoken::Spoken;
use super::views::shape::{Fact, Found, Link, Told, WaivedView, fact, rule_file};
use crate::diagnostic::Diagnostic;
use crate::graph::Node;
use crate::model::{BeatId, Capture, EffectId, JoinId, Light, Model, Named, Plate, PlateId, StateOf};
use crate::order::{Assignment, Minute, PlannedDay};
use crate::recipe::{Demand, FilledRole, GroupId, Owner, PassId};
use crate::rule::{self, About, Instruction, Subject};
use crate::source::Span;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use petgraph::Direction;
use petgraph::graph::NodeIndex;
use std::collections::BTreeMap;

/// Look-ups over one input.
pub(crate) struct Index<'a> {
    pub(crate) input: &'a Input<'a>,
    pub(crate) model: &'a Model,
    pub(crate) zone: TimeZone,
    /// Sentences as they stand on paper.
    pub(crate) spoken: Spoken,
    plate_files: BTreeMap<PlateId, String>,
    join_files: BTreeMap<JoinId, String>,
    demands: BTreeMap<PlateId, Vec<&'a Demand>>,
    instructions: BTreeMap<About, Vec<&'a Instruction>>,
    standing: BTreeMap<About, Vec<&'a Diagnostic>>,
    assigned: BTreeMap<PassId, &'a Assignment>,
    using: BTreeMap<PlateId, Vec<PassId>>,
    owned: BTreeMap<Owner, Vec<PassId>>,
    feeds: BTreeMap<PassId, Vec<PassId>>,
    groups: BTreeMap<PlateId, GroupId>,
    joins: BTreeMap<PlateId, Vec<JoinId>>,
    roles: BTreeMap<PlateId, Vec<&'a FilledRole>>,
    beats: BTreeMap<BeatId, Vec<PlateId>>,
    rule_ids: BTreeMap<&'static str, &'static str>,
    /// Where each thing stands in the graph.
    pub(crate) nodes: BTreeMap<Node, NodeIndex>,
}

/// The topic under which rules tell cautions.
const CAUTION: &str = "caution";

fn merge(told: impl Iterator<Item = Told>) -> Vec<Told> {
    let mut all: Vec<Told> = Vec::new();
    for one in told {
        match all.iter_mut().find(|known| (&known.topic, &known.text) == (&one.topic, &one.text)) {
            Some(known) if known.how.contains(&one.how) => {}
            Some(known) => known.how = format!("{}; {}", known.how, one.how),
            None => all.push(one),
        }
    }
    together(all)
}

/// What one computation gave stands together, behind the first of it, so that its
/// reason is read once: all that is set at one mark, then all at the next.
fn together(told: Vec<Told>) -> Vec<Told> {
    let mut groups: Vec<Vec<Told>> = Vec::new();
    for one in told {
        let same = |group: &&mut Vec<Told>| {
            group.iter().any(|known| (&known.rule, &known.how) == (&one.rule, &one.how))
        };
        match groups.iter_mut().find(same) {
            Some(group) => group.push(one),
            None => groups.push(vec![one]),
        }
    }
    groups.into_iter().flatten().collect()
}

fn gather<K: Ord, V>(pairs: impl IntoIterator<Item = (K, V)>) -> BTreeMap<K, Vec<V>> {
    let mut map: BTreeMap<K, Vec<V>> = BTreeMap::new();
    for (key, value) in pairs {
        map.entry(key).or_default().push(value);
    }
    map
}

impl<'a> Index<'a> {
    pub(crate) fn new(input: &'a Input<'a>) -> Self {
        let (model, breakdown, findings) = (input.model, input.breakdown, input.findings);
        let work = input.work;
        let mut names = Names::default();
        let plate_files = breakdown
            .plates
            .iter()
            .map(|(id, plate)| (id, names.give("plates", &plate.named.path)))
            .collect();
        let join_files =
            model.joins.iter().map(|(id, join)| (id, names.give("joins", &join.named.path))).collect();
        let passes = || breakdown.passes.iter();
        Self {
            input,
            model,
            zone: TimeZone::get(&model.sequence.zone).unwrap_or(TimeZone::UTC),
            spoken: Spoken::new(model, breakdown),
            plate_files,
            join_files,
            demands: gather(breakdown.demands.iter().map(|demand| (demand.plate, demand))),
            instructions: gather(findings.instructions.iter().map(|told| (told.about, told))),
            standing: gather(findings.standing.iter().map(|(about, diagnostic)| (*about, diagnostic))),
            assigned: input.plan.desk.work.iter().map(|work| (work.pass, work)).collect(),
            using: gather(passes().flat_map(|(id, pass)| pass.inputs.iter().map(move |plate| (*plate, id)))),
            owned: gather(passes().map(|(id, pass)| (pass.owner, id))),
            feeds: gather(passes().flat_map(|(id, pass)| pass.waits.iter().map(move |(on, _)| (*on, id)))),
            groups: breakdown
                .groups
                .iter()
                .flat_map(|(id, group)| group.plates.iter().map(move |plate| (*plate, id)))
                .collect(),
            joins: gather(model.joins.iter().flat_map(|(id, join)| [(join.from, id), (join.to, id)])),
            roles: gather(
                breakdown.roles.iter().flat_map(|role| role.plates.iter().map(move |plate| (*plate, role))),
            ),
            beats: gather(breakdown.plates.iter().map(|(id, plate)| (plate.beat, id))),
            nodes: work.node_indices().filter_map(|at| Some((*work.node_weight(at)?, at))).collect(),
            rule_ids: rule::all().into_iter().map(|rule| (rule.code.name, rule.code.id)).collect(),
        }
    }

    /// What rules look at.
    pub(crate) fn subject(&self) -> Subject<'a> {
        Subject { model: self.model, breakdown: self.input.breakdown, work: self.input.work }
    }

    pub(crate) fn plate(&self, id: PlateId) -> &'a Plate {
        &self.input.breakdown.plates[id]
    }

    pub(crate) fn plate_file(&self, id: PlateId) -> String {
        self.plate_files.get(&id).cloned().unwrap_or_default()
    }

    pub(crate) fn join_file(&self, id: JoinId) -> String {
        self.join_files.get(&id).cloned().unwrap_or_default()
    }

    pub(crate) fn plate_link(&self, id: PlateId) -> Link {
        Link { text: self.plate(id).named.label().to_owned(), file: self.plate_file(id) }
    }

    pub(crate) fn join_link(&self, id: JoinId) -> Link {
        Link { text: self.join_title(id), file: self.join_file(id) }
    }

    /// `Down from the gantry → Landing, then the run`.
    pub(crate) fn join_title(&self, id: JoinId) -> String {
        let join = &self.model.joins[id];
        format!("{} → {}", self.plate(join.from).named.label(), self.plate(join.to).named.label())
    }

    pub(crate) fn demands(&self, id: PlateId) -> &[&'a Demand] {
        self.demands.get(&id).map_or(&[], Vec::as_slice)
    }

    pub(crate) fn assigned(&self, id: PassId) -> Option<&'a Assignment> {
        self.assigned.get(&id).copied()
    }

    /// Passes that take the plate as input, in the order of the breakdown.
    pub(crate) fn using(&self, id: PlateId) -> &[PassId] {
        self.using.get(&id).map_or(&[], Vec::as_slice)
    }

    pub(crate) fn owned(&self, owner: Owner) -> &[PassId] {
        self.owned.get(&owner).map_or(&[], Vec::as_slice)
    }

    pub(crate) fn feeds(&self, id: PassId) -> &[PassId] {
        self.feeds.get(&id).map_or(&[], Vec::as_slice)
    }

    pub(crate) fn group(&self, id: PlateId) -> Option<GroupId> {
        self.groups.get(&id).copied()
    }

    pub(crate) fn joins(&self, id: PlateId) -> &[JoinId] {
        self.joins.get(&id).map_or(&[], Vec::as_slice)
    }

    pub(crate) fn roles(&self, id: PlateId) -> &[&'a FilledRole] {
        self.roles.get(&id).map_or(&[], Vec::as_slice)
    }

    /// A beat's plates: as written, then what recipes owe.
    pub(crate) fn beat_plates(&self, id: BeatId) -> &[PlateId] {
        self.beats.get(&id).map_or(&[], Vec::as_slice)
    }

    /// Instructions about a thing, as they are told.
    pub(crate) fn told(&self, about: About) -> Vec<Told> {
        let found = self.instructions.get(&about).map_or(&[][..], Vec::as_slice);
        found
            .iter()
            .map(|told| Told {
                topic: self.spoken.say(&told.topic),
                text: self.spoken.say(&told.text),
                how: self.spoken.say(&told.how),
                rule: self.rule_link(told.rule),
            })
            .collect()
    }

    /// Instructions about several things; what several rules or roles say alike
    /// stands once, with all its reasons. Cautions stand elsewhere.
    pub(crate) fn told_all(&self, abouts: impl IntoIterator<Item = About>) -> Vec<Told> {
        merge(abouts.into_iter().flat_map(|about| self.told(about)).filter(|told| told.topic != CAUTION))
    }

    /// Cautions that rules computed for several things.
    pub(crate) fn told_cautions(&self, abouts: impl IntoIterator<Item = About>) -> Vec<Told> {
        merge(abouts.into_iter().flat_map(|about| self.told(about)).filter(|told| told.topic == CAUTION))
    }

    /// Findings about a thing.
    pub(crate) fn found(&self, about: About) -> Vec<Found> {
        let found = self.standing.get(&about).map_or(&[][..], Vec::as_slice);
        found.iter().map(|diagnostic| self.found_one(diagnostic)).collect()
    }

    /// Findings that the writer accepted, about what is wanted.
    pub(crate) fn accepted(&self, wanted: impl Fn(About) -> bool) -> Vec<WaivedView> {
        let waived = self.input.findings.waived.iter().filter(|waived| wanted(waived.about));
        let views = waived.map(|waived| WaivedView {
            code: waived.diagnostic.code.id.to_owned(),
            rule: self.rule_link(&waived.waiver.rule),
            message: self.spoken.say(&waived.diagnostic.message),
            reason: waived.waiver.reason.clone(),
            at: self.at(waived.waiver.span),
        });
        views.collect()
    }

    pub(crate) fn found_one(&self, diagnostic: &Diagnostic) -> Found {
        let at = diagnostic.span.map(|span| self.at(span)).unwrap_or_default();
        let mut found = Found::new(diagnostic, self.rule_link(diagnostic.code.name), at);
        found.message = self.spoken.say(&found.message);
        found.notes = found.notes.iter().map(|note| self.spoken.say(note)).collect();
        found
    }

    /// The page of a rule by its name; the name itself where no rule has it.
    pub(crate) fn rule_link(&self, name: &str) -> Link {
        let file = self.rule_ids.get(name).map(|id| rule_file(id, name)).unwrap_or_default();
        Link { text: name.to_owned(), file }
    }

    /// `file:line`; empty when nothing was read.
    pub(crate) fn at(&self, span: Span) -> String {
        if self.input.sources.files().is_empty() { String::new() } else { self.input.sources.at(span) }
    }

    pub(crate) fn days(&self) -> &'a [PlannedDay] {
        &self.input.plan.shoot.days
    }

    /// `05:15`, with the day where it is not the day that is spoken of.
    pub(crate) fn clock_on(&self, at: Minute, day: Date) -> String {
        let civil = at.civil(&self.zone);
        let clock = format!("{:02}:{:02}", civil.hour(), civil.minute());
        if civil.date() == day { clock } else { format!("{clock} ({})", short_date(civil.date())) }
    }

    /// `Fri 14 May, 05:15`.
    pub(crate) fn moment(&self, at: Minute) -> String {
        let civil = at.civil(&self.zone);
        format!("{}, {:02}:{:02}", short_date(civil.date()), civil.hour(), civil.minute())
    }

    /// The zone's offset at a moment.
    pub(crate) fn offset(&self, at: Minute) -> Option<jiff::tz::Offset> {
        Some(self.zone.to_offset(jiff::Timestamp::from_second(at.0 * 60).ok()?))
    }

    /// `2027-05-14T05:15:00+01:00`, for programs.
    pub(crate) fn stamp(&self, at: Minute) -> String {
        jiff::Timestamp::from_second(at.0 * 60)
            .map(|at| at.display_with_offset(self.zone.to_offset(at)).to_string())
            .unwrap_or_default()
    }

    pub(crate) fn people(&self, plate: &Plate) -> Vec<String> {
        plate.people.iter().map(|id| self.model.people[*id].named.label().to_owned()).collect()
    }

    pub(crate) fn spotters(&self, plate: &Plate) -> Vec<String> {
        plate.spotters.iter().map(|id| self.model.people[*id].named.label().to_owned()).collect()
    }

    pub(crate) fn state_name(&self, of: StateOf) -> &'a Named {
        match of {
            StateOf::Prop(id) => &self.model.props[id].named,
            StateOf::Look(id) => &self.model.looks[id].named,
        }
    }

    /// Recipe title of an effect; its recipe's name where none was recorded.
    pub(crate) fn method(&self, id: EffectId) -> String {
        use crate::model::arena::Id;
        self.input
            .breakdown
            .methods
            .get(id.index())
            .filter(|title| !title.is_empty())
            .cloned()
            .unwrap_or_else(|| self.model.effects[id].recipe.value.clone())
    }

    /// What an owner is called, with the plate or effect's own title.
    pub(crate) fn owner_title(&self, owner: Owner) -> String {
        match owner {
            Owner::Plate(id) => self.plate(id).named.label().to_owned(),
            Owner::Effect(id) => self.model.effect_label(id),
            Owner::Join(id) => self.join_title(id),
            Owner::Asset(id) => self.model.assets[id].named.label().to_owned(),
            Owner::Sequence => "the whole sequence".to_owned(),
        }
    }

    /// Whether a pass waits, by its inputs, its recipe or the graph, for
    /// something that is in no plan.
    pub(crate) fn waits_for_unplanned(&self, id: PassId) -> bool {
        let desk = &self.input.plan.desk;
        let pass = &self.input.breakdown.passes[id];
        let missing = |node: &Node| match node {
            Node::Plate(plate) => !self.there(*plate),
            Node::Pass(pass) => !desk.done.contains_key(pass),
            Node::Asset(_) | Node::Join(_) | Node::Lock | Node::Delivery => false,
        };
        let mut needed: Vec<Node> = pass.inputs.iter().map(|plate| Node::Plate(*plate)).collect();
        needed.extend(pass.waits.iter().map(|(pass, _)| Node::Pass(*pass)));
        if let Owner::Plate(plate) = pass.owner {
            needed.push(Node::Plate(plate));
        }
        let work = self.input.work;
        if let Some(at) = self.nodes.get(&Node::Pass(id)) {
            let before = work.neighbors_directed(*at, Direction::Incoming);
            needed.extend(before.filter_map(|at| work.node_weight(at)));
        }
        needed.iter().any(missing)
    }

    /// Whether a plate is captured or planned.
    pub(crate) fn there(&self, id: PlateId) -> bool {
        self.captured(id).is_some() || self.day_of(id).is_some()
    }

    /// What was captured of a plate that need not be shot any more.
    pub(crate) fn captured(&self, id: PlateId) -> Option<&'a Capture> {
        self.model.record.captured(id)
    }

    /// When a plate was captured: `captured Fri 14 May`; nothing where it is owed.
    pub(crate) fn captured_on(&self, id: PlateId) -> Option<String> {
        self.captured(id).map(|capture| format!("captured {}", short_date(capture.date)))
    }

    /// When a plate is or was shot: `day 1, Fri 14 May` or `captured Fri 14 May`; empty when neither.
    pub(crate) fn shot_on(&self, id: PlateId) -> String {
        if let Some(captured) = self.captured_on(id) {
            return captured;
        }
        let slot = self.day_of(id);
        slot.map(|(day, planned, ..)| format!("day {day}, {}", short_date(planned.date))).unwrap_or_default()
    }

    /// The shoot day of a plate: its number among all of them, and the day.
    pub(crate) fn day_of(&self, id: PlateId) -> Option<(usize, &'a PlannedDay, Minute, Minute)> {
        let (day, start, end) = self.input.plan.shoot.shot.get(&id)?;
        let planned = self.days().get(*day)?;
        Some((planned.number, planned, *start, *end))
    }
}

/// `Friday 14 May 2027`.
pub(crate) fn long_date(date: Date) -> String {
    date.strftime("%A %-d %B %Y").to_string()
}

/// `Fri 14 May`.
pub(crate) fn short_date(date: Date) -> String {
    date.strftime("%a %-d %b").to_string()
}

/// Minutes as `25 min` or `1 h 05 min`.
pub(crate) fn minutes(minutes: i64) -> String {
    if minutes < 60 {
        format!("{minutes} min")
    } else {
        format!("{} h {:02} min", minutes / 60, minutes % 60)
    }
}

/// A light as people say it.
pub(crate) fn light(light: Light) -> String {
    match light {
        Light::Sun => "direct sun".to_owned(),
        Light::Sky => "daylight".to_owned(),
        Light::Lamp => "lamps".to_owned(),
        Light::GoldenMorning => "golden light, morning".to_owned(),
        Light::GoldenEvening => "golden light, evening".to_owned(),
        Light::Dusk => "dusk".to_owned(),
        Light::Night => "night".to_owned(),
        Light::Between(from, to) => format!("from {from} to {to}"),
    }
}

/// A fact, if there is a value.
pub(crate) fn maybe<T: ToString>(label: &str, value: Option<T>) -> Option<Fact> {
    value.map(|value| fact(label, value.to_string()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::{LightEdge, SunEvent};
    use crate::quantity::Seconds;

    #[test]
    fn dates_and_spans_read_as_spoken() {
        let date = jiff::civil::date(2027, 5, 14);
        assert_eq!(long_date(date), "Friday 14 May 2027");
        assert_eq!(short_date(date), "Fri 14 May");
        assert_eq!((minutes(5), minutes(65)), ("5 min".into(), "1 h 05 min".into()));
        let late = LightEdge { event: SunEvent::Sunrise, offset: Seconds(1200.0) };
        let early = LightEdge { event: SunEvent::Noon, offset: Seconds(-60.0) };
        assert_eq!(light(Light::Between(late, early)), "from 20 min after sunrise to 60 s before noon");
    }
}
