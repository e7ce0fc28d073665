//! Places, kit, people, and things whose state must match.

use super::{CameraId, Named, PlaceId};
use crate::quantity::{
    Angle, Data, FrameRate, FrameSize, GeoPosition, Hours, Length, Mass, Projection, Range, Seconds, Share,
    Stream, TurnRate,
};
use crate::source::{Span, Spanned};
use jiff::civil::{Date, Time, Weekday};
use std::collections::BTreeMap;

/// Somewhere to shoot.
#[derive(Debug, Clone)]
pub struct Place {
    /// Name and notes.
    pub named: Named,
    /// Where on the Earth; needed for anything under the sky.
    pub at: Option<Spanned<GeoPosition>>,
    /// When one may be there, local time; empty means all day.
    pub open: Vec<Spanned<Range<Time>>>,
    /// What lights it unless a plate says otherwise.
    pub light: Light,
    /// What can hurt someone here: `water`, `edge`, `height`, `overhead`, `traffic`, `rail`, `aircraft`, …
    pub hazards: Vec<Spanned<String>>,
    /// Nearest emergency department, in words.
    pub hospital: Option<String>,
    /// Angle below which buildings or hills hide the sun.
    pub horizon: Option<Angle>,
    /// Where to put vehicles, where to meet.
    pub parking: Option<String>,
    /// Whether rain and wind stay out.
    pub roof: bool,
}

/// Travel time between two places, either way.
#[derive(Debug, Clone)]
pub struct Travel {
    /// One end.
    pub from: PlaceId,
    /// The other.
    pub to: PlaceId,
    /// How long.
    pub takes: Seconds,
    /// The line.
    pub span: Span,
}

/// An exact camera position at which one rig hands over to another.
#[derive(Debug, Clone)]
pub struct Mark {
    /// Name and notes.
    pub named: Named,
    /// Where.
    pub place: PlaceId,
    /// Lens above the ground.
    pub height: Option<Spanned<Length>>,
    /// Compass direction of the view; 0 north, 90 east.
    pub heading: Option<Spanned<Angle>>,
    /// Up is positive.
    pub tilt: Option<Spanned<Angle>>,
    /// Nearest thing seen at the hand-over.
    pub near: Option<Spanned<Length>>,
    /// Farthest thing seen.
    pub far: Option<Spanned<Length>>,
}

/// A camera body type, of which there are `count`.
#[derive(Debug, Clone)]
pub struct Camera {
    /// Name and notes.
    pub named: Named,
    /// How many bodies.
    pub count: u32,
    /// Ready to mount.
    pub weighs: Option<Mass>,
    /// Recording time on a full charge.
    pub battery: Option<Spanned<Seconds>>,
    /// Batteries per body; 1 unless said.
    pub packs: u32,
    /// Time for a full charge.
    pub recharge: Option<Seconds>,
    /// Space on one card.
    pub card: Option<Spanned<Data>>,
    /// Cards per body; 1 unless said.
    pub cards: u32,
    /// Rated depth; 0 means keep it dry.
    pub water: Option<Length>,
    /// Rolling shutter, top line to bottom line.
    pub readout: Option<Seconds>,
}

/// One way to set a camera.
#[derive(Debug, Clone)]
pub struct Mode {
    /// Full path: `thumb.wide25`.
    pub named: Named,
    /// Whose.
    pub camera: CameraId,
    /// Pixels captured.
    pub frame: FrameSize,
    /// Frames captured per second.
    pub rate: FrameRate,
    /// Exposure time.
    pub shutter: Spanned<Seconds>,
    /// Horizontal field of view.
    pub view: Spanned<Angle>,
    /// How the lens maps angles.
    pub projection: Projection,
    /// Data per second.
    pub stream: Option<Stream>,
    /// What steadying does.
    pub steadying: Steadying,
    /// Share of the picture's width that steadying keeps; 90 % unless said, 100 % when off.
    pub kept: Share,
}

/// How a mode steadies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Steadying {
    /// Horizon held, roll limited.
    Level,
    /// Full roll passes through.
    Free,
    /// None.
    Off,
}

impl Steadying {
    /// As written.
    pub fn word(self) -> &'static str {
        match self {
            Steadying::Level => "level",
            Steadying::Free => "free",
            Steadying::Off => "off",
        }
    }
}

/// What a camera is mounted on.
#[derive(Debug, Clone)]
pub struct Rig {
    /// Name and notes.
    pub named: Named,
    /// Stands still when left alone.
    pub fixed: bool,
    /// On a body.
    pub worn: bool,
    /// In the air.
    pub flies: bool,
    /// Lens height when used normally.
    pub height: Option<Length>,
    /// Time to set it up ready to shoot.
    pub fitting: Seconds,
    /// How closely the camera can be put on a mark, to each side.
    pub placing: Option<(Length, Angle)>,
    /// Turn rate that it adds in normal use.
    pub sway: TurnRate,
    /// What it can carry.
    pub carries: Option<Mass>,
    /// Hands it leaves free for the performer (a stand leaves both: 2).
    pub hands: u32,
    /// What can hurt someone near it.
    pub hazards: Vec<Spanned<String>>,
    /// Flying time of one pack.
    pub endurance: Option<Spanned<Seconds>>,
    /// Packs.
    pub packs: u32,
    /// Time to charge one pack.
    pub recharge: Option<Seconds>,
    /// Whether it may get wet.
    pub water: bool,
    /// The wearer cannot speak.
    pub silences: bool,
    /// Dates on which it is not there.
    pub away: Vec<Spanned<Range<Date>>>,
}

/// A key screen.
#[derive(Debug, Clone)]
pub struct Screen {
    /// Name and notes.
    pub named: Named,
    /// Width.
    pub width: Length,
    /// Height.
    pub height: Length,
    /// Lower edge above the floor; 0 unless said.
    pub foot: Length,
}

/// Someone on location.
#[derive(Debug, Clone)]
pub struct Person {
    /// Name and notes.
    pub named: Named,
    /// Parts played.
    pub plays: Vec<String>,
    /// Skills: `spotter`, `fly`, `pull`, `hold`, `drive`, …
    pub can: Vec<String>,
    /// Dates not available.
    pub away: Vec<Spanned<Range<Date>>>,
    /// Hours of a day when available; `None` means all.
    pub hours: Option<Spanned<Range<Time>>>,
    /// Eye height, for worn rigs.
    pub eyes: Option<Length>,
}

/// Someone, or a house, at the desk.
#[derive(Debug, Clone)]
pub struct Desk {
    /// Name and notes.
    pub named: Named,
    /// Departments.
    pub does: Vec<Spanned<String>>,
    /// Work per day.
    pub hours: Hours,
    /// Dates not available.
    pub away: Vec<Spanned<Range<Date>>>,
    /// Weekdays off.
    pub off: Vec<Weekday>,
}

/// Going back from one state to another.
#[derive(Debug, Clone, PartialEq)]
pub struct Reset {
    /// State now.
    pub from: String,
    /// State wanted.
    pub to: String,
    /// How long it takes.
    pub takes: Seconds,
    /// The line.
    pub span: Span,
}

/// Least total time of resets that lead from one state to another; `None` where
/// there is no way back.
pub(super) fn way_back(resets: &[Reset], from: &str, to: &str) -> Option<Seconds> {
    let mut best: BTreeMap<&str, f64> = BTreeMap::from([(from, 0.0)]);
    // As many rounds as there are resets let the longest chain settle.
    for _ in resets {
        for reset in resets {
            let Some(so_far) = best.get(reset.from.as_str()).copied() else { continue };
            let through = so_far + reset.takes.0;
            let known = best.entry(reset.to.as_str()).or_insert(through);
            *known = known.min(through);
        }
    }
    best.get(to).copied().map(Seconds)
}

/// A thing whose state must match; states only go forward in the order listed
/// unless a reset says how they go back.
#[derive(Debug, Clone)]
pub struct Prop {
    /// Name and notes.
    pub named: Named,
    /// In the order in which they happen; never empty.
    pub states: Vec<String>,
    /// Ways back.
    pub resets: Vec<Reset>,
    /// Identical spares, each of which starts again in the first state.
    pub spares: u32,
}

/// Costume or make-up whose state must match; as [`Prop`].
#[derive(Debug, Clone)]
pub struct Look {
    /// Name and notes.
    pub named: Named,
    /// In the order in which they happen; never empty.
    pub states: Vec<String>,
    /// Ways back.
    pub resets: Vec<Reset>,
}

/// What lights a plate.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub enum Light {
    /// Direct sun: the sun above the horizon (or above the place's own).
    Sun,
    /// Daylight of any kind: sunrise to sunset.
    Sky,
    /// Lamps; any time of day.
    Lamp,
    /// Sun from −4° to +6°, rising.
    GoldenMorning,
    /// Sun from +6° to −4°, setting.
    GoldenEvening,
    /// Sun from −0.8333° down to −6°.
    Dusk,
    /// Sun below −6°.
    Night,
    /// Between two moments.
    Between(LightEdge, LightEdge),
}

impl Light {
    /// Whether the sun's position matters.
    pub fn under_sky(self) -> bool {
        self != Light::Lamp
    }
}

/// A moment tied to the sun.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct LightEdge {
    /// The sun's event.
    pub event: SunEvent,
    /// How much later; negative is earlier.
    pub offset: Seconds,
}

/// As people say it: `20 min after sunrise`.
impl std::fmt::Display for LightEdge {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let event = match self.event {
            SunEvent::FirstLight => "first light",
            SunEvent::Sunrise => "sunrise",
            SunEvent::Noon => "noon",
            SunEvent::Sunset => "sunset",
            SunEvent::LastLight => "last light",
        };
        match self.offset {
            offset if offset.0 > 0.0 => write!(f, "{offset} after {event}"),
            offset if offset.0 < 0.0 => write!(f, "{} before {event}", -offset),
            _ => f.write_str(event),
        }
    }
}

/// An event of the sun on a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub enum SunEvent {
    /// Civil twilight begins, −6°.
    FirstLight,
    /// Upper limb rises, −0.8333°.
    Sunrise,
    /// Highest.
    Noon,
    /// Upper limb sets.
    Sunset,
    /// Civil twilight ends.
    LastLight,
}

/// Whether a camera may move during a plate.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Hold {
    /// Must not be touched between the first and last plate of its group.
    Locked,
    /// May move.
    Free,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::{FileId, Span};

    fn reset(from: &str, to: &str, minutes: f64) -> Reset {
        let span = Span { file: FileId(0), start: 0, end: 0 };
        Reset { from: from.into(), to: to.into(), takes: Seconds::minutes(minutes), span }
    }

    #[test]
    fn the_shorter_of_two_ways_back_is_taken() {
        let resets = [reset("b", "a", 10.0), reset("c", "b", 10.0), reset("c", "a", 30.0)];
        assert_eq!(way_back(&resets, "c", "a"), Some(Seconds::minutes(20.0)));
        assert_eq!(way_back(&resets, "a", "c"), None);
    }
}
