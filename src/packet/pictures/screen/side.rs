//! From the side: floor, lens, screen and the sweep down.

use super::super::draw::{Anchor, At, Canvas, Path};
use super::super::letters;
use super::{Drawing, LENS_X, LETTERS, WIDE, lens as sign, spare};
use crate::quantity::{Length, show};

/// Where the height of the lens stands.
const POST: f64 = 10.0;

pub(super) fn draw(drawing: &Drawing, id: &str, lens: Length) -> Canvas {
    let mut canvas = Canvas::new(id, "Screen from the side", &drawing.side_words(), (WIDE, 2000.0));
    canvas.text("strong", (0.0, 12.0), Anchor::Start, LETTERS, "From the side");
    let scale = drawing.scale();
    let ((away, up), (lean, rise)) = drawing.stands(lens);
    let half = drawing.high.0 / 2.0;
    let along = |by: f64| (away + lean * by, up + rise * by);
    let hits = hits(drawing, up);
    let tops = hits.iter().map(|by| along(*by).1).chain([along(half).1, lens.0]);
    let highest = tops.fold(0.0, f64::max);
    let floor = 24.0 + highest * scale.0;
    let place = |(away, up): At| (LENS_X + away * scale.0, floor - up * scale.0);
    let at = place((0.0, lens.0));

    canvas.line("stroke", (0.0, floor), (WIDE, floor));
    for step in 0..24 {
        let x = 4.0 + 12.0 * f64::from(step);
        canvas.line("thin", (x, floor), (x - 4.0, floor + 5.0));
    }
    if let [low, high] = hits.as_slice() {
        let mut path = Path::through([at, place(along(*high)), place(along(*low))]);
        path.shut();
        canvas.path("tint stroke", &path);
        let share = drawing.reach.0 / drawing.distance().0.max(1e-9);
        let hands = |by: f64| {
            let (away, up) = along(by);
            place((away * share, lens.0 + (up - lens.0) * share))
        };
        canvas.line("thick", hands(*high), hands(*low));
    }
    let (sin, cos) = drawing.tilt.radians().sin_cos();
    let far = if drawing.leans { drawing.distance().0 } else { drawing.distance().0 / cos.max(0.1) };
    canvas.line("thin dash", at, place((far * cos, lens.0 + far * sin)));
    canvas.line("board", place(along(-half)), place(along(half)));
    if drawing.foot.0 > 0.0 && !drawing.leans {
        canvas.line("thin dash", place(along(-half)), place((away, 0.0)));
    }
    sign(&mut canvas, at, -drawing.tilt.0);
    canvas.line("stroke", (POST, at.1), (POST, floor));
    for y in [at.1, floor] {
        canvas.line("stroke", (POST - 4.0, y), (POST + 4.0, y));
    }
    canvas.text("strong", (POST + 7.0, floor - 6.0), Anchor::Start, LETTERS, &lens.to_string());

    let ends = [place(along(half)), place(along(-half))];
    let low = beside(&mut canvas, drawing, ends, floor);
    canvas.set_height((low + 4.0).ceil());
    canvas
}

/// Where the lower and the upper edge of the sweep meet the screen, from its middle
/// upwards in metres.
fn hits(drawing: &Drawing, middle: f64) -> Vec<f64> {
    match (drawing.edges, drawing.needed) {
        (Some((low, high)), _) => vec![low.0 - middle, high.0 - middle],
        (None, Some((_, high))) if drawing.leans => vec![-high.0 / 2.0, high.0 / 2.0],
        _ => Vec::new(),
    }
}

/// What the screen has to spare above and below, and how it stands.
fn beside(canvas: &mut Canvas, drawing: &Drawing, [top, low]: [At; 2], floor: f64) -> f64 {
    let x = top.0.max(low.0) + 8.0;
    let middle = (top.1 + low.1) / 2.0;
    canvas.text("strong", (x, middle + 4.0), Anchor::Start, LETTERS, &format!("{} high", drawing.high));
    if let Some((below, above)) = drawing.below_and_above() {
        let class = |spare: Length| if spare.0 < -0.0005 { "stop" } else { "" };
        let y = (top.1 + 12.0).min(middle - 14.0);
        canvas.text(class(above), (x, y), Anchor::Start, LETTERS, &spare(above));
        let y = (low.1 - 4.0).min(floor - 5.0).max(middle + 20.0);
        canvas.text(class(below), (x, y), Anchor::Start, LETTERS, &spare(below));
    }
    let mut y = floor.max(low.1) + 8.0;
    let stands = if drawing.leans {
        "screen leans to face the lens, its middle on the axis".to_owned()
    } else if drawing.foot.0 > 0.0 {
        format!("screen upright, lower edge {} above the floor", drawing.foot)
    } else {
        "screen upright, on the floor".to_owned()
    };
    let lines = [format!("lens looks {}; sweep {} down", show::tilt(drawing.tilt), drawing.sweep.1), stands];
    for words in lines {
        for line in letters::wrap(&words, LETTERS, WIDE, 2) {
            y += 15.0;
            canvas.text("", (0.0, y), Anchor::Start, LETTERS, &line);
        }
    }
    y += 14.0;
    drawing.scale().bar(canvas, (1.0, y), 80.0);
    y + 4.0
}
