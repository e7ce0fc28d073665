//! The key under a picture: what each kind of mark means.

use super::draw::{Anchor, Area, Canvas, Filling, Path};
use super::letters;

/// A mark in small.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Sample {
    /// A full bar.
    Full,
    /// A bar that is full at its foot.
    Half,
    /// An empty bar.
    Open,
    /// A dotted line up to an end.
    Reach,
    /// A hatched bar.
    Hatched,
    /// A slanting line.
    Slant,
    /// A dotted line.
    Dots,
    /// A bracket from above.
    Bracket,
    /// The strip of light at night.
    Night,
    /// The strip of light in twilight.
    Twilight,
    /// The strip of light in golden light.
    Golden,
    /// A piece of the ribbon.
    Square,
    /// Something captured besides.
    Ring,
    /// An effect.
    Diamond,
    /// A join.
    Arc,
    /// A join over two days.
    DashedArc,
}

/// Samples with their words.
pub(crate) struct Key<'a> {
    /// In reading order.
    pub(crate) samples: &'a [(Sample, &'a str)],
    /// Size of the words.
    pub(crate) size: f64,
}

const SAMPLE: f64 = 20.0;
const HIGH: f64 = 11.0;
const LINE: f64 = 17.0;

impl Key<'_> {
    /// Draws the key from a corner, in as many lines as it needs. Gives its lower edge.
    pub(crate) fn draw(&self, canvas: &mut Canvas, left: f64, top: f64, right: f64) -> f64 {
        let (mut x, mut y) = (left, top);
        for (sample, words) in self.samples {
            let wide = SAMPLE + 5.0 + letters::width(words, self.size);
            if x > left && x + wide > right {
                (x, y) = (left, y + LINE);
            }
            draw(canvas, *sample, Area::new(x, y, SAMPLE, HIGH));
            canvas.text("", (x + SAMPLE + 5.0, y + 9.5), Anchor::Start, self.size, words);
            x += wide + 16.0;
        }
        y + LINE
    }
}

fn draw(canvas: &mut Canvas, sample: Sample, area: Area) {
    let (x, middle) = (area.x + area.wide / 2.0, area.y + area.high / 2.0);
    match sample {
        Sample::Full | Sample::Night => canvas.rect("solid", area, 0.0),
        Sample::Half => {
            canvas.rect("paper edge", area, 0.0);
            canvas.rect("solid", Area::new(area.x, area.low() - 4.0, area.wide, 4.0), 0.0);
        }
        Sample::Open => canvas.rect("paper edge", area, 0.0),
        Sample::Reach => {
            let y = area.low() - 2.0;
            canvas.line("stroke dots", (area.x, y), (area.right(), y));
            canvas.line("stroke", (area.right(), area.y), (area.right(), area.low()));
        }
        Sample::Hatched => canvas.filled("off", area, 0.0, Some(Filling::Falling)),
        Sample::Slant => canvas.line("thick", (area.x, area.y), (area.right(), area.low())),
        Sample::Dots => canvas.line("thick dots", (area.x, middle), (area.right(), middle)),
        Sample::Bracket => {
            let (y, low) = (middle - 1.0, middle + 3.0);
            let corners = [(area.x, low), (area.x, y), (area.right(), y), (area.right(), low)];
            canvas.path("sun-line", &Path::through(corners));
        }
        Sample::Twilight => canvas.filled("edge", area, 0.0, Some(Filling::Rising)),
        Sample::Golden => canvas.filled("edge", area, 0.0, Some(Filling::Dotted)),
        Sample::Square => canvas.rect("paper edge", Area::new(x - 5.5, area.y, 11.0, area.high), 0.0),
        Sample::Ring => canvas.circle("paper edge", (x, middle), 5.5),
        Sample::Diamond => {
            let corners = [(x, middle - 4.0), (x + 4.0, middle), (x, middle + 4.0), (x - 4.0, middle)];
            canvas.path("effect", Path::through(corners).shut());
        }
        Sample::Arc | Sample::DashedArc => {
            let mut path = Path::default();
            let low = area.low() - 1.0;
            path.from((area.x + 1.0, low)).bend(
                (area.x + 1.0, area.y - 3.0),
                (area.right() - 1.0, area.y - 3.0),
                (area.right() - 1.0, low),
            );
            canvas.path(if sample == Sample::Arc { "join" } else { "join dash" }, &path);
        }
    }
}
