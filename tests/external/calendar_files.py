"""Calendars, read by icalendar and recurring-ical-events.

Reads packets as timeline.py does. Every event must be at the moment, in UTC, that the
packet's own views give, once by the zone that the file carries and once by the zone
of that name in tzdata; and say the words of the view.
"""

import datetime
import json
import re

import icalendar
import recurring_ical_events

import packets

UTC = datetime.timezone.utc


def lines(raw):
    """RFC 5545, section 3.1: CRLF, at most 75 octets, no letter cut in two."""
    assert raw.endswith(b"\r\n") and b"\n" not in raw.replace(b"\r\n", b"") and b"\r" not in raw.replace(b"\r\n", b"")
    for line in raw.split(b"\r\n"):
        assert len(line) <= 75, line
        line.decode("utf-8")


def kept(words):
    """Words as a value may hold them: other control characters are U+FFFD."""
    words = words.replace("\r\n", "\n").replace("\r", "\n")
    return "".join(letter if letter in "\n\t" or not (ord(letter) < 32 or 127 <= ord(letter) < 160) else "\ufffd" for letter in words)


def moments(when):
    """Start and end of a view's event in UTC; a date for a whole day."""
    if isinstance(when.get("day"), str):
        return datetime.date.fromisoformat(when["day"]), None
    if "due" in when:
        return datetime.datetime.fromisoformat(when["due"]["at"]).astimezone(UTC), None
    span = when["span"]
    start, end = (datetime.datetime.fromisoformat(span[key]).astimezone(UTC) for key in ("start_at", "end_at"))
    assert start < end
    return start, end


def in_utc(value, zones):
    """A time as written, in UTC: by the file's own zone, which must agree with tzdata's."""
    if value is None or not isinstance(value.dt, datetime.datetime):
        return value and value.dt
    name = value.params.get("TZID")
    by_tzdata = value.dt.astimezone(UTC)
    if name is None:
        return by_tzdata
    by_file = value.dt.replace(tzinfo=zones[name], fold=0).astimezone(UTC)
    assert by_file == by_tzdata, (value.dt, by_file, by_tzdata)
    return by_file


def check(raw, view, draft):
    lines(raw)
    calendar = icalendar.Calendar.from_ical(raw)
    assert all(calendar.get(name) for name in calendar.required) and calendar["VERSION"] == "2.0"
    assert not calendar.errors and not calendar.get_missing_tzids()
    zones = {str(zone["TZID"]): zone.to_tz(lookup_tzid=False) for zone in calendar.timezones}
    used = 0
    assert len(calendar.events) == len(view["events"])
    # RFC 7986, section 5.1, makes NAME a TEXT; the library leaves it as it stands.
    name = re.sub(r"\\(.)", lambda escaped: {"n": "\n"}.get(escaped[1], escaped[1]), str(calendar["NAME"]))
    assert name == kept(view["title"])
    for event, told in zip(calendar.events, view["events"]):
        assert all(event.get(name) for name in event.required) and not event.errors
        assert event["DTSTAMP"].dt.utcoffset() == datetime.timedelta(0)
        start, end = moments(told["when"])
        assert in_utc(event["DTSTART"], zones) == start, (event["DTSTART"], start)
        assert in_utc(event.get("DTEND"), zones) == end
        used += "TZID" not in event["DTSTART"].params and isinstance(event["DTSTART"].dt, datetime.datetime)
        used += end is not None and "TZID" not in event["DTEND"].params
        assert str(event["SUMMARY"]) == ("DRAFT: " if draft else "") + kept(told["title"])
        assert str(event.get("LOCATION", "")) == kept(told["place"])
        assert str(event["DESCRIPTION"]).startswith(kept("\n".join(told["says"])))
    identities = [str(event["UID"]) for event in calendar.events]
    assert len(set(identities)) == len(identities)
    days = [datetime.date.fromisoformat(str(moments(event["when"])[0])[:10]) for event in view["events"]]
    if days:
        span = min(days) - datetime.timedelta(days=2), max(days) + datetime.timedelta(days=3)
        expanded = recurring_ical_events.of(calendar).between(*span)
        assert sorted(str(event["UID"]) for event in expanded) == sorted(identities)
    return calendar, used


def packet(name, documents):
    packet = json.loads(documents["packet.json"])
    views = {view["file"] + ".ics": view for view in packet["calendars"]}
    files = {path: text.encode() for path, text in documents.items() if path.endswith(".ics")}
    assert set(views) == set(files), (sorted(views), sorted(files))
    events, in_universal_time = {}, 0
    for path, raw in files.items():
        calendar, used = check(raw, views[path], packet["head"]["draft"])
        in_universal_time += used
        for event in calendar.events:
            # One event has one name and one content, in whichever calendar it stands.
            content = event.to_ical()
            assert events.setdefault(str(event["UID"]), content) == content
    whole = icalendar.Calendar.from_ical(files["calendar.ics"])
    assert {str(event["UID"]) for event in whole.events} == set(events)
    return {"name": name, "calendars": len(files), "events": len(events), "in_utc": in_universal_time, "uids": sorted(events)}


packets.each(lambda one: packet(one["name"], one["documents"]))
