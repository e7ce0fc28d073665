"""A day's charge, by letting it pass in steps of ten seconds.

Written apart from Seamster, with the same habits of a crew: at each recording the
fullest pack goes into the camera and the next fullest follows when it is empty; in each
gap the emptiest packs go onto the chargers, and when one is full the emptiest that then
wait or charge go on. Inputs are such that packs fill and empty at the ends of steps.
Flights are the fewest that cut the takes, in order, into groups of one pack each, found
by trying every cut.
"""

import functools

import reference
from reference import exactly, within

STEP = 10
CLOSE = within(1e-4)


class Pack:
    def __init__(self, full):
        self.full = self.left = full


@reference.check(used=CLOSE, holds=CLOSE, charged=CLOSE, least=CLOSE, short_at=exactly)
def day(given):
    # Counted in parts of a second's use, so that every sum is whole.
    times = given["times_as_long"] or 1
    packs = [Pack(given["lasts"] * times) for _ in range(given["packs"])]
    used = charged = missing = 0
    short_at, least = None, sum(pack.left for pack in packs)
    for index, (kind, length) in enumerate(given["stretches"]):
        in_camera, on_chargers = None, []
        for _ in range(length // STEP):
            if kind == "use":
                used += STEP * times
                if in_camera is None or in_camera.left == 0:
                    in_camera = max(packs, key=lambda pack: pack.left)
                if in_camera.left:
                    in_camera.left -= STEP * times
                else:
                    missing += STEP * times
                    short_at = index if short_at is None else short_at
            elif given["times_as_long"]:
                if not on_chargers or any(pack.left == pack.full for pack in on_chargers):
                    waiting = [pack for pack in packs if pack.left < pack.full]
                    on_chargers = sorted(waiting, key=lambda pack: pack.left)[: given["chargers"]]
                for pack in on_chargers:
                    pack.left += STEP
                    charged += STEP
            least = min(least, sum(pack.left for pack in packs) - missing)
    return {
        "used": used / times,
        "holds": given["packs"] * given["lasts"],
        "charged": charged / times,
        "least": least / times,
        "short_at": short_at,
    }


@reference.check(flights=exactly)
def flights(given):
    takes, usable = given["takes"], given["usable"]

    @functools.lru_cache(None)
    def fewest(start):
        if start == len(takes):
            return 0
        ends = range(start + 1, len(takes) + 1)
        found = [fewest(end) for end in ends if sum(takes[start:end]) <= usable]
        return min((count + 1 for count in found if count is not None), default=None)

    return {"flights": fewest(0)}


reference.main()
