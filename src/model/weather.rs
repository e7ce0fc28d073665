//! What a day needs of the weather, and what is shot when that fails.

use super::{BeatId, Light, PlaceId, PlateId};
use crate::source::{Span, Spanned};
use jiff::civil::{Date, Time};
use std::collections::BTreeMap;

/// A day that depends on the weather.
#[derive(Debug, Clone, PartialEq)]
pub struct Weather {
    /// What it needs, each once.
    pub needs: Vec<Need>,
    /// The `weather` line.
    pub span: Span,
    /// What is shot when it fails, as named; empty where nothing is.
    pub cover: Vec<Spanned<Covered>>,
    /// The `cover` line, where there is one.
    pub cover_span: Option<Span>,
    /// Where the day starts and ends when it fails; the day's base unless said.
    pub base: Option<PlaceId>,
    /// When it is decided, where that is said.
    pub decide: Option<Decision>,
}

/// What a day needs of the weather.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Need {
    /// No rain or snow.
    Dry,
    /// Sun.
    Clear,
    /// Little wind.
    Calm,
}

impl Need {
    /// The word of the language.
    pub fn word(self) -> &'static str {
        match self {
            Need::Dry => "dry",
            Need::Clear => "clear",
            Need::Calm => "calm",
        }
    }

    /// The need of that word.
    pub fn of(word: &str) -> Option<Self> {
        [Need::Dry, Need::Clear, Need::Calm].into_iter().find(|need| need.word() == word)
    }
}

/// What a `cover` line names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Covered {
    /// Every plate of a beat.
    Beat(BeatId),
    /// One plate.
    Plate(PlateId),
    /// Every plate at a place.
    Place(PlaceId),
}

/// When it is decided whether a day is shot as planned or as its cover.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Decision {
    /// The clock.
    pub at: Time,
    /// On the evening before rather than on the day itself.
    pub day_before: bool,
    /// The `decide` line.
    pub span: Span,
}

impl Decision {
    /// The date on which it is taken, for a shoot day.
    pub fn date(&self, day: Date) -> Date {
        if self.day_before { day.yesterday().unwrap_or(day) } else { day }
    }
}

/// A day whose weather failed, and what is shot by its end.
#[derive(Debug, Clone, PartialEq)]
pub struct Fallen {
    /// The day.
    pub date: Date,
    /// Paths of all plates that are shot by its end, each with its date; what is not
    /// among them can only be shot on a later day.
    pub held: BTreeMap<String, Date>,
    /// The supposition.
    pub span: Span,
}

impl Light {
    /// Whether it is, or may be, the sun itself rather than the sky's light or lamps.
    /// A stretch between two moments is taken to want the sun that goes with them.
    pub fn wants_sun(self) -> bool {
        match self {
            Light::Sun | Light::GoldenMorning | Light::GoldenEvening | Light::Between(..) => true,
            Light::Sky | Light::Lamp | Light::Dusk | Light::Night => false,
        }
    }
}
