//! The critical path: earliest and latest times of work whose durations are
//! known, people and days left aside.
//!
//! In: any acyclic graph and a duration for each node, in whole units of the
//! caller's choice. Out: [`CriticalPath`]. Forward and backward pass as in Kelley
//! and Walker, "Critical-path planning and scheduling" (1959).

use petgraph::Direction;
use petgraph::algo::toposort;
use petgraph::graph::{DiGraph, NodeIndex};

/// When something can start and must be finished, counted from the start of all work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Times {
    /// No earlier start is possible.
    pub earliest_start: i64,
    /// Earliest start plus duration.
    pub earliest_finish: i64,
    /// Latest finish less duration.
    pub latest_start: i64,
    /// A later finish would move the end of all work.
    pub latest_finish: i64,
}

impl Times {
    /// How far it can slip without moving the end of all work (total float); never negative.
    pub fn float(&self) -> i64 {
        self.latest_start - self.earliest_start
    }
}

/// The times of every node, and what holds the end.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct CriticalPath {
    /// By node index.
    pub times: Vec<Times>,
    /// From the start of the first to the end of the last.
    pub length: i64,
    /// One longest chain, from its start to the end; of several, the one with the smallest indices.
    pub path: Vec<NodeIndex>,
}

impl CriticalPath {
    /// The times of one node; zero for one that is not in the graph.
    pub fn at(&self, node: NodeIndex) -> Times {
        self.times.get(node.index()).copied().unwrap_or_default()
    }

    /// Every node that cannot slip, in order of index.
    pub fn critical(&self) -> impl Iterator<Item = NodeIndex> {
        let nodes = self.times.iter().enumerate();
        nodes.filter(|(_, times)| times.float() == 0).map(|(at, _)| NodeIndex::new(at))
    }
}

/// Computes the times; `None` where the graph has a circle. Negative durations count as 0.
pub fn critical<N, E>(graph: &DiGraph<N, E>, duration: impl Fn(NodeIndex) -> i64) -> Option<CriticalPath> {
    let order = toposort(graph, None).ok()?;
    let lasting = |node: NodeIndex| duration(node).max(0);
    let mut result =
        CriticalPath { times: vec![Times::default(); graph.node_count()], ..CriticalPath::default() };
    for &node in &order {
        let before = graph.neighbors_directed(node, Direction::Incoming);
        let start = before.map(|earlier| result.at(earlier).earliest_finish).max().unwrap_or(0);
        let finish = start.saturating_add(lasting(node));
        if let Some(times) = result.times.get_mut(node.index()) {
            (times.earliest_start, times.earliest_finish) = (start, finish);
        }
        result.length = result.length.max(finish);
    }
    for &node in order.iter().rev() {
        let after = graph.neighbors_directed(node, Direction::Outgoing);
        let finish = after.map(|later| result.at(later).latest_start).min().unwrap_or(result.length);
        if let Some(times) = result.times.get_mut(node.index()) {
            (times.latest_start, times.latest_finish) = (finish - lasting(node), finish);
        }
    }
    result.path = longest(graph, &result);
    Some(result)
}

/// Walks back from the end along what held each start.
fn longest<N, E>(graph: &DiGraph<N, E>, result: &CriticalPath) -> Vec<NodeIndex> {
    let ends = graph.node_indices().filter(|&node| result.at(node).earliest_finish == result.length);
    let mut path = Vec::new();
    let mut at = ends.filter(|&node| result.at(node).float() == 0).min();
    while let Some(node) = at {
        path.push(node);
        let start = result.at(node).earliest_start;
        let before = graph.neighbors_directed(node, Direction::Incoming);
        at = before.filter(|&earlier| result.at(earlier).earliest_finish == start).min();
    }
    path.reverse();
    path
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// (name, duration, predecessors, es, ef, ls, lf, total float)
    type Row = (&'static str, i64, &'static [&'static str], i64, i64, i64, i64, i64);

    fn graph(rows: &[Row]) -> DiGraph<i64, ()> {
        let mut graph = DiGraph::new();
        let nodes: Vec<NodeIndex> = rows.iter().map(|row| graph.add_node(row.1)).collect();
        for (at, row) in rows.iter().enumerate() {
            for before in row.2 {
                let from = rows.iter().position(|row| row.0 == *before).unwrap();
                graph.add_edge(nodes[from], nodes[at], ());
            }
        }
        graph
    }

    fn agrees(rows: &[Row], length: i64, path: &[&str]) {
        let graph = graph(rows);
        let result = critical(&graph, |node| graph[node]).unwrap();
        assert_eq!(result.length, length);
        for (at, row) in rows.iter().enumerate() {
            let times = result.at(NodeIndex::new(at));
            let found = (
                times.earliest_start,
                times.earliest_finish,
                times.latest_start,
                times.latest_finish,
                times.float(),
            );
            assert_eq!(found, (row.3, row.4, row.5, row.6, row.7), "{}", row.0);
        }
        let found: Vec<&str> = result.path.iter().map(|node| rows[node.index()].0).collect();
        assert_eq!(found, path);
        let critical: Vec<&str> = result.critical().map(|node| rows[node.index()].0).collect();
        assert_eq!(critical, path);
    }

    /// Heizer and Render, "Operations Management", chapter on project management,
    /// the Milwaukee Paper example: published table of times.
    #[test]
    fn milwaukee_paper_as_in_heizer_and_render() {
        agrees(
            &[
                ("A", 2, &[], 0, 2, 0, 2, 0),
                ("B", 3, &[], 0, 3, 1, 4, 1),
                ("C", 2, &["A"], 2, 4, 2, 4, 0),
                ("D", 4, &["A", "B"], 3, 7, 4, 8, 1),
                ("E", 4, &["C"], 4, 8, 4, 8, 0),
                ("F", 3, &["C"], 4, 7, 10, 13, 6),
                ("G", 5, &["D", "E"], 8, 13, 8, 13, 0),
                ("H", 2, &["F", "G"], 13, 15, 13, 15, 0),
            ],
            15,
            &["A", "C", "E", "G", "H"],
        );
    }

    /// B. W. Taylor, "Introduction to Management Science", chapter 8, solved
    /// problem with a dummy of no duration: published table of times.
    #[test]
    fn a_dummy_of_no_duration_as_in_taylor() {
        agrees(
            &[
                ("1-2", 8, &[], 0, 8, 1, 9, 1),
                ("1-3", 10, &[], 0, 10, 0, 10, 0),
                ("1-4", 9, &[], 0, 9, 6, 15, 6),
                ("2-5", 6, &["1-2"], 8, 14, 9, 15, 1),
                ("2-6", 4, &["1-2"], 8, 12, 16, 20, 8),
                ("3-5", 5, &["1-3"], 10, 15, 10, 15, 0),
                ("4-5", 0, &["1-4"], 9, 9, 15, 15, 6),
                ("4-7", 7, &["1-4"], 9, 16, 20, 27, 11),
                ("5-7", 12, &["2-5", "3-5", "4-5"], 15, 27, 15, 27, 0),
                ("5-8", 15, &["2-5", "3-5", "4-5"], 15, 30, 16, 31, 1),
                ("6-9", 18, &["2-6"], 12, 30, 20, 38, 8),
                ("7-8", 4, &["4-7", "5-7"], 27, 31, 27, 31, 0),
                ("8-9", 7, &["5-8", "7-8"], 31, 38, 31, 38, 0),
            ],
            38,
            &["1-3", "3-5", "5-7", "7-8", "8-9"],
        );
    }

    #[test]
    fn a_circle_has_no_critical_path_and_nothing_has_length_zero() {
        let circle = graph(&[("A", 1, &["B"], 0, 0, 0, 0, 0), ("B", 1, &["A"], 0, 0, 0, 0, 0)]);
        assert_eq!(critical(&circle, |_| 1), None);
        assert_eq!(critical(&graph(&[]), |_| 1), Some(CriticalPath::default()));
    }

    proptest! {
        #[test]
        fn float_is_never_negative_and_edges_hold(
            durations in proptest::collection::vec(0i64..50, 1..30),
            links in proptest::collection::vec((0usize..30, 0usize..30), 0..80),
        ) {
            let mut graph = DiGraph::new();
            let nodes: Vec<NodeIndex> = durations.iter().map(|&duration| graph.add_node(duration)).collect();
            for (a, b) in links {
                let (a, b) = (a % nodes.len(), b % nodes.len());
                if a < b {
                    graph.add_edge(nodes[a], nodes[b], ());
                }
            }
            let result = critical(&graph, |node| graph[node]).unwrap();
            for times in &result.times {
                prop_assert!(times.float() >= 0);
                prop_assert!(times.latest_finish <= result.length);
            }
            for edge in graph.edge_indices() {
                let (from, to) = graph.edge_endpoints(edge).unwrap();
                prop_assert!(result.at(from).earliest_finish <= result.at(to).earliest_start);
                prop_assert!(result.at(from).latest_finish <= result.at(to).latest_start);
            }
            let along: i64 = result.path.iter().map(|&node| graph[node]).sum();
            prop_assert_eq!(along, result.length);
        }
    }
}
