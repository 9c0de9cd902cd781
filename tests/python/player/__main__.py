"""`python -m player SCRIPT FOLDER DESK`: plays, and prints the number of each line it begins."""

import json
import pathlib
import sys

from .play import Player


def main() -> None:
    script, folder, where = map(pathlib.Path, sys.argv[1:4])
    lines = [json.loads(line) for line in script.read_text().splitlines()]
    folder.mkdir(parents=True, exist_ok=True)
    Player(lines, folder, where).play(lambda number: print(number, flush=True))


main()
