//! The key under a picture: what each kind of mark means.

use super::draw::{Anchor, Area, Canvas, Filling};
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
    match sample {
        Sample::Full => canvas.rect("solid", area, 0.0),
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
    }
}
