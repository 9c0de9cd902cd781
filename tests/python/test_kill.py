"""Phones' player and desk killed (SIGKILL) at seeded points and started again end the same, and
nothing that was acknowledged is missing."""

import json
import os
import pathlib
import random
import subprocess
import sys
import time

from desk_process import DeskProcess
from player.play import Player
from small_script import JOB

KILLS = 12
PATIENCE_S = 120


def start(script: pathlib.Path, folder: pathlib.Path, where: pathlib.Path) -> subprocess.Popen:
    here = pathlib.Path(__file__).resolve().parent
    return subprocess.Popen(
        [sys.executable, "-m", "player", script, folder, where],
        cwd=here,
        env={**os.environ, "PYTHONDONTWRITEBYTECODE": "1"},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def events(player: Player, phone: str) -> list[dict]:
    return [entry["event"] for entry in player.entries(JOB, phone)]


def test_killed_anywhere_the_play_ends_the_same(tmp_path, played, desk, script):
    unkilled = events(played, "phone-pad")
    desk.kill()
    draw = random.Random(1)
    written = tmp_path / "script.jsonl"
    written.write_text("".join(json.dumps(line) + "\n" for line in script))
    play = tmp_path / "again"
    desk = DeskProcess(tmp_path / "desk-again" / "data", play, script)
    desk.folder.parent.mkdir()
    desk.start()
    # Each line is the victim's at most once; whose turn it is to be killed is drawn.
    points = sorted(draw.sample(range(len(script)), KILLS))
    victims = [draw.choice(["player", "desk", "both"]) for _ in points]
    assert {"player", "desk"} <= set(victims)
    until = time.monotonic() + PATIENCE_S
    kills = dict(zip(points, victims, strict=True))
    player = start(written, play, desk.where)
    while True:
        assert time.monotonic() < until, "the play does not end"
        line = player.stdout.readline()
        if not line:
            said = player.communicate()[1]
            assert player.returncode == 0, said
            break
        victim = kills.pop(int(line), None)
        if victim is None:
            continue
        time.sleep(draw.random() * 0.05)
        if victim in ("player", "both"):
            player.kill()
            player.communicate()
        if victim in ("desk", "both"):
            desk.kill()
            desk.start()
        if victim in ("player", "both"):
            player = start(written, play, desk.where)
    assert not kills
    whole = Player([], play, desk.where)
    for phone in ("phone-pad", "phone-house"):
        assert events(whole, phone) == unkilled
    desk.kill()
