//! The ribbon for phones: story order down the left, shooting order down the right.

use super::across::diamond;
use super::{Bead, Piece, Ribbon};
use crate::packet::pictures::draw::{Anchor, Area, At, Canvas, Path};
use crate::packet::pictures::key::{Key, Sample};
use crate::packet::pictures::{id, letters};
use std::collections::BTreeMap;

const WIDE: f64 = 328.0;
const SIZE: f64 = 11.5;
/// From one line to the next.
const LINE: f64 = 20.0;
const RADIUS: f64 = 9.0;
/// Middle of the pieces' boxes.
const LEFT: f64 = 28.0;
/// Where titles begin and end.
const TITLE: (f64, f64) = (44.0, 186.0);
/// Middle of the beads.
const RIGHT: f64 = 248.0;

pub(super) fn draw(ribbon: &Ribbon) -> Canvas {
    let mut canvas = empty(ribbon);
    canvas.text("soft", (0.0, 11.0), Anchor::Start, SIZE, "in story order");
    canvas.text("soft", (WIDE, 11.0), Anchor::End, SIZE, "in shooting order");
    // Laid out once for where everything stands, so that threads and arcs lie under it.
    let (leaves, arrive, low) = lines_and_beads(&mut empty(ribbon), ribbon);
    for (number, (from, seen)) in &leaves {
        let Some(to) = arrive.get(number) else { continue };
        let (start, end) = ((TITLE.1 + 4.0, *from), (RIGHT - RADIUS - 1.0, *to));
        let middle = (start.0 + end.0) / 2.0;
        let mut path = Path::default();
        path.from(start).bend((middle, start.1), (middle, end.1), end);
        canvas.path(if *seen { "thread" } else { "hair" }, &path);
    }
    for (from, to, same) in &ribbon.joins {
        if let (Some((one, _)), Some((two, _))) = (leaves.get(from), leaves.get(to)) {
            arc(&mut canvas, (LEFT - 11.0, -1.0), (*one, *two), "join");
        }
        if let (Some(one), Some(two)) = (arrive.get(from), arrive.get(to)) {
            arc(&mut canvas, (WIDE - 26.0, 1.0), (*one, *two), if *same { "join" } else { "join dash" });
        }
    }
    lines_and_beads(&mut canvas, ribbon);
    let key = Key {
        samples: &[
            (Sample::Square, "seen in the picture"),
            (Sample::Ring, "captured for it"),
            (Sample::Diamond, "an effect"),
            (Sample::Arc, "a join"),
            (Sample::DashedArc, "a join over two days"),
        ],
        size: SIZE,
    };
    let low = key.draw(&mut canvas, 0.0, low + 6.0, WIDE);
    canvas.set_height(low.ceil());
    canvas
}

fn empty(ribbon: &Ribbon) -> Canvas {
    Canvas::new(&id("index", "sequence", "narrow"), "The sequence", &ribbon.desc, (WIDE, 1e6))
}

/// How far down each number stands in the story, and whether it is seen; how far down
/// it stands in shooting order; the lower edge.
type Places = (BTreeMap<usize, (f64, bool)>, BTreeMap<usize, f64>, f64);

fn lines_and_beads(canvas: &mut Canvas, ribbon: &Ribbon) -> Places {
    let mut y = 30.0;
    let mut leaves: BTreeMap<usize, (f64, bool)> = BTreeMap::new();
    for beat in &ribbon.beats {
        if !beat.title.is_empty() {
            let title =
                letters::fit(&format!("{}. {}", beat.number, beat.title), SIZE, TITLE.1 / letters::BOLD);
            canvas.text("strong halo", (0.0, y + 4.0), Anchor::Start, SIZE, &title);
            y += LINE;
        }
        for (piece, seen) in
            beat.pieces.iter().map(|one| (one, true)).chain(beat.besides.iter().map(|one| (one, false)))
        {
            line(canvas, piece, seen, y);
            leaves.insert(piece.number, (y, seen));
            y += LINE;
        }
        y += 4.0;
    }
    let (arrive, low) = beads(canvas, ribbon);
    (leaves, arrive, y.max(low))
}

fn line(canvas: &mut Canvas, piece: &Piece, seen: bool, y: f64) {
    let number = piece.number.to_string();
    if seen {
        canvas.rect("paper edge", Area::new(LEFT - 10.0, y - 8.5, 20.0, 17.0), 0.0);
    } else {
        canvas.circle("paper edge", (LEFT, y), RADIUS - 0.5);
    }
    canvas.text(if seen { "strong" } else { "" }, (LEFT, y + 4.0), Anchor::Middle, SIZE, &number);
    let marks = piece.effects.min(3);
    for at in 0..marks {
        diamond(canvas, (TITLE.1 - 3.0 - at as f64 * 9.0, y));
    }
    let room = TITLE.1 - TITLE.0 - marks as f64 * 9.0 - 3.0;
    let title = letters::fit(&piece.title, SIZE, room);
    canvas.text(if seen { "" } else { "soft" }, (TITLE.0, y + 4.0), Anchor::Start, SIZE, &title);
}

/// Beads in shooting order with their clocks. Gives how far down each is, and the lower edge.
fn beads(canvas: &mut Canvas, ribbon: &Ribbon) -> (BTreeMap<usize, f64>, f64) {
    let mut y = 30.0;
    let mut all: BTreeMap<usize, f64> = BTreeMap::new();
    for strand in &ribbon.strands {
        let title = letters::fit(&strand.title, SIZE, (WIDE - TITLE.1 - 6.0) / letters::BOLD);
        canvas.text("strong halo", (WIDE, y + 4.0), Anchor::End, SIZE, &title);
        y += LINE;
        for bead in &strand.beads {
            draw_bead(canvas, bead, (RIGHT, y), strand.planned);
            all.entry(bead.number).or_insert(y);
            y += LINE;
        }
        y += 4.0;
    }
    (all, y)
}

fn draw_bead(canvas: &mut Canvas, bead: &Bead, at: At, planned: bool) {
    let class = match (bead.seen, planned) {
        (true, true) => "solid",
        (false, true) => "paper edge",
        (_, false) => "paper edge dots",
    };
    canvas.circle(class, at, RADIUS);
    let class = if bead.seen && planned { "on-ink" } else { "" };
    canvas.text(class, (at.0, at.1 + 4.0), Anchor::Middle, SIZE, &bead.number.to_string());
    canvas.text("soft", (at.0 + RADIUS + 4.0, at.1 + 4.0), Anchor::Start, SIZE, &bead.clock);
}

/// An arc beside a column, bulging to the left (−1) or right (1).
fn arc(canvas: &mut Canvas, (x, side): (f64, f64), (from, to): (f64, f64), class: &str) {
    let most = if side < 0.0 { x } else { WIDE - x };
    let wide = ((to - from).abs() * 0.3).clamp(8.0, most * 1.3);
    let mut path = Path::default();
    path.from((x, from)).bend((x + side * wide, from), (x + side * wide, to), (x, to));
    canvas.path(class, &path);
}
