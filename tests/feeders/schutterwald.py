"""The low-voltage network of Schutterwald as packed with `pandapower` (BSD-3): what is without supply
when each closed switch is opened, by pandapower's own search.

Every bus gets a customer of its own, which is invented.
"""

import pandapower.networks
import pandapower.topology

from sheets import Sheet


class Town:
    """The network, and a node between each line's end and the switch there."""

    def __init__(self):
        self.net = pandapower.networks.lv_schutterwald()
        net = self.net
        ends = {("l", line.Index): [line.from_bus, line.to_bus] for line in net.line.itertuples()}
        self.switches: dict[int, tuple[str, str, bool]] = {}
        moved: dict[tuple[int, int], str] = {}
        for switch in net.switch.itertuples():
            assert switch.et == "l"
            end = f"l{switch.element}-b{switch.bus}"
            moved[switch.element, switch.bus] = end
            self.switches[switch.Index] = (f"b{switch.bus}", end, bool(switch.closed))
        self.fixed = {
            f"{kind}{number}": tuple(moved.get((number, bus), f"b{bus}") for bus in buses)
            for (kind, number), buses in ends.items()
        }
        for unit in net.trafo.itertuples():
            self.fixed[f"t{unit.Index}"] = (f"b{unit.hv_bus}", f"b{unit.lv_bus}")

    def sheet(self) -> dict:
        sheet = Sheet("lv_schutterwald; customers invented")
        for number, bus in enumerate(self.net.ext_grid.bus):
            sheet.source(f"above-{number}", f"b{bus}")
        for number, (one, other, closed) in self.switches.items():
            state = "closed" if closed else "open"
            # None of them may be opened, until a question lets one be.
            sheet.switch(
                f"sw-{number}", (one, other), "feeder-switch", normally=state, load_break_amps=0
            )  # fmt: skip
        for name, ends in self.fixed.items():
            sheet.cable(name, ends)
        for number, (one, other, _) in self.switches.items():
            for side, node in (("a", one), ("b", other)):
                sheet.cable(f"stub-{number}{side}", (node, f"stub-{number}{side}"))
        for bus in self.net.bus.index:
            sheet.customer(f"b{bus}", f"b{bus}")
        return sheet.document()

    def without(self, switch: int) -> set[str]:
        """The customers at the buses that pandapower finds without supply with a switch open."""
        table = self.net.switch
        table.at[switch, "closed"] = False
        lost = pandapower.topology.unsupplied_buses(self.net)
        table.at[switch, "closed"] = True
        return {f"V-b{bus}" for bus in lost}
