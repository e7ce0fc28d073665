//! Labels: as values, as text, and what is wrong with a text that is none.

use super::{Counting, Timebase};
use std::fmt::{Display, Formatter};

/// The name of a frame: `01:00:00:00`, or `01:00:00;00` in drop-frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Label {
    /// 0 to 23.
    pub hours: u8,
    /// 0 to 59.
    pub minutes: u8,
    /// 0 to 59.
    pub seconds: u8,
    /// 0 to the nominal rate, exclusive.
    pub frames: u8,
    /// How its rate counts.
    pub counting: Counting,
    /// Whether frames take three digits, as above 100 fps.
    pub(super) wide: bool,
}

impl Label {
    /// With `:` throughout, for readers that know only that.
    pub fn with_colons(self) -> String {
        Label { counting: Counting::NonDrop, ..self }.to_string()
    }
}

impl Display for Label {
    fn fmt(&self, f: &mut Formatter<'_>) -> std::fmt::Result {
        let separator = match self.counting {
            Counting::NonDrop => ':',
            Counting::Drop => ';',
        };
        let width = if self.wide { 3 } else { 2 };
        let Self { hours, minutes, seconds, frames, .. } = self;
        write!(f, "{hours:02}:{minutes:02}:{seconds:02}{separator}{frames:0width$}")
    }
}

/// Why a text is no label of a rate.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LabelError {
    /// Not of the form `HH:MM:SS:FF`.
    Form {
        /// What was written.
        written: String,
        /// A label of the rate, for the reader to follow.
        example: Label,
    },
    /// `;` where all labels are used.
    DropMark {
        /// What was written.
        written: String,
        /// Its rate.
        timebase: Timebase,
    },
    /// `:` before the frames where labels are left out.
    NoDropMark {
        /// What was written.
        written: String,
    },
    /// A field is beyond its last value.
    TooLarge {
        /// What was written.
        written: String,
        /// Which field, in the plural.
        field: &'static str,
        /// The last value there is.
        last: u64,
    },
    /// Drop-frame leaves this label out.
    LeftOut {
        /// What was written.
        written: String,
        /// The last label before the gap.
        before: Label,
        /// The first label behind it.
        after: Label,
    },
}

impl Display for LabelError {
    fn fmt(&self, f: &mut Formatter<'_>) -> std::fmt::Result {
        match self {
            LabelError::Form { written, example } => {
                write!(f, "'{written}' is no timecode; write hours, minutes, seconds and frames: '{example}'")
            }
            LabelError::DropMark { written, timebase } => write!(
                f,
                "'{written}' is written as drop-frame, but {timebase} uses every label; write ':' before \
                 the frames"
            ),
            LabelError::NoDropMark { written } => {
                write!(f, "'{written}' is written as non-drop; drop-frame has ';' before the frames")
            }
            LabelError::TooLarge { written, field, last } => {
                write!(f, "'{written}' has too many {field}; they end at {last}")
            }
            LabelError::LeftOut { written, before, after } => {
                write!(f, "drop-frame leaves '{written}' out; the frame behind '{before}' is '{after}'")
            }
        }
    }
}

/// Hours, minutes, seconds and frames of a written label, all in range.
pub(super) fn parts(written: &str, timebase: Timebase) -> Result<[u64; 4], LabelError> {
    let Some(parts) = split(written, timebase.nominal > 100) else {
        return Err(LabelError::Form { written: shortened(written), example: timebase.label(0) });
    };
    let own = || written.to_owned();
    match (Counting::of(written), timebase.counting) {
        (Counting::Drop, Counting::NonDrop) => return Err(LabelError::DropMark { written: own(), timebase }),
        (Counting::NonDrop, Counting::Drop) => return Err(LabelError::NoDropMark { written: own() }),
        _ => {}
    }
    let [hours, minutes, seconds, frames] = parts;
    if parts == [24, 0, 0, 0] {
        return Ok(parts);
    }
    for (field, value, last) in [
        ("hours", hours, 23),
        ("minutes", minutes, 59),
        ("seconds", seconds, 59),
        ("frames", frames, timebase.nominal - 1),
    ] {
        if value > last {
            return Err(LabelError::TooLarge { written: own(), field, last });
        }
    }
    if seconds == 0 && frames < timebase.dropped && minutes % 10 != 0 {
        // Counted as if the label were there, it stands just where the gap is.
        let minute = 60 * hours + minutes;
        let after = 60 * minute * timebase.nominal - timebase.dropped * (minute - minute / 10 - 1);
        return Err(LabelError::LeftOut {
            written: own(),
            before: timebase.label(after - 1),
            after: timebase.label(after),
        });
    }
    Ok(parts)
}

/// The four numbers of `HH:MM:SS:FF`: two digits each, frames three where the rate
/// needs them.
fn split(written: &str, wide: bool) -> Option<[u64; 4]> {
    let (clock, frames) = written.rsplit_once([':', ';', '.'])?;
    let mut clock = clock.split(':');
    let (hours, minutes, seconds) = (clock.next()?, clock.next()?, clock.next()?);
    if clock.next().is_some() {
        return None;
    }
    let number = |digits: &str, count: usize| {
        let plain = digits.len() == count && digits.bytes().all(|byte| byte.is_ascii_digit());
        plain.then(|| digits.parse().ok()).flatten()
    };
    let frames = number(frames, if wide { 3 } else { 2 })?;
    Some([number(hours, 2)?, number(minutes, 2)?, number(seconds, 2)?, frames])
}

/// A text as a message repeats it: its first 40 characters.
fn shortened(written: &str) -> String {
    written.chars().take(40).collect()
}
