"""Lays what is stored in an APK uncompressed at pages of 16 KiB: align.py IN.apk OUT.apk

The way is written into each entry, as Android's signer asks for it; the signer would lay everything by
pages of 4 KiB otherwise.
"""

import struct
import sys
import zipfile

PAGE = 16384
FIELD = 0xD935
HEADER = 30

with zipfile.ZipFile(sys.argv[1]) as old, zipfile.ZipFile(sys.argv[2], "w") as new:
    for entry in old.infolist():
        # The same at every run.
        fresh = zipfile.ZipInfo(entry.filename, date_time=(1981, 1, 1, 0, 0, 0))
        fresh.compress_type = entry.compress_type
        if entry.compress_type == zipfile.ZIP_STORED:
            begins = new.fp.tell() + HEADER + len(entry.filename.encode()) + 6
            gap = -begins % PAGE
            fresh.extra = struct.pack("<HHH", FIELD, 2 + gap, PAGE) + bytes(gap)
        new.writestr(fresh, old.read(entry))
