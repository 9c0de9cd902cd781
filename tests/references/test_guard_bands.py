"""The committed decisions are what SciPy gives today; the book's examples come out."""

import json
import pathlib

import guard_bands
import pytest

COMMITTED = pathlib.Path(__file__).with_name("guard_bands.json")


def test_committed_decisions_derive_anew():
    committed = json.loads(COMMITTED.read_text())
    fresh = guard_bands.derive()
    assert len(committed) == len(fresh) > 300
    for kept, now in zip(committed, fresh, strict=True):
        assert kept["error"] == pytest.approx(now["error"], rel=1e-12)
        assert {**kept, "error": 0} == {**now, "error": 0}
    assert {case["accepted"] for case in committed} == {True, False}


def test_a_makers_limit_as_a_bound_is_stricter_than_its_usual_share():
    """A rectangular distribution of half-width e has u = e / sqrt(3). At one side, e leaves nothing
    beyond the limit; the 1.645 u of a 95 % decision would leave some."""
    from scipy import stats

    half = 1.0
    true = stats.uniform(-half, 2 * half)
    u = true.std()
    assert u == pytest.approx(half / 3**0.5)
    assert true.sf(half) == 0.0
    assert true.sf(stats.norm.ppf(0.95) * u) > 0.0
