//! The dependency graph in Graphviz's DOT language.
//!
//! In: the graph as a view. Out: the whole as one file and, where it has more
//! nodes than can be read, each beat with its neighbours. An arrow points from what
//! is waited for to what waits; a dashed one binds the shoot alone.

use crate::packet::Packet;
use crate::packet::views::work::{Graph, GraphBeat, GraphNode, NodeKind};
use std::collections::BTreeSet;
use std::fmt::Write;

/// Most nodes that are read in one drawing.
pub(crate) const READABLE: usize = 200;
/// Letters of a line in a node.
const WIDTH: usize = 28;
/// Lines of a node; what is longer ends in dots.
const LINES: usize = 4;

/// The graphs with their names.
pub fn write(packet: &Packet) -> Vec<(String, Vec<u8>)> {
    let graph = &packet.graph;
    let all: BTreeSet<usize> = (0..graph.nodes.len()).collect();
    let mut files = vec![("graph.dot".to_owned(), drawing(packet, &packet.head.title, &all, None))];
    if graph.nodes.len() > READABLE {
        for beat in &graph.beats {
            let shown = around(graph, beat);
            files.push((format!("{}.dot", beat.file), drawing(packet, &beat.title, &shown, Some(beat))));
        }
    }
    files.into_iter().map(|(name, text)| (name, text.into_bytes())).collect()
}

/// A beat's nodes, what they wait for and what waits for them.
pub(crate) fn around(graph: &Graph, beat: &GraphBeat) -> BTreeSet<usize> {
    let own = |at: usize| graph.nodes.get(at).is_some_and(|node| node.beat == beat.path);
    let mut shown: BTreeSet<usize> = (0..graph.nodes.len()).filter(|at| own(*at)).collect();
    for edge in graph.edges.iter().filter(|edge| own(edge.from) || own(edge.to)) {
        shown.extend([edge.from, edge.to]);
    }
    shown
}

fn drawing(packet: &Packet, title: &str, shown: &BTreeSet<usize>, beat: Option<&GraphBeat>) -> String {
    let graph = &packet.graph;
    let mut out = String::new();
    let label = quoted(&format!("{title}, text {}", packet.head.version));
    let _ = writeln!(out, "digraph work {{\n  graph [rankdir=LR, labelloc=t, label={label}];");
    out.push_str("  node [shape=box, fontname=\"sans-serif\", fontsize=10];\n");
    let outside = |node: &GraphNode| beat.is_some_and(|beat| node.beat != beat.path);
    for (number, beat) in graph.beats.iter().enumerate() {
        let own = |at: &&usize| graph.nodes.get(**at).is_some_and(|node| node.beat == beat.path);
        let inside: Vec<usize> = shown.iter().filter(own).copied().collect();
        if !inside.is_empty() {
            let _ = writeln!(out, "  subgraph cluster_{number} {{\n    label={};", quoted(&beat.title));
            put(&mut out, "    ", graph, &inside, &outside);
            out.push_str("  }\n");
        }
    }
    let known: BTreeSet<&str> = graph.beats.iter().map(|beat| beat.path.as_str()).collect();
    let whole = |at: &&usize| graph.nodes.get(**at).is_some_and(|node| !known.contains(node.beat.as_str()));
    let whole: Vec<usize> = shown.iter().filter(whole).copied().collect();
    put(&mut out, "  ", graph, &whole, &outside);
    let own = |at: usize| graph.nodes.get(at).is_some_and(|node| !outside(node));
    for edge in &graph.edges {
        if shown.contains(&edge.from) && shown.contains(&edge.to) && (own(edge.from) || own(edge.to)) {
            let style = if edge.shoot_only { " [style=dashed]" } else { "" };
            let _ = writeln!(out, "  n{} -> n{}{style};", edge.from, edge.to);
        }
    }
    out.push_str("}\n");
    out
}

fn put(out: &mut String, indent: &str, graph: &Graph, nodes: &[usize], outside: &dyn Fn(&GraphNode) -> bool) {
    for at in nodes {
        let Some(node) = graph.nodes.get(*at) else { continue };
        let shape = match node.kind {
            NodeKind::Plate => "box",
            NodeKind::Asset => "hexagon",
            NodeKind::Pass => "ellipse",
            NodeKind::Join => "diamond",
            NodeKind::Lock | NodeKind::Delivery => "doubleoctagon",
        };
        let mut style = String::new();
        if node.critical {
            style.push_str(", penwidth=3");
        }
        if outside(node) {
            style.push_str(", style=dotted");
        }
        let label = quoted(&wrapped(&node.title));
        let tip = quoted(&node.path);
        let _ = writeln!(out, "{indent}n{at} [shape={shape}, label={label}, tooltip={tip}{style}];");
    }
}

/// A quoted string of DOT: quotes and backslashes behind a backslash, a line end as
/// `\n`. Other control characters become U+FFFD: no drawing shows them, and a NUL
/// would end the file.
fn quoted(words: &str) -> String {
    let mut out = String::from("\"");
    for letter in words.chars() {
        match letter {
            '"' | '\\' => out.extend(['\\', letter]),
            '\n' => out.push_str("\\n"),
            // Graphviz reads a name of a letter behind an ampersand as that letter.
            '&' => out.push_str("&amp;"),
            _ if letter.is_control() => out.push('\u{FFFD}'),
            _ => out.push(letter),
        }
    }
    out.push('"');
    out
}

/// Words in lines of a width that can be read.
fn wrapped(words: &str) -> String {
    let mut lines: Vec<String> = vec![String::new()];
    let mut cut = false;
    for word in words.split_whitespace().flat_map(pieces) {
        let Some(line) = lines.last_mut() else { break };
        let length = line.chars().count();
        if length > 0 && length + 1 + word.chars().count() > WIDTH {
            if lines.len() == LINES {
                cut = true;
                break;
            }
            lines.push(word);
        } else {
            if length > 0 {
                line.push(' ');
            }
            line.push_str(&word);
        }
    }
    if let Some(last) = lines.last_mut().filter(|_| cut) {
        last.push_str(" …");
    }
    lines.join("\n")
}

/// A word, parted where it is longer than a line.
fn pieces(word: &str) -> Vec<String> {
    let letters: Vec<char> = word.chars().collect();
    letters.chunks(WIDTH).map(|chunk| chunk.iter().collect()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Graphviz, "The DOT Language": in quoted strings the only escaped character is
    /// the quote; `\\` and `\n` are escapes of labels.
    #[test]
    fn a_string_cannot_be_left() {
        assert_eq!(quoted("a \"b\" \\ c\nd\u{0}"), "\"a \\\"b\\\" \\\\ c\\nd\u{FFFD}\"");
        assert_eq!(quoted("\\"), "\"\\\\\"");
        assert_eq!(quoted("R&D &lt;"), "\"R&amp;D &amp;lt;\"");
    }

    #[test]
    fn long_words_are_parted_and_long_titles_end_in_dots() {
        assert_eq!(
            wrapped("Lay the objects over the clean plate (comp)"),
            "Lay the objects over the\nclean plate (comp)"
        );
        let long = wrapped(&"x".repeat(300));
        assert_eq!(long.lines().count(), LINES);
        assert!(long.lines().all(|line| line.chars().count() <= WIDTH + 2) && long.ends_with(" …"));
        assert_eq!(wrapped(""), "");
    }
}
