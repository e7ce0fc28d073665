//! The sequence's own settings, its shoot days and its finish.

use super::{Fallen, Named, PlaceId, Weather, Weights};
use crate::diagnostic::Severity;
use crate::quantity::{
    Angle, Celsius, FrameRate, FrameSize, Frequency, Length, Pixels, Range, Seconds, Share,
};
use crate::source::{Span, Spanned};
use jiff::civil::{Date, Time};
use std::collections::BTreeMap;

/// Picture, zone and budgets.
#[derive(Debug, Clone)]
pub struct Sequence {
    /// Name, title, waivers that hold everywhere.
    pub named: Named,
    /// Delivered picture.
    pub picture: FrameSize,
    /// Delivered frame rate.
    pub rate: FrameRate,
    /// IANA zone name, known to exist.
    pub zone: String,
    /// Mains frequency of lamps.
    pub mains: Option<Frequency>,
    /// Extra captured before and after what a cut uses.
    pub handles: Seconds,
    /// What the rules allow.
    pub budgets: Budgets,
    /// What the plan of the shoot pays for what.
    pub weights: Weights,
    /// Severities set by `treat RULE as …`; `None` turns the rule off.
    pub severities: BTreeMap<String, Option<Severity>>,
}

/// What the rules allow. Defaults are common practice without a source.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Budgets {
    /// Blur at 1,920 wide for what is tracked.
    pub tracked_blur: Pixels,
    /// Blur at 1,920 wide for what is masked.
    pub masked_blur: Pixels,
    /// Rolling-shutter skew at 1,920 wide.
    pub skew: Pixels,
    /// Slowest retime by interpolation.
    pub slowest: Share,
    /// Largest enlargement.
    pub enlarge: Share,
    /// Shadow turn across a join.
    pub shadow: Angle,
    /// Change of the sun's height across a join.
    pub sun: Angle,
    /// Least distance from hands to a screen.
    pub gap: Length,
    /// Share of the picture's width that a warp or reframe hides at a join.
    pub join_width: Share,
}

impl Default for Budgets {
    fn default() -> Self {
        Self {
            tracked_blur: Pixels(4.0),
            masked_blur: Pixels(12.0),
            skew: Pixels(6.0),
            slowest: Share(0.5),
            enlarge: Share(1.1),
            shadow: Angle(5.0),
            sun: Angle(2.0),
            gap: Length(1.5),
            join_width: Share(0.01),
        }
    }
}

/// The days that may be used: consecutive from `from`, except where `days` entries say otherwise.
#[derive(Debug, Clone)]
pub struct Days {
    /// Settings, notes and cautions of all days.
    pub named: Named,
    /// Every allowed day in order, with its settings resolved.
    pub each: Vec<DayPlan>,
    /// A day whose weather is supposed to fail.
    pub fallen: Option<Fallen>,
    /// The `days` statement.
    pub span: Span,
}

/// One allowed day.
#[derive(Debug, Clone)]
pub struct DayPlan {
    /// The date.
    pub date: Date,
    /// When people may be called.
    pub call: Time,
    /// When all is packed.
    pub wrap: Time,
    /// Where the day starts and ends.
    pub base: Option<PlaceId>,
    /// Length of the meal break; 30 min unless said.
    pub meal: Seconds,
    /// Latest start of the meal after call; 6 h unless said (common practice).
    pub meal_within: Seconds,
    /// Least rest since the last wrap; 11 h unless said (Directive 2003/88/EC, Art. 3).
    pub rest: Seconds,
    /// From call to wrap; what a day is longer is overtime. 10 h unless said (common practice).
    pub long: Seconds,
    /// How many batteries can charge at once; 1 unless said.
    pub chargers: u32,
    /// Expected temperature.
    pub expects: Option<Spanned<Range<Celsius>>>,
    /// What it needs of the weather, and what is shot when that fails.
    pub weather: Option<Weather>,
    /// Notes for this day.
    pub notes: Vec<String>,
    /// Cautions for this day.
    pub cautions: Vec<String>,
    /// Where the call was written; the day itself where it was not.
    pub call_span: Span,
    /// Where the wrap was written; the day itself where it was not.
    pub wrap_span: Span,
    /// Where it was written.
    pub span: Span,
}

/// The date by which all is delivered.
#[derive(Debug, Clone)]
pub struct Finish {
    /// Last day of work.
    pub by: Date,
    /// The statement.
    pub span: Span,
    /// Waivers (`accept late …`).
    pub named: Named,
}
