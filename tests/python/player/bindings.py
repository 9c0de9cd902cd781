"""The generated module, from where it was generated."""

import os
import pathlib
import sys

ROOT = pathlib.Path(__file__).resolve().parents[3]
BUILT = pathlib.Path(os.environ.get("COLDLUG_PROGRAM", ROOT / "target" / "debug" / "coldlug"))
FOLDER = BUILT.parent.parent / "bindings" / "python"
LIBRARY = "libcoldlug_phone.dylib" if sys.platform == "darwin" else "libcoldlug_phone.so"

# The module looks for the library beside itself.
beside = FOLDER / LIBRARY
if not beside.exists():
    beside.symlink_to(BUILT.parent / LIBRARY)

sys.path.insert(0, str(FOLDER))

import coldlug_phone  # noqa: E402  (found only by the path above)

__all__ = ["coldlug_phone"]
