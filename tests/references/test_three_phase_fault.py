"""Fault currents of `coldlug fault-current --system ...` against OpenDSS, and by phasors."""

import itertools

import numpy as np
import pytest
from circuit import Cable
from three_phase import PRIMARY_VOLTS, VOLTS, ThreePhase, all_fault_amps, parts

# 0.1 %: what the engine's 1e-7 ohm of fault and of infinite source leave is some 1e-4 at the
# strongest terminals here.
TOLERANCE = 1e-3

CABLES = [
    None,
    Cable("al", "4/0", "2/0", 100, 25),
    Cable("cu", "500", "350", 40, 75),
    Cable("al", "350", "350", 250, 90),
]
SOURCES = [None, (8000, 8, 1.0), (1500, 3, 2.5)]
UNITS = [(75, 2.0, 1.5), (300, 4.0, 4.0), (1000, 5.75, 7.0)]
JOINED = [("delta-wye", 1.0), ("delta-wye", 1.4), ("wye-wye", 1.0)]

GRID = [
    ThreePhase(system, *unit, connection, zero, source, cable)
    for system, unit, (connection, zero), source, cable in itertools.product(
        VOLTS, UNITS, JOINED, SOURCES, CABLES
    )
]


def arguments(case: ThreePhase) -> list[str]:
    args = ["fault-current", "--system", case.system, "--kva", case.kva]
    args += ["--percent-z", case.percent_z, "--x-over-r", case.x_over_r]
    args += ["--connection", case.connection, "--zero-over-positive", case.zero_over_positive]
    if case.source is not None:
        amps, ratio, zero = case.source
        args += ["--primary-volts", PRIMARY_VOLTS, "--source-amps", amps, "--source-x-over-r", ratio]
        if case.connection == "wye-wye":
            args += ["--source-zero-over-positive", zero]
    if case.cable is not None:
        cable = case.cable
        args += ["--metal", cable.metal, "--size", cable.size, "--neutral-size", cable.neutral]
        args += ["--feet", cable.feet, "--celsius", cable.celsius]
    return [str(arg) for arg in args]


@pytest.mark.parametrize("system, unit", list(itertools.product(VOLTS, UNITS)))
def test_opendss_agrees(coldlug, system, unit):
    cases = [c for c in GRID if c.system == system and (c.kva, c.percent_z, c.x_over_r) == unit]
    assert len(cases) == len(JOINED) * len(SOURCES) * len(CABLES)
    for case in cases:
        answer = coldlug.ask(*arguments(case))
        for key, want in all_fault_amps(case).items():
            assert answer[key] == pytest.approx(want, rel=TOLERANCE), f"{key} of {case}"
        if case.cable is None:
            assert answer["meter_three_phase_amps"] is None


def test_phasors_agree_with_the_engine():
    """A fault to neutral by the matrix of the phases: z_self on the diagonal, z_mutual off it."""
    case = ThreePhase("208y/120", 300, 4.0, 4.0, "wye-wye", 1.0, (1500, 3, 2.5), None)
    volts = VOLTS[case.system]
    unit = complex(*parts(case.percent_z / 100 * volts**2 / (case.kva * 1e3), case.x_over_r))
    amps, ratio, zero = case.source
    source = complex(*parts(PRIMARY_VOLTS / np.sqrt(3) / amps, ratio)) * (volts / PRIMARY_VOLTS) ** 2
    one, none = unit + source, unit + zero * source
    mutual = (none - one) / 3
    z = np.full((3, 3), mutual) + np.eye(3) * one
    turn = np.exp(2j * np.pi / 3)
    e = volts / np.sqrt(3) * np.array([1, turn**2, turn])
    three = np.linalg.solve(z, e)
    engine = all_fault_amps(case)
    assert abs(three[0]) == pytest.approx(engine["pad_three_phase_amps"], rel=1e-4)
    assert abs(e[0] / z[0, 0]) == pytest.approx(engine["pad_line_to_neutral_amps"], rel=1e-4)
    between = (e[0] - e[1]) / (z[0, 0] + z[1, 1] - 2 * z[0, 1])
    assert abs(between) == pytest.approx(engine["pad_line_to_line_amps"], rel=1e-4)


@pytest.mark.parametrize("half", [(1.0, 1.0), (1.44, 1.2), (1.5, 1.0), (2.0, 0.8)])
def test_half_winding_factors_are_what_was_said(coldlug, half):
    answer = coldlug.ask(
        "fault-current", "--kva", "50", "--percent-z", "2", "--x-over-r", "1.5",
        "--half-winding-r", str(half[0]), "--half-winding-x", str(half[1]),
    )  # fmt: skip
    r, x = parts(0.02 * 120**2 / 50e3, 1.5)
    want = 120 / abs(complex(half[0] * r, half[1] * x))
    assert answer["pad_line_to_neutral_amps"] == pytest.approx(want, rel=1e-9)
    assert (answer["half_winding_r"], answer["half_winding_x"]) == half


@pytest.mark.parametrize(
    "mix",
    [
        ["--system", "120/240-delta-4w"], ["--system", "230/400"], ["--system", "corner-delta"],
        ["--system", "208y/120", "--half-winding-r", "1.5"], ["--connection", "delta-wye"],
        ["--zero-over-positive", "1"], ["--system", "480y/277", "--connection", "open-delta"],
        ["--system", "480y/277", "--zero-over-positive", "0"],
        ["--system", "480y/277", "--connection", "delta-wye", "--primary-volts", "12470",
         "--source-amps", "2000", "--source-zero-over-positive", "2"],
    ],
)  # fmt: skip
def test_a_mix_that_cannot_be_is_refused(coldlug, mix):
    done = coldlug.run("fault-current", "--kva", "75", "--percent-z", "2", *mix, "--json")
    assert done.returncode not in (0, 101), f"accepted, or panicked: {done.stdout}{done.stderr}"
    assert done.stderr.strip() or done.stdout.strip(), "refused without a word"
