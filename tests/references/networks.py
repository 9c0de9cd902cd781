"""Seeded networks, written as map sheets: pads in a mesh, several sources, loops open and closed.

Everything about them is invented. Every device has a visible break, can be locked and may be opened
under any load here, so that no rule of a rule sheet stands between a cut and a plan.
"""

import random

LON, LAT = -30.2, 41.6  # open ocean


class Sheet:
    def __init__(self, seed: int):
        self.draw = random.Random(seed)
        self.features: list[dict] = []

    def add(self, kind: str, identity: str, line: bool = False, **more) -> None:
        spot = [
            round(LON + self.draw.uniform(-0.01, 0.01), 7),
            round(LAT + self.draw.uniform(-0.01, 0.01), 7),
        ]
        end = [round(spot[0] + 0.0004, 7), spot[1]]
        geometry = (
            {"type": "LineString", "coordinates": [spot, end]}
            if line
            else {"type": "Point", "coordinates": spot}
        )
        self.features.append(
            {
                "type": "Feature",
                "geometry": geometry,
                "properties": {"kind": kind, "id": identity, **more},
            }
        )

    def switch(self, identity: str, ends: tuple[str, str], device: str, **more) -> str:
        given = {
            "from": ends[0], "to": ends[1], "device": device, "normally": "closed",
            "rated_amps": 600, "load_break_amps": 20000, "visible_break": True, "lockable": True,
        }  # fmt: skip
        self.add("switch", identity, **{**given, **more})
        return identity

    def document(self, name: str) -> dict:
        return {
            "type": "FeatureCollection",
            "coldlug_map_sheet": {
                "format": 1, "name": name, "edition": "invented",
                "bounds": [LON - 0.02, LAT - 0.02, LON + 0.02, LAT + 0.02], "invented": True,
            },
            "features": self.features,
        }  # fmt: skip


def mesh(seed: int) -> dict:
    """A map sheet of 4 to 9 pads whose primaries form a mesh with one to three sources."""
    sheet = Sheet(seed)
    draw = sheet.draw
    pads = [f"P{number:02}" for number in range(1, draw.randint(4, 9) + 1)]
    contains: dict[str, list[str]] = {pad: [] for pad in pads}
    pairs = {(draw.choice(pads[:at]), pads[at]) for at in range(1, len(pads))}
    for _ in range(draw.randint(1, 5)):
        one, other = sorted(draw.sample(pads, 2))
        pairs.add((one, other))
    for one, other in sorted(pairs):
        ends = []
        for pad, side in ((one, other), (other, one)):
            if draw.random() < 0.75:
                node = f"{pad}:to-{side}"
                state = "open" if draw.random() < 0.12 else "closed"
                identity = f"{pad}-elbow-{side}"
                sheet.switch(
                    identity, (node, f"{pad}:bus"), "elbow",
                    pad=pad, volts_nominal=7200, normally=state,
                )  # fmt: skip
                contains[pad].append(identity)
            else:
                node = f"{pad}:bus"
            ends.append(node)
        sheet.add(
            "cable", f"C-{one}-{other}", line=True, to=ends[1], kv_class=15, metal="al",
            size="1/0", length_m=80, **{"from": ends[0]},
        )  # fmt: skip
    for number, pad in enumerate(draw.sample(pads, draw.randint(1, 3)), 1):
        node = f"F{number}:bus"
        sheet.add("source", f"F{number}", node=node, volts_line_to_line=12470)
        sheet.switch(f"F{number}-breaker", (node, f"{pad}:bus"), "feeder-switch", volts_nominal=7200)
    for pad in pads:
        transformer(sheet, pad, contains[pad])
    for pad in pads:
        sheet.add("pad", pad, tags=[f"X{pad}"], position_accuracy_m=3, contains=contains[pad])
    return sheet.document(f"mesh {seed}")


def transformer(sheet: Sheet, pad: str, contains: list[str]) -> None:
    """A unit behind a fuse, one to three sets, each to a service."""
    draw = sheet.draw
    fuse = sheet.switch(
        f"{pad}-fuse", (f"{pad}:bus", f"{pad}:pri"), "cut-out", pad=pad, volts_nominal=7200
    )
    sheet.add(
        "transformer", f"{pad}-T", primary=f"{pad}:pri", secondary=f"{pad}:sec", kva=25,
        percent_z=1.6, primary_volts=7200, system="120/240-split-phase", pad=pad,
    )  # fmt: skip
    contains += [fuse, f"{pad}-T"]
    for position in range(1, draw.randint(1, 3) + 1):
        node, service = f"{pad}:s{position}", f"V{pad[1:]}{position}"
        lug = sheet.switch(
            f"{pad}-lug-{position}", (f"{pad}:sec", node), "lug-pair",
            pad=pad, position=str(position), volts_nominal=120,
        )  # fmt: skip
        identity = f"S{pad[1:]}{position}"
        sheet.add(
            "set", identity, line=True, to=f"{service}:base", pad=pad, position=str(position),
            metal="al", size="4/0", length_m=30, **{"from": node},
        )  # fmt: skip
        contains += [lug, identity]
        sources = (
            [{"type": "pv", "kw": 6, "transfer_switch": False}] if draw.random() < 0.3 else []
        )
        sheet.add(
            "service", service, node=f"{service}:base", premises=f"{service} Sample Row",
            meters=[f"M{service}"], meter_base_amps=200, system="120/240-split-phase",
            metering="self-contained", customer_sources=sources,
        )  # fmt: skip
