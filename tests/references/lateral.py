"""A made-up row of pads on a lateral: as a map sheet, and on one phase as elements for OpenDSS.

Each primary cable is two explicit conductors, one round the other: the conductor, and its concentric
neutral of no resistance or of the conductor's (a full neutral). The neutral is tied to earth at the
source alone, so that nothing returns through earth.
"""

import math

import opendssdirect as dss
from circuit import CIRCULAR_MILS_AND_DIAMETER_IN, ohm_per_foot, rows

FEET = 0.3048
NEPER = 2 * math.pi * 60 * 2e-7 * FEET
VOLTS = 7200.0
# Insulation at the 100 % level in inches by class in kV, shields, half a wire of the neutral (from
# memory; the program states the same).
INSULATION = {15: 0.175, 25: 0.260, 35: 0.345}


ONE_PHASE = {"system": "120/240-split-phase", "volts": 7200}
THREE_PHASE = {"system": "208y/120", "volts": 12470}


def sheet(source: tuple[float, float], cables: list[dict], units: dict = ONE_PHASE) -> dict:
    """A map sheet of a row of pads, one behind each cable, each with one service."""

    def feature(kind, geometry=None, **fields):
        return {"type": "Feature", "geometry": geometry, "properties": {"kind": kind, **fields}}

    def point(number):
        return {"type": "Point", "coordinates": [-30.2 + 1e-4 * number, 41.6]}

    features = [
        feature("source", point(0), id="SRC", node="n0", volts_line_to_line=12470,
                fault_amps=source[0], x_over_r=source[1])
    ]  # fmt: skip
    made = {"normally": "closed", "rated_amps": 200, "visible_break": True, "lockable": True}
    system, volts = units["system"], units["volts"]
    for number, cable in enumerate(cables, start=1):
        pad = f"P{number}"
        before = "n0" if number == 1 else f"P{number - 1}:out"
        line = {"type": "LineString", "coordinates": [[-30.2, 41.6], [-30.199, 41.6]]}
        features += [
            feature("cable", line, id=f"C{number}", **{"from": before}, to=f"{pad}:in", **cable),
            feature("switch", id=f"{pad}-in", **{"from": f"{pad}:in"}, to=f"{pad}:bus",
                    device="elbow", load_break_amps=200, pad=pad, volts_nominal=7200, **made),
            feature("switch", id=f"{pad}-out", **{"from": f"{pad}:bus"}, to=f"{pad}:out",
                    device="elbow", load_break_amps=200, pad=pad, volts_nominal=7200, **made),
            feature("transformer", id=f"{pad}-tx", primary=f"{pad}:bus", secondary=f"{pad}:sec",
                    kva=50, percent_z=1.8, x_over_r=1.5, primary_volts=volts, system=system, pad=pad),
            feature("switch", id=f"{pad}-lug", **{"from": f"{pad}:sec"}, to=f"{pad}:s1",
                    device="lug-pair", load_break_amps=0, pad=pad, position="1", **made),
            feature("set", id=f"{pad}-set", **{"from": f"{pad}:s1"}, to=f"V{number}", pad=pad,
                    position="1", metal="al", size="4/0", length_m=30.48),
            feature("service", point(number), id=f"V{number}", node=f"V{number}",
                    premises=f"{number} Made-up Row", meters=[f"M{number}"], meter_base_amps=200,
                    system=system),
            feature("pad", point(number), id=pad, tags=[f"T{number}"], position_accuracy_m=3,
                    contains=[f"{pad}-in", f"{pad}-out", f"{pad}-tx", f"{pad}-lug", f"{pad}-set"]),
        ]  # fmt: skip
    head = {"format": 1, "name": "Made-up row", "edition": "1", "invented": True,
            "bounds": [-30.3, 41.5, -30.0, 41.7]}  # fmt: skip
    return {"type": "FeatureCollection", "coldlug_map_sheet": head, "features": features}


def fault_amps(source: tuple[float, float], cables: list[dict], celsius: float, back: bool) -> float:
    """Amps to ground at the end of these cables, with neutrals that resist, or that do not."""
    say = dss.Text.Command
    angle = math.atan(source[1])
    size = VOLTS / source[0]
    z = f"[{size * math.cos(angle)!r},{size * math.sin(angle)!r}]"
    say("clear")
    say(f"new circuit.c phases=1 basekv={VOLTS / 1e3!r} pu=1 bus1=b0.1 bus2=b0.2 Z1={z} Z0={z} Z2={z}")
    say("new reactor.ground phases=1 bus1=b0.2 bus2=b0.0 R=1e-6 X=0")
    for number, cable in enumerate(cables, start=1):
        _, diameter = CIRCULAR_MILS_AND_DIAMETER_IN[cable["size"]]
        ring = diameter / 2 + 0.045 + INSULATION[cable["kv_class"]] + 0.032
        r = ohm_per_foot(cable["metal"], cable["size"], celsius)
        neutral = {"full": r, "third": 3 * r}[cable["neutral"]] if back else 1e-9
        own, round_it = (NEPER * math.log(10 / gmr) for gmr in (0.758 * diameter / 2, ring))
        say(
            f"new line.l{number} phases=2 bus1=b{number - 1}.1.2 bus2=b{number}.1.2 units=ft "
            f"length={cable['length_m'] / FEET!r} rmatrix={rows([[r, 0], [0, neutral]])} "
            f"xmatrix={rows([[own, round_it], [round_it, round_it]])} cmatrix=(0 | 0 0)"
        )
    end = f"b{len(cables)}"
    say(f"new fault.f phases=1 bus1={end}.1 bus2={end}.2 r=1e-6")
    say("set voltagebases=[12.47]")
    say("set tolerance=1e-9")
    say("solve")
    assert dss.Solution.Converged(), f"OpenDSS does not converge: {cables}"
    dss.Circuit.SetActiveElement("fault.f")
    return dss.CktElement.CurrentsMagAng()[0]
