"""Lamps on the mains, by summing up their light over each frame.

Light is taken as a raised sine at twice the mains frequency (a lamp's deeper or flatter
pulses keep the same period, which is all that evenness rests on).
"""

import numpy as np
import reference
from reference import exactly, within
from scipy.integrate import trapezoid

FRAMES = 200
STEPS = 100


def brightness(given, exposure):
    """Light that each of many frames gathers, as shares of their mean."""
    starts = np.arange(FRAMES) / given["rate"]
    within_frame = np.linspace(0.0, exposure, STEPS + 1)
    light = 1.0 + np.sin(4.0 * np.pi * given["mains"] * (starts[:, None] + within_frame))
    gathered = trapezoid(light, within_frame, axis=1)
    return gathered / gathered.mean()


def is_even(given, exposure):
    return bool(np.ptp(brightness(given, exposure)) < 1e-3)


@reference.check(even=exactly, evens=exactly, beat=within(0.03))
def lamps(given):
    frame = 1.0 / given["rate"]
    # Every exposure that gathers as much in each frame, on a grid that holds them all.
    grid = np.arange(1, 201) / (4.0 * given["mains"])
    evens = sum(is_even(given, exposure) for exposure in grid[grid <= frame * 1.000001])
    # How fast the brightness of a short exposure goes up and down, by its spectrum.
    padded = 1 << 14
    short = brightness(given, frame / 50) - 1.0
    spectrum = np.abs(np.fft.rfft(short * np.hanning(FRAMES), padded))
    return {
        "even": is_even(given, given["exposure"]),
        "evens": int(evens),
        "beat": float(np.fft.rfftfreq(padded, frame)[spectrum.argmax()]),
    }


reference.main()
