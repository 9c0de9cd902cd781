"""Fault current along a three-phase lateral, by `coldlug fault-current --map`, against OpenDSS."""

import itertools
import json

import pytest
from lateral import THREE_PHASE, sheet
from three_phase_lateral import fault_amps

RUNS = [
    {"kv_class": 15, "metal": "al", "size": "1/0", "neutral": "full", "length_m": 120},
    {"kv_class": 15, "metal": "al", "size": "1/0", "neutral": "third", "length_m": 900},
    {"kv_class": 25, "metal": "al", "size": "350", "neutral": "third", "length_m": 310.5},
    {"kv_class": 35, "metal": "cu", "size": "4/0", "neutral": "third", "length_m": 600},
]
THREE, TWO, GROUND = [(1, 2), (2, 3)], [(1, 2)], [(1, 4)]
LARGEST = [("three_phase_amps", THREE), ("line_to_line_amps", TWO), ("line_to_ground_amps", GROUND)]


@pytest.mark.parametrize("source", [(2000, 4), (500, 2), (9000, 10)])
@pytest.mark.parametrize("order", [(0, 1, 2, 3), (3, 1, 0, 2), (2, 2, 1, 0)])
def test_opendss_agrees_at_every_elbow(coldlug, tmp_path, source, order):
    cables = [RUNS[number] for number in order]
    path = tmp_path / "row.geojson"
    path.write_text(json.dumps(sheet(source, cables, THREE_PHASE)))
    answer = coldlug.ask("fault-current", "--map", str(path), "--service", "V4")
    lateral = answer["path"]["lateral"]
    assert [point["pad"] for point in lateral] == ["P1", "P2", "P3", "P4"]
    for number, point in enumerate(lateral, start=1):
        row = source, cables[:number]
        for name, faults in LARGEST:
            # Neutrals without resistance that share alike: what the largest is computed with.
            cold = fault_amps(*row, 25, faults, back=False, crossed=True)
            assert point[name] == pytest.approx(cold, rel=1e-3)
            # As cables are laid, no fault is larger than the largest.
            laid = fault_amps(*row, 25, faults, back=True, crossed=False)
            assert point[name] >= laid * (1 - 1e-5)
        smallest = point["smallest_line_to_ground_amps"]
        hot = fault_amps(*row, 75, GROUND, back=True, crossed=True)
        assert smallest == pytest.approx(hot, rel=1e-3)
        # As they are laid, currents that circulate in the neutrals take a little more off.
        laid = fault_amps(*row, 75, GROUND, back=True, crossed=False)
        assert laid * (1 - 1e-5) <= smallest <= laid * 1.004
    amps = [point["three_phase_amps"] for point in lateral]
    assert all(near > far for near, far in itertools.pairwise(amps))
