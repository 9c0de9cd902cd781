"""Bounds, means and medians of `coldlug simulate` against SciPy and NumPy."""

import numpy
import pytest
from scipy.stats import binomtest

SHARES = [
    ("finished", "solvable"),
    ("wrong_service_openings", "jobs"),
    ("false_proven_dead", "jobs"),
    ("needless_stops", "jobs"),
]


@pytest.fixture(scope="module")
def simulated(coldlug) -> dict:
    # What the jobs come to is not judged here: status 1 says that something went wrong in them.
    asked = ["--jobs", "120", "--seed", "3", "--faults", "wrong-pad,meters-exchanged,tag-replaced"]
    return coldlug.ask("simulate", *asked, statuses=(0, 1))


def counts(form: dict):
    for policy in form["policies"]:
        yield policy
        yield from policy["by_fault"]


def test_bounds_are_wilsons(simulated):
    checked = 0
    for row in counts(simulated):
        for hits, of in SHARES:
            if row[of] == 0:
                continue
            bounds = binomtest(row[hits], row[of]).proportion_ci(0.95, "wilson")
            found = (row[f"{hits}_low"], row[f"{hits}_high"])
            assert found == pytest.approx((bounds.low, bounds.high), abs=1e-9), (hits, row[of])
            checked += 1
    assert checked >= 60


def test_means_and_medians_are_those_of_the_jobs(simulated):
    for policy in simulated["policies"]:
        bins = policy["tests"]
        jobs = numpy.repeat([b["tests"] for b in bins], [b["jobs"] for b in bins])
        assert len(jobs) == policy["finished"] > 0
        assert policy["tests_mean"] == pytest.approx(jobs.mean(), abs=1e-12)
        assert policy["tests_median"] == numpy.median(jobs)
