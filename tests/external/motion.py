"""Falls and slides, by integrating the equations of motion.

scipy.integrate.solve_ivp (Dormand and Prince's method of order 5, with an event at
the ground or at rest) knows nothing of the closed forms that Seamster uses.
"""

import reference
from reference import within
from scipy.constants import g
from scipy.integrate import solve_ivp

PRECISE = {"rtol": 1e-10, "atol": 1e-12}


def until(event, motion, start, longest):
    """Integrates until the event, and returns the time and the state there."""
    event.terminal = True
    solution = solve_ivp(motion, (0.0, longest), start, events=event, **PRECISE)
    return solution.t_events[0][0], solution.y_events[0][0]


@reference.check(time=within(1e-6), speed=within(1e-6), height=within(1e-6))
def fall(given):
    time, (_, speed) = until(
        lambda _, state: state[0], lambda _, state: [state[1], -g], [given["height"], 0.0], 1000.0
    )
    depth = solve_ivp(lambda _, state: [state[1], g], (0.0, given["time"]), [0.0, 0.0], **PRECISE)
    return {"time": time, "speed": -speed, "height": depth.y[0][-1]}


@reference.check(time=within(1e-6), speed=within(1e-6))
def throw(given):
    time, (_, speed) = until(
        lambda _, state: state[0], lambda _, state: [state[1], -g], [given["height"], -given["start"]], 1000.0
    )
    return {"time": time, "speed": -speed}


@reference.check(length=within(1e-6, relative=1e-9), stopping=within(1e-6, relative=1e-9), speed=within(1e-6))
def slide(given):
    force = given["friction"] * g
    _, (length, _) = until(
        lambda _, state: state[1], lambda _, state: [state[1], -force], [0.0, given["speed"]], 1e5
    )
    noticed = solve_ivp(lambda *_: [given["speed"]], (0.0, given["noticed"]), [0.0], **PRECISE).y[0][-1]
    # Backwards in time, from rest to where the slide began.
    _, (_, speed) = until(
        lambda _, state: state[0] - given["way"], lambda _, state: [state[1], force], [0.0, 0.0], 1e5
    )
    return {"length": length, "stopping": noticed + length, "speed": speed}


reference.main()
