//! What waits for what, to be read: pictures by their names, and every line in words.

use super::shape::{Link, count};
use super::work::{Graph, GraphNode, NodeKind};
use crate::packet::exchange::dot::READABLE;
use crate::packet::index::Index;
use crate::packet::pictures::graph::{self, Part};
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeMap;

/// The dependency graph as a document.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Dependencies {
    /// How much there is, and how it is drawn, in a sentence.
    pub about: String,
    /// What the lines and shapes of the pictures mean.
    pub key: Vec<String>,
    /// Names of the pictures that show the whole, from top to bottom, for paper and wide
    /// windows; empty where it is too large to be read.
    pub whole: Vec<String>,
    /// The beats in story order, then what belongs to the whole.
    pub parts: Vec<Dependent>,
}

/// A beat's part.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Dependent {
    /// The beat's title.
    pub title: String,
    /// Names of its pictures for paper and wide windows; empty where the whole is drawn.
    pub wide: Vec<String>,
    /// Name of its picture for phones; empty where it is too large to be read.
    pub narrow: String,
    /// Everything in it, in the order in which it was planned.
    pub nodes: Vec<Waiting>,
}

/// Something that is captured or done, and what it waits for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Waiting {
    /// What it is, with its card where it has one.
    pub what: Link,
    /// Its path, by which others name it.
    pub path: String,
    /// `plate`, `pass`, `asset`, `join`, `lock`, `delivery`.
    pub kind: String,
    /// Whether it sets the day on which the desk is done.
    pub critical: bool,
    /// Paths of what it waits for.
    pub waits: Vec<String>,
    /// Paths of what is only shot before it.
    pub shot_after: Vec<String>,
}

/// What the pictures' lines mean.
const KEY: &[&str] = &[
    "An arrow leads down, from what is waited for to what waits; one that others already say is left out of the picture.",
    "A dashed arrow binds the order of the shoot alone.",
    "Grey with square corners: to be captured. Round corners: a pass at the desk. Cut corners: built at the desk. A line along the lower edge: both sides joined. Two outlines: picture lock, delivery.",
    "A thick outline: sets the day on which the desk is done. A dashed outline: belongs to another beat.",
];

/// The document, and its pictures. `files` are names of cards by path.
pub(crate) fn page(all: &Graph, drawn: &graph::Drawn, files: &BTreeMap<String, String>) -> Dependencies {
    let mut before: BTreeMap<(usize, bool), Vec<String>> = BTreeMap::new();
    for edge in &all.edges {
        let path = all.nodes.get(edge.from).map(|node| node.path.clone());
        before.entry((edge.to, edge.shoot_only)).or_default().extend(path);
    }
    let waits = |at: usize, loose: bool| before.get(&(at, loose)).cloned().unwrap_or_default();
    let mut inside: BTreeMap<&str, Vec<(usize, &GraphNode)>> = BTreeMap::new();
    for (at, node) in all.nodes.iter().enumerate() {
        inside.entry(&node.beat).or_default().push((at, node));
    }
    let told = |(at, node): &(usize, &GraphNode)| Waiting {
        what: Link { text: node.title.clone(), file: files.get(&node.path).cloned().unwrap_or_default() },
        path: node.path.clone(),
        kind: word(node.kind).to_owned(),
        critical: node.critical,
        waits: waits(*at, false),
        shot_after: waits(*at, true),
    };
    let beats = all.beats.iter().map(|beat| (beat.path.as_str(), beat.title.as_str()));
    let parts =
        beats.chain([("", "What belongs to the whole")]).zip(&drawn.parts).map(|((path, title), part)| {
            let Part { wide, narrow } = part.clone();
            let nodes = inside.get(path).map_or(&[][..], Vec::as_slice).iter().map(told).collect();
            Dependent { title: title.to_owned(), wide, narrow, nodes }
        });
    let parts: Vec<Dependent> = parts.filter(|part| !part.nodes.is_empty()).collect();
    Dependencies {
        about: about(all),
        key: KEY.iter().map(|line| (*line).to_owned()).collect(),
        whole: drawn.whole.wide.clone(),
        parts,
    }
}

/// The name of the card of everything that has one, by path.
pub(crate) fn cards(index: &Index<'_>) -> BTreeMap<String, String> {
    let plates = index.input.breakdown.plates.iter();
    let plates = plates.map(|(id, plate)| (plate.named.path.clone(), index.plate_file(id)));
    let joins = index.model.joins.iter().map(|(id, join)| (join.named.path.clone(), index.join_file(id)));
    plates.chain(joins).collect()
}

fn about(all: &Graph) -> String {
    let things = count(all.nodes.len(), "thing is captured or done", "things are captured or done");
    let lines = count(all.edges.len(), "line says", "lines say");
    let drawn = if all.nodes.len() > READABLE {
        format!("More than {READABLE} cannot be read in one picture, so each beat has its own")
    } else {
        "On paper and in wide windows all of it is one picture; on a phone each beat has its own".to_owned()
    };
    format!("{things}, and {lines} what waits for what. {drawn}.")
}

fn word(kind: NodeKind) -> &'static str {
    match kind {
        NodeKind::Plate => "plate",
        NodeKind::Asset => "asset",
        NodeKind::Pass => "pass",
        NodeKind::Join => "join",
        NodeKind::Lock => "lock",
        NodeKind::Delivery => "delivery",
    }
}
