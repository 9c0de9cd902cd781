"""Medium-voltage grids of SimBench (data: ODbL 1.0 and DbCL; code: BSD-3), as packed with `simbench`.

Taken from the data: nodes, lines, transformers, every switch and its state, the grid above and every
renewable plant. Each plant hangs on a disconnect of its own, which is invented, and so are the
customers. The data is fetched when the tests run, never committed.
"""

import csv
import pathlib

from sheets import Sheet

FOLDER = "1-complete_data-mixed-all-0-sw"
GRIDS = ["MV1.101", "MV2.101", "MV3.101", "MV4.101"]


def rows(folder: pathlib.Path, name: str, grid: str):
    with (folder / f"{name}.csv").open(encoding="utf-8") as file:
        for row in csv.DictReader(file, delimiter=";"):
            if row["subnet"] == grid or row["subnet"].startswith(f"{grid}_Feeder"):
                yield row


class Grid:
    """What joins what in one grid."""

    def __init__(self, folder: pathlib.Path, name: str):
        self.name = name
        self.lines = {r["id"]: (r["nodeA"], r["nodeB"]) for r in rows(folder, "Line", name)}
        self.units = {r["id"]: (r["nodeHV"], r["nodeLV"]) for r in rows(folder, "Transformer", name)}
        self.switches = {
            r["id"]: (r["nodeA"], r["nodeB"], r["cond"] == "0") for r in rows(folder, "Switch", name)
        }
        known = {node for ends in self.lines.values() for node in ends}
        known |= {node for one, other, _ in self.switches.values() for node in (one, other)}
        # The grid above stands behind the switches on the high-voltage side.
        self.above = sorted(node for node in known if node.startswith("HV") and "_" not in node)
        with (folder / "RES.csv").open(encoding="utf-8") as file:
            plants = list(csv.DictReader(file, delimiter=";"))
        self.plants = {p["id"]: p["node"] for p in plants if p["node"] in known}
        self.busbars = sorted(
            node for node in known if "_" not in node and not node.startswith("HV")
        )

    def branches(self):
        """One end, the other, whether it opens."""
        for one, other in [*self.lines.values(), *self.units.values()]:
            yield one, other, False
        for one, other, _ in self.switches.values():
            yield one, other, True
        for plant, node in self.plants.items():
            yield node, f"plant {plant}", True

    def sources(self) -> set[str]:
        return set(self.above) | {f"plant {plant}" for plant in self.plants}

    def sheet(self) -> tuple[dict, dict[str, str]]:
        """As a map sheet, and what its nodes are called there."""
        called = {}

        def node(name: str) -> str:
            return called.setdefault(name, f"n{len(called)}")

        sheet = Sheet(f"SimBench {self.name}; plants' disconnects and customers invented")
        for number, name in enumerate(self.above):
            sheet.source(f"above-{number}", node(name))
        for number, plant in enumerate(self.plants):
            sheet.source(f"plant-{number}", node(f"plant {plant}"))
            ends = (node(self.plants[plant]), node(f"plant {plant}"))
            sheet.switch(f"own-{number}", ends, "feeder-switch")
        for number, (one, other, opened) in enumerate(self.switches.values()):
            state = "open" if opened else "closed"
            sheet.switch(f"sw-{number}", (node(one), node(other)), "feeder-switch", normally=state)
        for number, (one, other) in enumerate([*self.lines.values(), *self.units.values()]):
            sheet.cable(f"line-{number}", (node(one), node(other)))
        for number, name in enumerate(self.busbars):
            # A stub: a work zone is a cable between two nodes.
            sheet.cable(f"stub-{number}", (node(name), f"stub-{node(name)}"))
        sheet.customer("c", node(self.busbars[0]))
        return sheet.document(), called
