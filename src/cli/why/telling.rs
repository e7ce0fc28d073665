//! Times and reasons of one compiled sequence, in words.

use petgraph::Direction;
use petgraph::graph::NodeIndex;
use petgraph::visit::EdgeRef;
use seamster::Compiled;
use seamster::graph::{self, Node, Reason};
use seamster::model::Origin;
use seamster::order::{Assignment, Minute, StepKind, Unplanned};
use seamster::recipe::PassId;
use std::fmt::Write;

/// How many of the things that wait are named.
const NAMED: usize = 12;

/// A compiled sequence, ready to tell of.
pub(super) struct Telling<'a> {
    compiled: &'a Compiled,
    zone: jiff::tz::TimeZone,
}

impl<'a> Telling<'a> {
    /// Of that sequence.
    pub(super) fn of(compiled: &'a Compiled) -> Self {
        let zone = jiff::tz::TimeZone::get(&compiled.model.sequence.zone).unwrap_or(jiff::tz::TimeZone::UTC);
        Self { compiled, zone }
    }

    /// Everything that can be asked about.
    pub(super) fn names(&self) -> Vec<String> {
        let Compiled { model, breakdown, .. } = self.compiled;
        let mut names: Vec<String> = vec!["lock".into(), "delivery".into()];
        names.extend(model.beats.iter().map(|(_, beat)| beat.named.path.clone()));
        names.extend(breakdown.plates.iter().map(|(_, plate)| plate.named.path.clone()));
        names.extend(model.effects.iter().map(|(_, effect)| effect.named.path.clone()));
        names.extend(model.joins.iter().map(|(_, join)| join.named.path.clone()));
        names.extend(model.assets.iter().map(|(_, asset)| asset.named.path.clone()));
        names.extend(breakdown.passes.iter().map(|(_, pass)| pass.path.clone()));
        names
    }

    /// Every node with its time, in order of time.
    pub(super) fn every_name(&self) -> String {
        let work = &self.compiled.work;
        let mut rows: Vec<(Option<Minute>, String)> = work
            .node_indices()
            .filter_map(|at| work.node_weight(at).map(|node| (at, *node)))
            .map(|(at, node)| {
                (self.finish(at), format!("{:<16}  {}", self.when(self.finish(at)), self.name(node)))
            })
            .collect();
        rows.sort_by(|a, b| (a.0.is_none(), a.0, &a.1).cmp(&(b.0.is_none(), b.0, &b.1)));
        rows.into_iter().map(|(_, row)| row + "\n").collect()
    }

    /// One node: when, why then, after what, before what, with how much room.
    pub(super) fn node(&self, node: Node, all: bool) -> String {
        let mut text = String::new();
        let _ = writeln!(text, "{}", self.head(node));
        self.planned(node, &mut text);
        let Some(at) = graph::index(&self.compiled.work, node) else { return text };
        self.held(at, &mut text);
        if all {
            self.everything(node, &mut text);
        } else {
            self.waits(at, &mut text);
        }
        self.awaited(at, &mut text);
        text
    }

    fn name(&self, node: Node) -> &'a str {
        graph::name(node, &self.compiled.model, &self.compiled.breakdown)
    }

    fn head(&self, node: Node) -> String {
        let Compiled { model, breakdown, sources, .. } = self.compiled;
        let name = self.name(node);
        match node {
            Node::Plate(id) => {
                let plate = &breakdown.plates[id];
                let owed = match &plate.origin {
                    Origin::Written => String::new(),
                    Origin::Owed { effect, role, because } => format!(
                        ", owed to {} as '{role}' ({})",
                        model.effects[*effect].named.path,
                        sources.at(*because)
                    ),
                };
                match owed.as_str() {
                    "" => format!("{name}: {} ({})", plate.named.label(), sources.at(plate.named.span)),
                    owed => format!("{name}: {}{owed}", plate.named.label()),
                }
            }
            Node::Asset(id) => format!(
                "{name}: {} ({})",
                model.assets[id].named.label(),
                sources.at(model.assets[id].named.span)
            ),
            Node::Join(id) => format!("{name}: a join ({})", sources.at(model.joins[id].named.span)),
            Node::Pass(id) => {
                let pass = &breakdown.passes[id];
                format!(
                    "{name}: {}, {} of {} ({})",
                    pass.title,
                    pass.effort,
                    pass.department,
                    sources.at(pass.span)
                )
            }
            Node::Lock => "lock: the picture no longer changes".into(),
            Node::Delivery => "delivery: everything is done".into(),
        }
    }

    /// When it is, and the plan's own reasons.
    fn planned(&self, node: Node, text: &mut String) {
        match node {
            Node::Plate(id) => {
                let shoot = &self.compiled.plan.shoot;
                match shoot
                    .shot
                    .get(&id)
                    .and_then(|(day, start, end)| Some((shoot.days.get(*day)?, *day, *start, *end)))
                {
                    Some((day, count, start, end)) => {
                        let clocks = format!("{} to {}", start.clock(&self.zone), end.clock(&self.zone));
                        let _ = writeln!(text, "  shot on day {}, {}, {clocks}", count + 1, day.date);
                        let step = day.steps.iter().find(|step| step.kind == StepKind::Shoot(id));
                        for because in step.iter().flat_map(|step| &step.because) {
                            let _ = writeln!(text, "    {because}");
                        }
                    }
                    None => self.unplanned(shoot.unplanned.iter().find(|left| left.what == id), text),
                }
            }
            Node::Pass(id) => self.assigned(id, text),
            _ => {
                let end = graph::index(&self.compiled.work, node).and_then(|at| self.finish(at));
                let _ = writeln!(text, "  done {}", self.when(end));
            }
        }
    }

    fn assigned(&self, id: PassId, text: &mut String) {
        let desk = &self.compiled.plan.desk;
        match (self.assignment(id), desk.done.get(&id)) {
            (Some(work), _) => {
                let who = self.compiled.model.desks[work.desk].named.label();
                let (start, end) = (self.when(Some(work.start)), self.when(Some(work.end)));
                let _ = writeln!(text, "  {start} to {end}, {who}");
                if !work.because.is_empty() {
                    let _ = writeln!(text, "    {}", work.because);
                }
            }
            (None, Some(done)) => {
                let _ = writeln!(text, "  done {}", self.when(Some(*done)));
            }
            (None, None) => self.unplanned(desk.unplanned.iter().find(|left| left.what == id), text),
        }
        match desk.float.get(&id) {
            _ if desk.critical.contains(&id) => text.push_str("  cannot slip without moving the finish\n"),
            Some(float) if float.0 > 0.0 => {
                let _ = writeln!(text, "  can slip by {float} without moving the finish");
            }
            _ => {}
        }
    }

    fn unplanned<T>(&self, left: Option<&Unplanned<T>>, text: &mut String) {
        text.push_str("  not planned\n");
        for (reason, span) in left.iter().flat_map(|left| &left.reasons) {
            let line = span.map(|span| format!(" ({})", self.compiled.sources.at(span))).unwrap_or_default();
            let _ = writeln!(text, "    {reason}{line}");
        }
    }

    /// From what comes last before it, back to what waits for nothing.
    fn held(&self, from: NodeIndex, text: &mut String) {
        let mut at = from;
        let mut begun = false;
        while let Some((before, reason)) = self.last_before(at) {
            if !begun {
                text.push_str("  the chain that leads to it, latest first\n");
                begun = true;
            }
            let Some(&node) = self.compiled.work.node_weight(before) else { return };
            let _ = writeln!(
                text,
                "    {:<16}  {}: {}",
                self.when(self.finish(before)),
                self.name(node),
                self.told(reason)
            );
            at = before;
        }
    }

    /// Of all that a node waits for, what ends last.
    fn last_before(&self, at: NodeIndex) -> Option<(NodeIndex, &'a Reason)> {
        let work = &self.compiled.work;
        let edges = work.edges_directed(at, Direction::Incoming);
        let ends = edges.filter_map(|edge| Some((self.finish(edge.source())?, edge.source(), edge.weight())));
        ends.max_by_key(|(end, source, _)| (*end, std::cmp::Reverse(*source)))
            .map(|(_, source, reason)| (source, reason))
    }

    fn waits(&self, at: NodeIndex, text: &mut String) {
        let work = &self.compiled.work;
        let mut edges: Vec<_> = work.edges_directed(at, Direction::Incoming).collect();
        edges.sort_by_key(|edge| (edge.source(), edge.id()));
        let rows = edges.iter().filter_map(|edge| Some((*work.node_weight(edge.source())?, edge.weight())));
        let rows: Vec<String> =
            rows.map(|(node, reason)| format!("    {}: {}\n", self.name(node), self.told(reason))).collect();
        if rows.is_empty() {
            text.push_str("  waits for nothing\n");
        } else {
            let _ = write!(text, "  waits for\n{}", rows.concat());
        }
    }

    fn everything(&self, node: Node, text: &mut String) {
        let links = graph::chain(&self.compiled.work, node);
        let head = if links.is_empty() { "  waits for nothing\n" } else { "  waits for\n" };
        text.push_str(head);
        for link in links {
            let seen = if link.seen { "; told above" } else { "" };
            let name = self.name(link.node);
            let _ = writeln!(text, "  {}{name}: {}{seen}", "  ".repeat(link.depth), self.told(&link.reason));
        }
    }

    fn awaited(&self, at: NodeIndex, text: &mut String) {
        let work = &self.compiled.work;
        let mut after: Vec<NodeIndex> = work.neighbors_directed(at, Direction::Outgoing).collect();
        after.sort();
        after.dedup();
        let names: Vec<&str> = after
            .iter()
            .take(NAMED)
            .filter_map(|at| work.node_weight(*at))
            .map(|node| self.name(*node))
            .collect();
        if !names.is_empty() {
            let more = after.len().saturating_sub(NAMED);
            let more = if more > 0 { format!(" and {more} more") } else { String::new() };
            let _ = writeln!(text, "  waited for by\n    {}{more}", names.join(", "));
        }
    }

    /// Why, with the line behind it.
    fn told(&self, reason: &Reason) -> String {
        let line =
            reason.span.map(|span| format!(" ({})", self.compiled.sources.at(span))).unwrap_or_default();
        format!("{}{line}", reason.text)
    }

    fn assignment(&self, id: PassId) -> Option<&'a Assignment> {
        self.compiled.plan.desk.work.iter().find(|work| work.pass == id)
    }

    /// When a node is done; of what takes no time itself, when the last is done that it waits for.
    fn finish(&self, at: NodeIndex) -> Option<Minute> {
        let Compiled { plan, work, .. } = self.compiled;
        let own = |at: NodeIndex| match work.node_weight(at)? {
            Node::Plate(id) => plan.shoot.shot.get(id).map(|(_, _, end)| *end),
            Node::Pass(id) => plan.desk.done.get(id).copied(),
            Node::Delivery => plan.desk.finish,
            _ => None,
        };
        own(at).or_else(|| match work.node_weight(at)? {
            Node::Plate(_) | Node::Pass(_) => None,
            _ => work.neighbors_directed(at, Direction::Incoming).filter_map(own).max(),
        })
    }

    fn when(&self, at: Option<Minute>) -> String {
        at.map_or("not planned".into(), |at| {
            format!("{} {}", at.civil(&self.zone).date(), at.clock(&self.zone))
        })
    }

    /// A planned day: `day 1`, `1` or its date; `None` where the word is none of these.
    pub(super) fn day(&self, word: &str) -> Option<String> {
        let days = &self.compiled.plan.shoot.days;
        let number = word.trim_start_matches("day").trim().parse::<usize>().ok();
        let at = days
            .iter()
            .position(|day| day.date.to_string() == word)
            .or_else(|| number.and_then(|number| number.checked_sub(1)).filter(|at| *at < days.len()))?;
        let day = days.get(at)?;
        let mut text = format!(
            "day {}, {}: call {}, packed {}\n",
            at + 1,
            day.date,
            day.call.clock(&self.zone),
            day.wrap.clock(&self.zone)
        );
        for step in &day.steps {
            let clocks = format!("{} to {}", step.start.clock(&self.zone), step.end.clock(&self.zone));
            let _ = writeln!(text, "  {clocks}  {}", self.step(&step.kind));
            for because in &step.because {
                let _ = writeln!(text, "                    {because}");
            }
        }
        Some(text)
    }

    fn step(&self, kind: &StepKind) -> String {
        let Compiled { model, breakdown, plan, .. } = self.compiled;
        match kind {
            StepKind::Move { from, to } => {
                format!("from {} to {}", model.places[*from].named.path, model.places[*to].named.path)
            }
            StepKind::Fit(setup) => {
                let setup = &plan.shoot.setups[*setup];
                format!("fit {} on {}", model.modes[setup.mode].named.path, model.rigs[setup.rig].named.path)
            }
            StepKind::Shoot(plate) => format!("shoot {}", breakdown.plates[*plate].named.path),
            StepKind::Reset { from, to, .. } => format!("bring {from} back to {to}"),
            StepKind::Wait => "wait".into(),
            StepKind::Meal => "meal".into(),
            StepKind::Charge { .. } => "wait for charge".into(),
            StepKind::Pack => "pack, and back to base".into(),
        }
    }
}
