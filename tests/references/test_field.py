"""The made-up field's own physics against OpenDSS on the same circuits.

The field is what the property tests and the demo measure in: a mistake in it would teach the
software a wrong trade. The example `field_cases` writes small worlds element by element, with the
field's answer; here OpenDSS solves the same elements.
"""

import functools
import json
import math
import os
import pathlib

import opendssdirect as dss
import pytest

SCRATCH = pathlib.Path(os.environ.get("COLDLUG_SCRATCH", "target/verify"))
CASES = SCRATCH / "field-cases.json"

# What the field has and the circuit here lacks: leakage and capacitance of cables, some 1e-6 S.
VOLTS = 0.02
AMPS = 0.02


@functools.cache
def cases() -> list[dict]:
    return json.loads(CASES.read_text())


def impedance(siemens: complex) -> str:
    ohms = 1 / siemens
    return f"R={ohms.real!r} X={ohms.imag!r}"


def bus(name: str) -> str:
    return f"n_{name.lower()}"


def solve(case: dict) -> None:
    say = dss.Text.Command
    count = 0

    def element(one: str, other: str, ohms: str) -> str:
        nonlocal count
        count += 1
        say(f"new reactor.e{count} phases=1 bus1={one} bus2={other} {ohms}")
        return f"reactor.e{count}"

    angle = math.atan(case["x_over_r"])
    r, x = case["percent_z"] * math.cos(angle), case["percent_z"] * math.sin(angle)
    kva = case["kva"]
    say("clear")
    say(
        f"new circuit.c phases=1 basekv=7.2 pu={case['primary_volts'] / 7200!r} bus1=source.1 "
        "Z1=[1e-6,1e-6] Z0=[1e-6,1e-6] Z2=[1e-6,1e-6]"
    )
    say(
        "new transformer.t phases=1 windings=3 buses=[source.1.0 n_bus.1.3 n_bus.3.2] "
        f"kvs=[7.2 .12 .12] kvas=[{kva} {kva} {kva}] %Rs=[{r / 2!r} {r!r} {r!r}] "
        f"Xhl={1.2 * x!r} Xht={1.2 * x!r} Xlt={0.8 * x!r} "
        "%imag=0 %noloadloss=0 ppm_antifloat=0"
    )
    element("n_bus.3", "n_bus.0", f"R={case['ground_ohms']!r} X=0")
    for item in case["sets"]:
        end = bus(item["to"] or f"{item['id']}-end")
        ohms = f"R={item['r_ohms']!r} X={item['x_ohms']!r}"
        item["elements"] = []
        for place, lifted in enumerate(item["lifted"], 1):
            # A lifted conductor hangs on nothing: its end has a name of its own.
            start = f"n_lifted_{item['id'].lower()}" if lifted else bus(item["from"])
            item["elements"].append(element(f"{start}.{place}", f"{end}.{place}", ohms))
    for service in case["services"]:
        at = bus(service["id"])
        element(f"{at}.3", f"{at}.0", f"R={service['ground_ohms']!r} X=0")
        if service["unmetered_siemens"]:
            element(f"{at}.1", f"{at}.3", f"R={1 / service['unmetered_siemens']!r} X=0")
        if not service["connected"]:
            continue
        for key, nodes in (("siemens_l1", (1, 3)), ("siemens_l2", (2, 3)), ("siemens_l12", (1, 2))):
            siemens = complex(*service[key])
            if siemens:
                element(f"{at}.{nodes[0]}", f"{at}.{nodes[1]}", impedance(siemens))
        for load in service["test_loads"]:
            element(f"{at}.{load['leg']}", f"{at}.3", f"R={load['ohms']!r} X=0")
    say("set tolerance=1e-9")
    say("solve")
    assert dss.Solution.Converged(), case["name"]


def volts(name: str) -> list[float]:
    """L1-N, L2-N, L1-L2, N to earth, as the field lists them."""
    dss.Circuit.SetActiveBus(name)
    flat = dss.Bus.Voltages()
    at = {
        node: complex(flat[2 * place], flat[2 * place + 1])
        for place, node in enumerate(dss.Bus.Nodes())
    }
    return [abs(at[1] - at[3]), abs(at[2] - at[3]), abs(at[1] - at[2]), abs(at[3])]


def amps(element: str) -> float:
    dss.Circuit.SetActiveElement(element)
    return dss.CktElement.CurrentsMagAng()[0]


def fed(case: dict, identity: str) -> bool:
    """Whether a service hangs on a leg that a person has lifted."""
    return not any(item["to"] == identity and any(item["lifted"]) for item in case["sets"])


def test_there_are_cases_of_every_sort():
    names = [case["name"].rsplit(", ", 1)[1] for case in cases()]
    for sort in ("as found", "a meter out", "a known load on", "a leg lifted"):
        assert names.count(sort) >= 20, (sort, names.count(sort))


@pytest.mark.parametrize("sort", ["as found", "a meter out", "a known load on", "a leg lifted"])
def test_volts_and_amps_agree(sort):
    compared = 0
    for case in cases():
        if not case["name"].endswith(sort):
            continue
        solve(case)
        assert volts("n_bus") == pytest.approx(case["bus_volts"], abs=VOLTS), case["name"]
        for service in case["services"]:
            # Behind a lifted leg a service without a load between its legs floats.
            if fed(case, service["id"]) or any(service["siemens_l12"]):
                got = volts(bus(service["id"]))
                assert got == pytest.approx(service["volts"], abs=VOLTS), case["name"]
                compared += 1
        for item in case["sets"]:
            got = [amps(name) for name in item["elements"]]
            assert got == pytest.approx(item["amps"], abs=AMPS), (case["name"], item["id"])
            compared += 1
    assert compared >= 100, f"only {compared} compared"
