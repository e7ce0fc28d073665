//! What was really captured: day logs, read and put together.
//!
//! In: the trees of the logs, the sequence and its breakdown. Out: [`Record`],
//! always: what cannot be used is reported and kept aside, and the rest counts.
//! Several people's logs of one day are one record.

mod merge;
mod read;

pub use merge::record;

use crate::model::PlateId;
use crate::quantity::{Angle, Length, Minute, Speed};
use crate::source::Span;
use jiff::civil::Date;
use std::collections::BTreeMap;

/// Everything that the logs say.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Record {
    /// Days with a log, in order of date.
    pub days: Vec<LoggedDay>,
    /// What was captured of each plate.
    pub plates: BTreeMap<PlateId, Capture>,
    /// Entries for plates that the sequence does not hold: (path, takes).
    pub unknown: Vec<(String, Vec<Take>)>,
}

impl Record {
    /// Whether a plate has a take that can be used.
    pub fn has(&self, plate: PlateId) -> bool {
        self.plates.get(&plate).is_some_and(|capture| capture.best().is_some())
    }

    /// The last date that is over: it has wrapped, or a later day was logged.
    pub fn over(&self) -> Option<Date> {
        let last = self.days.last()?;
        let before = self.days.iter().rev().nth(1).map(|day| day.date);
        if last.wrapped.is_some() { Some(last.date) } else { before }
    }
}

/// A day as it was.
#[derive(Debug, Clone, PartialEq)]
pub struct LoggedDay {
    /// Which.
    pub date: Date,
    /// When it ended, if it has.
    pub wrapped: Option<Minute>,
    /// Who kept a log of it.
    pub by: Vec<String>,
    /// Versions that stood on the papers in hand.
    pub papers: Vec<String>,
    /// Remarks about the day.
    pub notes: Vec<String>,
}

/// What was captured of one plate.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Capture {
    /// Takes, by day and number.
    pub takes: Vec<Take>,
    /// What was measured.
    pub measured: Measured,
    /// The light as it was.
    pub light: Option<String>,
    /// Remarks for the desk.
    pub notes: Vec<String>,
    /// What went wrong.
    pub problems: Vec<String>,
}

impl Capture {
    /// The take to use: the circled one, else the last that is not spoiled.
    pub fn best(&self) -> Option<&Take> {
        let last = |worth: Worth| self.takes.iter().rev().find(move |take| take.worth == worth);
        last(Worth::Circled).or_else(|| last(Worth::Usable))
    }
}

/// One take.
#[derive(Debug, Clone, PartialEq)]
pub struct Take {
    /// The day.
    pub date: Date,
    /// Its number.
    pub number: u32,
    /// The clip's name.
    pub clip: String,
    /// Timecode in and out, as written.
    pub timecode: Option<(String, String)>,
    /// When it began.
    pub at: Option<Minute>,
    /// What it is worth.
    pub worth: Worth,
    /// A remark.
    pub remark: Option<String>,
    /// The line.
    pub span: Span,
}

/// What a take is worth.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Worth {
    /// The one to use.
    Circled,
    /// Can be used.
    Usable,
    /// Cannot be used.
    Spoiled,
}

/// Numbers taken on the day.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Measured {
    /// Lens above the ground.
    pub height: Option<Length>,
    /// Compass direction of the view.
    pub heading: Option<Angle>,
    /// Up is positive.
    pub tilt: Option<Angle>,
    /// Nearest thing in view.
    pub near: Option<Length>,
    /// Farthest thing in view.
    pub far: Option<Length>,
    /// From the subject to the screen.
    pub gap: Option<Length>,
    /// Where it began, against its mark.
    pub entered: Option<OffMark>,
    /// Where it ended, against its mark.
    pub left: Option<OffMark>,
}

/// How far the camera was from a mark.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OffMark {
    /// Off by, not negative.
    pub off: Length,
    /// Turned by, not negative; not measured when `None`.
    pub turned: Option<Angle>,
    /// Speed there, if it was measured.
    pub speed: Option<Speed>,
}
