"""The sun's place, its events and the windows of light.

pvlib computes NREL's Solar Position Algorithm in Python (Reda and Andreas, NREL/TP-
560-34302). It gives the centre's elevation without refraction; events are found here
by looking for the moments when that crosses an elevation, on the local date. pvlib's
own events are not used, since they belong to the day at Greenwich.

Angles may differ by 0.01 degrees: Seamster uses Grena's third algorithm, which is
within 0.01 degrees (Solar Energy 86, 2012), and SPA is within 0.0003. Moments are whole minutes
in Seamster, and where the sun climbs slowly that angle takes longer.

astral computes events by the formulas of NOAA's calculator (Meeus), some seconds less
exact. Its named events refract twilights, too, and lose some or give those of another
date in zones far from Greenwich; it is asked for heights without refraction, by date at
Greenwich, instead.
"""

import datetime
import zoneinfo

import astral
import astral.sun
import numpy as np
import reference
from pvlib import spa
from reference import LeftOut, each, within

# The zones of the tzdata package, whatever the machine has.
zoneinfo.reset_tzpath(to=())

ANGLE = 0.01
ROUNDING = 0.5 + 0.1
RISE, CIVIL, LOW, HIGH = -50 / 60, -6.0, -4.0, 6.0
# The day is looked at every 20 minutes; crossings are then found between.
STEPS = 72
DAY = datetime.timedelta(days=1)


def sky(seconds, latitude, longitude):
    """Elevation without refraction, and how far east the sun is (negative: west)."""
    seconds, latitude, longitude = (np.asarray(value, dtype=float) for value in (seconds, latitude, longitude))
    year = 1970 + seconds / 31556952.0
    lag = spa.calculate_deltat(np.floor(year), (year % 1.0) * 12.0 + 0.5)
    _, _, _, elevation, azimuth, _ = spa.solar_position_numpy(
        seconds, latitude, longitude, 0.0, 1013.25, 12.0, lag, 0.0, 1
    )
    return elevation, np.sin(np.radians(azimuth)), azimuth


class Days:
    """Many local dates, each at one place, looked at all at once."""

    def __init__(self, latitude, longitude, zone, date):
        self.count = len(date)
        self.latitude, self.longitude = np.array(latitude), np.array(longitude)
        self.start = np.array([midnight(*pair) for pair in zip(date, zone)])
        self.end = np.array([midnight(day + DAY, name) for day, name in zip(date, zone)])
        steps = np.linspace(0.0, 1.0, STEPS + 1)
        self.times = self.start[:, None] + (self.end - self.start)[:, None] * steps
        shape = self.times.shape
        every = [np.broadcast_to(value[:, None], shape).ravel() for value in (self.latitude, self.longitude)]
        elevation, east, _ = sky(self.times.ravel(), *every)
        self.elevation, self.east = elevation.reshape(shape), east.reshape(shape)
        self.doubtful = [None] * self.count

    def at(self, rows, seconds):
        return sky(seconds, self.latitude[rows], self.longitude[rows])

    def crossings(self, level, which=0):
        """For each day its crossings of a level, in order: (seconds, slope, upwards).
        `which` is 0 for elevation and 1 for the meridian."""
        levels = np.broadcast_to(level, self.count)
        values = (self.elevation, self.east)[which] - levels[:, None]
        rows, columns = np.nonzero(np.signbit(values[:, 1:]) != np.signbit(values[:, :-1]))
        low, high = self.times[rows, columns], self.times[rows, columns + 1]
        upwards = values[rows, columns + 1] > values[rows, columns]
        # To a third of a second.
        for _ in range(11):
            middle = (low + high) / 2
            before = (self.at(rows, middle)[which] < levels[rows]) == upwards
            low, high = np.where(before, middle, low), np.where(before, high, middle)
        found = (low + high) / 2
        slope = (self.at(rows, found + 30)[0] - self.at(rows, found - 30)[0]) if which == 0 else rows * 0.0
        crossings = [[] for _ in range(self.count)]
        for row, seconds, steep, up in zip(rows, found, np.abs(slope), upwards):
            crossings[row].append((seconds, steep, up))
            if min(seconds - self.start[row], self.end[row] - seconds) < 60:
                self.doubtful[row] = "an event within a minute of midnight"
        if which == 0:
            self.mark_touches(values)
        return crossings

    def mark_touches(self, values):
        """Days on which the sun only just reaches or misses a level."""
        before, here, after = values[:, :-2], values[:, 1:-1], values[:, 2:]
        bend = before - 2 * here + after
        turning = (after - here) * (here - before) <= 0
        bend = np.where(turning & (bend != 0), bend, np.inf)
        extreme = here - (after - before) ** 2 / (8 * bend)
        for row in np.nonzero((turning & (np.abs(extreme) < 0.02)).any(axis=1))[0]:
            self.doubtful[row] = "the sun only touches that height"

    def windows(self, low, high, rising=None):
        """For each day, when the sun is between two elevations, rising or not."""
        edges = [[(start, None)] for start in self.start]
        cuts = [self.crossings(level) for level in (low, high) if np.all(np.abs(level) < 90)]
        if rising is not None:
            cuts.append(self.crossings(0.0, which=1))
        for cut in cuts:
            for row, crossings in enumerate(cut):
                edges[row] += [(seconds, slope or None) for seconds, slope, _ in crossings]
        for row, end in enumerate(self.end):
            edges[row] = sorted(edges[row], key=lambda edge: edge[0]) + [(end, None)]
        pieces = [(row, *pair) for row in range(self.count) for pair in zip(edges[row], edges[row][1:])]
        rows = np.array([row for row, _, _ in pieces])
        elevation, east, _ = self.at(rows, np.array([(one[0] + two[0]) / 2 for _, one, two in pieces]))
        lows, highs = (np.broadcast_to(level, self.count)[rows] for level in (low, high))
        inside = (elevation > lows) & (elevation < highs)
        if rising is not None:
            inside &= (east > 0) == rising
        found = [[] for _ in range(self.count)]
        for (row, one, two), is_inside in zip(pieces, inside):
            if two[0] - one[0] < 120:
                self.doubtful[row] = self.doubtful[row] or "a window of less than two minutes"
            if is_inside and found[row] and found[row][-1][1] == moment(*one):
                found[row][-1][1] = moment(*two)
            elif is_inside:
                found[row].append([moment(*one), moment(*two)])
        return found

    def answers(self, answers):
        return [LeftOut(why) if why else answer for why, answer in zip(self.doubtful, answers)]


def midnight(date, zone):
    """Seconds of the beginning of a date."""
    start = datetime.datetime(date.year, date.month, date.day, tzinfo=zoneinfo.ZoneInfo(zone))
    return start.timestamp()


def moment(seconds, slope):
    """A moment in minutes, with how long the allowed angle takes there."""
    return (seconds / 60, ROUNDING + (ANGLE / slope if slope else 0.0))


def minute(ours, theirs):
    if ours is None or theirs is None:
        return reference.exactly(ours, theirs)
    at, allowed = theirs
    return abs(ours - at), abs(ours - at) <= allowed


def on_the_sky(ours, theirs):
    """The angle between two directions, each azimuth and elevation."""
    azimuth, elevation = (np.radians([ours[index], theirs[index]]) for index in (0, 1))
    toward = np.array([np.cos(elevation) * np.sin(azimuth), np.cos(elevation) * np.cos(azimuth), np.sin(elevation)])
    apart = float(np.degrees(2 * np.arcsin(np.linalg.norm(toward[:, 0] - toward[:, 1]) / 2)))
    return apart, apart <= ANGLE


def columns(givens, *names):
    return [[given[name] for given in givens] for name in names]


def days_of(givens, later=0):
    latitude, longitude, zone, date = columns(givens, "latitude", "longitude", "zone", "date")
    dates = [datetime.date.fromisoformat(text) + later * DAY for text in date]
    return Days(latitude, longitude, zone, dates)


def first(crossings, upwards):
    return [next((moment(at, slope) for at, slope, up in day if up == upwards), None) for day in crossings]


def last(crossings, upwards):
    return first([day[::-1] for day in crossings], upwards)


def events(days):
    """The events that Seamster has names for."""
    rise, civil, noon = days.crossings(RISE), days.crossings(CIVIL), days.crossings(0.0, which=1)
    return {
        "first_light": first(civil, True),
        "sunrise": first(rise, True),
        "noon": first(noon, False),
        "sunset": last(rise, False),
        "last_light": last(civil, False),
    }


@reference.check_all(place=on_the_sky)
def position(givens):
    minutes, latitude, longitude = columns(givens, "minute", "latitude", "longitude")
    elevation, _, azimuth = sky(np.array(minutes) * 60.0, latitude, longitude)
    return [{"place": pair} for pair in zip(azimuth, elevation)]


@reference.check_all(first_light=minute, sunrise=minute, noon=minute, sunset=minute, last_light=minute)
def day(givens):
    days = days_of(givens)
    found = events(days)
    return days.answers([dict(zip(found, values)) for values in zip(*found.values())])


def height(ours, theirs):
    """Seamster looks at whole minutes, in which a sun near the zenith (and below, near
    the nadir) changes by an eighth of a degree; elsewhere it hardly moves at its turn."""
    allowed = ANGLE if abs(theirs) < 85 else 0.14
    return abs(ours - theirs), abs(ours - theirs) <= allowed


@reference.check_all(heights=each(height))
def heights(givens):
    days = days_of(givens)
    found = []
    for sign in (-1, 1):
        # In the ten minutes to each side of a look the sun moves by 2.5 degrees at most.
        seen = sign * days.elevation
        rows, columns = np.nonzero(seen > seen.max(axis=1)[:, None] - 3)
        near = days.times[rows, columns][:, None] + np.linspace(-600.0, 600.0, 41)
        near = np.clip(near, days.start[rows][:, None], days.end[rows][:, None])
        elevation, _, _ = days.at(np.repeat(rows, near.shape[1]), near.ravel())
        extreme = np.full(days.count, -np.inf)
        np.maximum.at(extreme, np.repeat(rows, near.shape[1]), sign * elevation)
        found.append(sign * extreme)
    return [{"heights": pair} for pair in zip(*found)]


@reference.check_all(windows=each(each(minute)))
def light(givens):
    """All cases of one light at once."""
    answers = [None] * len(givens)
    for name in sorted({given["light"] for given in givens}):
        rows = [row for row, given in enumerate(givens) if given["light"] == name]
        days = days_of([givens[row] for row in rows])
        found = {
            "sky": lambda: days.windows(RISE, 90.0),
            "golden morning": lambda: days.windows(LOW, HIGH, True),
            "golden evening": lambda: days.windows(LOW, HIGH, False),
            "dusk": lambda: days.windows(CIVIL, RISE, False),
            "night": lambda: days.windows(-90.0, CIVIL),
        }[name]()
        for row, answer in zip(rows, days.answers([{"windows": windows} for windows in found])):
            answers[row] = answer
    return answers


@reference.check_all(windows=each(each(minute)))
def direct_sun(givens):
    """Above the horizon of the place, such as houses around it."""
    days = days_of(givens)
    lowest = np.maximum(RISE, [given["horizon"] for given in givens])
    return days.answers([{"windows": windows} for windows in days.windows(lowest, 90.0)])


@reference.check_all(windows=each(each(minute)))
def between(givens):
    """From each `from` to the first `to` behind it, cut to the date."""
    around = [days_of(givens, later) for later in (-1, 0, 1, 2)]
    found = [events(days) for days in around]
    answers = []
    for row, given in enumerate(givens):
        doubts = [days.doubtful[row] for days in around if days.doubtful[row]]

        def moments(side):
            tied = [day[given[side]][row] for day in found]
            return [(at + given[side + "_later"], allowed) for at, allowed in filter(None, tied)]

        if any(abs(one[0] - two[0]) < 1.5 for one in moments("from") for two in moments("to")):
            doubts.append("both moments in one minute")
        start, end = around[1].start[row] / 60, around[1].end[row] / 60
        windows = []
        for begins in moments("from")[:3]:
            ends = min((moment for moment in moments("to") if moment[0] >= begins[0]), default=None)
            if ends and begins[0] < end and ends[0] > start:
                windows.append([max(begins, (start, 0.0)), min(ends, (end, 0.0))])
        if any(abs(edge - at) < 2 for window in windows for edge, _ in window for at in (start, end) if edge != at):
            doubts.append("a window that ends with the date")
        answers.append(LeftOut(doubts[0]) if doubts else {"windows": windows})
    return answers


@reference.check(
    rising=each(within(ROUNDING + 0.1)),
    setting=each(within(ROUNDING + 0.1)),
    # astral takes the equation of time of midnight at Greenwich, 30 s a day at most.
    noon=within(ROUNDING + 0.5),
)
def other_formulas(given):
    observer = astral.Observer(given["latitude"], given["longitude"], 0.0)
    zone = datetime.timezone(datetime.timedelta(hours=given["hours"]))
    date = datetime.date.fromisoformat(given["date"])

    def on_the_date(event):
        """The one of three events, each of a date at Greenwich, that the local date has."""
        moments = [event(date + days * DAY).astimezone(zone) for days in (-1, 0, 1)]
        on_it = [moment.timestamp() / 60 for moment in moments if moment.date() == date]
        return on_it[0] if len(on_it) == 1 else None

    def at_height(direction):
        return [
            on_the_date(
                lambda day: astral.sun.time_of_transit(
                    observer, day, 90 - elevation, direction, with_refraction=False
                )
            )
            for elevation in (CIVIL, RISE, LOW, HIGH)
        ]

    rising, setting = at_height(astral.SunDirection.RISING), at_height(astral.SunDirection.SETTING)
    if None in rising + setting:
        return LeftOut("astral gives an event at Greenwich's midnight to both dates or to none")
    return {"rising": rising, "setting": setting, "noon": on_the_date(lambda day: astral.sun.noon(observer, day))}


reference.main()
