"""The least number of openings of `coldlug plan` against maximum flow (scipy, Dinic) and minimum
cut (networkx, preflow-push) on seeded networks.

A theorem older than all three (Ford and Fulkerson 1956): the least number of branches that separate
two places equals the greatest flow between them, each branch carrying one.
"""

import json

import networkx as nx
import numpy as np
import pytest
from networks import mesh
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import maximum_flow

UNCUT = 10**6
SEEDS = range(1, 13)


class Question:
    """What one scope asks of one sheet, read from the sheet alone."""

    def __init__(self, sheet: dict, service: str, scope: str):
        self.of = {}
        for feature in sheet["features"]:
            properties = feature["properties"]
            self.of.setdefault(properties["kind"], []).append(properties)
        self.service = next(s for s in self.of["service"] if s["id"] == service)
        self.scope = scope
        self.zone = self.find_zone()
        # (one end, other end, may be opened)
        self.branches = [*self.drawn(), *self.behind_meters()]
        self.sources = {source["node"] for source in self.of["source"]}
        for other in self.of["service"]:
            for number, _ in enumerate(other["customer_sources"], 1):
                self.sources.add(f"{other['id']}:source-{number}")
            if scope.startswith("base-"):
                # A source nobody told of may hang in any house.
                self.sources.add(f"{other['id']}:house")

    def find_zone(self) -> set[str]:
        base, pad = self.service["node"], f"P{self.service['id'][1:3]}"
        switches = [switch for switch in self.of["switch"] if switch.get("pad") == pad]
        lugs = [switch for switch in switches if switch["device"] == "lug-pair"]
        others = [switch for switch in switches if switch["device"] != "lug-pair"]

        def ends(some: list[dict]) -> set[str]:
            return {switch[end] for switch in some for end in ("from", "to")}

        if self.scope == "base-line-side":
            return {base}
        if self.scope == "base-both-sides":
            return {base, f"{self.service['id']}:load"}
        if self.scope == "pad-secondary":
            return {f"{pad}:sec"} | ends(lugs)
        if self.scope == "pad-primary":
            return {f"{pad}:pri"} | ends(others)
        one, other = self.scope.removeprefix("cable:").replace("::", "\n").split(":")
        return {one.replace("\n", ":"), other.replace("\n", ":")}

    def drawn(self):
        for switch in self.of["switch"]:
            yield switch["from"], switch["to"], self.may_open(switch["from"], switch["to"])
        for kind, one, other in (
            ("cable", "from", "to"), ("set", "from", "to"), ("transformer", "primary", "secondary")
        ):  # fmt: skip
            for branch in self.of[kind]:
                yield branch[one], branch[other], False

    def may_open(self, one: str, other: str) -> bool:
        return not {one, other} <= self.zone

    def behind_meters(self):
        for other in self.of["service"]:
            line, name = other["node"], other["id"]
            yield line, f"{name}:load", self.may_open(line, f"{name}:load")
            # At the line side the meter comes out in any case: nothing behind it is an opening.
            own = name == self.service["id"] and self.scope == "base-line-side"
            yield f"{name}:load", f"{name}:house", not own
            for number, _ in enumerate(other["customer_sources"], 1):
                yield f"{name}:load", f"{name}:source-{number}", not own


def by_scipy(question: Question) -> int:
    names = sorted({end for one, other, _ in question.branches for end in (one, other)})
    place = {name: number for number, name in enumerate(names)}
    start, goal = len(names), len(names) + 1
    ends = [(place[one], place[other], 1 if opens else UNCUT) for one, other, opens in question.branches]
    ends += [(start, place[node], UNCUT) for node in question.sources]
    ends += [(place[node], goal, UNCUT) for node in question.zone]
    u, v, capacity = map(list, zip(*ends, strict=True))
    size = len(names) + 2
    matrix = csr_matrix(
        (np.array(capacity * 2, dtype=np.int32), (u + v, v + u)), shape=(size, size), dtype=np.int32
    )
    return int(maximum_flow(matrix, start, goal, method="dinic").flow_value)


def by_networkx(question: Question) -> int:
    graph = nx.Graph()

    def join(one, other, capacity):
        known = graph.get_edge_data(one, other, {"capacity": 0})["capacity"]
        graph.add_edge(one, other, capacity=known + capacity)

    for one, other, opens in question.branches:
        join(one, other, 1 if opens else UNCUT)
    for node in question.sources:
        join("all sources", node, UNCUT)
    for node in question.zone:
        join("the zone", node, UNCUT)
    value, _ = nx.minimum_cut(graph, "all sources", "the zone")
    return value


def scopes(sheet: dict) -> list[str]:
    cables = [f["properties"] for f in sheet["features"] if f["properties"]["kind"] == "cable"]

    def spoken(cable: dict) -> str:
        return "cable:" + ":".join(cable[end].replace(":", "::") for end in ("from", "to"))

    return [
        "base-line-side", "base-both-sides", "pad-secondary", "pad-primary",
        spoken(cables[0]), spoken(cables[-1]),
    ]  # fmt: skip


@pytest.mark.parametrize("seed", SEEDS)
def test_fewest_openings_are_the_minimum_cut(coldlug, tmp_path, seed):
    sheet = mesh(seed)
    path = tmp_path / "mesh.geojson"
    path.write_text(json.dumps(sheet))
    services = [f["properties"]["id"] for f in sheet["features"] if f["properties"]["kind"] == "service"]
    for service in (services[0], services[len(services) // 2], services[-1]):
        for scope in scopes(sheet):
            question = Question(sheet, service, scope)
            want = by_scipy(question)
            assert by_networkx(question) == want, (service, scope)
            plan = coldlug.ask(
                "plan", "--map", str(path), "--service", service, "--scope", scope, statuses=(0, 1)
            )
            if want >= UNCUT:
                assert plan["fewest_openings"] is None, (service, scope)
                assert not plan["plans"]
                continue
            assert plan["fewest_openings"] == want, (service, scope)
            assert plan["plans"], (service, scope)
            least = min(len(each["openings"]) for each in plan["plans"])
            assert least >= want, (service, scope)


def test_the_networks_ask_for_more_than_one_opening():
    cuts = [
        by_scipy(Question(mesh(seed), "V011", scope))
        for seed in SEEDS
        for scope in scopes(mesh(seed))
    ]
    feasible = [cut for cut in cuts if cut < UNCUT]
    assert len(set(feasible)) >= 4, sorted(set(feasible))
    assert max(feasible) >= 4
