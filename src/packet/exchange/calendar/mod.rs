//! Calendars as iCalendar (RFC 5545): shoot days, calls, due dates.
//!
//! In: views of dates, in the sequence's zone. Out: a calendar that carries its
//! zone with every change of the clock between its first and its last event.
//! Nothing comes from a clock or from chance: an event's name is made from the
//! sequence and from what the event is, so a later packet moves the event that
//! an earlier one has made.

mod line;
mod uid;
mod zone;

use crate::order::Minute;
use crate::packet::Packet;
use crate::packet::views::dates::{Calendar, CalendarEvent, When};
use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use line::{put, put_text};

/// A calendar as a file.
pub fn write(packet: &Packet, calendar: &Calendar) -> Vec<u8> {
    let head = &packet.head;
    let zone = TimeZone::get(&head.zone).unwrap_or(TimeZone::UTC);
    let writer = Writer { packet, zone, stamp: stamp(packet) };
    let mut out = String::new();
    put(&mut out, "BEGIN", "VCALENDAR");
    put(&mut out, "VERSION", "2.0");
    put(&mut out, "PRODID", "-//Seamster//Packet//EN");
    put(&mut out, "CALSCALE", "GREGORIAN");
    put_text(&mut out, "NAME", &calendar.title);
    put_text(&mut out, "DESCRIPTION", &format!("{}, text {}", head.title, head.version));
    writer.zone(&mut out, &calendar.events);
    for event in &calendar.events {
        writer.event(&mut out, event);
    }
    put(&mut out, "END", "VCALENDAR");
    out.into_bytes()
}

/// When the events were written down. A clock would make every packet another
/// one, so this is the midnight before the first date of the whole plan, UTC.
fn stamp(packet: &Packet) -> String {
    let events = packet.calendars.iter().flat_map(|calendar| &calendar.events);
    let first = events.map(|event| match &event.when {
        When::Span { start, .. } => start.civil(&TimeZone::UTC).date(),
        When::Due { moment, .. } => moment.civil(&TimeZone::UTC).date(),
        When::Day(date) => day(date),
    });
    let first = first.min().unwrap_or(Date::constant(1970, 1, 1));
    format!("{}Z", zone::local(first.at(0, 0, 0, 0)))
}

fn day(date: &str) -> Date {
    date.parse().expect("a view writes its dates as RFC 3339")
}

fn instant(at: Minute) -> Timestamp {
    Timestamp::from_second(at.0.saturating_mul(60)).unwrap_or(Timestamp::UNIX_EPOCH)
}

struct Writer<'p> {
    packet: &'p Packet,
    zone: TimeZone,
    stamp: String,
}

impl Writer<'_> {
    /// The zone, where an event is told in it.
    fn zone(&self, out: &mut String, events: &[CalendarEvent]) {
        let moments = events.iter().flat_map(|event| match &event.when {
            When::Span { start, end, .. } => vec![*start, *end],
            When::Due { moment, .. } => vec![*moment],
            When::Day(_) => Vec::new(),
        });
        let moments: Vec<Minute> = moments.filter(|at| self.is_told_locally(*at)).collect();
        if let (Some(first), Some(last)) = (moments.iter().min(), moments.iter().max()) {
            zone::put_zone(out, &self.packet.head.zone, &self.zone, instant(*first), instant(*last));
        }
    }

    /// Local time means the first of two passings of a repeated hour (RFC 5545,
    /// §3.3.5); what lies in the second can only be told in UTC.
    fn is_told_locally(&self, at: Minute) -> bool {
        Minute::from_civil(at.civil(&self.zone), &self.zone) == Some(at)
    }

    fn event(&self, out: &mut String, event: &CalendarEvent) {
        let head = &self.packet.head;
        put(out, "BEGIN", "VEVENT");
        put(out, "UID", &uid::uid(&[&head.path, &head.zone, &event.key]));
        put(out, "DTSTAMP", &self.stamp);
        match &event.when {
            When::Span { start, end, .. } => {
                self.moment(out, "DTSTART", *start);
                self.moment(out, "DTEND", *end);
            }
            // Without an end it ends when it starts (RFC 5545, §3.6.1).
            When::Due { moment, .. } => self.moment(out, "DTSTART", *moment),
            When::Day(date) => {
                put(out, "DTSTART;VALUE=DATE", &day(date).strftime("%Y%m%d").to_string());
            }
        }
        let draft = if head.draft { "DRAFT: " } else { "" };
        put_text(out, "SUMMARY", &format!("{draft}{}", event.title));
        put(out, "STATUS", if head.draft { "TENTATIVE" } else { "CONFIRMED" });
        if !matches!(event.when, When::Span { .. }) {
            put(out, "TRANSP", "TRANSPARENT");
        }
        if !event.place.is_empty() {
            put_text(out, "LOCATION", &event.place);
        }
        if !event.position.is_empty() {
            put(out, "GEO", &event.position);
        }
        let mut says = event.says.clone();
        says.push(format!("Text {}", head.version));
        put_text(out, "DESCRIPTION", &says.join("\n"));
        put(out, "END", "VEVENT");
    }

    fn moment(&self, out: &mut String, name: &str, at: Minute) {
        if self.is_told_locally(at) {
            put(out, &format!("{name};TZID={}", self.packet.head.zone), &zone::local(at.civil(&self.zone)));
        } else {
            put(out, name, &format!("{}Z", zone::local(at.civil(&TimeZone::UTC))));
        }
    }
}
