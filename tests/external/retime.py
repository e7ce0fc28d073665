"""Speed curves, by numerical integration.

scipy's trapezoid rule over many points of numpy's linear interpolation, which holds the
first and the last speed as Seamster does. Backwards counts as forwards.
"""

import numpy as np
import reference
from reference import within
from scipy.integrate import trapezoid

STEPS = 20_001


@reference.check(mean=within(1e-4), needed=within(0.01), slowest=within(1e-9), fastest=within(1e-9))
def curve(given):
    at, speed = np.array(given["points"]).T
    along = np.linspace(0.0, 1.0, STEPS)
    played = np.abs(np.interp(along, at, speed))
    mean = trapezoid(played, along)
    return {
        "mean": mean,
        "needed": trapezoid(played, along * given["result"]) + 2 * given["handles"],
        "slowest": np.abs(speed).min(),
        "fastest": np.abs(speed).max(),
    }


reference.main()
