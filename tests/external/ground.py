"""Distances over the ground, by the great-circle formula of geopy, which is not the
haversine and keeps its precision at antipodes as well."""

import reference
from geopy.distance import great_circle
from reference import within


@reference.check(distance=within(1e-3, relative=1e-9))
def distance(given):
    return {"distance": great_circle(given["one"], given["other"]).m}


reference.main()
