"""Dates and clocks in zones, by Python's zoneinfo with the tzdata package.

Python gives a clock that daylight saving skips the offset from before the gap, and a
clock that comes twice its first moment (fold 0), as RFC 5545 asks of calendars.
"""

import datetime
import zoneinfo

import reference
from reference import exactly

# The zones of the tzdata package, whatever the machine has.
zoneinfo.reset_tzpath(to=())
EPOCH = datetime.datetime(1970, 1, 1, tzinfo=datetime.timezone.utc)
MINUTE = datetime.timedelta(minutes=1)


@reference.check(minute=exactly, back=exactly, clock=exactly, skipped=exactly)
def moment(given):
    zone = zoneinfo.ZoneInfo(given["zone"])
    civil = datetime.datetime.fromisoformat(given["civil"]).replace(tzinfo=zone)
    minute = (civil.astimezone(datetime.timezone.utc) - EPOCH) // MINUTE
    back = (EPOCH + minute * MINUTE).astimezone(zone)
    return {
        "minute": minute,
        "back": back.replace(tzinfo=None).isoformat(),
        "clock": f"{back:%H:%M}",
        # What comes back from a moment differs only where there was no such clock.
        "skipped": civil.astimezone(datetime.timezone.utc).astimezone(zone).replace(tzinfo=None)
        != civil.replace(tzinfo=None),
    }


reference.main()
