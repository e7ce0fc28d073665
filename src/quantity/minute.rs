//! Whole minutes of absolute time: what plans are made of.

use jiff::civil::DateTime;
use jiff::tz::TimeZone;
use serde::Serialize;

/// A whole minute of absolute time: minutes since 1970-01-01T00:00Z.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct Minute(pub i64);

impl Minute {
    /// From civil time in a zone. In a repeated hour the first is meant, in a
    /// skipped hour the moment after the gap. `None` outside jiff's years.
    pub fn from_civil(at: DateTime, zone: &TimeZone) -> Option<Self> {
        let zoned = zone.to_ambiguous_zoned_datetime(at).compatible().ok()?;
        Some(Self(zoned.timestamp().as_second().div_euclid(60)))
    }

    /// Civil time in a zone.
    pub fn civil(self, zone: &TimeZone) -> DateTime {
        jiff::Timestamp::from_second(self.0.saturating_mul(60))
            .map_or(DateTime::MIN, |at| zone.to_datetime(at))
    }

    /// `05:30` in a zone.
    pub fn clock(self, zone: &TimeZone) -> String {
        let at = self.civil(zone);
        format!("{:02}:{:02}", at.hour(), at.minute())
    }

    /// Later by so many minutes.
    pub fn plus(self, minutes: i64) -> Self {
        Self(self.0.saturating_add(minutes))
    }
}
