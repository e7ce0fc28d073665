"""Timecode labels, by OpenTimelineIO's C++ and by the library `timecode`.

OpenTimelineIO counts up to 60 frames a second. It takes labels that drop-frame leaves
out without an error, so a label counts as one only if its frame gives it back.
It wraps non-drop labels of 29.97 and 59.94 where a drop-frame day ends, 86 s of labels
before midnight; `timecode` does not, and agrees with Seamster. `timecode` counts frames from 1, at any rate; its drop-frame at 119.88 Seamster has not.
"""

import reference
from opentimelineio.opentime import RationalTime, from_timecode
from reference import LeftOut, exactly, within
from timecode import Timecode


def fields(label):
    return [int(field) for field in label.replace(";", ":").split(":")]


def rate(given):
    frames, seconds = given["rate"]
    return frames / seconds


@reference.check(label=exactly, dropping=exactly, frame=exactly, time=within(1e-6))
def timeline_library(given):
    time = RationalTime(given["frame"], rate(given))
    if not given["drop"] and time.to_seconds() > 86399.9:
        return LeftOut("non-drop labels behind the end of a drop-frame day")
    label = time.to_timecode(rate(given), given["drop"])
    return {
        "label": fields(label),
        "dropping": ";" in label,
        "frame": from_timecode(given["label"], rate(given)).to_frames(),
        "time": time.to_seconds(),
    }


@reference.check(label=exactly, dropping=exactly, frame=exactly)
def timecode_library(given):
    as_text = "/".join(str(part) for part in given["rate"])
    options = {"force_non_drop_frame": not given["drop"]}
    time = Timecode(as_text, frames=given["frame"] + 1, **options)
    back = Timecode(as_text, start_timecode=given["label"], **options)
    return {
        "label": [time.hrs, time.mins, time.secs, time.frs],
        "dropping": time.drop_frame,
        "frame": back.frame_number,
    }


@reference.check(frame=exactly)
def written(given):
    try:
        time = from_timecode(given["label"], rate(given))
    except ValueError:
        return {"frame": None}
    back = time.to_timecode(rate(given), given["drop"])
    return {"frame": time.to_frames() if back == given["label"] else None}


@reference.check(rate=within(1e-9))
def nearest_rate(given):
    return {"rate": RationalTime.nearest_smpte_timecode_rate(given["measured"])}


reference.main()
