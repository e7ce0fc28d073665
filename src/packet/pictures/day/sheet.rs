//! How the day chart lies on the page: time to the right; the sun over the places, the
//! places in the order in which they are reached, then what is left of charge and cards.

use super::{Band, DayChart, Doing, Gauge, HORIZON, Lane, Sky, Stretch};
use crate::packet::pictures::draw::{Anchor, Area, Canvas, Filling, Path, covered};
use crate::packet::pictures::key::{Key, Sample};
use crate::packet::pictures::{id, letters};

/// Measures of one variant.
pub(crate) struct Layout {
    variant: &'static str,
    /// Width of the picture.
    wide: f64,
    /// Room for names at the left; where there is none, names stand above what they name.
    gutter: f64,
    /// Size of all text.
    size: f64,
}

impl Layout {
    /// For paper and wide windows.
    pub(crate) const WIDE: Self = Self { variant: "wide", wide: 720.0, gutter: 128.0, size: 11.0 };
    /// For phones.
    pub(crate) const NARROW: Self = Self { variant: "narrow", wide: 328.0, gutter: 0.0, size: 11.5 };
}

/// Height of the curve of the sun.
const CURVE: f64 = 62.0;
/// Height of a bar, and of the strip of light.
const BAR: f64 = 16.0;
/// Above and below a bar, for its number.
const AIR: f64 = 13.0;
/// A bracket of wanted light.
const BRACKET: f64 = 15.0;
/// Height of a gauge.
const GAUGE: f64 = 48.0;

/// The chart on the way to the page.
struct Sheet<'a> {
    chart: &'a DayChart,
    layout: &'a Layout,
    /// How far down it is drawn.
    y: f64,
}

pub(super) fn draw(chart: &DayChart, layout: &Layout) -> Canvas {
    let id = id(&chart.file, "day", layout.variant);
    let mut canvas = Canvas::new(&id, "The day", &chart.desc, (layout.wide, 1e6));
    let mut sheet = Sheet { chart, layout, y: 0.0 };
    sheet.clocks(&mut canvas);
    let top = sheet.y;
    if let Some(sky) = &chart.sky {
        sheet.sky(&mut canvas, sky);
    }
    let bases: Vec<f64> = chart.lanes.iter().map(|lane| sheet.lane(&mut canvas, lane)).collect();
    sheet.path(&mut canvas, &bases);
    for gauge in &chart.gauges {
        sheet.gauge(&mut canvas, gauge);
    }
    for (at, _) in [&chart.call, &chart.wrap] {
        canvas.line("stroke dash", (sheet.x(*at), top), (sheet.x(*at), sheet.y));
    }
    let samples = samples(chart);
    let key = Key { samples: &samples, size: layout.size };
    let low = key.draw(&mut canvas, 0.0, sheet.y + 8.0, layout.wide);
    canvas.set_height(low.ceil());
    canvas
}

/// Only what is on this day's chart needs words.
fn samples(chart: &DayChart) -> Vec<(Sample, &'static str)> {
    let does = |doing| chart.stretches.iter().any(|one| one.doing == doing);
    let lit = |band| chart.sky.iter().flat_map(|sky| &sky.bands).any(|(_, _, one)| *one == band);
    let closed = |lane: &Lane| lane.open != [(chart.from, chart.to)];
    let all = [
        (true, Sample::Full, "shooting, numbered as in the order of the day"),
        (does(Doing::Preparing), Sample::Half, "setting up"),
        (does(Doing::Moving), Sample::Slant, "on the way"),
        (does(Doing::Waiting), Sample::Dots, "waiting"),
        (chart.lanes.iter().any(closed), Sample::Hatched, "place not open"),
        (chart.lanes.iter().any(|lane| !lane.lights.is_empty()), Sample::Bracket, "light that is wanted"),
        (lit(Band::Night), Sample::Night, "night"),
        (lit(Band::Twilight), Sample::Twilight, "twilight"),
        (lit(Band::Golden), Sample::Golden, "golden light"),
    ];
    all.into_iter().filter(|(is_there, ..)| *is_there).map(|(_, sample, words)| (sample, words)).collect()
}

impl Sheet<'_> {
    fn x(&self, at: i64) -> f64 {
        let share = (at - self.chart.from) as f64 / (self.chart.to - self.chart.from).max(1) as f64;
        self.layout.gutter + share.clamp(0.0, 1.0) * (self.layout.wide - self.layout.gutter)
    }

    /// Names something at the left of what comes next, or above it.
    fn name(&mut self, canvas: &mut Canvas, strong: &str, soft: &str, high: f64) {
        let size = self.layout.size;
        if self.layout.gutter > 0.0 {
            let room = self.layout.gutter - 8.0;
            // As many lines as the row is high, so that rows stay clear of each other.
            let most = ((high / 12.0).floor() as usize).max(2);
            let first = if soft.is_empty() { most.min(2) } else { (most - 1).min(2) };
            let mut lines: Vec<(&str, String)> = letters::wrap(strong, size, room / letters::BOLD, first)
                .into_iter()
                .map(|line| ("strong", line))
                .collect();
            let rest = most.saturating_sub(lines.len());
            lines.extend(letters::wrap(soft, size, room, rest).into_iter().map(|line| ("soft", line)));
            let mut y = self.y + (high - lines.len() as f64 * 12.0) / 2.0 + 9.5;
            for (class, line) in lines {
                canvas.text(class, (0.0, y), Anchor::Start, size, &line);
                y += 12.0;
            }
            return;
        }
        self.y += 13.0;
        let line = letters::fit(strong, size, self.layout.wide / letters::BOLD);
        let area = canvas.text("strong", (0.0, self.y - 3.0), Anchor::Start, size, &line);
        if !soft.is_empty() {
            let beside = (area.right() + 6.0, self.y - 3.0);
            if beside.0 + letters::width(soft, size) > self.layout.wide {
                self.y += 13.0;
            }
            let x = if beside.1 < self.y - 3.0 { 0.0 } else { beside.0 };
            let line = letters::fit(soft, size, self.layout.wide);
            canvas.text("soft", (x, self.y - 3.0), Anchor::Start, size, &line);
        }
    }

    /// Call and wrap, and the clock under them.
    fn clocks(&mut self, canvas: &mut Canvas) {
        let size = self.layout.size;
        for (at, words) in [&self.chart.call, &self.chart.wrap] {
            let x = self.x(*at);
            let half = letters::width(words, size) / 2.0;
            let x = x.clamp(self.layout.gutter + half, self.layout.wide - half);
            let area = covered((x, 10.0), Anchor::Middle, size, words);
            if canvas.is_clear(&area) {
                canvas.text("strong", (x, 10.0), Anchor::Middle, size, words);
            }
        }
        self.y = 28.0;
        for (at, words) in &self.chart.ticks {
            let half = letters::width(words, size) / 2.0;
            let x = self.x(*at).clamp(self.layout.gutter + half, self.layout.wide - half);
            let area = covered((x, 24.0), Anchor::Middle, size, words);
            let air = Area::new(area.x - 5.0, area.y, area.wide + 10.0, area.high);
            if !canvas.written().iter().any(|one| one.area.meets(&air)) {
                canvas.text("", (x, 24.0), Anchor::Middle, size, words);
            }
        }
    }

    /// Hairs at the moments that are named.
    fn hairs(&self, canvas: &mut Canvas, top: f64, low: f64) {
        for (at, _) in &self.chart.ticks {
            canvas.line("hair", (self.x(*at), top), (self.x(*at), low));
        }
    }

    fn sky(&mut self, canvas: &mut Canvas, sky: &Sky) {
        let most = sky.heights.iter().map(|(_, height)| *height).fold(HORIZON, f64::max);
        let soft = if most > HORIZON { "height over the horizon" } else { "below the horizon" };
        self.name(canvas, "Sun", soft, CURVE + BAR);
        let least = sky.heights.iter().map(|(_, height)| *height).fold(HORIZON, f64::min);
        let (top, low) = (self.y, self.y + CURVE);
        // Room for words over the highest point, and for the horizon's under it.
        let scale = (CURVE - 30.0) / (most - least).max(8.0);
        let y = |height: f64| low - 12.0 - (height - least) * scale;
        self.hairs(canvas, top, low);
        let horizon = y(HORIZON);
        let points: Vec<(f64, f64)> =
            sky.heights.iter().map(|(at, height)| (self.x(*at), y(*height))).collect();
        if let (Some(first), Some(last)) = (points.first(), points.last()) {
            let above = points.iter().map(|(x, y)| (*x, y.min(horizon)));
            let area = std::iter::once((first.0, horizon)).chain(above).chain([(last.0, horizon)]);
            canvas.path("sun-tint", &Path::through(area));
        }
        canvas.line("thin", (self.layout.gutter, horizon), (self.layout.wide, horizon));
        canvas.path("sun-line", &Path::through(points));
        self.sun_words(canvas, sky, y);
        self.y = low;
        self.bands(canvas, sky);
        self.y += 6.0;
    }

    /// Sunrise, noon and sunset by name; then heights at named moments, where there is room.
    fn sun_words(&self, canvas: &mut Canvas, sky: &Sky, y: impl Fn(f64) -> f64) {
        let size = self.layout.size;
        let height = |at: i64| {
            let after = sky.heights.iter().position(|(minute, _)| *minute >= at)?;
            let (to, two) = *sky.heights.get(after)?;
            let (from, one) = *sky.heights.get(after.saturating_sub(1))?;
            let share = if to > from { (at - from) as f64 / (to - from) as f64 } else { 1.0 };
            Some(one + (two - one) * share)
        };
        let heights = self.chart.ticks.iter().filter_map(|(at, _)| {
            let height = height(*at)?;
            // Adding nothing takes the sign from a nought.
            (height > HORIZON).then(|| (*at, format!("{:.0}°", height.round() + 0.0)))
        });
        for (at, words) in sky.events.iter().cloned().chain(heights) {
            let Some(here) = height(at) else { continue };
            let (x, at_curve) = (self.x(at), y(here));
            let half = letters::width(&words, size) / 2.0;
            let middle = x.clamp(self.layout.gutter + half + 1.0, self.layout.wide - half - 1.0);
            let tries = [(middle, at_curve - 6.0), (middle, at_curve + 14.0)];
            let clear = tries.iter().find(|place| {
                let area = covered(**place, Anchor::Middle, size, &words);
                canvas.is_clear(&area) && area.y >= self.y && area.low() <= self.y + CURVE
            });
            if let Some(place) = clear {
                canvas.circle("solid", (x, at_curve), 2.2);
                canvas.text("halo", *place, Anchor::Middle, size, &words);
            }
        }
    }

    fn bands(&mut self, canvas: &mut Canvas, sky: &Sky) {
        for (from, to, band) in &sky.bands {
            let area = Area::new(self.x(*from), self.y, self.x(*to) - self.x(*from), BAR - 2.0);
            let (class, filling, words) = match band {
                Band::Night => ("solid", None, "night"),
                Band::Twilight => ("edge", Some(Filling::Rising), "twilight"),
                Band::Golden => ("edge", Some(Filling::Dotted), "golden"),
                Band::Day => ("paper edge", None, "day"),
            };
            canvas.filled(class, area, 0.0, filling);
            if letters::width(words, self.layout.size) + 6.0 <= area.wide {
                let class = if *band == Band::Night { "on-ink" } else { "halo" };
                let at = (area.x + area.wide / 2.0, area.low() - 3.4);
                canvas.text(class, at, Anchor::Middle, self.layout.size, words);
            }
        }
        self.y += BAR;
    }

    /// A place with its hours and wanted light. Gives where the unit's path runs.
    fn lane(&mut self, canvas: &mut Canvas, lane: &Lane) -> f64 {
        let brackets = lane.lights.len() as f64 * BRACKET;
        let high = brackets + BAR + 2.0 * AIR;
        self.name(canvas, &lane.name, "", high);
        let top = self.y;
        self.hairs(canvas, top, top + high);
        for (words, windows) in &lane.lights {
            for (from, to) in windows {
                self.bracket(canvas, (*from, *to), words);
            }
            self.y += BRACKET;
        }
        let base = self.y + AIR + BAR / 2.0;
        let mut shut = self.chart.from;
        for (from, to) in lane.open.iter().copied().chain([(self.chart.to, self.chart.to)]) {
            if from > shut {
                let area = Area::new(self.x(shut), base - BAR / 2.0, self.x(from) - self.x(shut), BAR);
                canvas.filled("off", area, 0.0, Some(Filling::Falling));
            }
            shut = to;
        }
        self.y = top + high;
        canvas.line("hair", (0.0, self.y), (self.layout.wide, self.y));
        base
    }

    fn bracket(&self, canvas: &mut Canvas, (from, to): (i64, i64), words: &str) {
        let size = self.layout.size;
        let (left, right, y) = (self.x(from) + 0.5, self.x(to) - 0.5, self.y + 12.0);
        let bracket = Path::through([(left, y + 3.0), (left, y), (right, y), (right, y + 3.0)]);
        canvas.path("sun-line", &bracket);
        let words = letters::fit(words, size, right - left - 4.0);
        let at = ((left + right) / 2.0, y - 2.5);
        if canvas.is_clear(&covered(at, Anchor::Middle, size, &words)) {
            canvas.text("halo", at, Anchor::Middle, size, &words);
        }
    }

    /// Where the unit is, what it does there, and its numbers.
    fn path(&self, canvas: &mut Canvas, bases: &[f64]) {
        let base = |lane: usize| bases.get(lane).copied().unwrap_or_default();
        for one in &self.chart.stretches {
            let (from, to) = ((self.x(one.from), base(one.lane)), (self.x(one.to), base(one.into)));
            let class = if one.doing == Doing::Waiting { "thick dots" } else { "thick" };
            canvas.line(class, from, to);
        }
        for one in &self.chart.stretches {
            self.bar(canvas, one, base(one.lane));
        }
        for one in &self.chart.stretches {
            self.words(canvas, one, base(one.lane));
        }
    }

    fn area(&self, one: &Stretch, base: f64) -> Area {
        let (left, right) = (self.x(one.from), self.x(one.to));
        let gap = if right - left > 3.0 { 0.8 } else { 0.2 };
        let area = Area::new(left, base - BAR / 2.0, (right - left - gap).max(0.8), BAR);
        if one.beside { Area::new(area.x, area.y - 6.0, area.wide, 4.0) } else { area }
    }

    fn bar(&self, canvas: &mut Canvas, one: &Stretch, base: f64) {
        let area = self.area(one, base);
        match one.doing {
            Doing::Shooting => canvas.rect("solid", area, 0.0),
            Doing::Preparing => {
                canvas.rect("paper edge", area, 0.0);
                canvas.rect("solid", Area::new(area.x, area.low() - 4.0, area.wide, 4.0), 0.0);
            }
            Doing::Resting => canvas.rect("paper edge", area, 0.0),
            Doing::Waiting | Doing::Moving => {}
        }
    }

    /// The number of a plate, or a word: inside its bar, else over it, else under it.
    fn words(&self, canvas: &mut Canvas, one: &Stretch, base: f64) {
        let (size, area) = (self.layout.size, self.area(one, base));
        if one.words.is_empty() {
            return;
        }
        let middle = area.x + area.wide / 2.0;
        let inside = letters::width(&one.words, size) + 3.0 <= area.wide;
        if inside && !one.beside && one.doing != Doing::Waiting {
            let class = if one.doing == Doing::Shooting { "on-ink" } else { "" };
            canvas.text(class, (middle, base + 4.0), Anchor::Middle, size, &one.words);
            return;
        }
        for y in [base - BAR / 2.0 - 3.0, base + BAR / 2.0 + 10.5] {
            let covers = covered((middle, y), Anchor::Middle, size, &one.words);
            if canvas.is_clear(&covers) {
                canvas.text("halo", (middle, y), Anchor::Middle, size, &one.words);
                return;
            }
        }
    }

    fn gauge(&mut self, canvas: &mut Canvas, gauge: &Gauge) {
        self.y += 6.0;
        self.name(canvas, &gauge.name, &gauge.least, GAUGE + 6.0);
        let (top, low) = (self.y + 3.0, self.y + 3.0 + GAUGE);
        self.hairs(canvas, top, low);
        let y = |share: f64| low - share * GAUGE;
        let mut points: Vec<(f64, f64)> =
            gauge.along.iter().map(|(at, share)| (self.x(*at), y(*share))).collect();
        let last = points.last().copied().unwrap_or((self.layout.wide, low));
        points.push((self.x(self.chart.wrap.0), last.1));
        if let (Some(first), Some(last)) = (points.first().copied(), points.last().copied()) {
            let under = points.iter().copied().chain([(last.0, low), (first.0, low)]);
            canvas.path("tint", &Path::through(under));
        }
        canvas.line("thin dash", (self.layout.gutter, top), (self.layout.wide, top));
        canvas.line("thin", (self.layout.gutter, low), (self.layout.wide, low));
        canvas.path("stroke", &Path::through(points));
        self.y = low + 2.0;
    }
}
