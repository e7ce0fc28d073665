//! Frames and their timecode labels (SMPTE ST 12-1) at the trade's rates.
//!
//! In: a rate, how its labels count, frame numbers, labels as written. Out:
//! labels, frame numbers, real time. Frame 0 is the label `00:00:00:00`. Labels
//! wrap at midnight; frame numbers do not.
//!
//! Labels count at the nominal rate: 29.97 counts 30 a second and so falls behind
//! the clock by 3.6 s an hour. Drop-frame counting leaves out *labels*, never
//! frames, to stay with it: the first two of each minute (four at 59.94), but not
//! in minutes 0, 10, 20, 30, 40, 50.

use super::frames::{TRADE_RATES, real_time};
use crate::quantity::{FrameRate, Seconds};
use std::fmt::{Display, Formatter};

mod label;
#[cfg(test)]
mod tests;

pub use label::{Label, LabelError};

const SECONDS_A_DAY: u64 = 24 * 3600;

/// How labels count.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Counting {
    /// Every label is used.
    NonDrop,
    /// Some labels are left out to keep up with the clock; 29.97 and 59.94 only.
    Drop,
}

impl Counting {
    /// How a written label says that it counts: `;` or `.` before its frames means
    /// drop-frame.
    pub fn of(label: &str) -> Self {
        let last = label.chars().rev().find(|letter| !letter.is_ascii_digit());
        if matches!(last, Some(';' | '.')) { Counting::Drop } else { Counting::NonDrop }
    }
}

/// Why a rate has no labels.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TimebaseError {
    /// Timecode does not count at this rate.
    NoLabels(FrameRate),
    /// Only 29.97 and 59.94 have drop-frame labels.
    NoDrop(FrameRate),
}

impl Display for TimebaseError {
    fn fmt(&self, f: &mut Formatter<'_>) -> std::fmt::Result {
        match self {
            TimebaseError::NoLabels(rate) => write!(
                f,
                "timecode does not count at {rate}; it does at 23.976, 24, 25, 29.97, 30, 47.952, 48, \
                 50, 59.94, 60, 100, 119.88 and 120 fps"
            ),
            TimebaseError::NoDrop(rate) => {
                write!(f, "there is no drop-frame timecode at {rate}; only 29.97 and 59.94 fps have it")
            }
        }
    }
}

/// A rate with its way of counting: turns frames into labels and back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Timebase {
    rate: FrameRate,
    counting: Counting,
    /// Labels of a second.
    nominal: u64,
    /// Labels left out at the start of a minute; 0 when all are used.
    dropped: u64,
}

impl Timebase {
    /// # Errors
    /// A rate that is none of the trade's, and drop-frame at any but 29.97 and 59.94.
    pub fn new(rate: FrameRate, counting: Counting) -> Result<Self, TimebaseError> {
        let rate =
            TRADE_RATES.into_iter().find(|trade| same(*trade, rate)).ok_or(TimebaseError::NoLabels(rate))?;
        let nominal = u64::from(rate.num.div_ceil(rate.den));
        let dropped = match (counting, rate.den, nominal) {
            (Counting::NonDrop, ..) => 0,
            (Counting::Drop, 1001, 30) => 2,
            (Counting::Drop, 1001, 60) => 4,
            (Counting::Drop, ..) => return Err(TimebaseError::NoDrop(rate)),
        };
        Ok(Self { rate, counting, nominal, dropped })
    }

    /// The exact rate.
    pub fn rate(self) -> FrameRate {
        self.rate
    }

    /// How labels count.
    pub fn counting(self) -> Counting {
        self.counting
    }

    /// Labels of a second: 30 for 29.97.
    pub fn nominal(self) -> u64 {
        self.nominal
    }

    /// Frames from one midnight label to the next: 2,589,408 at 29.97 drop-frame.
    pub fn frames_a_day(self) -> u64 {
        SECONDS_A_DAY * self.nominal - self.dropped * (24 * 60 - 24 * 6)
    }

    /// The label of a frame; frames beyond a day wrap.
    ///
    /// Drop-frame: with `P` frames in ten minutes and `K` in each minute that drops,
    /// `q = ⌊F/P⌋`, `r = F mod P`, the frame is counted as `F + 9dq + d⌊(r − d)/K⌋`
    /// (FFmpeg, `libavutil/timecode.c`; a calculator's manual that cites ANSI/SMPTE
    /// 12M-1995 gives the rule).
    pub fn label(self, frame: u64) -> Label {
        let frame = frame % self.frames_a_day();
        let (n, d) = (self.nominal, self.dropped);
        let (tens, rest) = (frame / (600 * n - 9 * d), frame % (600 * n - 9 * d));
        let counted = frame + 9 * d * tens + d * (rest.saturating_sub(d) / (60 * n - d));
        let seconds = counted / n;
        Label {
            hours: (seconds / 3600) as u8,
            minutes: (seconds / 60 % 60) as u8,
            seconds: (seconds % 60) as u8,
            frames: (counted % n) as u8,
            counting: self.counting,
            wide: n > 100,
        }
    }

    /// The frame of a written label, `01:00:00:00`; `;` or `.` before the frames of
    /// a drop-frame label. `24:00:00:00` is the end of the day.
    ///
    /// `F = (3600h + 60m + s) N + f − d (M − ⌊M/10⌋)` with `M = 60h + m`.
    ///
    /// # Errors
    /// Whatever is no label of this rate; a label that drop-frame leaves out.
    pub fn frame(self, label: &str) -> Result<u64, LabelError> {
        let [hours, minutes, seconds, frames] = label::parts(label, self)?;
        let minute = 60 * hours + minutes;
        let left_out = self.dropped * (minute - minute / 10);
        Ok((3600 * hours + 60 * minutes + seconds) * self.nominal + frames - left_out)
    }

    /// Real time from frame 0 to the start of a frame.
    pub fn time(self, frame: u64) -> Seconds {
        real_time(frame, self.rate)
    }

    /// Frames from one label to another, the second exclusive; over midnight when
    /// the second is earlier in the day.
    ///
    /// # Errors
    /// Either label is none of this rate.
    pub fn frames_between(self, from: &str, to: &str) -> Result<u64, LabelError> {
        let (from, to) = (self.frame(from)?, self.frame(to)?);
        Ok(if to >= from { to - from } else { to + self.frames_a_day() - from })
    }
}

impl Display for Timebase {
    fn fmt(&self, f: &mut Formatter<'_>) -> std::fmt::Result {
        let counting = match (self.counting, self.rate.den) {
            (Counting::Drop, _) => " drop-frame",
            (Counting::NonDrop, 1001) if matches!(self.nominal, 30 | 60) => " non-drop",
            (Counting::NonDrop, _) => "",
        };
        write!(f, "{}{counting}", self.rate)
    }
}

/// Whether two fractions are one rate.
fn same(one: FrameRate, other: FrameRate) -> bool {
    u64::from(one.num) * u64::from(other.den) == u64::from(other.num) * u64::from(one.den)
}
