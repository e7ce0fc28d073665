//! From the side: the lens above the ground, its tilt, and both tolerances.

use super::super::draw::{Anchor, At, Canvas, Path};
use super::super::letters;
use super::{Drawing, FAN, LETTERS, LINES, MARK_X, RINGS, WIDE, body, cross, fan, out, rings, stood};
use crate::quantity::{Length, show};

/// Longest height that is drawn whole; a longer one is broken.
const WHOLE: f64 = 130.0;
/// Where the height stands.
const POST: f64 = 12.0;
/// Where the arc from the level to the view stands.
const ARC: f64 = 120.0;

pub(super) fn draw(drawing: &Drawing, id: &str) -> Canvas {
    let desc = drawing.side_words();
    let mut canvas = Canvas::new(id, "Hand-over from the side", &desc, (WIDE, 2000.0));
    canvas.text("strong", (0.0, 12.0), Anchor::Start, LETTERS, "From the side");
    let tilt = drawing.tilt.map_or(0.0, |tilt| tilt.0.clamp(-90.0, 90.0));
    let (above, below) = reaches(drawing, tilt);
    let at = (MARK_X, 24.0 + above);
    if drawing.tilt.is_some() {
        canvas.line("hair", at, (at.0 + FAN, at.1));
        canvas.line("thin dash", at, out(at, -tilt, FAN + 10.0));
        if tilt.abs() >= 1.0 {
            let mut arc = Path::through([(at.0 + ARC, at.1)]);
            arc.arc(ARC, tilt < 0.0, out(at, -tilt, ARC));
            canvas.path("thin", &arc);
        }
        for (number, (camera, class)) in drawing.cameras.iter().zip(LINES).enumerate() {
            let far = FAN - 14.0 * number as f64;
            fan(&mut canvas, class, at, -tilt, camera.turn, far);
            let was = camera.was.as_ref().and_then(|was| was.tilt);
            if let (Some(was), Some(ring)) = (was, RINGS.get(number)) {
                canvas.line(ring, at, out(at, -was.0, far));
            }
        }
    }
    body(&mut canvas, at, -tilt);
    rings(&mut canvas, drawing, at);
    cross(&mut canvas, at);
    heights_as_measured(&mut canvas, drawing, at);
    if let Some(tilt) = drawing.tilt {
        // On the side of the level that the fan leaves free.
        let y = if tilt.0 < 0.0 { at.1 - 6.0 } else { at.1 + LETTERS + 5.0 };
        let y = if tilt.0.abs() < 0.05 { at.1 + half(drawing, FAN) + LETTERS + 5.0 } else { y };
        canvas.text("", (WIDE, y), Anchor::End, LETTERS, &show::tilt(tilt));
    }
    let ground = match drawing.height {
        Some(height) => post(&mut canvas, drawing, at, height, below),
        None => at.1 + below,
    };
    let low = foot(&mut canvas, drawing, ground);
    canvas.set_height((low + 6.0).ceil());
    canvas
}

/// Half of the widest fan at a distance.
fn half(drawing: &Drawing, far: f64) -> f64 {
    drawing.cameras.iter().map(|camera| far * camera.turn.radians().sin()).fold(0.0, f64::max)
}

/// How far what is drawn reaches above and below the lens.
fn reaches(drawing: &Drawing, tilt: f64) -> (f64, f64) {
    let ring = drawing.reach();
    let scale = drawing.scale();
    let (mut above, mut below) = (ring, ring);
    if drawing.tilt.is_some() {
        let tilts = drawing.cameras.iter().filter_map(|camera| camera.was.as_ref()?.tilt).map(|tilt| tilt.0);
        for tilt in tilts.chain([tilt]) {
            let rise = FAN * tilt.to_radians().sin();
            above = above.max(rise + half(drawing, FAN));
            below =
                below.max(half(drawing, FAN) - rise + if tilt.abs() < 0.05 { LETTERS + 6.0 } else { 0.0 });
        }
    }
    for was in drawing.cameras.iter().filter_map(|camera| camera.was.as_ref()) {
        if let (Some(height), Some(planned)) = (was.height, drawing.height) {
            let higher = scale.long(height - planned).clamp(-100.0, 100.0);
            above = above.max(higher + 6.0);
            below = below.max(6.0 - higher);
        }
    }
    (above, below.max(LETTERS + 8.0))
}

/// The height above the ground, whole where it fits, else broken. Gives where the
/// ground is.
fn post(canvas: &mut Canvas, drawing: &Drawing, at: At, height: Length, below: f64) -> f64 {
    let long = drawing.scale().long(height);
    let whole = long <= WHOLE && long >= below + 4.0;
    let ground = at.1 + if whole { long } else { below + 34.0 };
    canvas.line("hair", (POST - 6.0, at.1), (at.0 - drawing.reach() - 2.0, at.1));
    if whole {
        canvas.line("stroke", (POST, at.1), (POST, ground));
    } else {
        let middle = ground - 17.0;
        let zigzag = [
            (POST, at.1),
            (POST, middle - 6.0),
            (POST + 5.0, middle - 3.0),
            (POST - 5.0, middle + 3.0),
            (POST, middle + 6.0),
            (POST, ground),
        ];
        canvas.path("stroke", &Path::through(zigzag));
    }
    for y in [at.1, ground] {
        canvas.line("stroke", (POST - 5.0, y), (POST + 5.0, y));
    }
    let words = if whole { height.to_string() } else { format!("{height} (drawn shorter)") };
    canvas.text("strong", (POST + 9.0, ground - 8.0), Anchor::Start, LETTERS, &words);
    canvas.line("stroke", (0.0, ground), (WIDE, ground));
    for step in 0..24 {
        let x = 4.0 + 12.0 * f64::from(step);
        canvas.line("thin", (x, ground), (x - 4.0, ground + 5.0));
    }
    ground + 6.0
}

/// A measured height, to scale against the planned one.
fn heights_as_measured(canvas: &mut Canvas, drawing: &Drawing, at: At) {
    for (camera, ring) in drawing.cameras.iter().zip(RINGS) {
        let height = camera.was.as_ref().and_then(|was| was.height);
        if let (Some(height), Some(planned)) = (height, drawing.height) {
            let y = at.1 - drawing.scale().long(height - planned).clamp(-100.0, 100.0);
            canvas.line(ring, (at.0 - 16.0, y), (at.0 + 16.0, y));
        }
    }
}

/// Scale, distances and what was measured, below the ground.
fn foot(canvas: &mut Canvas, drawing: &Drawing, ground: f64) -> f64 {
    let mut low = ground + 12.0;
    drawing.scale().bar(canvas, (1.0, low), 70.0);
    low += 8.0;
    let away = match (drawing.near, drawing.far) {
        (Some(near), Some(far)) => format!("Nearest thing {near}, farthest {far}"),
        (Some(near), None) => format!("Nearest thing {near}"),
        (None, Some(far)) => format!("Farthest thing {far}"),
        (None, None) => String::new(),
    };
    let mut say = |canvas: &mut Canvas, words: &str| {
        for line in letters::wrap(words, LETTERS, WIDE, 3) {
            low += 15.0;
            canvas.text("", (0.0, low), Anchor::Start, LETTERS, &line);
        }
    };
    say(canvas, &away);
    for (camera, name) in drawing.cameras.iter().zip(super::NAMES) {
        if let Some(words) = camera.was.as_ref().and_then(|was| stood(was, drawing)) {
            say(canvas, &format!("{name}, as measured: {words}"));
        }
    }
    low
}
