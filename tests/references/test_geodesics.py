"""The committed distances are what geographiclib (C. F. F. Karney, MIT) gives today."""

import json
import pathlib

import geodesics
import pytest

COMMITTED = pathlib.Path(__file__).with_name("geodesics.json")


def test_committed_distances_derive_anew():
    committed = json.loads(COMMITTED.read_text())
    fresh = geodesics.derive()
    assert len(committed) == len(fresh) > 200
    for kept, now in zip(committed, fresh, strict=True):
        # 1e-8 m: geographiclib's own editions differ by up to 2e-9 m.
        assert kept == pytest.approx(now, rel=0, abs=1e-8)
