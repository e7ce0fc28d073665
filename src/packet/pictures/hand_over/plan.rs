//! From above: both rings, the fan of the view, the ways of both cameras, north.

use super::super::draw::{Anchor, Area, At, Canvas, Path, covered};
use super::super::letters::wrap;
use super::{Camera, Drawing, FAN, LETTERS, LINES, MARK_X, NAMES, RINGS, WIDE, body, cross, fan, out, rings};
use crate::packet::views::plate_facts::heading;
use crate::quantity::Angle;

/// Length of an arrow of travel.
const ARROW: f64 = 46.0;
/// How far the second fan is shorter, so that both rims are seen.
const STEP: f64 = 14.0;
/// Radius of the sign for north.
const NORTH: f64 = 13.0;

/// An arrow of travel on the page.
struct Way {
    from: At,
    to: At,
    speed: String,
    line: &'static str,
}

pub(super) fn draw(drawing: &Drawing, id: &str) -> Canvas {
    let [title, desc] = ["Hand-over from above".to_owned(), drawing.plan_words()];
    let mut canvas = Canvas::new(id, &title, &desc, (WIDE, 2000.0));
    let ways = ways(drawing);
    let fans = drawing.cameras.iter().map(|camera| FAN * camera.turn.radians().sin());
    let mut half = fans.fold(drawing.reach(), f64::max);
    // Arrows and the speeds beside them need room above and below.
    for end in ways.iter().flat_map(|way| [way.from, way.to]) {
        half = half.max(end.1.abs() + if end.1.abs() > 12.0 { LETTERS } else { 0.0 });
    }
    let half = half.max(widest(drawing) + 16.0).max(26.0) + 8.0;
    let at = (MARK_X, 20.0 + half);
    canvas.text("strong", (0.0, 12.0), Anchor::Start, LETTERS, "From above");
    north(&mut canvas, drawing);
    if let Some(view) = drawing.view {
        canvas.line("thin dash", at, (at.0 + FAN + 10.0, at.1));
        for (number, (camera, class)) in drawing.cameras.iter().zip(LINES).enumerate() {
            fan(&mut canvas, class, at, 0.0, camera.turn, FAN - STEP * number as f64);
            let was = camera.was.as_ref().and_then(|was| was.view);
            if let (Some(was), Some(ring)) = (was, RINGS.get(number)) {
                canvas.line(ring, at, out(at, was.0 - view.0, FAN - STEP * number as f64));
            }
        }
        let words = format!("view {}", heading(view.0));
        canvas.text("", (WIDE, at.1 + widest(drawing) + 16.0), Anchor::End, LETTERS, &words);
    }
    body(&mut canvas, at, 0.0);
    rings(&mut canvas, drawing, at);
    cross(&mut canvas, at);
    let circle = Area::new(
        at.0 - drawing.reach(),
        at.1 - drawing.reach(),
        2.0 * drawing.reach(),
        2.0 * drawing.reach(),
    );
    for way in ways {
        arrow(&mut canvas, &way, at, &circle);
    }
    let mut low = at.1 + half + 8.0;
    drawing.scale().bar(&mut canvas, (1.0, low), 70.0);
    low += 10.0;
    for (number, camera) in drawing.cameras.iter().enumerate() {
        low = key(&mut canvas, camera, number, low);
    }
    canvas.set_height((low + 6.0).ceil());
    canvas
}

/// Half of the widest fan at its rim.
fn widest(drawing: &Drawing) -> f64 {
    drawing.cameras.iter().map(|camera| FAN * camera.turn.radians().sin()).fold(0.0, f64::max)
}

/// Where the cameras travel, around the mark as origin: the outgoing one up to the
/// rings, the incoming one away from them. Two on one line go side by side.
fn ways(drawing: &Drawing) -> Vec<Way> {
    let clear = drawing.reach() + 4.0;
    let ahead = drawing.ahead();
    let [from, to] = &drawing.cameras;
    let ray = |camera: &Camera, back: f64| camera.travels.map(|way| way.0 - ahead.0 + back);
    let rays = [ray(from, 180.0), ray(to, 0.0)];
    let near = match rays {
        [Some(one), Some(other)] => (one - other + 180.0).rem_euclid(360.0) - 180.0,
        _ => 180.0,
    };
    let mut ways = Vec::new();
    for (number, (camera, ray)) in drawing.cameras.iter().zip(rays).enumerate() {
        let Some(ray) = ray else { continue };
        let aside = if near.abs() < 15.0 { if number == 0 { -7.0 } else { 7.0 } } else { 0.0 };
        let origin = out((0.0, 0.0), ray + 90.0, aside);
        let (close, far) = (out(origin, ray, clear), out(origin, ray, clear + ARROW));
        let (from, to) = if number == 0 { (far, close) } else { (close, far) };
        let speed = camera.speed.split(" ±").next().unwrap_or_default().to_owned();
        let line = if number == 0 { "thick" } else { "thick dash" };
        ways.push(Way { from, to, speed, line });
    }
    ways
}

fn arrow(canvas: &mut Canvas, way: &Way, mark: At, circle: &Area) {
    let place = |at: At| (at.0 + mark.0, at.1 + mark.1);
    let (from, to) = (place(way.from), place(way.to));
    canvas.line(way.line, from, to);
    head(canvas, from, to);
    let (x, y) = ((from.0 + to.0) / 2.0, (from.1 + to.1) / 2.0);
    let spots = [
        ((x, y - 9.0), Anchor::Middle),
        ((x, y + 19.0), Anchor::Middle),
        ((x + 10.0, y + 4.0), Anchor::Start),
        ((x - 10.0, y + 4.0), Anchor::End),
    ];
    let clear = |canvas: &Canvas, at: At, anchor| {
        let area = covered(at, anchor, LETTERS, &way.speed);
        let crossed = (0..=8).any(|step| {
            let share = f64::from(step) / 8.0;
            let point = (from.0 + (to.0 - from.0) * share, from.1 + (to.1 - from.1) * share);
            area.meets(&Area::new(point.0 - 2.0, point.1 - 2.0, 4.0, 4.0))
        });
        canvas.is_clear(&area) && !area.meets(circle) && !crossed
    };
    if let Some((at, anchor)) = spots.into_iter().find(|(at, anchor)| clear(canvas, *at, *anchor)) {
        canvas.text("strong", at, anchor, LETTERS, &way.speed);
    }
}

/// The head of an arrow.
fn head(canvas: &mut Canvas, from: At, to: At) {
    let turn = (to.1 - from.1).atan2(to.0 - from.0).to_degrees();
    let mut path = Path::through([to, out(to, turn + 155.0, 13.0), out(to, turn - 155.0, 13.0)]);
    path.shut();
    canvas.path("solid", &path);
}

/// Where north is, while the view is to the right.
fn north(canvas: &mut Canvas, drawing: &Drawing) {
    if drawing.view.is_none() && drawing.cameras.iter().all(|camera| camera.travels.is_none()) {
        return;
    }
    let Angle(ahead) = drawing.ahead();
    let at = (WIDE - NORTH - 3.0, NORTH + 3.0);
    canvas.circle("thin", at, NORTH);
    let (tail, tip) = (out(at, 180.0 - ahead, NORTH - 2.0), out(at, -ahead, NORTH));
    canvas.line("stroke", tail, tip);
    let turn = -ahead;
    let mut point = Path::through([tip, out(tip, turn + 155.0, 9.0), out(tip, turn - 155.0, 9.0)]);
    point.shut();
    canvas.path("solid", &point);
    canvas.text("", (WIDE - 2.0 * NORTH - 9.0, at.1 + 4.0), Anchor::End, LETTERS, "north");
}

/// What a camera's lines mean, below the drawing. Gives the lower end.
fn key(canvas: &mut Canvas, camera: &Camera, number: usize, low: f64) -> f64 {
    let [class, ring, name] = [LINES, RINGS, NAMES].map(|all| all.get(number).copied().unwrap_or_default());
    let asked = camera.asked_speed();
    let speed = if asked.is_empty() { String::new() } else { format!(", {asked}") };
    let words = format!("{name}: ± {}, ± {}{speed}", camera.within, camera.turn);
    let mut low = row(canvas, (class, ""), &words, low);
    if let Some(was) = &camera.was {
        let loud = if camera.was_outside(was) { "strong" } else { "" };
        low = row(canvas, (ring, loud), &camera.was_words(was), low);
    }
    low
}

fn row(canvas: &mut Canvas, (class, letters): (&str, &str), words: &str, low: f64) -> f64 {
    let lines = wrap(words, LETTERS, WIDE - 24.0, 3);
    canvas.circle(class, (8.0, low + 11.0), 6.0);
    for (number, line) in lines.iter().enumerate() {
        canvas.text(letters, (22.0, low + 15.0 + 15.0 * number as f64), Anchor::Start, LETTERS, line);
    }
    low + 15.0 * lines.len().max(1) as f64 + 4.0
}
