"""The assembly as OpenTimelineIO and as decision list, read by OpenTimelineIO and
its CMX 3600 adapter.

Reads `[{"name": ..., "frames": ..., "documents": {path: text}}, ...]`: packets with
the length that their picture must have, in frames, counted by hand in the test.
Says what is wrong and ends with 1, or prints how much was compared.

What is known of the adapter is worked round: it sees no speed where source and
record are equally long, does not read FCM, and takes colons alone in M2 and LOC.
"""

import json
import re

import opentimelineio as otio

import packets

TOP_SPEED_ERROR = 0.05  # an M2 line has one decimal of frames a second


def frames(time, rate):
    """Whole frames at a rate; anything else is wrong."""
    value = time.rescaled_to(rate).value
    assert abs(value - round(value)) < 1e-6, f"{time} is no whole frame at {rate}"
    return round(value)


def whole(words):
    """As the timeline must have it: the library's texts end at a NUL."""
    return words.replace("\0", " ")


class Timeline:
    """A timeline as read, beside the packet's own assembly."""

    def __init__(self, packet):
        self.assembly = json.loads(packet["documents"]["packet.json"])["assembly"]
        self.text = packet["documents"]["assembly.otio"]
        self.timeline = otio.adapters.read_from_string(self.text, "otio_json")
        self.rate = self.timeline.global_start_time.rate
        assert abs(self.rate - self.assembly["rate"]["num"] / self.assembly["rate"]["den"]) < 1e-9
        self.picture, *self.layers = self.timeline.video_tracks()
        assert not self.timeline.audio_tracks()
        self.events = []
        self.markers = []

    def walk(self):
        """The picture as (kind, record in, frames, source in, speed, blend before, behind)."""
        blend = (0, 0)
        for child in self.picture:
            if isinstance(child, otio.schema.Transition):
                assert child.transition_type == "SMPTE_Dissolve"
                blend = (frames(child.in_offset, self.rate), frames(child.out_offset, self.rate))
                continue
            assert type(child) in (otio.schema.Clip, otio.schema.Gap), type(child)
            place = self.picture.range_of_child(child)
            speed = 1.0
            for effect in child.effects:
                assert type(effect) is otio.schema.LinearTimeWarp
                speed *= effect.time_scalar
            self.events.append(
                {
                    "name": child.name,
                    "gap": isinstance(child, otio.schema.Gap),
                    "at": frames(place.start_time, self.rate),
                    "frames": frames(place.duration, self.rate),
                    "start": frames(child.source_range.start_time, self.rate),
                    "speed": speed,
                    "blend": blend,
                }
            )
            for marker in child.markers:
                at = child.transformed_time(marker.marked_range.start_time, self.picture)
                self.markers.append((frames(at, self.rate), marker.name))
                inside = self.events[-1]
                assert inside["at"] <= self.markers[-1][0] < inside["at"] + inside["frames"], marker.name
            blend = (0, 0)
        assert blend == (0, 0), "the picture ends in a transition"

    def check(self, length):
        self.walk()
        again = otio.adapters.read_from_string(otio.adapters.write_to_string(self.timeline, "otio_json"), "otio_json")
        assert again.is_equivalent_to(self.timeline)
        assert frames(self.picture.duration(), self.rate) == length, (self.picture.duration(), length)
        assert self.assembly["frames"] == length
        assert frames(self.timeline.global_start_time, self.rate) == self.assembly["start_frame"]
        self.check_start()
        items = self.assembly["items"]
        assert len(items) == len(self.events)
        for item, event in zip(items, self.events):
            source, join = item["source"], item["join"] or {"before": 0, "behind": 0}
            assert event["gap"] == (source is None), item["path"]
            assert (event["at"], event["frames"]) == (item["at"], item["frames"]), item["path"]
            assert event["blend"] == (join["before"], join["behind"]), item["path"]
            if source:
                assert event["name"] == source["name"] and event["start"] == source["start"]
                assert abs(event["speed"] - source["speed"] / 10000) < 1e-9, item["path"]
        told = [(item["at"] + mark["at"], whole(mark["title"])) for item in items for mark in item["marks"]]
        assert told == self.markers
        over_all = [whole(mark["title"]) for mark in self.assembly["marks"]]
        assert [marker.name for marker in self.timeline.tracks.markers] == over_all
        self.check_transitions()
        self.check_layers()

    def check_start(self):
        """The library's own label of the first frame, where it knows the rate."""
        start = self.timeline.global_start_time
        if self.assembly["start"] and otio.opentime.RationalTime.is_valid_timecode_rate(self.rate):
            drop = ";" in self.assembly["start"]
            assert drop == self.assembly["drop_frame"]
            label = otio.opentime.to_timecode(start, self.rate, drop_frame=drop)
            assert label == self.assembly["start"] and re.fullmatch(r"01:00:00[:;]00", label), label

    def check_transitions(self):
        """No two overlap, and every one has neighbours: the library's own rules."""
        for child in self.picture:
            if isinstance(child, otio.schema.Transition):
                before, behind = self.picture.neighbors_of(child)
                assert before is not None and behind is not None
        for first, second in zip(self.events, self.events[1:]):
            assert first["blend"][1] + second["blend"][0] < first["frames"], second["name"]

    def check_layers(self):
        for track, layer in zip(self.layers, self.assembly["layers"], strict=True):
            assert not track.enabled
            clips = [child for child in track if isinstance(child, otio.schema.Clip)]
            for clip, laid in zip(clips, layer["clips"], strict=True):
                place = track.range_of_child(clip)
                assert frames(place.start_time, self.rate) == laid["at"]
                assert frames(place.duration, self.rate) == laid["frames"]
                assert clip.name == laid["source"]["name"] and not clip.enabled


class Decisions:
    """A decision list as read by the adapter and, line by line, as written."""

    EVENT = re.compile(r"(\d{3})  (\w{1,8}) +V +(?:C|D (\d{3})) +(\S+) (\S+) (\S+) (\S+)")
    MOTION = re.compile(r"M2   (\w{1,8}) +(-?\d{3}\.\d) +(\d\d:\d\d:\d\d:\d\d)")

    def __init__(self, text, rate, drop):
        self.rate, self.drop = rate, drop
        assert text.endswith("\r\n") and "\n" not in text.replace("\r\n", ""), "line ends"
        self.lines = text.split("\r\n")[:-1]
        assert self.lines[0].startswith("TITLE: ") and len(self.lines[0]) <= 77
        assert self.lines[1] == ("FCM: DROP FRAME" if drop else "FCM: NON-DROP FRAME")
        self.timeline = otio.adapters.read_from_string(text, "cmx_3600", rate=rate)

    def at(self, label):
        """The frame of a label; the library reads drop-frame by its semicolon."""
        assert (";" in label) == self.drop, label
        return frames(otio.opentime.from_timecode(label, self.rate), self.rate)

    def events(self, start):
        """Each event as written: source and record, with its speed."""
        events = []
        for line in self.lines[2:]:
            if match := self.EVENT.fullmatch(line):
                number, reel, blend, *labels = match.groups()
                source_in, source_out, record_in, record_out = (self.at(label) for label in labels)
                if blend:
                    cut = events.pop()
                    assert cut["number"] == int(number) and cut["frames"] == cut["source"] == 0
                    assert events and cut["reel"] == events[-1]["reel"]
                    assert cut["reel"] == "BL" or cut["start"] == events[-1]["start"] + events[-1]["source"], line
                events.append(
                    {
                        "number": int(number),
                        "reel": reel,
                        "at": record_in - start,
                        "frames": record_out - record_in,
                        "start": source_in,
                        "source": source_out - source_in,
                        "blend": int(blend or 0),
                        "speed": 1.0,
                        "marks": [],
                    }
                )
            elif match := self.MOTION.fullmatch(line):
                reel, speed, label = match.groups()
                assert reel == events[-1]["reel"]
                assert self.at(self.redrop(label)) == events[-1]["start"]
                events[-1]["speed"] = float(speed) / self.rate
            elif line.startswith("* LOC: "):
                label, name = line[7:18], line[27:]
                events[-1]["marks"].append((self.at(self.redrop(label)) - start, name))
            else:
                assert line.startswith("* "), line
        assert [event["number"] for event in events] == list(range(1, len(events) + 1))
        return events

    def redrop(self, label):
        return label[:8] + ";" + label[9:] if self.drop else label

    def read(self):
        """Each event as the adapter reads it."""
        if not self.timeline.tracks:
            # The adapter makes no track of a list without events.
            return []
        (track,) = self.timeline.tracks
        events, blend = [], 0
        for child in track:
            if isinstance(child, otio.schema.Transition):
                assert frames(child.in_offset, self.rate) == 0
                blend = frames(child.out_offset, self.rate)
                continue
            assert isinstance(child, otio.schema.Clip), "the list has a hole"
            black = isinstance(child.media_reference, otio.schema.GeneratorReference)
            speed = 1.0
            for effect in child.effects:
                speed *= effect.time_scalar
            events.append(
                {
                    "name": child.name,
                    "reel": child.metadata["cmx_3600"]["reel"],
                    "gap": black and child.media_reference.generator_kind == "black",
                    "frames": frames(child.duration(), self.rate),
                    "start": frames(child.source_range.start_time, self.rate),
                    "speed": speed,
                    "blend": blend,
                    "marks": [marker.name for marker in child.markers],
                }
            )
            blend = 0
        return events


def parted(events):
    """A timeline's pieces as a decision list has them: each from where it is first
    seen, its dissolve at its start."""
    told = []
    for at, event in enumerate(events):
        before, behind = event["blend"]
        later = events[at + 1]["blend"][0] if at + 1 < len(events) else 0
        told.append(
            {
                "gap": event["gap"],
                "at": event["at"] - before,
                "frames": event["frames"] + before - later,
                "start": 0 if event["gap"] else event["start"] - round(abs(event["speed"]) * before + 1e-9),
                "speed": event["speed"],
                "blend": before + behind,
            }
        )
    return told


def agree(timeline, lists):
    """Decision list and timeline say the same."""
    told = parted(timeline.events)
    marks = list(timeline.markers)
    start = timeline.assembly["start_frame"]
    written, read = [], []
    for text in lists:
        decisions = Decisions(text, timeline.rate, timeline.assembly["drop_frame"])
        written += decisions.events(start)
        read += decisions.read()
    assert len(told) == len(written) == len(read), (len(told), len(written), len(read))
    reels = {}
    for ours, lined, theirs in zip(told, written, read):
        for key in ("frames", "start", "blend"):
            rounding = 1 if key == "start" and ours["speed"] != 1.0 else 0
            assert abs(ours[key] - lined[key]) <= rounding, (key, ours, lined)
            assert lined[key] == theirs[key], (key, lined, theirs)
        assert ours["at"] == lined["at"] and ours["gap"] == theirs["gap"] == (lined["reel"] == "BL")
        assert abs(lined["speed"] - ours["speed"]) <= TOP_SPEED_ERROR / timeline.rate + 1e-9, (ours, lined)
        # Source eaten is record times speed; the adapter's own writer has it the wrong way round.
        assert abs(lined["source"] - lined["frames"] * abs(ours["speed"])) <= 1 + 1e-9, (ours, lined)
        if lined["source"] != lined["frames"]:
            assert abs(theirs["speed"] - lined["speed"]) < 1e-9, (theirs, lined)
        assert lined["reel"] == theirs["reel"] and [name for _, name in lined["marks"]] == theirs["marks"]
        if not ours["gap"]:
            assert reels.setdefault(lined["reel"], theirs["name"]) == theirs["name"], "a reel is given twice"
        for mark in lined["marks"]:
            at, name = marks.pop(0)
            # An owed piece says why in the list, where a comment is all there is.
            assert mark[0] == at and (mark[1] == single(name).rstrip() or mark[1].startswith(single(name) + ";")), (mark, name)
    assert not marks
    return len(written)


def single(words):
    """On one line, as a list must have it: control characters and line separators are spaces."""
    kept = "".join(" " if ord(letter) < 32 or 127 <= ord(letter) < 160 or letter in "\u2028\u2029" else letter for letter in words)
    return kept


def read(packet):
    timeline = Timeline(packet)
    timeline.check(packet["frames"])
    names = sorted((name for name in packet["documents"] if name.endswith(".edl")), key=lambda name: (len(name), name))
    lists = [packet["documents"][name] for name in names]
    # Timecode of two-digit frames ends at 60.
    assert bool(lists) == otio.opentime.RationalTime.is_valid_timecode_rate(timeline.rate), timeline.rate
    listed = agree(timeline, lists) if lists else 0
    return {"name": packet["name"], "events": len(timeline.events), "listed": listed, "marks": len(timeline.markers)}


packets.each(read)
