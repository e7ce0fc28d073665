//! What waits for what, drawn in rows from top to bottom.
//!
//! In: the dependency graph as a view. Out: the whole of it where it can be read, else
//! each beat with its neighbours; in a width for paper, in pieces that fit a page, and
//! in one for phones. An arrow that others already say is left out: the words beside
//! the pictures say them all.

mod layout;
mod order;

use super::draw::{Anchor, Area, At, Canvas, Path};
use super::{Picture, Svg, id};
use crate::packet::exchange::dot::{READABLE, around};
use crate::packet::views::work::{Graph, GraphNode, NodeKind};
use layout::{INSET, LETTERS, LINE, Layout, Words};
use order::{Arrow, Item};
use std::collections::BTreeSet;

/// Document that the pictures stand in.
pub(crate) const FILE: &str = "dependencies";
/// Width for paper and wide windows: what A4 leaves upright, in CSS pixels.
const WIDE: f64 = 690.0;
/// Width for phones.
const NARROW: f64 = 300.0;
/// Narrowest box on each, with its gap.
const LEAST: (f64, f64) = (118.0, 84.0);
/// Highest piece: a page of A4 or Letter with its heads.
const PAGE: f64 = 880.0;
/// Highest first piece, which has the page's words above it.
const FIRST: f64 = 640.0;

/// The pictures of one part of the graph, by their names.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Part {
    /// Pieces for paper and wide windows, from top to bottom; empty where there is none.
    pub(crate) wide: Vec<String>,
    /// For phones; empty where there is none.
    pub(crate) narrow: String,
}

/// The pictures of a graph: of the whole, then of each beat, then of what belongs to no
/// beat.
#[derive(Debug, Clone, Default)]
pub(crate) struct Drawn {
    /// The pictures with their names.
    pub(crate) pictures: Vec<((String, String), Picture)>,
    /// The whole, on paper and wide windows, where it can be read.
    pub(crate) whole: Part,
    /// Each beat, and last what belongs to the whole.
    pub(crate) parts: Vec<Part>,
}

/// Draws a graph.
pub(crate) fn draw(graph: &Graph) -> Drawn {
    let mut drawn = Drawn::default();
    let all: BTreeSet<usize> = (0..graph.nodes.len()).collect();
    let readable = all.len() <= READABLE;
    if readable && !all.is_empty() {
        drawn.whole.wide =
            drawn.wide(graph, &Shown { nodes: all, beat: None }, ("whole", "The whole sequence"));
    }
    for (number, beat) in graph.beats.iter().enumerate() {
        let shown = Shown { nodes: around(graph, beat), beat: Some(&beat.path) };
        let part = drawn.part(graph, &shown, (&format!("beat-{}", number + 1), &beat.title), !readable);
        drawn.parts.push(part);
    }
    let whole = graph.nodes.iter().enumerate().filter(|(_, node)| node.beat.is_empty()).map(|(at, _)| at);
    let shown = Shown { nodes: whole.collect(), beat: Some("") };
    let part = drawn.part(graph, &shown, ("rest", "What belongs to the whole"), !readable);
    drawn.parts.push(part);
    drawn
}

impl Drawn {
    fn part(&mut self, graph: &Graph, shown: &Shown<'_>, (name, title): (&str, &str), paper: bool) -> Part {
        if shown.nodes.is_empty() || shown.nodes.len() > READABLE {
            return Part::default();
        }
        let wide = if paper { self.wide(graph, shown, (name, title)) } else { Vec::new() };
        let mut narrow = String::new();
        if let Some(sheet) = Sheet::new(graph, shown, (NARROW, LEAST.1)) {
            narrow = format!("{name}-narrow");
            let canvas = sheet.piece((0, sheet.laid.rows.len()), &id(FILE, &narrow, ""), title);
            self.put(&narrow, canvas.finish());
        }
        Part { wide, narrow }
    }

    /// The pieces for paper.
    fn wide(&mut self, graph: &Graph, shown: &Shown<'_>, (name, title): (&str, &str)) -> Vec<String> {
        let Some(sheet) = Sheet::new(graph, shown, (WIDE, LEAST.0)) else { return Vec::new() };
        let pages = sheet.pages();
        let count = pages.len();
        let mut names = Vec::new();
        for (number, rows) in pages.into_iter().enumerate() {
            let name = format!("{name}-{}", number + 1);
            let title = if count == 1 {
                title.to_owned()
            } else {
                format!("{title}, piece {} of {count}", number + 1)
            };
            self.put(&name, sheet.piece(rows, &id(FILE, &name, ""), &title).finish());
            names.push(name);
        }
        names
    }

    fn put(&mut self, name: &str, svg: Svg) {
        self.pictures.push(((FILE.to_owned(), name.to_owned()), Picture { wide: svg, narrow: None }));
    }
}

/// Which nodes are drawn.
struct Shown<'a> {
    nodes: BTreeSet<usize>,
    /// Path of the beat that they are of; `None` for the whole.
    beat: Option<&'a str>,
}

impl Shown<'_> {
    /// Whether a node only stands there as a neighbour.
    fn outside(&self, node: &GraphNode) -> bool {
        self.beat.is_some_and(|beat| node.beat != beat)
    }
}

/// A part of the graph, laid out.
struct Sheet<'a> {
    nodes: Vec<(&'a GraphNode, bool)>,
    laid: Layout,
    wide: f64,
}

impl<'a> Sheet<'a> {
    fn new(graph: &'a Graph, shown: &Shown<'_>, (wide, least): (f64, f64)) -> Option<Self> {
        let numbers: Vec<usize> = shown.nodes.iter().copied().collect();
        let nodes: Vec<(&GraphNode, bool)> = numbers
            .iter()
            .filter_map(|at| graph.nodes.get(*at))
            .map(|node| (node, shown.outside(node)))
            .collect();
        let place = |at: usize| numbers.binary_search(&at).ok();
        let inside = |at: usize| nodes.get(at).is_some_and(|(_, outside)| !outside);
        let arrows: Vec<Arrow> = graph
            .edges
            .iter()
            .filter_map(|edge| {
                let (from, to) = (place(edge.from)?, place(edge.to)?);
                (inside(from) || inside(to)).then_some(Arrow { from, to, loose: edge.shoot_only })
            })
            .collect();
        let arrows = order::told_once(nodes.len(), &arrows);
        let words: Vec<Words> = nodes.iter().map(|(node, _)| words(node, shown.beat)).collect();
        let laid = layout::fitting(nodes.len(), &arrows, &words, (wide, least))?;
        Some(Self { nodes, laid, wide })
    }

    /// Rows that go onto one page each: from a first to before a last.
    fn pages(&self) -> Vec<(usize, usize)> {
        let rows = &self.laid.rows;
        let mut pages = Vec::new();
        let mut first = 0;
        for (number, row) in rows.iter().enumerate() {
            let top = rows.get(first).map_or(0.0, |row| row.top);
            let most = if first == 0 { FIRST } else { PAGE };
            if number > first && row.low - top > most {
                pages.push((first, number));
                first = number;
            }
        }
        pages.push((first, rows.len()));
        pages
    }

    /// Some rows, with the arrows down to the next.
    fn piece(&self, (first, last): (usize, usize), id: &str, title: &str) -> Canvas {
        // Outlines are drawn half outside their boxes: without air they show on the page before.
        let top = if first == 0 { 0.0 } else { self.laid.rows.get(first).map_or(0.0, |row| row.top - 2.0) };
        let low = self.laid.rows.get(last).map_or(self.laid.high(), |row| row.top);
        let count = self.laid.boxes.len();
        let desc = format!(
            "{} in rows; an arrow leads down from what is waited for to what waits. The lists on this page say the same.",
            crate::packet::count(count, "thing", "things")
        );
        let mut canvas = Canvas::new(id, title, &desc, (self.wide, low - top));
        let shift = |(x, y): At| (x, y - top);
        for hop in self.laid.hops.iter().filter(|hop| hop.row >= first && hop.row < last) {
            let Some((from, to)) = self.laid.ends(hop) else { continue };
            let class = if hop.loose { "wire dash" } else { "wire" };
            wire(&mut canvas, class, shift(from), shift(to), matches!(hop.to, Item::Node(_)));
        }
        for row in self.laid.rows.iter().take(last).skip(first) {
            for (item, x) in &row.middles {
                let (class, from) = match item {
                    Item::Pass { loose, .. } => (if *loose { "wire dash" } else { "wire" }, row.top),
                    Item::Node(node) if self.leads_on(*node) => {
                        ("wire", self.laid.boxes.get(node).map_or(row.low, |(area, ..)| area.low()))
                    }
                    Item::Node(_) => continue,
                };
                if row.low > from {
                    canvas.line(class, shift((*x, from)), shift((*x, row.low)));
                }
            }
            for node in row.middles.keys() {
                let Item::Node(node) = node else { continue };
                if let (Some((area, name, title)), Some((told, outside))) =
                    (self.laid.boxes.get(node), self.nodes.get(*node))
                {
                    let area = Area { y: area.y - top, ..*area };
                    frame(&mut canvas, &area, told, *outside);
                    written(&mut canvas, &area, name, title);
                }
            }
        }
        canvas
    }

    /// Whether an arrow leaves a node.
    fn leads_on(&self, node: usize) -> bool {
        self.laid.hops.iter().any(|hop| hop.from == Item::Node(node))
    }
}

/// What is written in a node: its name without its beat's, and its title.
fn words(node: &GraphNode, beat: Option<&str>) -> Words {
    let own =
        beat.filter(|beat| !beat.is_empty()).and_then(|beat| node.path.strip_prefix(beat)?.strip_prefix('.'));
    Words { name: own.unwrap_or(&node.path).to_owned(), title: node.title.clone() }
}

/// One piece of an arrow, with its head where it ends.
fn wire(canvas: &mut Canvas, class: &str, from: At, to: At, ends: bool) {
    if ends {
        let mut head = Path::through([to, (to.0 - 3.5, to.1 - 8.0), (to.0 + 3.5, to.1 - 8.0)]);
        head.shut();
        canvas.path("solid", &head);
    }
    let to = if ends { (to.0, to.1 - 6.0) } else { to };
    let middle = (from.1 + to.1) / 2.0;
    let mut path = Path::through([from]);
    path.bend((from.0, middle), (to.0, middle), to);
    canvas.path(class, &path);
}

/// A node's outline: plates have square corners, passes round ones, assets cut ones;
/// joins have a second line, lock and delivery a second outline; what sets the finish
/// is thick, what belongs elsewhere dashed.
fn frame(canvas: &mut Canvas, area: &Area, node: &GraphNode, outside: bool) {
    let line = match (node.critical, outside) {
        (true, _) => "thick",
        (false, true) => "stroke dash",
        (false, false) => "stroke",
    };
    let (ground, radius) = match node.kind {
        NodeKind::Plate => ("tint", 0.0),
        NodeKind::Asset => ("paper", 0.0),
        NodeKind::Pass | NodeKind::Join => ("paper", 9.0),
        NodeKind::Lock | NodeKind::Delivery => ("paper", 2.0),
    };
    let class = format!("{ground} {line}");
    let (x, y, right, low) = (area.x, area.y, area.right(), area.low());
    if node.kind == NodeKind::Asset {
        let cut = 8.0;
        let mut path = Path::through([
            (x + cut, y),
            (right - cut, y),
            (right, y + cut),
            (right, low - cut),
            (right - cut, low),
            (x + cut, low),
            (x, low - cut),
            (x, y + cut),
        ]);
        path.shut();
        canvas.path(&class, &path);
        return;
    }
    canvas.rect(&class, *area, radius);
    match node.kind {
        NodeKind::Join => canvas.line("thin", (x + 7.0, low - 3.0), (right - 7.0, low - 3.0)),
        NodeKind::Lock | NodeKind::Delivery => {
            canvas.rect("thin", Area::new(x + 2.5, y + 2.5, area.wide - 5.0, area.high - 5.0), 0.0);
        }
        _ => {}
    }
}

fn written(canvas: &mut Canvas, area: &Area, name: &[String], title: &[String]) {
    let lines = name.iter().map(|line| ("soft", line)).chain(title.iter().map(|line| ("", line)));
    for (number, (class, line)) in lines.enumerate() {
        let at = (area.x + area.wide / 2.0, area.y + INSET + LINE * (number as f64 + 0.78));
        canvas.text(class, at, Anchor::Middle, LETTERS, line);
    }
}

#[cfg(test)]
mod tests;
