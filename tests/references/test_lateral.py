"""Fault current along a lateral, by `coldlug fault-current --map`, against OpenDSS."""

import itertools
import json

import pytest
from lateral import fault_amps, sheet

RUNS = [
    {"kv_class": 15, "metal": "al", "size": "1/0", "neutral": "full", "length_m": 120},
    {"kv_class": 15, "metal": "al", "size": "1/0", "neutral": "third", "length_m": 900},
    {"kv_class": 25, "metal": "al", "size": "2", "neutral": "full", "length_m": 310.5},
    {"kv_class": 35, "metal": "cu", "size": "4/0", "neutral": "third", "length_m": 60},
]


@pytest.mark.parametrize("source", [(2000, 4), (500, 2), (9000, 10)])
@pytest.mark.parametrize("order", [(0, 1, 2, 3), (3, 1, 0, 2), (2, 2, 1, 0)])
def test_opendss_agrees_at_every_elbow(coldlug, tmp_path, source, order):
    cables = [RUNS[number] for number in order]
    path = tmp_path / "row.geojson"
    path.write_text(json.dumps(sheet(source, cables)))
    answer = coldlug.ask("fault-current", "--map", str(path), "--service", "V4")
    lateral = answer["path"]["lateral"]
    assert [point["pad"] for point in lateral] == ["P1", "P2", "P3", "P4"]
    assert answer["path"]["without_neutral"] == []
    for number, point in enumerate(lateral, start=1):
        to_there = cables[:number]
        cold = fault_amps(source, to_there, 25, back=False)
        hot = fault_amps(source, to_there, 75, back=True)
        assert point["line_to_ground_amps"] == pytest.approx(cold, rel=1e-3)
        assert point["smallest_line_to_ground_amps"] == pytest.approx(hot, rel=1e-3)
    amps = [point["line_to_ground_amps"] for point in lateral]
    assert all(near > far for near, far in itertools.pairwise(amps))
    # What reaches the pad is less than with the source at its terminals, and more than nothing.
    stiff = coldlug.ask(
        "fault-current", "--kva", "50", "--percent-z", "1.8", "--x-over-r", "1.5",
        "--primary-volts", "7200", "--source-amps", str(source[0]),
        "--source-x-over-r", str(source[1]),
    )  # fmt: skip
    assert answer["smallest"]["pad_line_to_line_amps"] < answer["pad_line_to_line_amps"]
    assert answer["pad_line_to_line_amps"] < stiff["pad_line_to_line_amps"]
