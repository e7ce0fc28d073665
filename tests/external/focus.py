"""Depth of field, by following light through a thin lens to the sensor.

No library in the registries computes it in general; rays are followed here with numpy
by matrices (2 by 2, height and slope, as textbooks of optics have them), and limits are
where scipy finds the disc of a point as large as the circle of confusion.
"""

import numpy as np
import reference
from reference import within
from scipy.optimize import brentq

CLOSE = within(1e-9, relative=1e-6)
HORIZON = 1e9


def space(length):
    return np.array([[1.0, length], [0.0, 1.0]])


def disc(given, distance, focused):
    """How wide a point at a distance becomes on a sensor that is sharp at another."""
    focal = given["focal"]
    thin_lens = np.array([[1.0, 0.0], [-1.0 / focal, 1.0]])
    # Where rays from the axis meet again behind the lens is where the sensor stands.
    through = thin_lens @ space(focused)
    sensor = -through[0, 1] / through[1, 1]
    edge = focal / given["stop"] / 2
    height, _ = space(sensor) @ thin_lens @ np.array([edge, edge / distance])
    return 2 * abs(height)


def limits(given, focused):
    near = brentq(lambda at: disc(given, at, focused) - given["circle"], given["focal"] * 1e-3, focused, xtol=1e-14)
    if disc(given, HORIZON, focused) <= given["circle"]:
        return near, None
    return near, brentq(lambda at: disc(given, at, focused) - given["circle"], focused, HORIZON, xtol=1e-12)


@reference.check(hyperfocal=CLOSE, near=CLOSE, far=within(1e-9, relative=1e-5))
def depth(given):
    nearest, farthest = given["focal"] * 1.001, HORIZON
    hyperfocal = brentq(lambda at: disc(given, HORIZON * 1e3, at) - given["circle"], nearest, farthest, xtol=1e-13)
    near, far = limits(given, given["at"])
    if far is None or far < HORIZON / 100:
        return {"hyperfocal": hyperfocal, "near": near, "far": far}
    return reference.LeftOut("focused so near the hyperfocal distance that the far end is anywhere")


@reference.check(near=within(1e-9, relative=1e-5), far=within(1e-9, relative=1e-4))
def setting(given):
    """What Seamster's setting really keeps sharp."""
    near, far = limits(given, given["at"])
    return {"near": near, "far": far}


reference.main()
