"""What moving, turning and being out of place do in the picture, by projecting points.

OpenCV's cameras see a point from two places, or at two moments. Seamster takes turns
as pixels a radian at the middle of the picture. That is exact for the fisheye model,
and a share of the half turn squared too little for the pinhole model.
"""

import numpy as np
import reference
from camera import FLAT, ROUND, STRAIGHT, project
from reference import within
from scipy.optimize import brentq

CLOSE = within(1e-6, relative=1e-7)
FAR = 1e9


def slip(focal, offset, near, far):
    """How far near and far things are apart in one picture and not in the other."""
    points = [[0.0, 0.0, near], [0.0, 0.0, far or FAR]]
    aside = np.array([offset, 0.0, 0.0])
    before, after = [[project(p, focal, FLAT, moved=at)[0] for p in points] for at in (STRAIGHT, aside)]
    return abs((after[0] - before[0]) - (after[1] - before[1]))


def shift(focal, degrees, projection):
    """How far the middle of the picture moves in a turn, half of it to each side."""
    half, ahead = np.radians(degrees) / 2, [0.0, 0.0, FAR]
    sides = [project(ahead, focal, projection, turned=[0, side * half, 0])[0] for side in (-1, 1)]
    return sides[0] - sides[1]


def nearly(value, half):
    """A value with what pixels a radian may fall short of it, for half an angle."""
    return value, abs(value) * np.radians(half) ** 2 / 2


def small(ours, theirs):
    value, allowed = theirs
    return abs(ours - value), abs(ours - value) <= allowed + 1e-6


@reference.check(
    parallax=within(1e-4, relative=1e-6),
    turn=CLOSE,
    turn_flat=small,
    nearest=within(1e-6, relative=1e-5),
    offset=within(1e-9, relative=1e-5),
    turn_allowed=CLOSE,
)
def hand_over(given):
    focal, offset, near, far, left = (given[name] for name in ("focal", "offset", "near", "far", "left"))
    nearest = brentq(lambda at: slip(focal, offset, at, far) - left, 1e-6, far or 1e7, xtol=1e-12, rtol=1e-12)
    return {
        "parallax": slip(focal, offset, near, far),
        "turn": shift(focal, given["turn"], ROUND),
        "turn_flat": nearly(shift(focal, given["turn"], FLAT), given["turn"] / 2),
        "nearest": nearest,
        "offset": brentq(lambda aside: slip(focal, aside, near, far) - left, 0.0, 1e7, xtol=1e-13, rtol=1e-12),
        "turn_allowed": brentq(lambda turn: shift(focal, turn, ROUND) - given["shift"], 0.0, 90.0),
    }


@reference.check(turning=CLOSE, passing=CLOSE, both=small, skew=CLOSE)
def movement(given):
    focal, exposure, near = given["focal"], given["exposure"], given["near"]
    way = given["travel"] * exposure

    def passed(turn):
        """A thing that the camera passes while it turns, from the middle of the exposure."""
        point = [0.0, 0.0, near]
        at = [
            project(point, focal, FLAT, turned=[0, side * np.radians(turn) / 2, 0], moved=[side * way / 2, 0, 0])[0]
            for side in (-1, 1)
        ]
        return at[0] - at[1]

    turn = (given["turn"] + given["sway"]) * exposure
    half = turn / 2 + np.degrees(np.arctan(way / 2 / near))
    return {
        "turning": shift(focal, turn, ROUND),
        "passing": passed(0.0),
        "both": nearly(passed(turn), half),
        "skew": shift(focal, given["turn"] * given["readout"], ROUND),
    }


reference.main()
