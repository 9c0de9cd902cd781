"""The committed tails are what SciPy (BSD-3-Clause) gives today."""

import json
import pathlib

import chances
import pytest

COMMITTED = pathlib.Path(__file__).with_name("chances.json")


def test_committed_tails_derive_anew():
    committed, fresh = json.loads(COMMITTED.read_text()), chances.derive()
    assert committed.keys() == fresh.keys()
    assert committed["sigmas_in_radius68"] == pytest.approx(fresh["sigmas_in_radius68"], rel=1e-12)
    for name in ("chi_square_2_beyond", "chi_square_2_tail", "normal_tail"):
        assert len(committed[name]) == len(fresh[name]) > 10
        for (of, kept), (of_now, now) in zip(committed[name], fresh[name], strict=True):
            assert of == of_now
            assert kept == pytest.approx(now, rel=1e-12)
