"""The circuit of a fault at a pad and at a meter base, solved by OpenDSS.

OpenDSS (EPRI's distribution system simulator, engine of DSS-Extensions) is given the circuit as
elements: source, centre-tapped transformer, three explicit conductors, and a Fault element. No
formula of ours for the currents is used; only the inputs below are worked out here.

Inputs and where they come from:
- transformer: nameplate percent impedance and X/R; the split between the windings is the one of an
  interlaced secondary, as in the IEEE 8500-node test feeder: primary 0.5 R + j 0.8 X, each half
  winding R + j 0.4 X (so XHL = XHT = 1.2 X, XLT = 0.8 X);
- conductor resistance: IACS conductivity (10.371 ohm-circular mil/ft at 20 C; copper 100 %,
  aluminium 61 %), 2 % for stranding, temperature coefficient 0.00393 (Cu) and 0.00403 (Al) at 20 C;
- conductor reactance: geometric mean radius 0.758 of the radius (19-strand conductor), insulation
  60 mil, conductors touching, no path through earth;
- diameters of stranded conductors: United States table of class B stranding, from memory.
"""

import dataclasses
import math

import opendssdirect as dss

CIRCULAR_MILS_AND_DIAMETER_IN = {
    "2": (66360, 0.292),
    "1/0": (105600, 0.372),
    "2/0": (133100, 0.418),
    "4/0": (211600, 0.528),
    "350": (350000, 0.681),
    "500": (500000, 0.813),
}
INSULATION_IN = 0.060
METALS = {"al": (0.61, 0.00403), "cu": (1.00, 0.00393)}


@dataclasses.dataclass(frozen=True)
class Cable:
    metal: str
    size: str
    neutral: str
    feet: float
    celsius: float


@dataclasses.dataclass(frozen=True)
class Case:
    kva: float
    percent_z: float
    x_over_r: float
    source: tuple[float, float] | None  # amps to ground at 7200 V, X/R
    cable: Cable | None


def ohm_per_foot(metal: str, size: str, celsius: float) -> float:
    mils, _ = CIRCULAR_MILS_AND_DIAMETER_IN[size]
    iacs, alpha = METALS[metal]
    return 10.371 / iacs / mils * 1.02 * (1 + alpha * (celsius - 20))


def matrices(cable: Cable) -> tuple[list[list[float]], list[list[float]]]:
    """R and X in ohm per foot of L1, L2 and N, over a common far reference that cancels."""
    sizes = [cable.size, cable.size, cable.neutral]
    diameters = [CIRCULAR_MILS_AND_DIAMETER_IN[size][1] for size in sizes]
    neper = 2 * math.pi * 60 * 2e-7 * 0.3048
    far = 10.0  # inches; any number: no current returns outside the three conductors
    r = [[0.0] * 3 for _ in range(3)]
    x = [[0.0] * 3 for _ in range(3)]
    for i in range(3):
        r[i][i] = ohm_per_foot(cable.metal, sizes[i], cable.celsius)
        for j in range(3):
            apart = (
                0.758 * diameters[i] / 2
                if i == j
                else (diameters[i] + diameters[j]) / 2 + 2 * INSULATION_IN
            )
            x[i][j] = neper * math.log(far / apart)
    return r, x


def rows(matrix: list[list[float]]) -> str:
    return "(" + " | ".join(" ".join(repr(value) for value in row) for row in matrix) + ")"


def fault_amps(case: Case, at: str, between: tuple[int, int]) -> float:
    """Amps through a bolted fault at the bus `at` (pad or meter) between two of its nodes."""
    say = dss.Text.Command
    angle = math.atan(case.x_over_r)
    r, x = case.percent_z * math.cos(angle), case.percent_z * math.sin(angle)
    zs = (1e-6, 1e-6)
    if case.source is not None:
        amps, ratio = case.source
        angle = math.atan(ratio)
        zs = (7200 / amps * math.cos(angle), 7200 / amps * math.sin(angle))
    z = f"[{zs[0]!r},{zs[1]!r}]"
    say("clear")
    say(f"new circuit.c phases=1 basekv=7.2 pu=1 bus1=source.1 Z1={z} Z0={z} Z2={z}")
    say(
        "new transformer.t phases=1 windings=3 buses=[source.1.0 pad.1.3 pad.3.2] "
        f"kvs=[7.2 .12 .12] kvas=[{case.kva} {case.kva} {case.kva}] "
        f"%Rs=[{r / 2!r} {r!r} {r!r}] Xhl={1.2 * x!r} Xht={1.2 * x!r} Xlt={0.8 * x!r} "
        "%imag=0 %noloadloss=0 ppm_antifloat=0"
    )
    say("new reactor.ground phases=1 bus1=pad.3 bus2=pad.0 R=0.001 X=0")
    if case.cable is not None:
        r_ft, x_ft = matrices(case.cable)
        say(
            f"new line.cable phases=3 bus1=pad.1.2.3 bus2=meter.1.2.3 units=ft "
            f"length={case.cable.feet!r} rmatrix={rows(r_ft)} xmatrix={rows(x_ft)} "
            "cmatrix=(0 | 0 0 | 0 0 0)"
        )
    say(f"new fault.f phases=1 bus1={at}.{between[0]} bus2={at}.{between[1]} r=1e-7")
    say("set voltagebases=[12.47 .208]")
    say("set tolerance=1e-9")
    say("solve")
    assert dss.Solution.Converged(), f"OpenDSS does not converge: {case}"
    dss.Circuit.SetActiveElement("fault.f")
    return dss.CktElement.CurrentsMagAng()[0]


def all_fault_amps(case: Case) -> dict[str, float]:
    """Line to line and line to neutral, at the pad and, where there is a cable, at the meter."""
    amps = {
        "pad_line_to_line_amps": fault_amps(case, "pad", (1, 2)),
        "pad_line_to_neutral_amps": fault_amps(case, "pad", (1, 3)),
    }
    if case.cable is not None:
        amps["meter_line_to_line_amps"] = fault_amps(case, "meter", (1, 2))
        amps["meter_line_to_neutral_amps"] = fault_amps(case, "meter", (1, 3))
    return amps
