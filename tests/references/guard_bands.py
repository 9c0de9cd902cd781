"""Guarded decisions by SciPy's normal and uniform tails, kept in guard_bands.json beside this file.

    python guard_bands.py > guard_bands.json

The committed file is read by the Rust test `golden`; the check here derives it anew. JCGM 106:2012
decides by the probability that the true value conforms; the software by a value, a limit of error
and a limit. The two must agree: with a guard band of z standard uncertainties a value is accepted
just where the probability of conforming is at least Phi(z). And a maker's limit of error, taken as
a bound (the true value anywhere within it), is accepted just where nothing of it lies beyond.

The first cases are the worked examples of JCGM 106:2012, clauses 7.3, 7.4 and 8.3 (from memory;
their results are recomputed here).
"""

import json
import random

from scipy import stats

# What is measured, value, standard uncertainty, lower and upper limit, and the probability of
# conforming that the book prints.
BOOK = [
    ("Zener diode, breakdown voltage at most -5.40 V", -5.47, 0.05, None, -5.40, 0.92),
    ("container, burst pressure at least 490 kPa", 509.7, 8.6, 490.0, None, 0.99),
    ("motor oil, viscosity from 12.5 to 16.3 mm2/s", 13.6, 1.8, 12.5, 16.3, 0.66),
]
# A citation asks for 99.9 % that 100 km/h were exceeded, at a relative standard uncertainty of 2 %:
# the book's guard band ends at 107 km/h.
SPEED_LIMIT, SPEED_SHARE, SPEED_PROBABILITY, SPEED_PRINTED = 100.0, 0.02, 0.999, 107.0
CONFIDENCES = [0.90, 0.95, 0.975, 0.99, 0.999]


def conforming(value: float, u: float, least: float | None, most: float | None) -> float:
    true = stats.norm(value, u)
    above = 1.0 if most is None else true.cdf(most)
    below = 0.0 if least is None else true.cdf(least)
    return above - below


def one_sided(name: str, value: float, u: float, side: str, limit: float, confidence: float) -> dict:
    error = float(stats.norm.ppf(confidence)) * u
    least, most = (limit, None) if side == "at-least" else (None, limit)
    accepted = bool(conforming(value, u, least, most) >= confidence)
    return {
        "name": name, "value": value, "error": error, "side": side, "limit": limit,
        "accepted": accepted,
    }


def book() -> list[dict]:
    cases = []
    for name, value, u, least, most, printed in BOOK:
        got = conforming(value, u, least, most)
        assert abs(got - printed) <= 0.005, (name, got)
        sides = [("at-least", least), ("at-most", most)]
        for side, limit in sides:
            for confidence in CONFIDENCES if limit is not None else []:
                cases.append(one_sided(f"{name}, {confidence}", value, u, side, limit, confidence))
    z = float(stats.norm.ppf(SPEED_PROBABILITY))
    assert round(SPEED_LIMIT / (1 - z * SPEED_SHARE)) == SPEED_PRINTED
    for value in range(98, 116):
        name = f"citation at {value} km/h"
        u = SPEED_SHARE * value
        cases.append(one_sided(name, float(value), u, "at-least", SPEED_LIMIT, SPEED_PROBABILITY))
    return cases


def drawn() -> list[dict]:
    draw = random.Random(20261126)
    cases = []
    for n in range(150):
        limit = draw.choice([1.0, 5.0, 50.0, 114.0, 126.0, 252.0])
        u = round(draw.uniform(0.01, 3.0), 3)
        confidence = draw.choice(CONFIDENCES)
        value = round(limit + draw.uniform(-4, 4) * u, 3)
        side = draw.choice(["at-most", "at-least"])
        cases.append(one_sided(f"drawn {n}", value, u, side, limit, confidence))
    for n in range(150):
        limit = draw.choice([1.0, 5.0, 50.0, 114.0, 126.0, 252.0])
        error = round(draw.uniform(0.1, 6.0), 3)
        value = round(limit + draw.uniform(-2, 2) * error, 3)
        side = draw.choice(["at-most", "at-least"])
        true = stats.uniform(value - error, 2 * error)
        inside = true.cdf(limit) if side == "at-most" else true.sf(limit)
        cases.append(
            {
                "name": f"maker's limit {n}", "value": value, "error": error, "side": side,
                "limit": limit, "accepted": bool(inside == 1.0),
            }
        )
    return cases


def derive() -> list[dict]:
    return book() + drawn()


if __name__ == "__main__":
    rows = ",\n".join("  " + json.dumps(case) for case in derive())
    print(f"[\n{rows}\n]")
