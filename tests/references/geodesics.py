"""Distances on the WGS84 ellipsoid by geographiclib, kept in geodesics.json beside this file.

    python geodesics.py > geodesics.json

The committed file is read by the Rust test `golden`; the check here derives it anew.
"""

import json
import math
import random

from geographiclib.geodesic import Geodesic
from geographiclib.test.test_geodesic import GeodesicTest

# Fixed pairs: street scale, a house apart, east-west far north, over the date line, poles, one
# point twice. The rest is drawn at street scale (under 500 m) with a fixed seed.
FIXED = [
    (39.7392, -104.9903, 39.73929, -104.9903),
    (39.7392, -104.9903, 39.7392135, -104.9902883),
    (47.6062095, -122.3320708, 47.6066, -122.3315),
    (25.7616798, -80.1917902, 25.7589, -80.188),
    (64.8377778, -147.7163889, 64.8377778, -147.7142),
    (-17.7, 179.9999, -17.7, -179.9999),
    (89.9999, 10.0, 89.9999, -170.0),
    (0.0, 0.0, 0.0, 0.0),
    (41.6, -30.2, 41.6, -30.2),
]


def pairs() -> list[tuple[float, float, float, float]]:
    draw = random.Random(20261125)
    drawn = []
    for _ in range(200):
        lat, lon = draw.uniform(-70, 70), draw.uniform(-180, 180)
        north, east = draw.uniform(-350, 350), draw.uniform(-350, 350)
        lat2 = lat + north / 111_320
        lon2 = lon + east / (111_320 * math.cos(math.radians(lat)))
        drawn.append(tuple(round(degrees, 7) for degrees in (lat, lon, lat2, lon2)))
    return FIXED + drawn


def derive() -> list[dict]:
    # GeographicLib's published table of 20 geodesics over the whole earth, as it prints them; the set
    # of half a million (GeodTest) is in no package registry.
    cases = [
        {"lat1": row[0], "lon1": row[1], "lat2": row[3], "lon2": row[4], "metres": round(row[6], 9)}
        for row in GeodesicTest.testcases
    ]
    for lat1, lon1, lat2, lon2 in pairs():
        metres = Geodesic.WGS84.Inverse(lat1, lon1, lat2, lon2)["s12"]
        cases.append(
            {"lat1": lat1, "lon1": lon1, "lat2": lat2, "lon2": lon2, "metres": round(metres, 9)}
        )
    return cases


if __name__ == "__main__":
    rows = ",\n".join("  " + json.dumps(case) for case in derive())
    print(f"[\n{rows}\n]")
