//! Why a plate cannot be planned: computed, with the lines behind it.
//!
//! In: the setting and the built problem. Out: the blocks that no order can
//! hold, each with its reasons. Whatever is not named here could be planned
//! were it alone.

use super::Minute;
use super::blocks::Built;
use super::duration::{recorded, seconds};
use super::setting::Setting;
use super::shoot::problem::{BlockId, DayId, Window};
use super::shoot::run::{Carry, Clash};
use super::shoot::score::{Effort, best_day};
use super::shoot::state::States;
use super::window::{Limit, Limits, both};
use crate::model::PlateId;
use crate::quantity::Seconds;
use crate::source::Span;
use petgraph::algo::tarjan_scc;
use petgraph::graph::DiGraph;
use std::collections::BTreeMap;

/// Sentences, each with the line behind it.
pub(crate) type Reasons = Vec<(String, Option<Span>)>;

/// Every block that cannot be planned even with all days to itself, or that
/// waits for one, with its reasons.
pub(crate) fn impossible(setting: &Setting<'_>, built: &Built) -> BTreeMap<BlockId, Reasons> {
    let mut found = BTreeMap::new();
    for id in built.problem.blocks.ids() {
        let reasons = of_block(setting, built, id);
        if !reasons.is_empty() {
            found.insert(id, reasons);
        }
    }
    circles(setting, built, &mut found);
    behind(setting, built, &mut found);
    found
}

/// What waits for something unplanned, one after the other.
fn behind(setting: &Setting<'_>, built: &Built, found: &mut BTreeMap<BlockId, Reasons>) {
    loop {
        let mut more = Vec::new();
        for (id, block) in built.problem.blocks.iter().filter(|(id, _)| !found.contains_key(id)) {
            if let Some(&gone) = block.before.iter().find(|one| found.contains_key(one)) {
                more.push((id, vec![waits_for(setting, built, id, gone)]));
            }
        }
        if more.is_empty() {
            return;
        }
        found.extend(more);
    }
}

/// "waits for X, which is not planned", with the line that makes it wait.
pub(crate) fn waits_for(
    setting: &Setting<'_>,
    built: &Built,
    id: BlockId,
    gone: BlockId,
) -> (String, Option<Span>) {
    for plate in &built.plates[id] {
        for (before, reason) in setting.waits.get(plate).into_iter().flat_map(|waits| &waits.plates) {
            if built.block_of.get(before) == Some(&gone) {
                let text =
                    format!("it waits for {}, which is not planned: {}", setting.name(*before), reason.text);
                return (text, reason.span);
            }
        }
    }
    let name = built.plates[gone].first().map_or("a plate".into(), |&plate| setting.name(plate));
    (format!("it waits for {name}, which is not planned"), None)
}

fn of_block(setting: &Setting<'_>, built: &Built, id: BlockId) -> Reasons {
    let mixed = mixed_group(setting, built, id);
    if !mixed.is_empty() {
        return mixed;
    }
    let problem = &built.problem;
    let effort = Effort::new(i64::MAX);
    let carry = Carry { states: States::first(&problem.vars), rested: i64::MIN };
    let mut clashes = Vec::new();
    for day in problem.days.ids() {
        match best_day(problem, day, &[id], &carry, &effort) {
            Ok(_) => return Vec::new(),
            Err(clash) => clashes.push((day, clash)),
        }
    }
    if clashes.is_empty() {
        let plate = built.plates[id].first().map(|&plate| setting.breakdown.plates[plate].named.span);
        return vec![("no shoot day is allowed: the sequence has no days".into(), plate)];
    }
    words(setting, built, id, &clashes)
}

/// Words for what goes wrong on each day; each kind of clash once.
fn words(setting: &Setting<'_>, built: &Built, id: BlockId, clashes: &[(DayId, Clash)]) -> Reasons {
    let block = &built.problem.blocks[id];
    let mut reasons: Reasons = Vec::new();
    let first_plate = built.plates[id].first().copied();
    let span = first_plate.map(|plate| setting.breakdown.plates[plate].named.span);
    let mut told: Vec<&str> = Vec::new();
    for &(day, clash) in clashes {
        let kind = match clash {
            Clash::Window => "window",
            Clash::Wrap => "wrap",
            Clash::Meal => "meal",
            Clash::Charge(_) => "charge",
            Clash::Card(_) => "card",
            Clash::State(_) => "state",
        };
        if told.contains(&kind) {
            continue;
        }
        told.push(kind);
        match clash {
            Clash::Window => reasons.extend(no_window(setting, built, id)),
            Clash::Wrap => reasons.push((
                format!(
                    "its {} min with the way there, fitting, packing and the way back end after the latest wrap at {}",
                    block.work(),
                    Minute(built.problem.days[day].wrap).clock(&setting.zone)
                ),
                span,
            )),
            Clash::Meal => reasons.push((
                format!("its {} min leave no moment for a meal in time", block.work()),
                span,
            )),
            Clash::Charge(store) => reasons.extend(no_charge(setting, built, id, store)),
            Clash::Card(_) => reasons.push(("it records more than all cards of its camera hold".into(), span)),
            Clash::State(var) => {
                let word = built.timeline.name(setting.model, var);
                reasons.push((format!("{word} would have to go back, and has neither reset nor spare"), span));
            }
        }
    }
    reasons
}

/// Why no day has a window that is long enough.
fn no_window(setting: &Setting<'_>, built: &Built, id: BlockId) -> Reasons {
    let block = &built.problem.blocks[id];
    let class = &built.problem.classes[block.class];
    let allowed = |day: &DayId| {
        use crate::model::arena::Id;
        day.index() >= block.first && day.index() <= block.last
    };
    let longest = built
        .problem
        .days
        .ids()
        .filter(allowed)
        .flat_map(|day| &class.days[day].windows)
        .map(|window| window.to - window.from)
        .max();
    match longest {
        Some(longest) => vec![(
            format!(
                "it takes {} min in one piece, and its longest window on any allowed day is {longest} min",
                block.work()
            ),
            built.plates[id].first().map(|&plate| setting.breakdown.plates[plate].lasts.span),
        )],
        None => no_overlap(setting, built, id),
    }
}

/// The limits that leave no time together on the first allowed day.
fn no_overlap(setting: &Setting<'_>, built: &Built, id: BlockId) -> Reasons {
    let block = &built.problem.blocks[id];
    let days: Vec<usize> =
        (0..setting.days.len()).filter(|day| (block.first..=block.last).contains(day)).collect();
    let limits_on = |day: usize| -> Vec<&Limit> {
        let plates = built.rolling.whole(&built.plates[id]);
        let limits = plates.filter_map(|plate| setting.limits(plate, day));
        limits.flat_map(|limits: &Limits| &limits.each).collect()
    };
    // The day that comes nearest says most: the one on which the fewest limits bar everything.
    let closed = |day: &usize| limits_on(*day).iter().filter(|limit| limit.windows.is_empty()).count();
    let Some(&day) = days.iter().min_by_key(|day| closed(day)) else {
        return vec![("no allowed day is late enough for what it waits for".into(), None)];
    };
    let each = limits_on(day);
    let date = setting.days.get(day).map_or(String::new(), |day| day.date.to_string());
    let tail = if days.len() > 1 { ", nor on any other allowed day" } else { "" };
    if let Some(none) = each.iter().find(|limit| limit.windows.is_empty()) {
        return vec![(format!("{}: not on {date}{tail}", none.what), none.span)];
    }
    for (at, one) in each.iter().enumerate() {
        for other in each.iter().skip(at + 1) {
            if both(&one.windows, &other.windows).is_empty() {
                let text = |limit: &Limit| format!("{} ({})", limit.what, hours(setting, &limit.windows));
                let sentence = format!("{} and {} do not overlap on {date}{tail}", text(one), text(other));
                return vec![(sentence, one.span), (format!("{} is the other side", other.what), other.span)];
            }
        }
    }
    each.iter()
        .map(|limit| {
            (
                format!(
                    "{} ({}) leaves no time with the others on {date}{tail}",
                    limit.what,
                    hours(setting, &limit.windows)
                ),
                limit.span,
            )
        })
        .collect()
}

/// Windows as clock times.
pub(crate) fn hours(setting: &Setting<'_>, windows: &[Window]) -> String {
    let clock = |at: i64| Minute(at).clock(&setting.zone);
    let each: Vec<String> =
        windows.iter().map(|window| format!("{} to {}", clock(window.from), clock(window.to))).collect();
    each.join(", ")
}

/// Which take, group or plate outlasts what is charged.
fn no_charge(
    setting: &Setting<'_>,
    built: &Built,
    id: BlockId,
    store: super::shoot::problem::StoreId,
) -> Reasons {
    let name = match (built.cameras.get(&store), built.rigs.get(&store)) {
        (Some(&camera), _) => format!("a battery of {}", setting.model.cameras[camera].named.label()),
        (_, Some(&rig)) => format!("a pack of {}", setting.model.rigs[rig].named.label()),
        _ => "a pack".into(),
    };
    let holds = built.problem.stores[store].holds;
    let plates = &built.plates[id];
    let long = plates.iter().find(|plate| recorded(&setting.breakdown.plates[**plate]) > holds);
    let span = plates.first().map(|&plate| setting.breakdown.plates[plate].lasts.span);
    let whole: i64 = built.problem.blocks[id]
        .draws
        .iter()
        .filter(|draw| draw.store == store)
        .map(|draw| draw.piece.saturating_mul(draw.times))
        .fold(0, i64::saturating_add);
    // A reserve is kept back, so what can be used is less than what the line says.
    let held = format!("{} usable", Seconds(holds as f64));
    if let Some(&long) = long {
        let plate = &setting.breakdown.plates[long];
        let takes = Seconds(seconds(plate.lasts.value) as f64);
        return vec![(
            format!("one take of {} lasts {takes}, longer than {name} ({held})", setting.name(long)),
            Some(plate.lasts.span),
        )];
    }
    let total = Seconds(whole as f64);
    if plates.len() > 1 || built.problem.blocks[id].draws.iter().any(|draw| draw.piece == whole) {
        return vec![(
            format!(
                "its locked group records {total} in all and may not be opened for a change, longer than {name} ({held})"
            ),
            span,
        )];
    }
    vec![(
        format!(
            "its takes need {total}, more than every pack gives with the charging that fits: {name} holds {held}"
        ),
        span,
    )]
}

/// A locked group that names more than one place, rig or mode.
fn mixed_group(setting: &Setting<'_>, built: &Built, id: BlockId) -> Reasons {
    let plates = &built.plates[id];
    let Some(&first) = plates.first() else { return Vec::new() };
    let one = &setting.breakdown.plates[first];
    let differs = |plate: &&PlateId| {
        let other = &setting.breakdown.plates[**plate];
        (other.place, other.rig, other.mode) != (one.place, one.rig, one.mode)
    };
    match plates.iter().find(differs) {
        None => Vec::new(),
        Some(&other) => vec![(
            format!(
                "it is in one locked group with {}, but place, rig or camera mode differ",
                setting.name(other)
            ),
            Some(setting.breakdown.plates[other].named.span),
        )],
    }
}

/// Blocks that would each have to come before the other.
fn circles(setting: &Setting<'_>, built: &Built, found: &mut BTreeMap<BlockId, Reasons>) {
    let mut graph: DiGraph<BlockId, ()> = DiGraph::new();
    let nodes: BTreeMap<BlockId, _> = built.problem.blocks.ids().map(|id| (id, graph.add_node(id))).collect();
    for (id, block) in built.problem.blocks.iter() {
        for before in &block.before {
            if let (Some(&from), Some(&to)) = (nodes.get(before), nodes.get(&id)) {
                graph.add_edge(from, to, ());
            }
        }
    }
    for circle in tarjan_scc(&graph) {
        if circle.len() < 2 {
            continue;
        }
        let mut blocks: Vec<BlockId> =
            circle.iter().filter_map(|&node| graph.node_weight(node)).copied().collect();
        blocks.sort_unstable();
        let names: Vec<String> = blocks
            .iter()
            .filter_map(|&block| built.plates[block].first())
            .map(|&plate| setting.name(plate))
            .collect();
        let text = format!(
            "each of {} would have to be shot before the other: a locked group, a state or a line binds them so",
            names.join(", ")
        );
        for block in blocks {
            let span = built.plates[block].first().map(|&plate| setting.breakdown.plates[plate].named.span);
            found.entry(block).or_insert_with(|| vec![(text.clone(), span)]);
        }
    }
}
