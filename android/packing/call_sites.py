"""Ends with 1 when a dex file holds a call site that is made at run time (item 7 of its map)."""

import struct
import sys

for path in sys.argv[1:]:
    with open(path, "rb") as file:
        dex = file.read()
    (at,) = struct.unpack_from("<I", dex, 0x34)
    (count,) = struct.unpack_from("<I", dex, at)
    kinds = [struct.unpack_from("<H", dex, at + 4 + 12 * n)[0] for n in range(count)]
    if 7 in kinds:
        sys.exit(f"{path}: a call site is made at run time")
