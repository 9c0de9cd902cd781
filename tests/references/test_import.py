"""Files that GDAL writes and places that PROJ projects, imported: nothing of ours made them.

GeoPackages are written by GDAL (through pyogrio), coordinates by PROJ (through pyproj). What is
imported must lie where it lay, on the datum of its own system: the way from that to WGS 84 is
`core/store/src/import/project.rs`'s own word and is not asked of PROJ here.
"""

import json
import math
import pathlib
import random
import struct

import numpy
import pyogrio.raw
import pyproj
import pytest

# EPSG codes of systems in which utilities keep their maps, with a box in which each is used:
# west, south, east, north. Universal and plain transverse Mercator, Lambert's cone in metres and in
# two kinds of feet, Albers, Lambert's azimuthal, Mercator, and longitude and latitude themselves.
SYSTEMS = {
    4326: (-31.0, 41.0, -29.0, 42.0),
    4269: (-80.0, 40.0, -78.0, 42.0),
    32626: (-30.0, 38.0, -24.0, 44.0),
    32719: (-72.0, -35.0, -66.0, -20.0),
    26917: (-84.0, 33.0, -78.0, 44.0),
    25832: (6.0, 47.0, 12.0, 55.0),
    2154: (-1.0, 43.0, 6.0, 50.0),
    2249: (-73.0, 41.7, -70.0, 42.8),
    2229: (-119.0, 33.5, -115.0, 35.0),
    2263: (-74.2, 40.5, -72.0, 41.2),
    6543: (-83.0, 34.0, -77.0, 36.5),
    3979: (-110.0, 45.0, -80.0, 60.0),
    5070: (-110.0, 30.0, -80.0, 45.0),
    3035: (0.0, 40.0, 20.0, 60.0),
    3857: (-31.0, 41.0, -29.0, 42.0),
    2193: (168.0, -46.0, 178.0, -36.0),
}

MAPPING = """
[sheet]
name = "Invented"
edition = "1"
bounds = [-180, -90, 180, 90]
invented = true

[[layer]]
of = "cabinets"
kind = "pad"
[layer.fields]
id = {{ column = "number", before = "P" }}
tags = "tag"
position_accuracy_m = {{ column = "accuracy", unit = "m" }}

[[layer]]
of = "feeders"
kind = "source"
[layer.fields]
id = "name"
node = {{ column = "name", before = "n" }}
volts_line_to_line = {{ column = "kv", unit = "kV" }}

[[layer]]
of = "ducts"
kind = "cable"
[layer.fields]
id = "name"
from = "a"
to = "b"
kv_class = {{ value = 15, because = "invented" }}
metal = {{ value = "al", because = "invented" }}
size = {{ value = "1/0", because = "invented" }}
length_m = {{ column = "feet", unit = "{feet}" }}

[[layer]]
of = "posts"
kind = "pedestal"
[layer.fields]
id = "name"
node = "name"
"""


def point(place):
    return struct.pack("<BIdd", 1, 1, *place)


def lines(places):
    """One line of a MultiLineString with heights, big-endian: ISO well-known binary."""
    line = struct.pack(">BII", 0, 1002, len(places))
    line += b"".join(struct.pack(">ddd", *place, 3.5) for place in places)
    return struct.pack(">BII", 0, 1005, 1) + line


def write(path, layer, code, kind, geometry, fields, append=True):
    names, columns = zip(*fields.items(), strict=True)
    pyogrio.raw.write(
        path,
        geometry=numpy.array(geometry, dtype=object),
        field_data=[numpy.array(column, dtype=object if isinstance(column[0], str) else None) for column in columns],
        fields=list(names),
        layer=layer,
        driver="GPKG",
        geometry_type=kind,
        crs=f"EPSG:{code}",
        append=append,
    )


def imported(coldlug, folder: pathlib.Path, code: int, feet="ft", statuses=(0,)):
    mapping = folder / "mapping.toml"
    mapping.write_text(MAPPING.format(feet=feet))
    to = folder / "sheet.geojson"
    town = folder / "town.gpkg"
    answer = coldlug.ask(
        "import", "--from", str(town), "--mapping", str(mapping), "--to", str(to), statuses=statuses
    )
    features = json.loads(to.read_text())["features"] if to.exists() else []
    return answer, {f["properties"]["id"]: f for f in features}


def town(path, code, west, south, east, north):
    """Writes a GeoPackage; gives the places in degrees by feature."""
    draw = random.Random(code)
    crs = pyproj.CRS.from_epsg(code)
    forward = pyproj.Transformer.from_crs(crs.geodetic_crs, crs, always_xy=True)
    degrees = [(draw.uniform(west, east), draw.uniform(south, north)) for _ in range(60)]
    there = [forward.transform(*place) for place in degrees]
    cabinets = range(56)
    fields = {
        "number": numpy.array(cabinets),
        "tag": [f"T-{n}" for n in cabinets],
        "accuracy": numpy.full(56, 2.5),
    }
    write(path, "cabinets", code, "Point", [point(p) for p in there[:56]], fields, append=False)
    write(path, "feeders", code, "Point", [point(there[56])], {"name": ["F"], "kv": numpy.array([12.47])})
    duct = {"name": ["D"], "a": ["nF"], "b": ["Q"], "feet": numpy.array([100.0])}
    write(path, "ducts", code, "MultiLineString Z", [lines(there[56:59])], duct)
    write(path, "posts", code, "Point", [point(there[59])], {"name": ["Q"]})
    return degrees


def apart(one, other):
    return max(abs(a - b) for a, b in zip(one, other, strict=True))


@pytest.mark.parametrize("code", SYSTEMS)
def test_what_gdal_writes_lies_where_proj_put_it(coldlug, tmp_path, code):
    degrees = town(tmp_path / "town.gpkg", code, *SYSTEMS[code])
    answer, features = imported(coldlug, tmp_path, code)
    assert answer["accepted"], answer["findings"]
    assert answer["rows"] == 59
    got = [features[f"P{n}"]["geometry"]["coordinates"] for n in range(56)]
    got.append(features["F"]["geometry"]["coordinates"])
    # 2e-9 of a degree are 0.2 mm; a billionth is what is kept.
    worst = max(apart(a, b) for a, b in zip(got, degrees[:57], strict=True))
    assert worst < 2e-9, f"EPSG:{code} is {worst} degrees off"
    duct = features["D"]["geometry"]["coordinates"]
    assert max(apart(a, b) for a, b in zip(duct, degrees[56:59], strict=True)) < 2e-9
    assert any(f["id"] == "import-heights-left" for f in answer["findings"])


@pytest.mark.parametrize("feet, metres", [("ft", 30.48), ("us-ft", 100 * 1200 / 3937)])
def test_feet_are_the_feet_that_are_named(coldlug, tmp_path, feet, metres):
    town(tmp_path / "town.gpkg", 2249, *SYSTEMS[2249])
    _, features = imported(coldlug, tmp_path, 2249, feet)
    assert math.isclose(features["D"]["properties"]["length_m"], metres, rel_tol=1e-14)


@pytest.mark.parametrize("code, box", [(4267, SYSTEMS[4269]), (27700, (-4.0, 51.0, 0.0, 54.0))])
def test_a_datum_whose_shift_is_a_grid_is_refused(coldlug, tmp_path, code, box):
    """These lie up to 200 m off WGS 84 by a grid of shifts: taking them as it would be silent."""
    town(tmp_path / "town.gpkg", code, *box)
    answer, features = imported(coldlug, tmp_path, code, statuses=(1,))
    assert not answer["accepted"] and not features
    assert {f["id"] for f in answer["findings"]} == {"import-system-unknown"}
