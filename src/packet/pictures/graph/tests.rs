//! Geometry of graphs: no box on another, no arrow through a box, every arrow joins its
//! nodes, and what is left out is said by what stays.

use super::layout::fitting;
use super::order::{Item, rows, told_once};
use super::*;
use crate::packet::views::work::{GraphBeat, GraphEdge};

/// Numbers that look random and are always the same (Knuth's 64-bit generator).
struct Draw(u64);

impl Draw {
    fn below(&mut self, most: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) as usize) % most.max(1)
    }
}

/// Arrows from lower to higher numbers: most to what comes soon, some far away.
fn arrows(draw: &mut Draw, count: usize, each: usize) -> Vec<Arrow> {
    let mut all = BTreeSet::new();
    for to in 1..count {
        for _ in 0..=draw.below(each) {
            let back = if draw.below(5) == 0 { draw.below(to) + 1 } else { draw.below(to.min(12)) + 1 };
            all.insert(Arrow { from: to - back.min(to), to, loose: draw.below(12) == 0 });
        }
    }
    all.into_iter().collect()
}

fn graph(draw: &mut Draw, count: usize, beats: usize) -> Graph {
    let titles = [
        "Copy, check, steady and reframe (ingest)",
        "Lay the objects over the clean plate (comp)",
        "Key",
        "合成して色を合わせる",
        "🪁🪁🪁 x",
    ];
    let beat = |number: usize| {
        if number % (beats + 1) == beats { String::new() } else { format!("b{}", number % (beats + 1)) }
    };
    let kinds = [NodeKind::Plate, NodeKind::Pass, NodeKind::Asset, NodeKind::Join, NodeKind::Lock];
    let nodes = (0..count).map(|number| GraphNode {
        path: format!("{}.some.node{number}", beat(number)),
        title: titles[draw.below(titles.len())].to_owned(),
        kind: kinds[draw.below(kinds.len())],
        beat: beat(number),
        critical: draw.below(6) == 0,
    });
    let nodes = nodes.collect();
    let edges = arrows(draw, count, 3);
    let edges = edges.iter().map(|one| GraphEdge { from: one.from, to: one.to, shoot_only: one.loose });
    let beats = (0..beats).map(|number| GraphBeat {
        path: format!("b{number}"),
        title: format!("Beat {number}"),
        file: format!("graph/b{number}"),
    });
    Graph { nodes, edges: edges.collect(), beats: beats.collect() }
}

/// What can be reached from each node.
fn reached(count: usize, arrows: &[Arrow]) -> Vec<BTreeSet<usize>> {
    let mut all = vec![BTreeSet::new(); count];
    for from in (0..count).rev() {
        for arrow in arrows.iter().filter(|one| one.from == from && !one.loose) {
            let on: Vec<usize> = all[arrow.to].iter().copied().collect();
            all[from].insert(arrow.to);
            all[from].extend(on);
        }
    }
    all
}

#[test]
fn an_arrow_that_others_say_is_left_out_and_nothing_else() {
    for seed in 0..40 {
        let mut draw = Draw(seed);
        let count = 2 + draw.below(60);
        let all = arrows(&mut draw, count, 4);
        let kept = told_once(count, &all);
        assert_eq!(reached(count, &all), reached(count, &kept));
        for arrow in kept.iter().filter(|one| !one.loose) {
            let others: Vec<Arrow> = kept.iter().copied().filter(|one| one != arrow).collect();
            assert!(!reached(count, &others)[arrow.from].contains(&arrow.to), "{arrow:?} is said twice");
        }
        assert!(all.iter().filter(|one| one.loose).all(|one| kept.contains(one)));
    }
}

#[test]
fn rows_hold_at_most_so_many_and_every_arrow_leads_down() {
    for seed in 0..40 {
        let mut draw = Draw(100 + seed);
        let (count, most) = (2 + draw.below(120), 1 + draw.below(5));
        let all = arrows(&mut draw, count, 3);
        let rows = rows(count, &all, most);
        let mut at = vec![0; count];
        for (number, row) in rows.rows.iter().enumerate() {
            let nodes: Vec<usize> = row
                .iter()
                .filter_map(|item| if let Item::Node(node) = item { Some(*node) } else { None })
                .collect();
            assert!(nodes.len() <= most);
            nodes.iter().for_each(|node| at[*node] = number);
        }
        assert!(all.iter().all(|one| at[one.from] < at[one.to]));
    }
}

/// From the piece that leaves its beginning, each arrow can be followed to its end.
#[test]
fn every_arrow_joins_its_nodes_and_joins_no_others() {
    for seed in 0..20 {
        let mut draw = Draw(200 + seed);
        let count = 2 + draw.below(80);
        let all = told_once(count, &arrows(&mut draw, count, 3));
        let rows = rows(count, &all, 4);
        for from in 0..count {
            for loose in [false, true] {
                let mut ends = BTreeSet::new();
                let mut open = vec![Item::Node(from)];
                let mut first = true;
                while let Some(item) = open.pop() {
                    if let Item::Node(node) = item
                        && !first
                    {
                        ends.insert(node);
                        continue;
                    }
                    first = false;
                    let row = rows.rows.iter().position(|row| row.contains(&item)).unwrap();
                    let _ = row;
                    let mut next: Vec<Item> = Vec::new();
                    for hop in rows.hops.iter().filter(|hop| hop.from == item && hop.loose == loose) {
                        next.push(hop.to);
                    }
                    // The same pass stands in several rows: following it once is enough.
                    next.retain(|one| *one != item);
                    open.extend(next);
                }
                let wanted: BTreeSet<usize> = all
                    .iter()
                    .filter(|one| one.from == from && one.loose == loose)
                    .map(|one| one.to)
                    .collect();
                assert_eq!(ends, wanted, "from {from}");
            }
        }
    }
}

/// Two hundred nodes on paper and eighty on a phone: no box meets another or leaves the
/// page, no arrow passes through one.
#[test]
fn boxes_and_arrows_keep_clear_of_each_other() {
    for (seed, count, wide, least) in [
        (1, 200, WIDE, LEAST.0),
        (2, 200, WIDE, LEAST.0),
        (3, 80, NARROW, LEAST.1),
        (4, 40, NARROW, LEAST.1),
        (5, 1, NARROW, LEAST.1),
    ] {
        let mut draw = Draw(seed);
        let all = told_once(count, &arrows(&mut draw, count, 2));
        let words: Vec<Words> = (0..count)
            .map(|number| Words {
                name: format!("beat.effect.pass{number}"),
                title: "Copy, check, steady and reframe (ingest)".into(),
            })
            .collect();
        let laid = fitting(count, &all, &words, (wide, least)).expect("it fits");
        assert_eq!(laid.boxes.len(), count);
        let boxes: Vec<&Area> = laid.boxes.values().map(|(area, ..)| area).collect();
        let page = Area::new(0.0, 0.0, wide, laid.high());
        for (number, one) in boxes.iter().enumerate() {
            assert!(page.holds(one), "{one:?} leaves {page:?}");
            assert!(boxes[number + 1..].iter().all(|other| !one.meets(other)), "{one:?}");
        }
        for row in &laid.rows {
            for (item, x) in row.middles.iter().filter(|(item, _)| matches!(item, Item::Pass { .. })) {
                let line = Area::new(x - 0.5, row.top, 1.0, row.low - row.top);
                assert!(page.holds(&line), "{item:?} at {x}");
                assert!(boxes.iter().all(|one| !one.meets(&line)), "{item:?} at {x} passes through a box");
            }
        }
        // Between rows nothing but arrows stands, and each begins and ends at its items.
        for pair in laid.rows.windows(2) {
            assert!(pair[1].top >= pair[0].low + 20.0);
        }
        assert!(laid.hops.iter().all(|hop| laid.ends(hop).is_some()));
    }
}

/// Words stay inside their boxes, letters as large as on a phone of 360 pixels.
#[test]
fn words_stay_inside_their_boxes() {
    let mut draw = Draw(7);
    let graph = graph(&mut draw, 150, 6);
    let drawn = draw_all(&graph);
    for canvas in &drawn {
        let written = canvas.written();
        for (number, one) in written.iter().enumerate() {
            assert!(canvas.frame().holds(&one.area), "{one:?} leaves {:?}", canvas.frame());
            assert!(written[number + 1..].iter().all(|other| !one.area.meets(&other.area)), "{one:?}");
        }
    }
    assert!(drawn.len() > 7);
    // A card leaves 326 of 360 pixels: 11.5 units are more than 11 pixels there.
    const { assert!(LETTERS * 326.0 / NARROW >= 11.0) };
}

/// Every piece of a whole and each beat for phones.
fn draw_all(graph: &Graph) -> Vec<Canvas> {
    let mut all = Vec::new();
    let every = Shown { nodes: (0..graph.nodes.len()).collect(), beat: None };
    let sheet = Sheet::new(graph, &every, (WIDE, LEAST.0)).unwrap();
    all.extend(sheet.pages().into_iter().map(|rows| sheet.piece(rows, "p", "t")));
    for beat in &graph.beats {
        let shown = Shown { nodes: around(graph, beat), beat: Some(&beat.path) };
        let sheet = Sheet::new(graph, &shown, (NARROW, LEAST.1)).unwrap();
        all.push(sheet.piece((0, sheet.laid.rows.len()), "p", "t"));
    }
    all
}

/// Pieces fit a page and hold every node once.
#[test]
fn pieces_fit_a_page_and_hold_everything_once() {
    let mut draw = Draw(11);
    let graph = graph(&mut draw, 200, 9);
    let every = Shown { nodes: (0..200).collect(), beat: None };
    let sheet = Sheet::new(&graph, &every, (WIDE, LEAST.0)).unwrap();
    let pages = sheet.pages();
    assert!(pages.len() > 2);
    assert!(
        pages.windows(2).all(|pair| pair[0].1 == pair[1].0)
            && pages.last().unwrap().1 == sheet.laid.rows.len()
    );
    let pieces: Vec<Canvas> = pages.iter().map(|rows| sheet.piece(*rows, "p", "t")).collect();
    assert!(pieces.iter().all(|piece| piece.frame().high <= PAGE + 60.0));
    let names: usize = pieces
        .iter()
        .flat_map(|piece| piece.written().to_vec())
        .filter(|one| one.text.contains("node"))
        .count();
    assert_eq!(names, 200);
}

/// Up to two hundred the whole is drawn; beyond, each beat on paper as well.
#[test]
fn beyond_two_hundred_each_beat_has_its_own() {
    let mut draw = Draw(13);
    let small = super::draw(&graph(&mut draw, 200, 5));
    assert!(!small.whole.wide.is_empty() && small.parts.iter().all(|part| part.wide.is_empty()));
    assert!(small.parts.iter().all(|part| !part.narrow.is_empty()));
    let large = super::draw(&graph(&mut draw, 201, 5));
    assert!(large.whole.wide.is_empty() && large.parts.iter().all(|part| !part.wide.is_empty()));
    let empty = super::draw(&Graph { nodes: Vec::new(), edges: Vec::new(), beats: Vec::new() });
    assert!(empty.pictures.is_empty());
}

/// The same graph gives the same pictures.
#[test]
fn the_same_graph_is_drawn_alike() {
    let graph = graph(&mut Draw(17), 90, 4);
    assert_eq!(super::draw(&graph).pictures, super::draw(&graph).pictures);
}
