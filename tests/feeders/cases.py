"""Writes the questions that `coldlug` is asked on outside networks, each with the answer of an outside
engine: cases.py DATA OUT.

The least number of openings is scipy's maximum flow (Dinic), which equals the minimum cut (Ford and
Fulkerson 1956), and for every tenth networkx's minimum cut too; who goes out is pandapower's.
"""

import json
import pathlib
import random
import sys
import warnings

import cigre
import networkx as nx
import numpy as np
from ieee9500 import FOLDER as IEEE9500
from ieee9500 import Feeder
from schutterwald import Town
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import maximum_flow
from sheets import scope
from simbench import FOLDER as SIMBENCH
from simbench import GRIDS, Grid

UNCUT = 10**6
ZONES = 200


class Cuts:
    """Minimum cuts on one network: branches with whether they open, and sources."""

    def __init__(self, branches, sources: set[str]):
        self.branches, self.sources = list(branches), sources
        names = sorted({end for one, other, _ in self.branches for end in (one, other)} | sources)
        self.place = {name: number for number, name in enumerate(names)}

    def least(self, zone: set[str]) -> int | None:
        place, size = self.place, len(self.place) + 2
        ends = [(place[one], place[other], 1 if opens else UNCUT) for one, other, opens in self.branches]
        ends += [(size - 2, place[node], UNCUT) for node in self.sources]
        ends += [(place[node], size - 1, UNCUT) for node in zone]
        u, v, capacity = map(list, zip(*ends, strict=True))
        matrix = csr_matrix(
            (np.array(capacity * 2, dtype=np.int32), (u + v, v + u)), shape=(size, size), dtype=np.int32
        )
        flow = int(maximum_flow(matrix, size - 2, size - 1, method="dinic").flow_value)
        return None if flow >= UNCUT else flow

    def least_by_networkx(self, zone: set[str]) -> int | None:
        graph = nx.Graph()

        def join(one, other, capacity):
            known = graph.get_edge_data(one, other, {"capacity": 0})["capacity"]
            graph.add_edge(one, other, capacity=known + capacity)

        for one, other, opens in self.branches:
            join(one, other, 1 if opens else UNCUT)
        for node in self.sources:
            join("all sources", node, UNCUT)
        for node in zone:
            join("the zone", node, UNCUT)
        value, _ = nx.minimum_cut(graph, "all sources", "the zone")
        return None if value >= UNCUT else value

    def questions(self, zones, service: str, called=lambda node: node):
        for number, ends in enumerate(zones):
            zone = set(ends)
            least = self.least(zone)
            if number % 10 == 0:
                assert self.least_by_networkx(zone) == least, ends
            spoken = scope((called(ends[0]), called(ends[1])))
            yield {"service": service, "scope": spoken, "fewest": least}


def write(out: pathlib.Path, name: str, sheet: dict, questions: list[dict]) -> None:
    (out / f"{name}.geojson").write_text(json.dumps(sheet))
    (out / f"{name}.json").write_text(json.dumps(questions))
    told = sorted({q["fewest"] for q in questions if q.get("fewest") is not None})
    print(f"{name}: {len(questions)} questions; least openings {told}")


def ieee9500(data: pathlib.Path, out: pathlib.Path) -> None:
    feeder = Feeder(data / IEEE9500)
    draw = random.Random(9500)
    # Service drops open; behind each panel's stands the panel.
    cuts = Cuts(feeder.branches(), {feeder.source, *feeder.panels})
    primary = sorted(ends for name, ends in feeder.fixed.items() if name.startswith("l-"))
    zones = draw.sample(primary, ZONES)
    service = f"V-{next(iter(feeder.units.values()))[1]}"
    write(out, "ieee9500", feeder.sheet(), list(cuts.questions(zones, service)))


def simbench(data: pathlib.Path, out: pathlib.Path) -> None:
    for number, name in enumerate(GRIDS):
        grid = Grid(data / SIMBENCH, name)
        draw = random.Random(number)
        sheet, called = grid.sheet()
        stubs = [(node, f"stub {node}") for node in grid.busbars]
        branches = [*grid.branches(), *((one, other, False) for one, other in stubs)]
        cuts = Cuts(branches, grid.sources())
        zones = draw.sample(sorted(grid.lines.values()), ZONES // 8) + draw.sample(stubs, ZONES // 8)

        def spoken(node: str, called=called) -> str:
            return f"stub-{called[node[5:]]}" if node.startswith("stub ") else called[node]

        write(out, f"simbench-{name}", sheet, list(cuts.questions(zones, "V-c", spoken)))


def schutterwald(out: pathlib.Path) -> None:
    town = Town()
    everybody = [f"V-b{bus}" for bus in town.net.bus.index]
    questions = []
    for number, (one, other, closed) in town.switches.items():
        if not closed:
            continue
        lost = town.without(number)
        # The zone is the stub on the side that pandapower finds dark; both stay lit in a ring.
        dark = "a" if f"V-{one}" in lost else "b"
        node = one if dark == "a" else other
        questions.append({
            # The work is at a customer who stays lit, so that it takes nobody from those counted.
            "service": next(name for name in everybody if name not in lost),
            "scope": scope((node, f"stub-{number}{dark}")),
            "only": f"sw-{number}",
            "out": sorted(lost),
        })  # fmt: skip
    write(out, "schutterwald", town.sheet(), questions)


if __name__ == "__main__":
    warnings.simplefilter("ignore")
    data, out = map(pathlib.Path, sys.argv[1:3])
    out.mkdir(parents=True, exist_ok=True)
    ieee9500(data, out)
    simbench(data, out)
    schutterwald(out)
    (out / "cigre.json").write_text(json.dumps(cigre.write(data, out)))
