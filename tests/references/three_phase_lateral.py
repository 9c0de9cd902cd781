"""A made-up row of pads on a three-phase lateral: as elements for OpenDSS.

Each run is three explicit cables side by side and touching: three conductors, and round each its own
concentric neutral, six conductors in all. Every cable lies as far from each other as from the third.
Neutrals are tied together at every pad, and to earth at the source alone, so that nothing returns
through earth. Between two pads they run straight, or are crossed over twice: each neutral then lies
round each conductor for a third of the way, so that what they carry back is shared alike.
"""

import math

import opendssdirect as dss
from circuit import CIRCULAR_MILS_AND_DIAMETER_IN, ohm_per_foot, rows
from lateral import FEET, INSULATION, NEPER

LINE_TO_LINE = 12470.0
# Half a wire of the neutral and the jacket in inches (from memory; the program states the same).
WIRE, JACKET = 0.032, 0.050
LEGS = range(3)


def matrices(cable: dict, celsius: float, back: bool, shift: int) -> tuple[list, list]:
    """R and X in ohm per foot; `shift` tells round which conductor the first neutral lies."""
    _, diameter = CIRCULAR_MILS_AND_DIAMETER_IN[cable["size"]]
    ring = diameter / 2 + 0.045 + INSULATION[cable["kv_class"]] + WIRE
    apart = 2 * (ring + WIRE + JACKET)
    r = ohm_per_foot(cable["metal"], cable["size"], celsius)
    neutral = {"full": r, "third": 3 * r}[cable["neutral"]] if back else 1e-9
    # Cables 0, 1, 2: the conductors, then the neutrals by the cable they lie in.
    lies_in = [*LEGS, *((leg + shift) % 3 for leg in LEGS)]

    def spacing(one: int, other: int) -> float:
        if lies_in[one] != lies_in[other]:
            return apart
        return 0.758 * diameter / 2 if one == other and one in LEGS else ring

    x = [[NEPER * math.log(10 / spacing(i, j)) for j in range(6)] for i in range(6)]
    resists = [r] * 3 + [neutral] * 3
    return [[resists[i] if i == j else 0.0 for j in range(6)] for i in range(6)], x


def fault_amps(
    source: tuple[float, float],
    cables: list[dict],
    celsius: float,
    faults: list[tuple[int, int]],
    *,
    back: bool,
    crossed: bool,
) -> float:
    """Amps of the first leg at the end of these cables; node 4 is the neutrals there."""
    say = dss.Text.Command
    angle = math.atan(source[1])
    size = LINE_TO_LINE / math.sqrt(3) / source[0]
    z = f"[{size * math.cos(angle)!r},{size * math.sin(angle)!r}]"
    say("clear")
    say(
        f"new circuit.c phases=3 basekv={LINE_TO_LINE / 1e3!r} pu=1 bus1=b0.1.2.3 bus2=b0.4.4.4 "
        f"Z1={z} Z0={z} Z2={z}"
    )
    say("new reactor.ground phases=1 bus1=b0.4 bus2=b0.0 R=1e-6 X=0")
    tied(say, "b0")
    zeros = " | ".join(" ".join("0" * (row + 1)) for row in range(6))
    for number, cable in enumerate(cables, start=1):
        parts = 3 if crossed else 1
        ends = [f"b{number - 1}", *(f"b{number}x{part}" for part in range(1, parts)), f"b{number}"]
        for part in range(parts):
            r, x = matrices(cable, celsius, back, part)
            nodes = ".1.2.3.4.5.6"
            say(
                f"new line.l{number}x{part} phases=6 bus1={ends[part]}{nodes} "
                f"bus2={ends[part + 1]}{nodes} units=ft length={cable['length_m'] / FEET / parts!r} "
                f"rmatrix={rows(r)} xmatrix={rows(x)} cmatrix=({zeros})"
            )
        tied(say, f"b{number}")
    for number, (one, other) in enumerate(faults):
        say(
            f"new fault.f{number} phases=1 bus1=b{len(cables)}.{one} bus2=b{len(cables)}.{other} r=1e-6"
        )
    say("set voltagebases=[12.47]")
    say("set tolerance=1e-9")
    say("set maxiterations=100")
    say("solve")
    assert dss.Solution.Converged(), f"OpenDSS does not converge: {cables}"
    dss.Circuit.SetActiveElement("fault.f0")
    return dss.CktElement.CurrentsMagAng()[0]


def tied(say, bus: str) -> None:
    """Joins the three neutrals at a bus."""
    for node in (5, 6):
        say(f"new reactor.tie{bus}x{node} phases=1 bus1={bus}.4 bus2={bus}.{node} R=1e-6 X=0")
