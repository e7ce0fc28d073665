//! How the desk chart lies on the page: weeks under each other, in each a line a person.
//!
//! Where there are so many weeks that the picture would grow too tall, two, four or more
//! share a strip.

use super::{Bar, DeskChart, Lane, Slip};
use crate::packet::pictures::draw::{Anchor, Area, Canvas, Filling, Path, covered};
use crate::packet::pictures::key::{Key, Sample};
use crate::packet::pictures::{id, letters};
use crate::recipe::PassId;
use jiff::civil::Date;
use std::collections::BTreeMap;

/// Measures of one variant.
pub(crate) struct Layout {
    variant: &'static str,
    /// Width of the picture.
    wide: f64,
    /// Room for names at the left; where there is none, names stand above their line.
    gutter: f64,
    /// Size of all text.
    size: f64,
    /// Beyond so tall a picture, weeks share strips.
    tallest: f64,
}

impl Layout {
    /// For paper and wide windows.
    pub(crate) const WIDE: Self =
        Self { variant: "wide", wide: 720.0, gutter: 92.0, size: 11.0, tallest: 900.0 };
    /// For phones.
    pub(crate) const NARROW: Self =
        Self { variant: "narrow", wide: 328.0, gutter: 0.0, size: 11.5, tallest: 1600.0 };
}

/// Height of a bar.
const BAR: f64 = 17.0;
/// From one line to the next, names at the left.
const LINE: f64 = 23.0;
/// Share of a day that a weekday without work gets.
const IDLE: f64 = 0.22;

/// One strip of days.
struct Strip<'a> {
    chart: &'a DeskChart,
    layout: &'a Layout,
    first: usize,
    days: usize,
    /// Width of a working day.
    unit: f64,
    top: f64,
    /// Those who have something to show in it.
    lanes: Vec<&'a Lane>,
}

impl Strip<'_> {
    fn weight(&self, day: usize) -> f64 {
        if self.chart.idle.contains(&(day % 7)) { IDLE } else { 1.0 }
    }

    /// Where a day and its part lie.
    fn x(&self, at: f64) -> f64 {
        let within = (at - self.first as f64).clamp(0.0, self.days as f64);
        let whole = within.floor() as usize;
        let before: f64 = (0..whole).map(|day| self.weight(self.first + day)).sum();
        let part = within - whole as f64;
        let part = if part > 0.0 { part * self.weight(self.first + whole) } else { 0.0 };
        self.layout.gutter + (before + part) * self.unit
    }

    fn holds(&self, from: f64, to: f64) -> bool {
        to > self.first as f64 && from < (self.first + self.days) as f64
    }

    fn end(&self) -> f64 {
        (self.first + self.days) as f64
    }

    /// Upper edge of a person's bars.
    fn y(&self, lane: usize) -> f64 {
        self.top
            + self.head()
            + lane as f64 * line(self.layout)
            + if self.layout.gutter > 0.0 { 3.0 } else { 17.0 }
    }

    /// Height of what stands over the lines: dates, and moments where there are any.
    fn head(&self) -> f64 {
        20.0 + if self.has_moments() { 16.0 } else { 0.0 }
    }

    fn has_moments(&self) -> bool {
        let finish = self.chart.finish.as_ref();
        self.chart.moments.iter().any(|(at, _)| self.holds(*at, *at + 0.001))
            || finish.is_some_and(|(day, _)| self.holds(*day as f64 - 0.5, *day as f64))
    }

    fn low(&self) -> f64 {
        self.top + self.head() + (self.lanes.len() as f64 * line(self.layout)).max(6.0)
    }
}

fn line(layout: &Layout) -> f64 {
    if layout.gutter > 0.0 { LINE } else { LINE + 14.0 }
}

pub(super) fn draw(chart: &DeskChart, layout: &Layout) -> Canvas {
    let mut canvas =
        Canvas::new(&id("desk", "plan", layout.variant), "Desk plan", &chart.desc, (layout.wide, 1e6));
    let strip_high = 40.0 + chart.lanes.len() as f64 * line(layout);
    let mut per = 7;
    while per < chart.days && chart.days.div_ceil(per) as f64 * strip_high > layout.tallest {
        per *= 2;
    }
    let mut top = 0.0;
    let mut first = 0;
    while first < chart.days {
        let weights: f64 =
            (first..first + per).map(|day| if chart.idle.contains(&(day % 7)) { IDLE } else { 1.0 }).sum();
        let unit = (layout.wide - layout.gutter - 1.0) / weights;
        let mut strip = Strip { chart, layout, first, days: per, unit, top, lanes: Vec::new() };
        strip.lanes = chart.lanes.iter().filter(|lane| is_shown(&strip, lane)).collect();
        first += per;
        if strip.lanes.is_empty() && !strip.has_moments() {
            continue;
        }
        draw_strip(&mut canvas, &strip);
        top = strip.low() + 8.0;
    }
    let key = Key {
        samples: &[
            (Sample::Full, "sets the finish: cannot slip"),
            (Sample::Half, "can slip by less than a day"),
            (Sample::Open, "can slip by a day or more"),
            (Sample::Reach, "how far it can slip"),
            (Sample::Hatched, "off or away"),
        ],
        size: layout.size,
    };
    let low = key.draw(&mut canvas, 0.0, top + 6.0, layout.wide);
    canvas.set_height(low.ceil());
    canvas
}

/// Whether a person has a pass, or room in which one may slip, within a strip.
fn is_shown(strip: &Strip<'_>, lane: &Lane) -> bool {
    lane.bars.iter().enumerate().any(|(at, bar)| {
        let next = lane.bars.get(at + 1).map_or(f64::MAX, |next| next.from);
        strip.holds(bar.from, bar.until.min(next).max(bar.to))
    })
}

fn draw_strip(canvas: &mut Canvas, strip: &Strip<'_>) {
    days(canvas, strip);
    let mut placed: BTreeMap<PassId, (f64, f64, f64)> = BTreeMap::new();
    for (at, lane) in strip.lanes.iter().enumerate() {
        let y = strip.y(at);
        name(canvas, strip, lane, y);
        for (number, bar) in lane.bars.iter().enumerate() {
            if strip.holds(bar.from, bar.to) {
                let next = lane.bars.get(number + 1).map(|next| next.from);
                draw_bar(canvas, strip, (lane, bar), y, next);
                placed.insert(bar.pass, (strip.x(bar.from), strip.x(bar.to), y));
            }
        }
    }
    for (from, to) in &strip.chart.links {
        if let (Some(from), Some(to)) = (placed.get(from), placed.get(to)) {
            link(canvas, from.1, (from.2, to.2), to.0);
        }
    }
    moments(canvas, strip);
}

/// The way from the end of a pass to the start of one on another line.
fn link(canvas: &mut Canvas, end: f64, (from, to): (f64, f64), start: f64) {
    let (leave, arrive) = if to > from { (from + BAR, to) } else { (from, to + BAR) };
    let mut path = Path::default();
    path.from((end - 1.0, leave)).to((end - 1.0, to + BAR / 2.0));
    if start > end {
        path.to((start, to + BAR / 2.0));
    } else {
        path = Path::through([(end - 1.0, leave), (end - 1.0, arrive)]);
    }
    canvas.path("thick", &path);
}

/// Dates over the strip, lines between days, hatching where somebody is off.
fn days(canvas: &mut Canvas, strip: &Strip<'_>) {
    let size = strip.layout.size;
    let (from, low) = (strip.top + strip.head(), strip.low());
    for day in strip.first..strip.first + strip.days {
        let (x, right) = (strip.x(day as f64), strip.x(day as f64 + 1.0));
        for (at, lane) in strip.lanes.iter().enumerate() {
            if lane.off.contains(&day) {
                let area = Area::new(x, strip.y(at) + 1.0, right - x, BAR - 2.0);
                canvas.filled("off", area, 0.0, Some(Filling::Falling));
            }
        }
        canvas.line(if day.is_multiple_of(7) { "thin" } else { "hair" }, (x, strip.top + 4.0), (x, low));
        date_words(canvas, strip, day, (x, right), size);
    }
    canvas.line("thin", (strip.layout.wide - 0.5, from), (strip.layout.wide - 0.5, low));
    canvas.line("stroke", (0.0, from), (strip.layout.wide, from));
}

/// The date of a day: as long as every day of the strip has room for.
fn date_words(canvas: &mut Canvas, strip: &Strip<'_>, day: usize, (x, right): (f64, f64), size: f64) {
    let date = |day: usize| strip.chart.first.checked_add(jiff::Span::new().days(day as i64)).ok();
    if strip.days > 7 && !day.is_multiple_of(7) {
        return;
    }
    let step = if strip.days > 7 { 7 } else { 1 };
    let room = |from: usize| strip.x((from + step) as f64) - strip.x(from as f64) - 5.0;
    let shown = (strip.first..strip.first + strip.days).step_by(step);
    let busy: Vec<usize> = shown.filter(|day| !strip.chart.idle.contains(&(day % 7))).collect();
    let fits = |form: &&fn(Date) -> String| {
        busy.iter().all(|&day| date(day).is_none_or(|date| letters::width(&form(date), size) <= room(day)))
    };
    let Some(words) = FORMS.iter().find(fits).zip(date(day)).map(|(form, date)| form(date)) else { return };
    if letters::width(&words, size) > right - x - 3.0 && strip.days == 7 {
        return;
    }
    let area = canvas.text("", (x + 3.0, strip.top + 14.0), Anchor::Start, size, &words);
    if strip.chart.shoots.contains(&day) && letters::width("shoot", size) + 6.0 <= right - area.right() {
        canvas.text("soft", (area.right() + 5.0, strip.top + 14.0), Anchor::Start, size, "shoot");
    }
}

/// A date, from long to short: `Mon 17 May`, `17 May`, `Mo 17`, `17`.
const FORMS: [fn(Date) -> String; 4] = [
    |date| date.strftime("%a %-d %b").to_string(),
    |date| date.strftime("%-d %b").to_string(),
    |date| {
        let day = date.strftime("%a").to_string();
        format!("{} {}", day.get(..2).unwrap_or_default(), date.day())
    },
    |date| date.day().to_string(),
];

fn name(canvas: &mut Canvas, strip: &Strip<'_>, lane: &Lane, y: f64) {
    let size = strip.layout.size;
    if strip.layout.gutter > 0.0 {
        let lines = letters::wrap(&lane.name, size, strip.layout.gutter - 8.0, 2);
        let first = if lines.len() > 1 { y + 7.0 } else { y + 12.5 };
        for (at, text) in lines.iter().enumerate() {
            canvas.text("strong", (2.0, first + at as f64 * 11.6), Anchor::Start, size, text);
        }
    } else {
        let text = letters::fit(&lane.name, size, (strip.layout.wide - 8.0) / letters::BOLD);
        canvas.text("strong", (2.0, y - 4.0), Anchor::Start, size, &text);
    }
}

fn draw_bar(canvas: &mut Canvas, strip: &Strip<'_>, (lane, bar): (&Lane, &Bar), y: f64, next: Option<f64>) {
    let pieces = pieces(strip, lane, bar);
    for (at, (from, to)) in pieces.iter().enumerate() {
        let end = if at + 1 == pieces.len() { 0.8 } else { 0.0 };
        let area = Area::new(*from, y, (to - from - end).max(1.0), BAR);
        match bar.slip {
            Slip::None => canvas.rect("solid", area, 0.0),
            Slip::Little => {
                canvas.rect("paper edge", area, 0.0);
                canvas.rect("solid", Area::new(area.x, y + BAR - 4.0, area.wide, 4.0), 0.0);
            }
            Slip::Much => canvas.rect("paper edge", area, 0.0),
        }
        if let Some((next, _)) = pieces.get(at + 1) {
            // Nobody works on days off: the pass waits.
            canvas.line("thick", (*to, y + BAR / 2.0), (*next, y + BAR / 2.0));
        }
        if at == 0 {
            label(canvas, strip, bar, &area);
        }
    }
    let to = strip.x(bar.to);
    let until = bar.until.min(next.unwrap_or(f64::MAX)).min(strip.end());
    if bar.slip != Slip::None && until > bar.to.max(strip.first as f64) {
        let (right, middle) = (strip.x(until), y + BAR - 2.0);
        if right - to > 3.0 {
            canvas.line("stroke dots", (to, middle), (right, middle));
            if bar.until <= until {
                canvas.line("stroke", (right, y + 4.0), (right, y + BAR));
            }
        }
    }
}

/// Where a bar lies within a strip, left to right, without its days off.
fn pieces(strip: &Strip<'_>, lane: &Lane, bar: &Bar) -> Vec<(f64, f64)> {
    let (from, to) = (bar.from.max(strip.first as f64), bar.to.min(strip.end()));
    let mut pieces = Vec::new();
    let mut at = from;
    for day in lane.off.range(from.floor() as usize..=to.floor() as usize) {
        let (left, right) = (*day as f64, *day as f64 + 1.0);
        // What starts on a day off is brought in on an evening.
        if left <= at && to <= right {
            break;
        }
        if left > at {
            pieces.push((strip.x(at), strip.x(left)));
        }
        at = at.max(right);
    }
    if at < to || pieces.is_empty() {
        pieces.push((strip.x(at), strip.x(to)));
    }
    pieces
}

/// Number and title of a pass, as much as its first piece has room for.
fn label(canvas: &mut Canvas, strip: &Strip<'_>, bar: &Bar, area: &Area) {
    let size = strip.layout.size;
    let room = area.wide - 4.0;
    let number = bar.number.to_string();
    if letters::width(&number, size) > room {
        return;
    }
    let whole = letters::fit(&format!("{number} {}", bar.title), size, room);
    // A title of which few letters are left tells nobody anything.
    let text = if whole.chars().count() > number.len() + 6 { whole } else { number };
    let class = if bar.slip == Slip::None { "on-ink" } else { "" };
    let base = area.y + if bar.slip == Slip::Little { 10.5 } else { 12.5 };
    canvas.text(class, (area.x + 2.5, base), Anchor::Start, size, &text);
}

/// Lock, deliveries and the finish line, named over the lines.
fn moments(canvas: &mut Canvas, strip: &Strip<'_>) {
    let size = strip.layout.size;
    let base = strip.top + strip.head() - 5.0;
    let low = strip.low();
    let mut marks: Vec<(f64, &str, &str)> = Vec::new();
    for (at, words) in &strip.chart.moments {
        if strip.holds(*at, *at + 0.001) {
            marks.push((strip.x(*at), words, "stroke dash"));
        }
    }
    if let Some((day, words)) = &strip.chart.finish
        && strip.holds(*day as f64 - 0.5, *day as f64)
    {
        let class = if strip.chart.late { "stop-line" } else { "thick" };
        let x = strip.x(*day as f64);
        canvas.line(class, (x - 4.0, base - 10.0), (x - 4.0, low));
        marks.push((x, words, class));
    }
    for (x, words, class) in marks {
        canvas.line(class, (x, base - 10.0), (x, low));
        let words = letters::fit(words, size, strip.layout.wide);
        let right = covered((x + 4.0, base), Anchor::Start, size, &words);
        let left = covered((x - 7.0, base), Anchor::End, size, &words);
        if canvas.is_clear(&right) {
            canvas.text("strong", (x + 4.0, base), Anchor::Start, size, &words);
        } else if canvas.is_clear(&left) {
            canvas.text("strong", (x - 7.0, base), Anchor::End, size, &words);
        }
    }
}
