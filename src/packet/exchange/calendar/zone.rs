//! A zone as a calendar carries it: every change of its clock that its events meet.

use super::line::put;
use jiff::Timestamp;
use jiff::civil::DateTime;
use jiff::tz::{Dst, Offset, TimeZone};

/// A change of the clock.
struct Onset {
    /// What the clock showed when it came.
    local: DateTime,
    /// The offset until then.
    from: Offset,
    /// The offset from then on.
    to: Offset,
    /// Whether it is summer time.
    summer: bool,
    /// `WEST`; `+01` where the zone has no letters.
    name: String,
}

/// Writes a zone as a VTIMEZONE (RFC 5545, §3.6.5): what holds at the first
/// event, and each change until the last one. Every change stands for itself, so
/// that no rule has to be guessed from them.
pub(super) fn put_zone(out: &mut String, name: &str, zone: &TimeZone, first: Timestamp, last: Timestamp) {
    put(out, "BEGIN", "VTIMEZONE");
    put(out, "TZID", name);
    for onset in onsets(zone, first, last) {
        let kind = if onset.summer { "DAYLIGHT" } else { "STANDARD" };
        put(out, "BEGIN", kind);
        put(out, "DTSTART", &local(onset.local));
        put(out, "TZOFFSETFROM", &offset(onset.from));
        put(out, "TZOFFSETTO", &offset(onset.to));
        put(out, "TZNAME", &onset.name);
        put(out, "END", kind);
    }
    put(out, "END", "VTIMEZONE");
}

fn onsets(zone: &TimeZone, first: Timestamp, last: Timestamp) -> Vec<Onset> {
    let before = zone.preceding(first).next();
    // A change at the very moment of the first event is behind `preceding`.
    let start = before.as_ref().map_or(first, |change| change.timestamp());
    let mut onsets = Vec::new();
    let mut from = before.as_ref().map_or_else(
        || zone.to_offset(first),
        |change| {
            let earlier = zone.preceding(change.timestamp()).next();
            earlier.map_or_else(|| change.offset(), |earlier| earlier.offset())
        },
    );
    let changes =
        before.into_iter().chain(zone.following(start).take_while(|change| change.timestamp() <= last));
    for change in changes {
        onsets.push(Onset {
            local: from.to_datetime(change.timestamp()),
            from,
            to: change.offset(),
            summer: change.dst() == Dst::Yes,
            name: change.abbreviation().to_owned(),
        });
        from = change.offset();
    }
    if onsets.is_empty() {
        // A zone that never changed: one onset, long ago.
        let info = zone.to_offset_info(first);
        onsets.push(Onset {
            local: DateTime::constant(1970, 1, 1, 0, 0, 0, 0),
            from: info.offset(),
            to: info.offset(),
            summer: false,
            name: info.abbreviation().to_owned(),
        });
    }
    onsets
}

/// `20270514T051500`.
pub(super) fn local(at: DateTime) -> String {
    at.strftime("%Y%m%dT%H%M%S").to_string()
}

/// `+0100`, with seconds where an offset has some (RFC 5545, §3.3.14).
fn offset(offset: Offset) -> String {
    let seconds = offset.seconds();
    let sign = if seconds < 0 { '-' } else { '+' };
    let (minutes, rest) = (seconds.abs() / 60, seconds.abs() % 60);
    let text = format!("{sign}{:02}{:02}", minutes / 60, minutes % 60);
    if rest == 0 { text } else { format!("{text}{rest:02}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn written(name: &str, first: &str, last: &str) -> String {
        let mut out = String::new();
        let zone = TimeZone::get(name).unwrap();
        put_zone(&mut out, name, &zone, first.parse().unwrap(), last.parse().unwrap());
        out
    }

    /// The changes of 1998 in the example of RFC 5545, §3.6.5: daylight from 5 April
    /// at 02:00, standard from 25 October at 02:00.
    #[test]
    fn rfc_5545_new_york_of_1998() {
        let zone = written("America/New_York", "1998-04-05T07:00:00Z", "1998-10-25T06:00:00Z");
        let standard =
            zone.find("DTSTART:19981025T020000\r\nTZOFFSETFROM:-0400\r\nTZOFFSETTO:-0500\r\nTZNAME:EST\r\n");
        let daylight =
            zone.find("DTSTART:19980405T020000\r\nTZOFFSETFROM:-0500\r\nTZOFFSETTO:-0400\r\nTZNAME:EDT\r\n");
        assert!(standard.is_some() && daylight.is_some(), "{zone}");
        // And what held until then: standard from 26 October 1997.
        assert!(zone.contains("BEGIN:STANDARD\r\nDTSTART:19971026T020000\r\n"), "{zone}");
        assert_eq!(zone.matches("DTSTART").count(), 3);
    }

    /// tzdata: Lord Howe Island moves its clock by half an hour; Kolkata last moved it
    /// in 1945; UTC never did.
    #[test]
    fn unusual_zones() {
        let zone = written("Australia/Lord_Howe", "2027-04-01T00:00:00Z", "2027-04-30T00:00:00Z");
        assert!(
            zone.contains("DTSTART:20270404T020000\r\nTZOFFSETFROM:+1100\r\nTZOFFSETTO:+1030\r\n"),
            "{zone}"
        );
        let zone = written("Asia/Kolkata", "2027-04-01T00:00:00Z", "2027-04-30T00:00:00Z");
        assert!(
            zone.contains("DTSTART:19451015T000000\r\nTZOFFSETFROM:+0630\r\nTZOFFSETTO:+0530\r\n"),
            "{zone}"
        );
        let zone = written("UTC", "2027-04-01T00:00:00Z", "2027-04-30T00:00:00Z");
        assert!(
            zone.contains("DTSTART:19700101T000000\r\nTZOFFSETFROM:+0000\r\nTZOFFSETTO:+0000\r\n"),
            "{zone}"
        );
    }

    #[test]
    fn offsets_of_whole_minutes_have_no_seconds() {
        assert_eq!(offset(Offset::from_seconds(-16200).unwrap()), "-0430");
        assert_eq!(offset(Offset::from_seconds(-2205).unwrap()), "-003645");
    }
}
