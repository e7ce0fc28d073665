//! Circles: found, told with their lines, and opened.
//!
//! In: nodes and edges. Out: an acyclic graph. For each circle the shortest
//! chain of lines is reported, then every edge of the last of these lines is
//! left out.

use super::build::Edge;
use super::{Node, Work};
use crate::diagnostic::{Diagnostic, codes};
use crate::source::Span;
use petgraph::algo::tarjan_scc;
use petgraph::graph::NodeIndex;
use petgraph::visit::EdgeRef;
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// How many written edges of one knot are tried for the shortest circle.
const TRIED: usize = 200;

/// Makes the graph; reports and opens circles.
pub(super) fn open(nodes: Vec<Node>, mut edges: Vec<Edge>, diagnostics: &mut Vec<Diagnostic>) -> Work {
    // Each round leaves out at least one edge, so this ends.
    loop {
        let (work, written) = assemble(&nodes, &edges);
        let knots: Vec<BTreeSet<NodeIndex>> = tarjan_scc(&work)
            .into_iter()
            .filter(|knot| knot.len() > 1)
            .map(|knot| knot.into_iter().collect())
            .collect();
        if knots.is_empty() {
            return work;
        }
        let mut circles: Vec<Vec<Pair>> = knots.iter().map(|knot| shortest(&work, &written, knot)).collect();
        circles.sort_by_key(|circle| (circle.len(), circle.first().copied()));
        let mut opened: Vec<Cut> = Vec::new();
        for circle in circles {
            // The same lines can close a circle on the shoot and one at the desk.
            let again = circle.iter().any(|&pair| opened.iter().any(|cut| cut.takes(&work, &written, pair)));
            if !again {
                opened.extend(report(&work, &written, &circle, diagnostics));
            }
        }
        edges.retain(|edge| {
            !opened.iter().any(|cut| cut.is(edge.from, edge.to, edge.written, edge.reason.span))
        });
    }
}

/// What is left out to open a circle.
enum Cut {
    Line(Span),
    Edge(Node, Node),
}

impl Cut {
    fn is(&self, from: Node, to: Node, written: bool, span: Option<Span>) -> bool {
        match *self {
            Cut::Line(line) => written && span == Some(line),
            Cut::Edge(one, other) => (one, other) == (from, to),
        }
    }

    fn takes(&self, work: &Work, written: &BTreeSet<Pair>, (from, to): Pair) -> bool {
        let span =
            work.find_edge(from, to).and_then(|edge| work.edge_weight(edge)).and_then(|reason| reason.span);
        match (work.node_weight(from), work.node_weight(to)) {
            (Some(&one), Some(&other)) => self.is(one, other, written.contains(&(from, to)), span),
            _ => false,
        }
    }
}

type Pair = (NodeIndex, NodeIndex);

fn assemble(nodes: &[Node], edges: &[Edge]) -> (Work, BTreeSet<Pair>) {
    let mut work = Work::with_capacity(nodes.len(), edges.len());
    let index: BTreeMap<Node, NodeIndex> = nodes.iter().map(|&node| (node, work.add_node(node))).collect();
    let mut written = BTreeSet::new();
    for edge in edges {
        if let (Some(&from), Some(&to)) = (index.get(&edge.from), index.get(&edge.to)) {
            work.add_edge(from, to, edge.reason.clone());
            if edge.written {
                written.insert((from, to));
            }
        }
    }
    (work, written)
}

/// The shortest circle in a knot, as its edges in order; the first by place where several are as short.
fn shortest(work: &Work, written: &BTreeSet<Pair>, knot: &BTreeSet<NodeIndex>) -> Vec<Pair> {
    let inside = |&(from, to): &Pair| knot.contains(&from) && knot.contains(&to);
    let mut tries: Vec<Pair> = written.iter().copied().filter(inside).take(TRIED).collect();
    if tries.is_empty() {
        let all = work.edge_references().map(|edge| (edge.source(), edge.target()));
        tries = all.filter(inside).take(TRIED).collect();
    }
    let mut best: Vec<Pair> = Vec::new();
    for (from, to) in tries {
        let mut circle = way(work, to, from, knot);
        circle.push((from, to));
        if best.is_empty() || circle.len() < best.len() {
            best = circle;
        }
    }
    best
}

/// The shortest way between two nodes of a knot, as edges.
fn way(work: &Work, start: NodeIndex, goal: NodeIndex, knot: &BTreeSet<NodeIndex>) -> Vec<Pair> {
    let mut came: BTreeMap<NodeIndex, NodeIndex> = BTreeMap::new();
    let mut open = VecDeque::from([start]);
    while let Some(at) = open.pop_front() {
        if at == goal {
            break;
        }
        let mut next: Vec<NodeIndex> = work.neighbors(at).filter(|next| knot.contains(next)).collect();
        next.sort_unstable();
        for next in next {
            if next != start && !came.contains_key(&next) {
                came.insert(next, at);
                open.push_back(next);
            }
        }
    }
    let mut edges = Vec::new();
    let mut at = goal;
    while let Some(&before) = came.get(&at) {
        edges.push((before, at));
        at = before;
    }
    edges.reverse();
    edges
}

/// Reports a circle; gives what to leave out.
fn report(
    work: &Work,
    written: &BTreeSet<Pair>,
    circle: &[Pair],
    diagnostics: &mut Vec<Diagnostic>,
) -> Option<Cut> {
    // Told as people say it: what waits first, then what it waits for.
    let mut lines: Vec<(Span, String)> = Vec::new();
    let mut between: Vec<String> = Vec::new();
    for &(from, to) in circle.iter().rev() {
        let reason = work.find_edge(from, to).and_then(|edge| work.edge_weight(edge))?;
        match reason.span {
            Some(span) if written.contains(&(from, to)) => {
                if !lines.contains(&(span, reason.text.clone())) {
                    lines.push((span, reason.text.clone()));
                }
            }
            _ => between.push(format!("in between: {}", reason.text)),
        }
    }
    let Some(first) = lines.iter().map(|(span, _)| *span).min() else {
        let &(from, to) = circle.last()?;
        let message = "recipes ask for work that waits for itself";
        let mut diagnostic = Diagnostic::new(codes::CYCLE, None, message);
        diagnostic.notes = between;
        diagnostics.push(diagnostic);
        return Some(Cut::Edge(*work.node_weight(from)?, *work.node_weight(to)?));
    };
    let start = lines.iter().position(|(span, _)| *span == first).unwrap_or(0);
    lines.rotate_left(start);
    let texts: Vec<&str> = lines.iter().map(|(_, text)| text.as_str()).collect();
    let message = match texts.as_slice() {
        [one] => format!("{one}, and that cannot be done before it: a circle"),
        many => format!("{}: a circle", many.join(", ")),
    };
    let mut diagnostic = Diagnostic::new(codes::CYCLE, first, message)
        .label("closes the circle")
        .help("remove one of these lines");
    for (span, text) in lines.iter().filter(|(span, _)| *span != first) {
        diagnostic = diagnostic.other(*span, text);
    }
    diagnostic.notes = between;
    diagnostics.push(diagnostic);
    lines.iter().map(|(span, _)| *span).max().map(Cut::Line)
}
