"""Screens, by following rays from the edge of the picture to the wall.

Rays are those of OpenCV's pinhole and fisheye models. The whole edge of the swept
rectangle is followed, so that nothing is assumed about its corners.
"""

import camera
import numpy as np
import reference
from camera import FLAT, project, ray, toward
from reference import within
from scipy.optimize import brentq

CLOSE = within(1e-6, relative=1e-6)
# Points on each side of the swept rectangle.
STEPS = 41


def rectangle(across, down, projection):
    """Places along the edge of the picture of a sweep, for a focal length of 1."""
    right = project(toward(across=across / 2), 1.0, projection)[0]
    low = project(toward(down=down / 2), 1.0, projection)[1]
    along = np.linspace(-1.0, 1.0, STEPS)
    return [(right, low * step) for step in along] + [(right * step, low) for step in along]


def reached(given):
    """Half the width and height that the sweep reaches on a wall one metre away."""
    places = rectangle(given["across"], given["down"], given["projection"])
    rays = np.array([ray(place, 1.0, given["projection"]) for place in places])
    return np.abs(rays[:, :2] / rays[:, 2:]).max(axis=0)


@reference.check(width=CLOSE, height=CLOSE, farthest=CLOSE, covered_across=CLOSE, covered_down=CLOSE)
def screen(given):
    half = reached(given)
    distance, screen = given["distance"], np.array([given["width"], given["height"]])
    covers = brentq(lambda away: (2 * half * away - screen).max(), 0.0, 1e6, xtol=1e-12, rtol=1e-12)
    corner = np.array([screen[0] / 2, screen[1] / 2])
    covered = [
        2 * brentq(lambda angle: project(toward(**{way: angle}), distance, FLAT)[axis] - corner[axis], 0.0, 89.999)
        for axis, way in enumerate(("across", "down"))
    ]
    return {
        "width": 2 * half[0] * distance,
        "height": 2 * half[1] * distance,
        "farthest": covers,
        "covered_across": covered[0],
        "covered_down": covered[1],
    }


@reference.check(lowest=CLOSE, highest=CLOSE)
def heights(given):
    """Looks at the feet and the top of the screen from every height."""
    foot, height, distance = given["foot"], given["height"], given["distance"]
    half = np.radians(given["down"] / 2)
    up = [np.radians(given["tilt"]), 0.0, 0.0]

    def below(edge, lens):
        """How far an edge of the screen is outside of the picture, as an angle."""
        _, y = project([0.0, lens - edge, distance], 1.0, FLAT, turned=up)
        return np.arctan(y)

    # The screen's foot leaves the picture at the lowest height, its top at the highest.
    lowest = brentq(lambda lens: below(foot, lens) - half, *before(given, foot), xtol=1e-12)
    highest = brentq(lambda lens: below(foot + height, lens) + half, *before(given, foot + height), xtol=1e-12)
    return {"lowest": lowest, "highest": highest} if lowest <= highest else {"lowest": None, "highest": None}


def before(given, edge):
    """Heights from which an edge of the screen is before the tilted lens."""
    distance, tilt = given["distance"], np.radians(given["tilt"])
    # The edge must not lie in the plane through the lens: depth = d cos t - (lens - edge) sin t.
    reach = distance * np.tan(np.radians(86.0))
    low, high = edge - reach, edge + reach
    if tilt > 0:
        high = min(high, edge + distance / np.tan(tilt) * 0.999)
    if tilt < 0:
        low = max(low, edge + distance / np.tan(tilt) * 0.999)
    return low, high


reference.main()
