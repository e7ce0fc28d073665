//! From above: lens, hands, screen, the sweep and the camera's view.

use super::super::draw::{Anchor, Canvas, Path};
use super::super::letters;
use super::{Drawing, LENS_X, LETTERS, WIDE, lens, spare, tape};

pub(super) fn draw(drawing: &Drawing, id: &str) -> Canvas {
    let mut canvas = Canvas::new(id, "Screen from above", &drawing.plan_words(), (WIDE, 2000.0));
    canvas.text("strong", (0.0, 12.0), Anchor::Start, LETTERS, "From above");
    let scale = drawing.scale();
    let wide = scale.long(drawing.wide);
    let behind = drawing.needed.map_or(0.0, |(wide, _)| scale.long(wide));
    let at = (LENS_X, 26.0 + wide.max(behind) / 2.0);
    let screen = at.0 + scale.long(drawing.distance());
    let (top, low) = (at.1 - wide / 2.0, at.1 + wide / 2.0);

    view(&mut canvas, drawing, screen, at);
    if behind > 0.0 {
        let wedge = [at, (screen, at.1 - behind / 2.0), (screen, at.1 + behind / 2.0)];
        let mut path = Path::through(wedge);
        path.shut();
        canvas.path("tint stroke", &path);
        let hands = at.0 + scale.long(drawing.reach);
        let half = behind / 2.0 * (hands - at.0) / (screen - at.0).max(1e-9);
        canvas.line("thick", (hands, at.1 - half), (hands, at.1 + half));
    }
    canvas.line("thin dash", at, (screen, at.1));
    if let Some(planned) = drawing.planned_gap.filter(|planned| *planned != drawing.gap) {
        let x = at.0 + scale.long(drawing.reach + planned);
        canvas.line("stroke dash", (x, top), (x, low));
    }
    canvas.line("board", (screen, top), (screen, low));
    lens(&mut canvas, at, 0.0);

    beside(&mut canvas, drawing, screen, (top, at.1, low), behind);
    let under = at.1 + wide.max(behind) / 2.0 + 14.0;
    let low = below(&mut canvas, drawing, (at.0, screen), under);
    canvas.set_height((low + 4.0).ceil());
    canvas
}

/// The edges of the camera's view, as far as there is room for them.
fn view(canvas: &mut Canvas, drawing: &Drawing, screen: f64, at: (f64, f64)) {
    let half = (drawing.view.0 / 2.0).clamp(0.0, 90.0);
    let (sin, cos) = half.to_radians().sin_cos();
    let room = (at.1 - 18.0).max(0.0);
    let long = (room / sin.max(1e-9)).min((screen - at.0) / cos.max(1e-9));
    for side in [-1.0, 1.0] {
        canvas.line("thin dash", at, (at.0 + long * cos, at.1 + side * long * sin));
    }
}

/// How wide the screen is, and what it has to spare.
fn beside(
    canvas: &mut Canvas,
    drawing: &Drawing,
    screen: f64,
    (top, middle, low): (f64, f64, f64),
    behind: f64,
) {
    let planned = drawing.planned_gap.map_or(0.0, |gap| LENS_X + drawing.scale().long(drawing.reach + gap));
    let x = screen.max(planned) + 8.0;
    let middle_words = [
        format!("{} wide", drawing.wide),
        drawing.needed.map_or(String::new(), |(wide, _)| format!("sweep {}", tape(wide))),
    ];
    for (number, words) in middle_words.iter().enumerate() {
        let class = if number == 0 { "strong" } else { "" };
        canvas.text(class, (x, middle + 16.0 * number as f64), Anchor::Start, LETTERS, words);
    }
    let Some(spared) = drawing.beside() else { return };
    let class = if spared.0 < -0.0005 { "stop" } else { "" };
    let half = behind / 2.0;
    for (end, edge) in [(top, middle - half), (low, middle + half)] {
        canvas.line("stroke", (screen - 5.0, edge), (screen + 5.0, edge));
        // Beside the screen's end, clear of the words in the middle.
        let between = (end + edge) / 2.0;
        let y = if end < middle { between.min(middle - 20.0) } else { between.max(middle + 30.0) };
        canvas.text(class, (x, y + 4.0), Anchor::Start, LETTERS, &spare(spared));
    }
}

/// Distances, and what the camera sees, below the drawing.
fn below(canvas: &mut Canvas, drawing: &Drawing, (lens, screen): (f64, f64), under: f64) -> f64 {
    let hands = lens + drawing.scale().long(drawing.reach);
    canvas.line("stroke", (lens, under), (screen, under));
    for end in [lens, hands, screen] {
        canvas.line("stroke", (end, under - 4.0), (end, under + 4.0));
    }
    let mut low = under + 16.0;
    let fits = |words: &str, room: f64| letters::width(words, LETTERS) < room - 4.0;
    let (reach, gap) = (drawing.reach.to_string(), drawing.gap.to_string());
    // Where a distance is shorter than its words, there is room beyond its outer end.
    if fits(&reach, hands - lens) {
        canvas.text("", ((lens + hands) / 2.0, low), Anchor::Middle, LETTERS, &reach);
    } else {
        canvas.text("", (hands - 2.0, low), Anchor::End, LETTERS, &reach);
    }
    if fits(&gap, screen - hands) {
        canvas.text("", ((hands + screen) / 2.0, low), Anchor::Middle, LETTERS, &gap);
    } else {
        canvas.text("", (hands + 4.0, low), Anchor::Start, LETTERS, &gap);
    }
    let arm = if drawing.reach_known { "" } else { "the way to the hands is taken as an arm's length" };
    let planned = drawing.planned_gap.filter(|planned| *planned != drawing.gap);
    let planned =
        planned.map_or_else(String::new, |planned| format!("dashed: as planned, {planned} behind the hands"));
    let lines = [
        format!("lens to hands {}, to screen {}", drawing.reach, drawing.distance()),
        arm.to_owned(),
        planned,
        format!("sweep {} across; camera sees {}", drawing.sweep.0, drawing.view),
    ];
    low += 4.0;
    for words in lines {
        for line in letters::wrap(&words, LETTERS, WIDE, 3) {
            low += 15.0;
            canvas.text("", (0.0, low), Anchor::Start, LETTERS, &line);
        }
    }
    low += 14.0;
    drawing.scale().bar(canvas, (1.0, low), 80.0);
    low + 4.0
}
