"""How a script of this folder is asked, and how it answers.

A script computes what Seamster computed, with an independent library, and says how
far the two may differ:

    import reference
    from reference import within

    @reference.check(time=within(1e-6))
    def fall(given):
        return {"time": ...}

    reference.main()

`python3 NAME.py fall` then reads `[{"given": {...}, "ours": {...}}, ...]` from its
input and prints a report. The function gets one `given` and returns the values that
`ours` should have. It returns `reference.LeftOut("why")` where the library itself
cannot answer; the test limits how often. With `@reference.check_all` it gets the list
of all `given` at once and returns a list, for libraries that compute with arrays.
"""

import json
import math
import sys

CHECKS = {}
SHOWN = 8


class LeftOut:
    """Why a case cannot be compared."""

    def __init__(self, why):
        self.why = why


def exactly(ours, theirs):
    """The same value; how far apart it is has no measure."""
    return (0.0 if ours == theirs else math.inf), ours == theirs


def within(absolute, relative=0.0, turn=None):
    """Numbers this far apart at most; `turn` is where they begin again (360 for
    directions). Where the other answers `None`, so must Seamster."""

    def compare(ours, theirs):
        if ours is None or theirs is None:
            return exactly(ours, theirs)
        apart = abs(ours - theirs)
        if turn is not None:
            apart = min(apart % turn, turn - apart % turn)
        # Written so that a number that is none never agrees.
        return apart, apart <= absolute + relative * abs(theirs)

    return compare


def each(compare):
    """Lists of the same length whose members agree in order."""

    def compare_lists(ours, theirs):
        if ours is None or theirs is None or len(ours) != len(theirs):
            return exactly(ours, theirs)
        pairs = [compare(*pair) for pair in zip(ours, theirs)]
        return max((apart for apart, _ in pairs), default=0.0), all(agree for _, agree in pairs)

    return compare_lists


def check_all(**comparisons):
    """A check that computes all cases at once."""

    def register(function):
        CHECKS[function.__name__] = (function, comparisons)
        return function

    return register


def check(**comparisons):
    """A check that computes one case at a time."""

    def register(function):
        CHECKS[function.__name__] = (lambda cases: [function(case) for case in cases], comparisons)
        return function

    return register


def report(cases, answers, comparisons):
    """What agrees, what does not, and how far apart the rest is at most."""
    if len(answers) != len(cases):
        raise SystemExit(f"{len(cases)} cases, but {len(answers)} answers")
    wrong, left_out, farthest = [], {}, {name: 0.0 for name in comparisons}
    for case, theirs in zip(cases, answers):
        if isinstance(theirs, LeftOut):
            left_out[theirs.why] = left_out.get(theirs.why, 0) + 1
            continue
        ours = case["ours"]
        if not set(ours) == set(theirs) == set(comparisons):
            raise SystemExit(f"values to compare differ: {sorted(ours)}, {sorted(theirs)}, {sorted(comparisons)}")
        for name, compare in comparisons.items():
            apart, agree = compare(ours[name], theirs[name])
            if agree:
                farthest[name] = max(farthest[name], apart)
            else:
                wrong.append(f"{name}: ours {ours[name]}, theirs {theirs[name]}, given {json.dumps(case['given'])}")
    return {
        "compared": len(cases) - sum(left_out.values()),
        "left_out": left_out,
        "farthest": farthest,
        "wrong": len(wrong),
        "shown": wrong[:SHOWN],
    }


def main():
    """Runs the check that the command line names."""
    function, comparisons = CHECKS[sys.argv[1]]
    cases = json.load(sys.stdin)
    answers = function([case["given"] for case in cases])
    json.dump(report(cases, answers, comparisons), sys.stdout)
