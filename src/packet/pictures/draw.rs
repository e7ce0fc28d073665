//! The pen that every picture is drawn with.
//!
//! In: marks, in units of the picture (at its natural size one unit is one CSS pixel),
//! x to the right and y down. Out: one `<svg>` element with a name for those who cannot
//! see it. Text is escaped, numbers are finite and rounded, colour comes from classes
//! alone (`templates/pictures.css`), and where every text went is remembered, so that
//! what is placed later keeps clear of it and tests can look.

use super::Svg;
use super::letters;
use crate::packet::escape;
use std::fmt::Write;

/// A point.
pub(crate) type At = (f64, f64);

/// A rectangle along the axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Area {
    /// Left edge.
    pub(crate) x: f64,
    /// Upper edge.
    pub(crate) y: f64,
    /// Width, not negative.
    pub(crate) wide: f64,
    /// Height, not negative.
    pub(crate) high: f64,
}

impl Area {
    /// An area from its upper left corner and its extents.
    pub(crate) fn new(x: f64, y: f64, wide: f64, high: f64) -> Self {
        Self { x, y, wide: wide.max(0.0), high: high.max(0.0) }
    }

    /// Whether two areas share more than an edge.
    pub(crate) fn meets(&self, other: &Self) -> bool {
        self.x < other.right() && other.x < self.right() && self.y < other.low() && other.y < self.low()
    }

    /// Whether the other lies wholly inside, give or take a tenth.
    pub(crate) fn holds(&self, other: &Self) -> bool {
        let give = 0.1;
        other.x >= self.x - give
            && other.y >= self.y - give
            && other.right() <= self.right() + give
            && other.low() <= self.low() + give
    }

    /// Right edge.
    pub(crate) fn right(&self) -> f64 {
        self.x + self.wide
    }

    /// Lower edge.
    pub(crate) fn low(&self) -> f64 {
        self.y + self.high
    }
}

/// Which end of a text stands at its point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Anchor {
    /// Its beginning.
    Start,
    /// Its middle.
    Middle,
    /// Its end.
    End,
}

/// Fillings that can be told apart without colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Filling {
    /// Fine lines falling to the right.
    Falling,
    /// Fine lines rising to the right.
    Rising,
    /// Dots.
    Dotted,
}

/// A text that was written, and where.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Written {
    /// The words.
    pub(crate) text: String,
    /// What they cover.
    pub(crate) area: Area,
}

/// A picture while it is drawn.
#[derive(Clone)]
pub(crate) struct Canvas {
    id: String,
    title: String,
    desc: String,
    wide: f64,
    high: f64,
    body: String,
    fillings: Vec<Filling>,
    written: Vec<Written>,
}

impl Canvas {
    /// An empty picture. `id` begins with a letter, holds only letters, digits and
    /// hyphens, and no other picture of the same page has it; `title` names the picture,
    /// `desc` says in a sentence what is in it.
    pub(crate) fn new(id: &str, title: &str, desc: &str, (wide, high): (f64, f64)) -> Self {
        Self {
            id: id.to_owned(),
            title: title.to_owned(),
            desc: desc.to_owned(),
            wide,
            high,
            body: String::new(),
            fillings: Vec::new(),
            written: Vec::new(),
        }
    }

    /// The whole picture.
    pub(crate) fn frame(&self) -> Area {
        Area::new(0.0, 0.0, self.wide, self.high)
    }

    /// Sets the height, where it follows from what was drawn.
    pub(crate) fn set_height(&mut self, high: f64) {
        self.high = high;
    }

    /// Every text so far.
    pub(crate) fn written(&self) -> &[Written] {
        &self.written
    }

    /// Whether nothing is written there yet, and it lies inside the picture.
    pub(crate) fn is_clear(&self, area: &Area) -> bool {
        self.frame().holds(area) && !self.written.iter().any(|one| one.area.meets(area))
    }

    /// A straight line.
    pub(crate) fn line(&mut self, class: &str, from: At, to: At) {
        let [x1, y1, x2, y2] = [from.0, from.1, to.0, to.1].map(number);
        let _ = write!(self.body, "<path class=\"{class}\" d=\"M{x1} {y1}L{x2} {y2}\"/>");
    }

    /// A rectangle, with corners of a radius.
    pub(crate) fn rect(&mut self, class: &str, area: Area, radius: f64) {
        self.filled(class, area, radius, None);
    }

    /// A rectangle filled with a pattern.
    pub(crate) fn filled(&mut self, class: &str, area: Area, radius: f64, filling: Option<Filling>) {
        let [x, y, wide, high] = [area.x, area.y, area.wide, area.high].map(number);
        let _ = write!(
            self.body,
            "<rect class=\"{class}\" x=\"{x}\" y=\"{y}\" width=\"{wide}\" height=\"{high}\""
        );
        if radius > 0.0 {
            let _ = write!(self.body, " rx=\"{}\"", number(radius));
        }
        self.fill(filling);
    }

    /// A circle.
    pub(crate) fn circle(&mut self, class: &str, centre: At, radius: f64) {
        let [x, y, r] = [centre.0, centre.1, radius].map(number);
        let _ = write!(self.body, "<circle class=\"{class}\" cx=\"{x}\" cy=\"{y}\" r=\"{r}\"/>");
    }

    /// Lines, curves and what they enclose.
    pub(crate) fn path(&mut self, class: &str, path: &Path) {
        self.shape(class, path, None);
    }

    /// A path filled with a pattern.
    pub(crate) fn shape(&mut self, class: &str, path: &Path, filling: Option<Filling>) {
        if path.0.is_empty() {
            return;
        }
        let _ = write!(self.body, "<path class=\"{class}\" d=\"{}\"", path.0);
        self.fill(filling);
    }

    fn fill(&mut self, filling: Option<Filling>) {
        if let Some(filling) = filling {
            if !self.fillings.contains(&filling) {
                self.fillings.push(filling);
            }
            // A style, since a class's fill would win over an attribute.
            let _ = write!(self.body, " style=\"fill:url(#{}-{})\"", self.id, word(filling));
        }
        self.body.push_str("/>");
    }

    /// A text on one line, its base line at the point. Gives what it covers.
    pub(crate) fn text(&mut self, class: &str, at: At, anchor: Anchor, size: f64, text: &str) -> Area {
        let area = covered(at, anchor, size, text);
        if text.is_empty() {
            return area;
        }
        let side = match anchor {
            Anchor::Start => "",
            Anchor::Middle => " text-anchor=\"middle\"",
            Anchor::End => " text-anchor=\"end\"",
        };
        let class = if class.is_empty() { String::new() } else { format!(" class=\"{class}\"") };
        let [x, y, size] = [at.0, at.1, size].map(number);
        let _ = write!(self.body, "<text{class} x=\"{x}\" y=\"{y}\" font-size=\"{size}\"{side}>");
        let _ = escape::html(text, &mut self.body);
        self.body.push_str("</text>");
        self.written.push(Written { text: text.to_owned(), area });
        area
    }

    /// The finished picture.
    pub(crate) fn finish(self) -> Svg {
        let Self { id, wide, high, .. } = &self;
        let [wide, high] = [*wide, *high].map(number);
        let mut out = format!(
            "<svg role=\"img\" aria-labelledby=\"{id}-t {id}-d\" viewBox=\"0 0 {wide} {high}\" \
             width=\"{wide}\" height=\"{high}\"><title id=\"{id}-t\">"
        );
        let _ = escape::html(&self.title, &mut out);
        let _ = write!(out, "</title><desc id=\"{id}-d\">");
        let _ = escape::html(&self.desc, &mut out);
        out.push_str("</desc>");
        if !self.fillings.is_empty() {
            out.push_str("<defs>");
            for filling in &self.fillings {
                out.push_str(&pattern(id, *filling));
            }
            out.push_str("</defs>");
        }
        out.push_str(&self.body);
        out.push_str("</svg>");
        Svg(out)
    }
}

/// What a text will cover: a little above its capitals to a little below its base line.
pub(crate) fn covered(at: At, anchor: Anchor, size: f64, text: &str) -> Area {
    let wide = letters::width(text, size);
    let x = match anchor {
        Anchor::Start => at.0,
        Anchor::Middle => at.0 - wide / 2.0,
        Anchor::End => at.0 - wide,
    };
    Area::new(x, at.1 - size * 0.8, wide, size * 1.05)
}

fn word(filling: Filling) -> &'static str {
    match filling {
        Filling::Falling => "falling",
        Filling::Rising => "rising",
        Filling::Dotted => "dotted",
    }
}

fn pattern(id: &str, filling: Filling) -> String {
    let (turn, inside) = match filling {
        Filling::Falling => (-45, "<path d=\"M0 0V5\"/>"),
        Filling::Rising => (45, "<path d=\"M0 0V5\"/>"),
        Filling::Dotted => (0, "<circle cx=\"2.5\" cy=\"2.5\" r=\".8\"/>"),
    };
    format!(
        "<pattern class=\"filling\" id=\"{id}-{}\" width=\"5\" height=\"5\" patternUnits=\"userSpaceOnUse\" \
         patternTransform=\"rotate({turn})\"><rect class=\"ground\" width=\"5\" height=\"5\"/>{inside}</pattern>",
        word(filling)
    )
}

/// A number as it stands in a picture: at most two decimals, no zero at its end, and 0
/// for what is none, since a picture must not fail for one mark.
pub(crate) fn number(value: f64) -> String {
    if !value.is_finite() {
        return "0".to_owned();
    }
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// Lines and curves, one after another.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Path(String);

impl Path {
    /// Through points, straight from one to the next.
    pub(crate) fn through(points: impl IntoIterator<Item = At>) -> Self {
        let mut path = Self::default();
        for at in points {
            if path.0.is_empty() {
                path.from(at);
            } else {
                path.to(at);
            }
        }
        path
    }

    /// Begins at a point.
    pub(crate) fn from(&mut self, at: At) -> &mut Self {
        self.step('M', &[at])
    }

    /// Straight to a point.
    pub(crate) fn to(&mut self, at: At) -> &mut Self {
        self.step('L', &[at])
    }

    /// To a point, bent towards two others.
    pub(crate) fn bend(&mut self, first: At, second: At, at: At) -> &mut Self {
        self.step('C', &[first, second, at])
    }

    /// To a point along a circle of a radius, the shorter way, clockwise on the page or not.
    pub(crate) fn arc(&mut self, radius: f64, clockwise: bool, at: At) -> &mut Self {
        let [r, x, y] = [radius, at.0, at.1].map(number);
        let _ = write!(self.0, "A{r} {r} 0 0 {} {x} {y}", u8::from(clockwise));
        self
    }

    /// Back to where it began.
    pub(crate) fn shut(&mut self) -> &mut Self {
        self.0.push('Z');
        self
    }

    fn step(&mut self, letter: char, points: &[At]) -> &mut Self {
        self.0.push(letter);
        for (at, (x, y)) in points.iter().enumerate() {
            let space = if at == 0 { "" } else { " " };
            let _ = write!(self.0, "{space}{} {}", number(*x), number(*y));
        }
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_picture_says_what_it_is_and_escapes_every_text() {
        let mut canvas = Canvas::new("p", "A <b>", "\"what\" & how", (100.0, 50.0));
        canvas.text("soft", (10.0, 20.0), Anchor::Start, 11.0, "</text><script>");
        canvas.rect("bar", Area::new(1.0, 2.0, 3.456, 4.0), 0.0);
        let Svg(svg) = canvas.finish();
        assert!(svg.starts_with(
            "<svg role=\"img\" aria-labelledby=\"p-t p-d\" viewBox=\"0 0 100 50\" width=\"100\" height=\"50\">\
             <title id=\"p-t\">A &lt;b&gt;</title><desc id=\"p-d\">&quot;what&quot; &amp; how</desc>"
        ));
        assert!(
            svg.contains(">&lt;/text&gt;&lt;script&gt;</text>") && svg.contains("width=\"3.46\""),
            "{svg}"
        );
    }

    #[test]
    fn numbers_are_short_and_always_numbers() {
        let told = [0.0, -0.001, 1.0, 2.50, 1.0 / 3.0, f64::NAN, f64::INFINITY].map(number);
        assert_eq!(told, ["0", "0", "1", "2.5", "0.33", "0", "0"]);
    }

    #[test]
    fn patterns_are_there_when_used() {
        let mut canvas = Canvas::new("p", "t", "d", (10.0, 10.0));
        canvas.filled("b", Area::new(0.0, 0.0, 1.0, 1.0), 0.0, Some(Filling::Dotted));
        let Svg(svg) = canvas.finish();
        assert!(svg.contains("fill:url(#p-dotted)") && svg.contains("id=\"p-dotted\""));
        assert!(svg.ends_with("</svg>"));
    }

    #[test]
    fn what_is_written_is_in_the_way_of_what_comes_later() {
        let mut canvas = Canvas::new("p", "t", "d", (100.0, 50.0));
        let area = canvas.text("", (50.0, 20.0), Anchor::Middle, 10.0, "here");
        assert!(!canvas.is_clear(&area));
        assert!(canvas.is_clear(&covered((50.0, 40.0), Anchor::Middle, 10.0, "here")));
        assert!(!canvas.is_clear(&covered((99.0, 40.0), Anchor::Start, 10.0, "here")), "sticks out");
    }
}
