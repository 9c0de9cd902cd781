"""CIGRE's medium-voltage benchmark network (TB 575), as another program wrote it in CIM (packed with
`cimpy`, MPL-2.0), and what is in it by pandapower's own copy of the benchmark.

Places are invented, since the model has none: CIM's geographical profile for it is written here.
"""

import math
import pathlib
import re
import shutil
from xml.sax.saxutils import quoteattr

import pandapower.networks

FOLDER = "CIGRE_MV"
FILES = {"cigre-equipment.xml": "*_EQ.xml", "cigre-topology.xml": "*_TP.xml"}
LON, LAT = -30.2, 41.6
HEAD = (
    '<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"'
    ' xmlns:cim="http://iec.ch/TC57/2013/CIM-schema-cim16#">'
    '<cim:CoordinateSystem rdf:ID="crs">'
    "<cim:CoordinateSystem.crsUrn>urn:ogc:def:crs:EPSG::4326</cim:CoordinateSystem.crsUrn>"
    "</cim:CoordinateSystem>"
)


def places(files: list[pathlib.Path]) -> str:
    """A place for everything that is drawn: a line for a cable, a point for all else."""
    parts = [HEAD]
    drawn = re.compile(
        r'<cim:(ACLineSegment|TopologicalNode|Substation|ExternalNetworkInjection) rdf:ID="([^"]+)"'
    )
    found = [pair for path in files for pair in drawn.findall(path.read_text())]
    for number, (kind, name) in enumerate(found):
        at = f"at-{number}"
        parts.append(
            f"<cim:{kind} rdf:about={quoteattr('#' + name)}>"
            f'<cim:PowerSystemResource.Location rdf:resource="#{at}"/></cim:{kind}>'
            f'<cim:Location rdf:ID="{at}"><cim:Location.CoordinateSystem rdf:resource="#crs"/>'
            "</cim:Location>"
        )
        for point in range(2 if kind == "ACLineSegment" else 1):
            parts.append(
                f'<cim:PositionPoint rdf:ID="{at}-{point}">'
                f'<cim:PositionPoint.Location rdf:resource="#{at}"/>'
                f"<cim:PositionPoint.sequenceNumber>{point + 1}</cim:PositionPoint.sequenceNumber>"
                f"<cim:PositionPoint.xPosition>{LON + point / 1000}</cim:PositionPoint.xPosition>"
                f"<cim:PositionPoint.yPosition>{LAT + number / 1000}</cim:PositionPoint.yPosition>"
                "</cim:PositionPoint>"
            )
    return "".join([*parts, "</rdf:RDF>"])


def write(data: pathlib.Path, out: pathlib.Path) -> dict:
    """Writes the model with its places, and gives what is in it."""
    written = []
    for name, wanted in FILES.items():
        (found,) = (data / FOLDER).glob(wanted)
        written.append(pathlib.Path(shutil.copy(found, out / name)))
    (out / "cigre-places.xml").write_text(places(written))
    net = pandapower.networks.create_cigre_network_mv(with_der=False)
    buses = re.compile(r"Line (\d+)-(\d+)")
    lines = {}
    for line in net.line.itertuples():
        one, other = buses.fullmatch(line.name).groups()
        assert {f"Bus {one}", f"Bus {other}"} == {net.bus.name[line.from_bus], net.bus.name[line.to_bus]}
        lines[f"L{one}-{other}"] = {
            "ends": [f"N{one}", f"N{other}"],
            "length_m": round(line.length_km * 1000, 6),
        }
    # The model's own transformers are larger than the benchmark's: 40 MVA, 110 kV, 1.90575 +
    # j 36.371106 ohms on the side of 110 kV.
    base_ohms, r_ohms, x_ohms = 110.0**2 / 40.0, 1.905750, 36.371106
    units = {
        name: {
            "ends": ["N0", f"N{bus}"],
            "percent_z": 100 * math.hypot(r_ohms, x_ohms) / base_ohms,
            "x_over_r": x_ohms / r_ohms,
        }
        for name, bus in (("TR1", 1), ("TR2", 12))
    }
    return {"lines": lines, "units": units}
