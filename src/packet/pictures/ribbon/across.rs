//! The ribbon for paper and wide windows: story order above, shooting order below.

use super::{Bead, Piece, Ribbon};
use crate::packet::pictures::draw::{Anchor, Area, At, Canvas, Path, covered};
use crate::packet::pictures::key::{Key, Sample};
use crate::packet::pictures::{id, letters};
use std::collections::BTreeMap;

const WIDE: f64 = 720.0;
const SIZE: f64 = 11.0;
/// Least width of a piece: its number.
const LEAST: f64 = 17.0;
/// Height of the ribbon.
const HIGH: f64 = 26.0;
/// From one bead to the next.
const STEP: f64 = 19.0;
const RADIUS: f64 = 8.6;
/// Height of an arc at most.
const ARC: f64 = 34.0;
/// Between story and shooting.
const BETWEEN: f64 = 64.0;

pub(super) fn draw(ribbon: &Ribbon) -> Canvas {
    // Laid out once for where everything stands, so that threads lie under it.
    let (leaves, arrive, low) = pieces_and_beads(&mut empty(ribbon), ribbon);
    let mut canvas = empty(ribbon);
    threads(&mut canvas, ribbon, &leaves, &arrive);
    pieces_and_beads(&mut canvas, ribbon);
    let key = Key {
        samples: &[
            (Sample::Square, "seen in the picture"),
            (Sample::Ring, "captured for it: clean plates, elements, references"),
            (Sample::Diamond, "an effect"),
            (Sample::Arc, "a join"),
            (Sample::DashedArc, "a join over two days"),
        ],
        size: SIZE,
    };
    let low = key.draw(&mut canvas, 0.0, low + 8.0, WIDE);
    canvas.set_height(low.ceil());
    canvas
}

fn empty(ribbon: &Ribbon) -> Canvas {
    Canvas::new(&id("index", "sequence", "wide"), "The sequence", &ribbon.desc, (WIDE, 1e6))
}

/// Where each number stands in the story; its row and place in shooting order; the lower edge.
type Places = (BTreeMap<usize, At>, BTreeMap<usize, (usize, At)>, f64);

fn pieces_and_beads(canvas: &mut Canvas, ribbon: &Ribbon) -> Places {
    canvas.text("soft", (0.0, 10.0), Anchor::Start, SIZE, "in story order");
    let places = widths(ribbon);
    let top = 58.0;
    let mut leaves: BTreeMap<usize, At> = BTreeMap::new();
    let mut low = top + HIGH;
    let mut places = places.into_iter();
    let mut edges: BTreeMap<usize, (f64, f64)> = BTreeMap::new();
    for beat in &ribbon.beats {
        let held: Vec<(f64, f64)> = places.by_ref().take(beat.pieces.len()).collect();
        let (Some(first), Some(last)) = (held.first(), held.last()) else { continue };
        let (left, right) = (first.0, last.0 + last.1);
        if beat.title.is_empty() {
            for (piece, (x, wide)) in beat.pieces.iter().zip(&held) {
                beat_title(canvas, (piece.number, &piece.title), *x, x + wide);
            }
        } else {
            beat_title(canvas, (beat.number, &beat.title), left, right);
        }
        for (piece, (x, wide)) in beat.pieces.iter().zip(&held) {
            draw_piece(canvas, piece, Area::new(*x, top, *wide, HIGH));
            leaves.insert(piece.number, (x + wide / 2.0, top + HIGH));
            edges.insert(piece.number, (*x, x + wide));
        }
        canvas.line("thick", (left, top - 3.0), (right, top - 3.0));
        low = low.max(besides(canvas, &beat.besides, (left, right, top + HIGH), &mut leaves));
    }
    for (from, to, _) in &ribbon.joins {
        if let (Some(one), Some(two)) = (edges.get(from), edges.get(to)) {
            hop(canvas, one.1, two.0, top - 4.0);
        }
    }
    let (arrive, low) = beads(canvas, ribbon, low + BETWEEN);
    (leaves, arrive, low)
}

/// Left edge and width of every piece: by its length, but never too narrow for its number.
fn widths(ribbon: &Ribbon) -> Vec<(f64, f64)> {
    let pieces: Vec<f64> =
        ribbon.beats.iter().flat_map(|beat| &beat.pieces).map(|piece| piece.seconds.max(0.0)).collect();
    let breaks = ribbon.beats.iter().filter(|beat| !beat.pieces.is_empty()).count().saturating_sub(1);
    let room = WIDE - 4.0 * breaks as f64;
    let mut scale = room / pieces.iter().sum::<f64>().max(1e-9);
    // What is widened takes from the others; each round settles at least one piece.
    for _ in 0..pieces.len() {
        let narrow = pieces.iter().filter(|length| **length * scale < LEAST).count();
        let rest: f64 = pieces.iter().filter(|length| **length * scale >= LEAST).sum();
        scale = if rest > 0.0 { (room - narrow as f64 * LEAST) / rest } else { 0.0 };
    }
    let mut x = 0.0;
    let mut all = Vec::new();
    for beat in &ribbon.beats {
        for piece in &beat.pieces {
            let wide = (piece.seconds.max(0.0) * scale).max(LEAST);
            all.push((x, wide));
            x += wide;
        }
        if !beat.pieces.is_empty() {
            x += 4.0;
        }
    }
    // Where all are as narrow as can be, they share what is left.
    let over = all.last().map_or(1.0, |(x, wide)| (WIDE / (x + wide)).min(1.0));
    if over < 1.0 { all.into_iter().map(|(x, wide)| (x * over, wide * over)).collect() } else { all }
}

fn beat_title(canvas: &mut Canvas, (number, title): (usize, &str), left: f64, right: f64) {
    if title.is_empty() {
        return;
    }
    let lines = letters::wrap(&format!("{number}. {title}"), SIZE, right - left - 2.0, 2);
    let lines = if lines.is_empty() { vec![number.to_string()] } else { lines };
    for (at, line) in lines.iter().enumerate() {
        let place = (left, 26.0 + at as f64 * 12.5);
        if canvas.is_clear(&covered(place, Anchor::Start, SIZE, line)) {
            canvas.text("", place, Anchor::Start, SIZE, line);
        }
    }
}

fn draw_piece(canvas: &mut Canvas, piece: &Piece, area: Area) {
    canvas.rect("paper edge", area, 0.0);
    let number = piece.number.to_string();
    let wide = letters::width(&number, SIZE);
    let marks = piece.effects.min(3) as f64 * 9.0;
    let seconds = if piece.seconds > 0.0 { format!("{} s", short(piece.seconds)) } else { String::new() };
    let whole = wide + 5.0 + letters::width(&seconds, SIZE) + marks + 8.0;
    let middle = area.x + area.wide / 2.0;
    let base = area.y + 13.0;
    if area.wide >= whole && !seconds.is_empty() {
        canvas.text("strong", (area.x + 4.0, base), Anchor::Start, SIZE, &number);
        canvas.text("soft", (area.right() - 4.0, base), Anchor::End, SIZE, &seconds);
    } else {
        canvas.text("strong", (middle, base), Anchor::Middle, SIZE, &number);
    }
    for at in 0..piece.effects.min(3) {
        let shift = (at as f64 - (piece.effects.min(3) - 1) as f64 / 2.0) * 9.0;
        diamond(canvas, (middle + shift, area.low() - 6.0));
    }
}

/// The mark of an effect.
pub(super) fn diamond(canvas: &mut Canvas, (x, y): At) {
    let mut path = Path::through([(x, y - 4.0), (x + 4.0, y), (x, y + 4.0), (x - 4.0, y)]);
    path.shut();
    canvas.path("effect", &path);
}

fn short(seconds: f64) -> String {
    crate::quantity::show::number(seconds, 1)
}

/// What else is captured, under its beat. Gives how far down it goes.
fn besides(
    canvas: &mut Canvas,
    all: &[Piece],
    (left, right, top): (f64, f64, f64),
    leaves: &mut BTreeMap<usize, At>,
) -> f64 {
    let row = (((right - left) / STEP).floor() as usize).max(1);
    let mut low = top;
    for (at, piece) in all.iter().enumerate() {
        let x = left + RADIUS + (at % row) as f64 * STEP;
        let y = top + 6.0 + RADIUS + (at / row) as f64 * STEP;
        ring(canvas, (x, y), piece.number);
        leaves.insert(piece.number, (x, y + RADIUS));
        low = low.max(y + RADIUS);
    }
    low
}

fn ring(canvas: &mut Canvas, at: At, number: usize) {
    canvas.circle("paper edge", at, RADIUS);
    canvas.text("", (at.0, at.1 + 4.0), Anchor::Middle, SIZE, &number.to_string());
}

/// A small arc over the ribbon from one piece to another.
fn hop(canvas: &mut Canvas, from: f64, to: f64, y: f64) {
    let (left, right) = (from.min(to) - 6.0, from.max(to) + 6.0);
    let high = 9.0 + ((right - left) / 30.0).min(6.0);
    let mut path = Path::default();
    path.from((left, y)).bend((left, y - high), (right, y - high), (right, y));
    canvas.path("join", &path);
}

/// Beads in shooting order, strand by strand; arcs under them. Gives where threads
/// arrive, in which row, and the lower edge.
fn beads(canvas: &mut Canvas, ribbon: &Ribbon, top: f64) -> (BTreeMap<usize, (usize, At)>, f64) {
    let count: usize = ribbon.strands.iter().map(|strand| strand.beads.len()).sum();
    let gaps = ribbon.strands.len().saturating_sub(1) as f64;
    let step = ((WIDE - 2.0 * RADIUS - gaps * 14.0) / count.max(1) as f64).clamp(STEP, 44.0);
    canvas.text("soft halo", (0.0, top - RADIUS - 8.0), Anchor::Start, SIZE, "in shooting order");
    let mut at: BTreeMap<usize, (usize, At)> = BTreeMap::new();
    let (mut x, mut y, mut row) = (RADIUS + 1.0, top, 0);
    let row_high = 2.0 * RADIUS + ARC + 22.0;
    for strand in &ribbon.strands {
        let mut begun = x;
        for (number, bead) in strand.beads.iter().enumerate() {
            if x + RADIUS > WIDE {
                under(canvas, &strand.title, begun, x - step, y);
                (x, y, row) = (RADIUS + 1.0, y + row_high, row + 1);
                begun = x;
            }
            if number > 0 && x > begun {
                canvas.line("thin", (x - step + RADIUS, y), (x - RADIUS, y));
            }
            draw_bead(canvas, bead, (x, y), strand.planned);
            at.entry(bead.number).or_insert((row, (x, y)));
            x += step;
        }
        under(canvas, &strand.title, begun, x - step, y);
        x += 14.0;
    }
    for (from, to, same) in &ribbon.joins {
        let (Some((one_row, one)), Some((two_row, two))) = (at.get(from), at.get(to)) else { continue };
        if one_row == two_row {
            let (left, right) = (one.0.min(two.0), one.0.max(two.0));
            let deep = ((right - left) * 0.34).clamp(8.0, ARC * 1.3);
            let mut path = Path::default();
            let y = one.1 + RADIUS + 1.0;
            path.from((left, y)).bend((left, y + deep), (right, y + deep), (right, y));
            canvas.path(if *same { "join" } else { "join dash" }, &path);
        }
    }
    (at, y + RADIUS + ARC + 20.0)
}

/// The day under its beads.
fn under(canvas: &mut Canvas, title: &str, from: f64, to: f64, y: f64) {
    let (left, right) = (from - RADIUS, to + RADIUS);
    let base = y + RADIUS + ARC + 15.0;
    canvas.line("stroke", (left, base - 12.0), (right, base - 12.0));
    let wide = letters::width(title, SIZE);
    let left = left.min(WIDE - wide).max(0.0);
    for base in [base, base + 12.0] {
        let area = covered((left, base), Anchor::Start, SIZE, title);
        if canvas.is_clear(&area) {
            canvas.text("", (left, base), Anchor::Start, SIZE, title);
            return;
        }
    }
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
}

/// From each place in the story to where it is shot, while all beads stand in one row.
fn threads(
    canvas: &mut Canvas,
    ribbon: &Ribbon,
    leaves: &BTreeMap<usize, At>,
    arrive: &BTreeMap<usize, (usize, At)>,
) {
    if arrive.values().any(|(row, _)| *row > 0) {
        return;
    }
    let seen: Vec<usize> =
        ribbon.beats.iter().flat_map(|beat| &beat.pieces).map(|piece| piece.number).collect();
    for (number, from) in leaves {
        let Some((_, to)) = arrive.get(number) else { continue };
        let to = (to.0, to.1 - RADIUS - 1.0);
        let middle = (from.1 + to.1) / 2.0;
        let mut path = Path::default();
        path.from(*from).bend((from.0, middle), (to.0, middle), to);
        canvas.path(if seen.contains(number) { "thread" } else { "hair" }, &path);
    }
}
