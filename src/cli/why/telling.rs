//! Answers about one compiled sequence.

use super::answer::{Answer, Named, Said, Step};
use petgraph::Direction;
use petgraph::graph::NodeIndex;
use petgraph::visit::EdgeRef;
use seamster::Compiled;
use seamster::graph::{self, Node, Reason};
use seamster::model::Origin;
use seamster::order::explain::{Chain, Change, Explainer, LinkKind};
use seamster::order::{Effort, Minute, Unplanned};
use seamster::source::Span;

/// A compiled sequence, ready to tell of.
pub(super) struct Telling<'a> {
    pub(super) compiled: &'a Compiled,
    pub(super) explainer: Explainer<'a>,
    zone: jiff::tz::TimeZone,
}

impl<'a> Telling<'a> {
    /// Of that sequence; `effort` is how hard other plans are looked for.
    pub(super) fn of(compiled: &'a Compiled, effort: Effort) -> Self {
        let zone = jiff::tz::TimeZone::get(&compiled.model.sequence.zone).unwrap_or(jiff::tz::TimeZone::UTC);
        let Compiled { model, breakdown, work, plan, .. } = compiled;
        Self { compiled, explainer: Explainer::new(model, breakdown, work, plan, effort), zone }
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

    /// One node; with `all` everything that it waits for, at any distance.
    pub(super) fn node(&self, node: Node, all: bool) -> Answer {
        let mut answer = self.head(node);
        match node {
            Node::Plate(id) => self.plate(id, &mut answer),
            Node::Pass(id) => self.pass(id, &mut answer),
            Node::Join(id) => self.join(id, &mut answer),
            Node::Asset(_) | Node::Lock | Node::Delivery => self.moment(node, &mut answer),
        }
        if let Some(at) = graph::index(&self.compiled.work, node) {
            answer.waits_for = if all { self.everything(node) } else { self.waits(at) };
            answer.waited_for_by = self.awaited(at);
        }
        answer
    }

    pub(super) fn name(&self, node: Node) -> &'a str {
        graph::name(node, &self.compiled.model, &self.compiled.breakdown)
    }

    pub(super) fn label(&self, node: Node) -> String {
        graph::label(node, &self.compiled.model, &self.compiled.breakdown)
    }

    /// An answer that says nothing yet but what is asked about.
    fn head(&self, node: Node) -> Answer {
        let Compiled { model, breakdown, .. } = self.compiled;
        let mut answer = Answer::about(self.name(node).to_owned(), self.label(node), "plate");
        let span = match node {
            Node::Plate(id) => match &breakdown.plates[id].origin {
                Origin::Written => Some(breakdown.plates[id].named.span),
                Origin::Owed { effect, role, because } => {
                    let owed = format!("owed to {} as '{role}'", model.effects[*effect].named.path);
                    answer.about = Some(owed);
                    Some(*because)
                }
            },
            Node::Asset(id) => Some(model.assets[id].named.span),
            Node::Join(id) => Some(model.joins[id].named.span),
            Node::Pass(id) => {
                let pass = &breakdown.passes[id];
                let after = pass.after.words();
                let after = if after.is_empty() { after } else { format!(", then {after}") };
                let rank = pass.priority.map_or(String::new(), |priority| match priority.beat {
                    Some(beat) => {
                        format!(", priority {} of '{}'", priority.rank, model.beats[beat].named.label())
                    }
                    None => format!(", priority {}", priority.rank),
                });
                answer.about = Some(format!("{} of {}{after}{rank}", pass.effort, pass.department));
                Some(pass.span)
            }
            Node::Lock | Node::Delivery => None,
        };
        (answer.kind, answer.line) = (kind(node), span.map(|span| self.at(span)));
        answer
    }

    /// What keeps something out of the plan.
    pub(super) fn unplanned<T>(&self, left: Option<&Unplanned<T>>, answer: &mut Answer) {
        for (reason, span) in left.iter().flat_map(|left| &left.reasons) {
            answer.because.push(self.said(reason.clone(), *span));
        }
    }

    /// A chain as steps, the nearest to its time first.
    pub(super) fn steps(&self, chain: &Chain) -> Vec<Step> {
        // A day of the shoot is known from the head; at the desk a chain goes over many.
        let dated = chain
            .links
            .iter()
            .any(|link| matches!(link.kind, LinkKind::Pass(_) | LinkKind::After(..) | LinkKind::Night));
        let mut steps = self.undated(chain);
        if dated {
            for (step, at) in
                steps.iter_mut().zip(chain.links.iter().map(|link| link.from).chain([chain.anchor.at]))
            {
                step.clock = self.when(Some(at));
            }
        }
        steps
    }

    fn undated(&self, chain: &Chain) -> Vec<Step> {
        let links = chain.links.iter().map(|link| self.step((link.from, link.to), &link.text, link.span));
        let anchor = &chain.anchor;
        links.chain([self.step((anchor.at, anchor.at), &anchor.text, anchor.span)]).collect()
    }

    pub(super) fn step(&self, (from, to): (Minute, Minute), text: &str, span: Option<Span>) -> Step {
        Step {
            from: self.stamp(from),
            to: self.stamp(to),
            text: text.to_owned(),
            line: span.map(|span| self.at(span)),
            clock: self.clock(from),
        }
    }

    /// A change and what it gives.
    pub(super) fn said(&self, text: String, span: Option<Span>) -> Said {
        Said { text, line: span.map(|span| self.at(span)) }
    }

    pub(super) fn change(&self, change: &Change) -> String {
        change.words(&self.compiled.model, &self.compiled.breakdown)
    }

    fn waits(&self, at: NodeIndex) -> Vec<Named> {
        let work = &self.compiled.work;
        let mut edges: Vec<_> = work.edges_directed(at, Direction::Incoming).collect();
        edges.sort_by_key(|edge| (edge.source(), edge.id()));
        let named = |edge: petgraph::graph::EdgeReference<'_, Reason>| {
            Some(self.named(*work.node_weight(edge.source())?, 1, edge.weight()))
        };
        edges.into_iter().filter_map(named).collect()
    }

    fn everything(&self, node: Node) -> Vec<Named> {
        let links = graph::chain(&self.compiled.work, node).into_iter();
        links
            .map(|link| {
                let mut named = self.named(link.node, link.depth, &link.reason);
                if link.seen {
                    named.text.push_str("; told above");
                }
                named
            })
            .collect()
    }

    fn awaited(&self, at: NodeIndex) -> Vec<Named> {
        let work = &self.compiled.work;
        let mut after: Vec<NodeIndex> = work.neighbors_directed(at, Direction::Outgoing).collect();
        after.sort();
        after.dedup();
        let nodes = after.into_iter().filter_map(|at| work.node_weight(at).copied());
        let silent = |node: Node| Named {
            name: self.name(node).to_owned(),
            title: self.label(node),
            depth: 1,
            text: String::new(),
            line: None,
        };
        nodes.map(silent).collect()
    }

    fn named(&self, node: Node, depth: usize, reason: &Reason) -> Named {
        Named {
            name: self.name(node).to_owned(),
            title: self.label(node),
            depth,
            text: reason.text.clone(),
            line: reason.span.map(|span| self.at(span)),
        }
    }

    pub(super) fn at(&self, span: Span) -> String {
        self.compiled.sources.at(span)
    }

    /// When a node is done; of what takes no time itself, when the last is done that it waits for.
    pub(super) fn finish(&self, at: NodeIndex) -> Option<Minute> {
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

    pub(super) fn when(&self, at: Option<Minute>) -> String {
        at.map_or("not planned".into(), |at| format!("{} {}", self.date(at), self.clock(at)))
    }

    pub(super) fn date(&self, at: Minute) -> jiff::civil::Date {
        at.civil(&self.zone).date()
    }

    pub(super) fn clock(&self, at: Minute) -> String {
        at.clock(&self.zone)
    }

    /// Local date and clock for programs: `2027-05-14T06:42`.
    pub(super) fn stamp(&self, at: Minute) -> String {
        format!("{}T{}", self.date(at), self.clock(at))
    }
}

fn kind(node: Node) -> &'static str {
    match node {
        Node::Plate(_) => "plate",
        Node::Asset(_) => "asset",
        Node::Pass(_) => "pass",
        Node::Join(_) => "join",
        Node::Lock => "lock",
        Node::Delivery => "delivery",
    }
}
