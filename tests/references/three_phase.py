"""The circuit of a fault behind a three-phase transformer, solved by OpenDSS.

As in `circuit.py` the engine is given elements: a three-phase source with its positive and zero
sequence, a transformer of three windings by phase in delta-wye or wye-wye, four explicit conductors,
and Fault elements. Symmetrical components are used nowhere here: phases and the neutral are nodes.

- The transformer's zero sequence is its positive one (three one-phase cores), raised where a ratio
  above 1 is asked for: a third of the difference stands between the winding's star point and the
  neutral bus, which is how a zero sequence alone is raised in the field.
- Every conductor of the cable touches every other, as the program says it takes them.
"""

import dataclasses
import math

import opendssdirect as dss
from circuit import (
    CIRCULAR_MILS_AND_DIAMETER_IN,
    INSULATION_IN,
    Cable,
    ohm_per_foot,
    rows,
)

PRIMARY_VOLTS = 12470.0
VOLTS = {"208y/120": 208.0, "480y/277": 480.0, "600y/347": 600.0}


@dataclasses.dataclass(frozen=True)
class ThreePhase:
    system: str
    kva: float
    percent_z: float
    x_over_r: float
    connection: str
    zero_over_positive: float
    source: tuple[float, float, float] | None  # amps, X/R, zero over positive
    cable: Cable | None


def matrices(cable: Cable) -> tuple[list[list[float]], list[list[float]]]:
    """R and X in ohm per foot of three legs and the neutral, over a far reference that cancels."""
    sizes = [cable.size] * 3 + [cable.neutral]
    diameters = [CIRCULAR_MILS_AND_DIAMETER_IN[size][1] for size in sizes]
    neper = 2 * math.pi * 60 * 2e-7 * 0.3048
    r = [[0.0] * 4 for _ in range(4)]
    x = [[0.0] * 4 for _ in range(4)]
    for i in range(4):
        r[i][i] = ohm_per_foot(cable.metal, sizes[i], cable.celsius)
        for j in range(4):
            own = 0.758 * diameters[i] / 2
            apart = (diameters[i] + diameters[j]) / 2 + 2 * INSULATION_IN
            x[i][j] = neper * math.log(10.0 / (own if i == j else apart))
    return r, x


def parts(size: float, x_over_r: float) -> tuple[float, float]:
    angle = math.atan(x_over_r)
    return size * math.cos(angle), size * math.sin(angle)


def fault_amps(case: ThreePhase, at: str, faults: list[tuple[int, int]]) -> float:
    """Amps in the first leg with bolted faults at the bus `at` between these pairs of its nodes."""
    say = dss.Text.Command
    volts = VOLTS[case.system]
    r, x = parts(case.percent_z, case.x_over_r)
    z1 = z0 = (1e-7, 1e-7)
    if case.source is not None:
        amps, ratio, zero = case.source
        z1 = parts(PRIMARY_VOLTS / math.sqrt(3) / amps, ratio)
        z0 = (z1[0] * zero, z1[1] * zero)
    say("clear")
    say(
        f"new circuit.c phases=3 basekv={PRIMARY_VOLTS / 1e3!r} pu=1 bus1=source "
        f"Z1=[{z1[0]!r},{z1[1]!r}] Z2=[{z1[0]!r},{z1[1]!r}] Z0=[{z0[0]!r},{z0[1]!r}]"
    )
    primary = "delta" if case.connection == "delta-wye" else "wye"
    say(
        "new transformer.t phases=3 windings=2 buses=[source pad.1.2.3.5] "
        f"conns=[{primary} wye] kvs=[{PRIMARY_VOLTS / 1e3!r} {volts / 1e3!r}] "
        f"kvas=[{case.kva!r} {case.kva!r}] %Rs=[{r / 2!r} {r / 2!r}] Xhl={x!r} "
        "%imag=0 %noloadloss=0 ppm_antifloat=0"
    )
    base = volts**2 / (case.kva * 1e3) / 100
    third = (case.zero_over_positive - 1) / 3 * base
    star = (max(r * third, 1e-9), x * third)
    say(f"new reactor.star phases=1 bus1=pad.5 bus2=pad.4 R={star[0]!r} X={star[1]!r}")
    say("new reactor.ground phases=1 bus1=pad.4 bus2=pad.0 R=0.001 X=0")
    if case.cable is not None:
        r_ft, x_ft = matrices(case.cable)
        say(
            "new line.cable phases=4 bus1=pad.1.2.3.4 bus2=meter.1.2.3.4 units=ft "
            f"length={case.cable.feet!r} rmatrix={rows(r_ft)} xmatrix={rows(x_ft)} "
            "cmatrix=(0 | 0 0 | 0 0 0 | 0 0 0 0)"
        )
    for number, (one, other) in enumerate(faults):
        say(f"new fault.f{number} phases=1 bus1={at}.{one} bus2={at}.{other} r=1e-7")
    say(f"set voltagebases=[{PRIMARY_VOLTS / 1e3!r} {volts / 1e3!r}]")
    say("set tolerance=1e-9")
    say("set maxiterations=100")
    say("solve")
    assert dss.Solution.Converged(), f"OpenDSS does not converge: {case}"
    # The first leg ends in the first fault and in no other.
    dss.Circuit.SetActiveElement("fault.f0")
    return dss.CktElement.CurrentsMagAng()[0]


def all_fault_amps(case: ThreePhase) -> dict[str, float]:
    """Three legs, two legs, leg to neutral, at the pad and, where there is a cable, at the meter."""
    amps = {}
    for at in ["pad"] + (["meter"] if case.cable is not None else []):
        amps[f"{at}_three_phase_amps"] = fault_amps(case, at, [(1, 2), (2, 3)])
        amps[f"{at}_line_to_line_amps"] = fault_amps(case, at, [(1, 2)])
        amps[f"{at}_line_to_neutral_amps"] = fault_amps(case, at, [(1, 4)])
    return amps
