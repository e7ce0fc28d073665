//! What was really captured, as the day logs say it; empty where there are none.

use super::PlateId;
use crate::quantity::{Angle, Length, Minute, Speed};
use crate::source::{Span, Spanned};
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};

/// Everything that the logs say.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Record {
    /// Days with a log, in order of date.
    pub days: Vec<LoggedDay>,
    /// What was logged of each plate.
    pub plates: BTreeMap<PlateId, Capture>,
    /// Plates that need not be shot any more.
    pub taken: BTreeSet<PlateId>,
    /// What could not be used, in order of place.
    pub aside: Vec<Aside>,
}

impl Record {
    /// What was captured of a plate that need not be shot any more.
    pub fn captured(&self, plate: PlateId) -> Option<&Capture> {
        self.plates.get(&plate).filter(|_| self.taken.contains(&plate))
    }

    /// Each plate that need not be shot any more, with the date of its footage.
    pub fn dates(&self) -> impl Iterator<Item = (PlateId, Date)> {
        self.taken.iter().filter_map(|&plate| Some((plate, self.plates.get(&plate)?.date)))
    }

    /// The last date that is over: it has wrapped, or a later day was logged.
    pub fn over(&self) -> Option<Date> {
        let last = self.days.last()?;
        let before = self.days.iter().rev().nth(1).map(|day| day.date);
        if last.wrapped.is_some() { Some(last.date) } else { before }
    }

    /// When the last logged day before a date ended.
    pub fn wrapped_before(&self, date: Date) -> Option<Minute> {
        self.days.iter().filter(|day| day.date < date).filter_map(|day| day.wrapped).max()
    }

    /// The log of a date.
    pub fn day(&self, date: Date) -> Option<&LoggedDay> {
        self.days.iter().find(|day| day.date == date)
    }
}

/// A day as it was.
#[derive(Debug, Clone, PartialEq)]
pub struct LoggedDay {
    /// Which.
    pub date: Date,
    /// When it ended, if it has.
    pub wrapped: Option<Minute>,
    /// When the last take with a clock began.
    pub last: Option<Minute>,
    /// Who kept a log of it.
    pub by: Vec<String>,
    /// Versions that stood on the papers in hand.
    pub papers: Vec<String>,
    /// Remarks about the day.
    pub notes: Vec<String>,
    /// The line with its date.
    pub span: Span,
}

/// What was logged of one plate.
#[derive(Debug, Clone, PartialEq)]
pub struct Capture {
    /// The day of the take to use; where there is none, the last day with a log of it.
    pub date: Date,
    /// Takes, by day and number.
    pub takes: Vec<Take>,
    /// What was measured on that day.
    pub measured: Measured,
    /// What was planned for what was measured, where it stands on the plate or its mark.
    pub planned: Measured,
    /// The light as it was.
    pub light: Option<String>,
    /// Remarks for the desk.
    pub notes: Vec<String>,
    /// What went wrong.
    pub problems: Vec<String>,
    /// Where its path was logged.
    pub span: Span,
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
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Worth {
    /// Cannot be used.
    Spoiled,
    /// Can be used.
    Usable,
    /// The one to use.
    Circled,
}

impl Worth {
    /// As written.
    pub fn word(self) -> &'static str {
        match self {
            Worth::Spoiled => "spoiled",
            Worth::Usable => "usable",
            Worth::Circled => "circled",
        }
    }
}

/// Numbers taken on the day, each with its line.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Measured {
    /// Lens above the ground.
    pub height: Option<Spanned<Length>>,
    /// Compass direction of the view.
    pub heading: Option<Spanned<Angle>>,
    /// Up is positive.
    pub tilt: Option<Spanned<Angle>>,
    /// Nearest thing in view.
    pub near: Option<Spanned<Length>>,
    /// Farthest thing in view.
    pub far: Option<Spanned<Length>>,
    /// From the subject to the screen.
    pub gap: Option<Spanned<Length>>,
    /// Where it began, against its mark.
    pub entered: Option<Spanned<OffMark>>,
    /// Where it ended, against its mark.
    pub left: Option<Spanned<OffMark>>,
}

impl Measured {
    /// Whether anything was measured.
    pub fn any(&self) -> bool {
        *self != Self::default()
    }
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

/// Something logged that could not be used.
#[derive(Debug, Clone, PartialEq)]
pub struct Aside {
    /// What was written.
    pub text: String,
    /// Why it is not used.
    pub why: String,
    /// Where.
    pub span: Span,
}
