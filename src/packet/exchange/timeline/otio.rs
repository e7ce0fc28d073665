//! The assembly as OpenTimelineIO: JSON with the schemas that its releases 0.15 to
//! 0.18 write (`Clip.2`, `Marker.2`, …).
//!
//! In: the assembly. Out: one track of the picture and one for each layer above
//! it, layers switched off. Clips are missing references under the names that the
//! ingest list gives, so a program can find the files once they are there; what is
//! owed is a gap that says why. A retime is a `LinearTimeWarp` with the mean speed;
//! a curve stands beside it in the metadata. What only Seamster knows stands in
//! `metadata.seamster`.

use crate::packet::Packet;
use crate::packet::views::assembly::{Assembly, Blend, Item, Laid, Layer, Mark, MarkKind, UsedTake};
use serde_json::{Map, Value, json};

/// The timeline as a file.
pub fn write(packet: &Packet) -> Vec<u8> {
    let writer = Writer { assembly: &packet.assembly, packet };
    let mut timeline = writer.timeline();
    without_nul(&mut timeline);
    let mut text = serde_json::to_string_pretty(&timeline).expect("a JSON value always serialises");
    text.push('\n');
    text.into_bytes()
}

struct Writer<'p> {
    packet: &'p Packet,
    assembly: &'p Assembly,
}

impl Writer<'_> {
    fn timeline(&self) -> Value {
        let head = &self.packet.head;
        let mut tracks = vec![self.picture()];
        tracks.extend(self.assembly.layers.iter().zip(2..).map(|(layer, number)| self.layer(layer, number)));
        let marks = self.assembly.marks.iter().map(|mark| self.mark(mark, 0, self.assembly.frames));
        json!({
            "OTIO_SCHEMA": "Timeline.1",
            "name": head.title,
            "global_start_time": self.time(self.assembly.start_frame),
            "metadata": { "seamster": {
                "sequence": head.path,
                "text": head.version,
                "draft": head.draft,
                "drop_frame": self.assembly.drop_frame,
            } },
            "tracks": {
                "OTIO_SCHEMA": "Stack.1",
                "name": "tracks",
                "source_range": null,
                "effects": [],
                "markers": marks.collect::<Vec<_>>(),
                "enabled": true,
                "metadata": {},
                "children": tracks,
            },
        })
    }

    fn picture(&self) -> Value {
        let mut children = Vec::new();
        for item in &self.assembly.items {
            children.extend(
                item.join.iter().filter(|join| join.before + join.behind > 0).map(|join| self.blend(join)),
            );
            children.push(match &item.source {
                Some(source) => self.clip(item, source),
                None => self.gap(&item.title, item.frames, &item.marks),
            });
        }
        track("V1", true, children)
    }

    fn layer(&self, layer: &Layer, number: usize) -> Value {
        let mut children = Vec::new();
        let mut end = 0;
        for clip in &layer.clips {
            if clip.at > end {
                children.push(self.gap("", clip.at - end, &[]));
            }
            children.push(self.laid(clip));
            end = clip.at + clip.frames;
        }
        track(&format!("V{number}"), false, children)
    }

    fn clip(&self, item: &Item, source: &UsedTake) -> Value {
        let marks = item.marks.iter().map(|mark| self.mark(mark, source.start + mark.at, 0));
        let mut clip = self.item(&source.name, source.start, item.frames, marks.collect());
        clip.insert("OTIO_SCHEMA".to_owned(), json!("Clip.2"));
        clip.insert("effects".to_owned(), self.effects(source));
        clip.insert("metadata".to_owned(), metadata(&item.title, &item.beat, source));
        self.refer(&mut clip, source);
        Value::Object(clip)
    }

    fn laid(&self, clip: &Laid) -> Value {
        let source = &clip.source;
        let mut value = self.item(&source.name, source.start, clip.frames, Vec::new());
        value.insert("OTIO_SCHEMA".to_owned(), json!("Clip.2"));
        value.insert("enabled".to_owned(), json!(false));
        value.insert("effects".to_owned(), self.effects(source));
        value.insert("metadata".to_owned(), metadata(&clip.title, &clip.kind, source));
        self.refer(&mut value, source);
        Value::Object(value)
    }

    fn gap(&self, name: &str, frames: u64, marks: &[Mark]) -> Value {
        let marks = marks.iter().map(|mark| self.mark(mark, mark.at, 0)).collect();
        let mut gap = self.item(name, 0, frames, marks);
        gap.insert("OTIO_SCHEMA".to_owned(), json!("Gap.1"));
        Value::Object(gap)
    }

    fn item(&self, name: &str, start: u64, frames: u64, marks: Vec<Value>) -> Map<String, Value> {
        let item = json!({
            "name": name,
            "source_range": self.range(self.time(start), self.time(frames)),
            "effects": [],
            "markers": marks,
            "enabled": true,
            "metadata": {},
        });
        match item {
            Value::Object(item) => item,
            _ => Map::new(),
        }
    }

    /// The file that will be there: its name and how long a take is.
    fn refer(&self, clip: &mut Map<String, Value>, source: &UsedTake) {
        let rate = source.capture.per_second();
        let take = self.range(time(0, rate), time(source.capture_frames, rate));
        let reference = json!({
            "OTIO_SCHEMA": "MissingReference.1",
            "name": source.name,
            "available_range": take,
            "available_image_bounds": null,
            "metadata": { "seamster": { "reel": source.reel } },
        });
        clip.insert("media_references".to_owned(), json!({ "DEFAULT_MEDIA": reference }));
        clip.insert("active_media_reference_key".to_owned(), json!("DEFAULT_MEDIA"));
    }

    fn effects(&self, source: &UsedTake) -> Value {
        if !source.is_retimed() {
            return json!([]);
        }
        let curve: Vec<Value> = source
            .curve
            .iter()
            .map(|step| json!({ "at": share(step.at), "speed": share(step.speed) }))
            .collect();
        json!([{
            "OTIO_SCHEMA": "LinearTimeWarp.1",
            "name": if curve.is_empty() { "speed" } else { "mean of a speed curve" },
            "effect_name": "LinearTimeWarp",
            "time_scalar": share(source.speed),
            "enabled": true,
            "metadata": if curve.is_empty() { json!({}) } else { json!({ "seamster": { "curve": curve } }) },
        }])
    }

    fn blend(&self, join: &Blend) -> Value {
        json!({
            "OTIO_SCHEMA": "Transition.1",
            "name": join.kind,
            "transition_type": "SMPTE_Dissolve",
            "in_offset": self.time(join.before),
            "out_offset": self.time(join.behind),
            "metadata": { "seamster": { "join": join.title, "kind": join.kind, "asked": join.asked } },
        })
    }

    fn mark(&self, mark: &Mark, at: u64, frames: u64) -> Value {
        json!({
            "OTIO_SCHEMA": "Marker.2",
            "name": mark.title,
            "comment": mark.says,
            "color": colour(mark.kind),
            "marked_range": self.range(self.time(at), self.time(frames)),
            "metadata": { "seamster": { "kind": mark.kind } },
        })
    }

    fn time(&self, frames: u64) -> Value {
        time(frames, self.assembly.rate.per_second())
    }

    fn range(&self, start: Value, duration: Value) -> Value {
        json!({ "OTIO_SCHEMA": "TimeRange.1", "start_time": start, "duration": duration })
    }
}

fn time(frames: u64, rate: f64) -> Value {
    json!({ "OTIO_SCHEMA": "RationalTime.1", "value": frames as f64, "rate": rate })
}

fn track(name: &str, enabled: bool, children: Vec<Value>) -> Value {
    json!({
        "OTIO_SCHEMA": "Track.1",
        "name": name,
        "kind": "Video",
        "source_range": null,
        "effects": [],
        "markers": [],
        "enabled": enabled,
        "metadata": {},
        "children": children,
    })
}

/// Readers in C end a text at its first NUL, and lose the rest; it is a space, as in
/// the decision list.
fn without_nul(value: &mut Value) {
    match value {
        Value::String(text) if text.contains('\0') => *text = text.replace('\0', " "),
        Value::Array(items) => items.iter_mut().for_each(without_nul),
        Value::Object(object) => object.values_mut().for_each(without_nul),
        _ => (),
    }
}

fn metadata(title: &str, of: &str, source: &UsedTake) -> Value {
    json!({ "seamster": {
        "title": title,
        "of": of,
        "plate": source.plate,
        "card": source.card.file,
        "reel": source.reel,
        "shot": source.shot,
    } })
}

/// Hundredths of a per cent as a factor.
fn share(hundredths: i64) -> f64 {
    hundredths as f64 / 10_000.0
}

/// The names that markers of the schema know; each kind is told in words, too.
pub(super) fn colour(kind: MarkKind) -> &'static str {
    match kind {
        MarkKind::Beat => "WHITE",
        MarkKind::Owed => "RED",
        MarkKind::Join => "MAGENTA",
        MarkKind::Speed => "ORANGE",
        MarkKind::Sound => "GREEN",
        MarkKind::Pass => "CYAN",
        MarkKind::Note => "YELLOW",
    }
}
