//! Codes of the stages before the rules: what is wrong with the text itself.
//!
//! A rule's code stands in the rule's own file; these have no rule file, since
//! the stage that reads the text finds them. Their pages are in `src/rule/text/`.

use super::{Code, Severity};

macro_rules! codes {
    ($(#[$about:meta])* $list:ident: $($(#[$doc:meta])* $name:ident = $id:literal, $word:literal, $severity:ident;)*) => {
        $($(#[$doc])* pub const $name: Code =
            Code { id: $id, name: $word, severity: Severity::$severity };)*
        $(#[$about])*
        pub const $list: &[Code] = &[$($name),*];
    };
}

codes! {
    /// Every code of the text family, in order.
    TEXT:
    /// A file that cannot be read as text: binary, wrong encoding, too large, missing.
    FILE = "T01", "file", Error;
    /// A line whose shape is not that of a statement.
    LINE = "T02", "line", Error;
    /// A block that is never closed, closed twice, or nested too deep.
    BLOCK = "T03", "block", Error;
    /// A statement that this block does not know.
    UNKNOWN_STATEMENT = "T04", "unknown-statement", Error;
    /// A name that nothing has.
    UNKNOWN_NAME = "T05", "unknown-name", Error;
    /// A value of the wrong kind, or too many or too few.
    VALUE = "T06", "value", Error;
    /// A unit that is missing, unknown or of the wrong kind.
    UNIT = "T07", "unit", Error;
    /// A value outside what is physically possible or allowed.
    RANGE = "T08", "range", Error;
    /// A date or clock that does not exist.
    DATE = "T09", "date", Error;
    /// A name or a statement given twice.
    DUPLICATE = "T10", "duplicate", Error;
    /// A statement that must be there and is not.
    MISSING = "T11", "missing", Error;
    /// Files that use each other, or dependencies that close a circle.
    CYCLE = "T12", "cycle", Error;
    /// A `use` that climbs out of the project.
    OUTSIDE = "T13", "outside", Error;
    /// Something declared and never used.
    UNUSED = "T14", "unused", Note;
    /// A waiver that waives nothing.
    STALE_WAIVER = "T15", "stale-waiver", Warning;
    /// Picture lengths that do not add up.
    LENGTH = "T16", "length", Error;
    /// A recipe that does not exist or is not well formed.
    RECIPE = "T17", "recipe", Error;
    /// A role, quantity or demand that the recipe does not know or that is not bound.
    ROLE = "T18", "role", Error;
    /// Marks of a merge that nobody settled.
    MERGE_MARK = "T19", "merge-mark", Error;
}

codes! {
    /// Every code of the log family, in order.
    LOG:
    /// A log of a plate that the sequence does not hold.
    LOG_PLATE = "L01", "log-plate", Warning;
    /// A log of another sequence.
    LOG_SEQUENCE = "L02", "log-sequence", Warning;
    /// A log of a date that is no shoot day.
    LOG_DAY = "L03", "log-day", Warning;
    /// One take, logged twice with different clips or timecodes.
    TAKE_TWICE = "L04", "take-twice", Warning;
    /// Two logs that cannot both be right.
    LOGS_DIFFER = "L05", "logs-differ", Warning;
    /// Two takes of one plate and day are circled.
    CIRCLED_TWICE = "L06", "circled-twice", Warning;
    /// Clocks or timecodes out of order, or that cannot be.
    LOG_CLOCK = "L07", "log-clock", Warning;
    /// A logged plate that must be shot again.
    OWED_AGAIN = "L08", "owed-again", Note;
    /// A log in which nothing is written.
    LOG_EMPTY = "L09", "log-empty", Note;
    /// A day that has wrapped, and plates kept for it of which no log speaks.
    DAY_SHORT = "L10", "day-short", Note;
}

codes! {
    /// Every code of the plan-file family, in order.
    PLAN:
    /// A plan file that cannot be read as one.
    PLAN_FILE = "F01", "plan-file", Error;
    /// A plan file of another version of the schema.
    PLAN_VERSION = "F02", "plan-version", Error;
    /// The plan file of another sequence.
    PLAN_SEQUENCE = "F03", "plan-sequence", Error;
    /// Something that stands twice in a plan file.
    PLAN_TWICE = "F04", "plan-twice", Warning;
    /// A pin of something that the sequence does not hold.
    PIN_NAME = "F05", "pin-name", Error;
    /// A pin that cannot be meant so.
    PIN_UNFIT = "F06", "pin-unfit", Error;
    /// A day or a person in a plan file that the sequence does not hold.
    PLAN_GONE = "F07", "plan-gone", Note;
}
