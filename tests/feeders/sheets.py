"""Outside networks as map sheets.

What a network lacks is invented and the same everywhere: every device has a visible break, can be
locked and breaks any load, so that no rule of a rule sheet stands between a cut and a plan; pads,
lugs, meters and premises are named after the buses; all of it lies at one place in the open ocean,
since nothing here hangs on where it is.
"""

from collections import Counter

LON, LAT = -30.2, 41.6
POINT = {"type": "Point", "coordinates": [LON, LAT]}
LINE = {"type": "LineString", "coordinates": [[LON, LAT], [LON + 0.001, LAT]]}


class Sheet:
    """A map sheet under construction."""

    def __init__(self, name: str):
        self.name = name
        self.features: list[dict] = []

    def add(self, kind: str, identity: str, **more) -> None:
        geometry = LINE if kind in ("cable", "set") else POINT
        properties = {"kind": kind, "id": identity, **more}
        self.features.append({"type": "Feature", "geometry": geometry, "properties": properties})

    def source(self, identity: str, node: str) -> None:
        self.add("source", identity, node=node, volts_line_to_line=12470)

    def switch(self, identity: str, ends: tuple[str, str], device: str, **more) -> None:
        given = {
            "from": ends[0], "to": ends[1], "device": device, "normally": "closed",
            "rated_amps": 2000, "load_break_amps": 20000, "visible_break": True, "lockable": True,
            "volts_nominal": 7200,
        }  # fmt: skip
        self.add("switch", identity, **{**given, **more})

    def cable(self, identity: str, ends: tuple[str, str]) -> None:
        self.add(
            "cable", identity, to=ends[1], kv_class=15, metal="al", size="1/0", length_m=80,
            **{"from": ends[0]},
        )  # fmt: skip

    def customer(self, name: str, primary: str, own_source: bool = False) -> None:
        """A pad with a transformer, one lug pair, one set and one service behind it."""
        pad, secondary, side, base = f"pad-{name}", f"{name}:sec", f"{name}:s1", f"{name}:base"
        lug, set_, unit = f"lug-{name}", f"set-{name}", f"tx-{name}"
        self.add(
            "transformer", unit, primary=primary, secondary=secondary, kva=25, percent_z=1.6,
            primary_volts=7200, system="120/240-split-phase", pad=pad,
        )  # fmt: skip
        self.switch(lug, (secondary, side), "lug-pair", pad=pad, position="1", volts_nominal=120)
        self.add(
            "set", set_, to=base, pad=pad, position="1", metal="al", size="4/0", length_m=30,
            **{"from": side},
        )  # fmt: skip
        own = [{"type": "pv", "kw": 6, "transfer_switch": False}] if own_source else []
        self.add(
            "service", f"V-{name}", node=base, premises=f"{name} Sample Row", meters=[f"M-{name}"],
            meter_base_amps=200, system="120/240-split-phase", metering="self-contained",
            customer_sources=own,
        )  # fmt: skip
        self.add("pad", pad, tags=[f"T-{name}"], position_accuracy_m=3, contains=[lug, set_, unit])

    def close_ends(self) -> None:
        """A pedestal where a cable ends at nothing, which a map sheet does not let pass."""
        touched = Counter(
            properties[end]
            for properties in (feature["properties"] for feature in self.features)
            for end in ("from", "to", "primary", "secondary", "node")
            if end in properties
        )
        loose = {
            feature["properties"][end]
            for feature in self.features
            if feature["properties"]["kind"] == "cable"
            for end in ("from", "to")
            if touched[feature["properties"][end]] == 1
        }
        for node in sorted(loose):
            self.add("pedestal", f"end-{node}", node=node)

    def document(self) -> dict:
        self.close_ends()
        return {
            "type": "FeatureCollection",
            "coldlug_map_sheet": {
                "format": 1, "name": self.name, "edition": "invented",
                "bounds": [LON - 0.02, LAT - 0.02, LON + 0.02, LAT + 0.02], "invented": True,
            },
            "features": self.features,
        }  # fmt: skip


def scope(ends: tuple[str, str]) -> str:
    """The work zone of a cable between two nodes."""
    return "cable:" + ":".join(end.replace(":", "::") for end in ends)
