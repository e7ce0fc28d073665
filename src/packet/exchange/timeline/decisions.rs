//! The assembly as a decision list in the manner of CMX 3600 (SMPTE 258M): the
//! picture alone, on one track.
//!
//! In: the assembly. Out: lists of at most 999 events, which is what the format
//! counts to; none at a rate whose labels it cannot hold. An overlap is a dissolve
//! that starts where the incoming piece is first seen, as the format has it. What
//! is owed is black (`BL`). Speeds are `M2` lines in frames a second; whatever else
//! is known follows an event as comments.

use super::otio::colour;
use crate::craft::timecode::Timebase;
use crate::packet::Packet;
use crate::packet::views::assembly::{Assembly, Item, Mark, MarkKind, UsedTake, timebase};
use std::fmt::Write;

/// Most events of a list: their numbers have three digits.
const MOST: usize = 999;
/// Most frames of a dissolve: its field has three digits.
const LONGEST_BLEND: u64 = 999;
/// Longest title (common practice).
const LONGEST_TITLE: usize = 70;

/// The decision lists with their names: `assembly.edl`, or numbered ones.
pub fn write(packet: &Packet) -> Vec<(String, Vec<u8>)> {
    let Some(base) = timebase(packet.assembly.rate).filter(|base| base.nominal() <= 60) else {
        return Vec::new();
    };
    let parts = parts(&packet.assembly);
    let several = parts.len() > 1;
    let named = parts.iter().zip(1..).map(|(items, number)| {
        let name = if several { format!("assembly-{number}.edl") } else { "assembly.edl".to_owned() };
        let list = List { packet, base, out: String::new() };
        (name, list.write(items, several.then_some(number)).into_bytes())
    });
    named.collect()
}

/// Parts of at most [`MOST`] pieces, each of which starts with a cut where there is one.
fn parts(assembly: &Assembly) -> Vec<&[Item]> {
    let mut parts = Vec::new();
    let mut rest = assembly.items.as_slice();
    while rest.len() > MOST {
        let cut = (1..=MOST).rev().find(|at| rest.get(*at).is_some_and(|item| blend(item) == 0));
        let (part, behind) = rest.split_at(cut.unwrap_or(MOST));
        parts.push(part);
        rest = behind;
    }
    parts.push(rest);
    parts
}

/// Frames of overlap with the piece before.
fn blend(item: &Item) -> u64 {
    item.join.as_ref().map_or(0, |join| (join.before + join.behind).min(LONGEST_BLEND))
}

/// Frames of the overlap that lie before the cut.
fn early(item: &Item) -> u64 {
    item.join.as_ref().map_or(0, |join| join.before)
}

struct List<'p> {
    packet: &'p Packet,
    base: Timebase,
    out: String,
}

impl List<'_> {
    fn write(mut self, items: &[Item], number: Option<usize>) -> String {
        let head = &self.packet.head;
        let title = match number {
            Some(number) => format!("{} {number}", title(&head.title, &head.path)),
            None => title(&head.title, &head.path),
        };
        self.line(&format!("TITLE: {title}"));
        let drop = self.packet.assembly.drop_frame;
        self.line(&format!("FCM: {}DROP FRAME", if drop { "" } else { "NON-" }));
        for (at, item) in items.iter().enumerate() {
            let before = at.checked_sub(1).and_then(|at| items.get(at));
            self.event(at + 1, before, item, items.get(at + 1));
        }
        self.out
    }

    fn line(&mut self, text: &str) {
        self.out.push_str(&printable(text));
        self.out.push_str("\r\n");
    }

    fn comment(&mut self, text: &str) {
        self.line(&format!("* {text}"));
    }

    /// One piece: from where it is first seen to where the next one is.
    fn event(&mut self, number: usize, before: Option<&Item>, item: &Item, next: Option<&Item>) {
        let start = self.packet.assembly.start_frame;
        let blend = before.map_or(0, |_| blend(item));
        let early = before.map_or(0, |_| early(item));
        let record_in = item.at - early;
        let record_out = item.at + item.frames - next.map_or(0, self::early);
        let reel = reel(item);
        let source_in = first_seen(item, early);
        let source_out = match item.source {
            Some(_) => last_seen(item, next.map_or(0, self::early)),
            None => record_out - record_in,
        };
        let labels = [source_in, source_out, start + record_in, start + record_out];
        if let Some(before) = before.filter(|_| blend > 0) {
            let out = last_seen(before, early);
            self.cut(number, &self::reel(before), [out, out, start + record_in, start + record_in]);
            let label = self.labels(labels);
            self.line(&format!("{number:03}  {reel:8} V     D {blend:03}    {label}"));
        } else {
            self.cut(number, &reel, labels);
        }
        self.speed(item, source_in);
        self.names(before.filter(|_| blend > 0), item);
        for mark in &item.marks {
            self.mark(start + item.at + mark.at, mark);
        }
    }

    fn cut(&mut self, number: usize, reel: &str, labels: [u64; 4]) {
        let labels = self.labels(labels);
        self.line(&format!("{number:03}  {reel:8} V     C        {labels}"));
    }

    fn labels(&self, frames: [u64; 4]) -> String {
        frames.map(|frame| self.base.label(frame).to_string()).join(" ")
    }

    /// `M2`: the speed in frames a second at the list's rate. Its label has colons
    /// throughout, which every reader takes; `FCM` says how it counts.
    fn speed(&mut self, item: &Item, source_in: u64) {
        let Some(source) = item.source.as_ref().filter(|source| source.is_retimed()) else { return };
        let speed = source.speed as f64 / 10_000.0 * self.base.rate().per_second();
        let label = self.base.label(source_in).with_colons();
        let sign = if speed < 0.0 { "-" } else { "" };
        let speed = format!("{sign}{:05.1}", speed.abs());
        self.line(&format!("M2   {:8} {speed:>9}                {label}", source.reel));
    }

    fn names(&mut self, before: Option<&Item>, item: &Item) {
        let name =
            |item: &Item| item.source.as_ref().map_or("BLACK".to_owned(), |source| source.name.clone());
        match before {
            Some(before) => {
                self.comment(&format!("FROM CLIP NAME: {}", name(before)));
                self.comment(&format!("TO CLIP NAME: {}", name(item)));
            }
            None => self.comment(&format!("FROM CLIP NAME: {}", name(item))),
        }
        let join = item.join.as_ref();
        if let Some(join) = join {
            self.comment(&format!("JOIN: {}, {}", join.kind, join.title));
        }
        if let Some(source) = &item.source {
            self.comment(&format!("PLATE: {}, {}", source.plate, item.title));
            self.comment(&format!("SHOT: {}", source.shot));
            if source.is_retimed() {
                let mean = if source.curve.is_empty() { "" } else { ", the mean of a curve" };
                self.comment(&format!("SPEED: {} per cent{mean}", hundredths(source.speed)));
            }
        } else {
            self.comment(&format!("OWED: {}, {}", item.path, item.title));
        }
    }

    fn mark(&mut self, frame: u64, mark: &Mark) {
        let label = self.base.label(frame).with_colons();
        let owed = mark.kind == MarkKind::Owed && !mark.says.is_empty();
        let says = if owed { format!("; {}", mark.says) } else { String::new() };
        self.comment(&format!("LOC: {label} {:7} {}{says}", colour(mark.kind), mark.title));
    }
}

/// The source frame of a piece that is first seen `early` frames before its cut.
fn first_seen(item: &Item, early: u64) -> u64 {
    item.source.as_ref().map_or(0, |source| source.start.saturating_sub(source.eats(early)))
}

/// The source frame of a piece where the next one begins to be seen, `early`
/// frames before its end. Black has only one frame.
fn last_seen(item: &Item, early: u64) -> u64 {
    let frames = item.frames.saturating_sub(early);
    item.source.as_ref().map_or(0, |source| source.start + source.eats(frames))
}

fn reel(item: &Item) -> String {
    item.source.as_ref().map_or("BL".to_owned(), |source: &UsedTake| source.reel.clone())
}

/// `195`, `97.5`.
fn hundredths(speed: i64) -> String {
    crate::quantity::show::number(speed as f64 / 100.0, 2)
}

/// A title that any reader takes; the sequence's name where it has other letters.
fn title(title: &str, path: &str) -> String {
    let plain = title.bytes().all(|byte| (b' '..=b'~').contains(&byte)) && !title.trim().is_empty();
    let title = if plain { title } else { path };
    title.chars().take(LONGEST_TITLE).collect()
}

/// On one line, without control characters.
fn printable(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        let _ = out.write_char(if letter.is_control() || letter == '\u{2028}' || letter == '\u{2029}' {
            ' '
        } else {
            letter
        });
    }
    out.truncate(out.trim_end().len());
    out
}
