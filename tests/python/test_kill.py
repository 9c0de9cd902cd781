"""The player of the phones and the desk, killed (SIGKILL) at seeded points and started again, end
the same, and nothing that was acknowledged is missing."""

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

PATIENCE_S = 900
# Nobody is killed in the last lines, which may be over before it is known.
LAST = 8
HERE = pathlib.Path(__file__).resolve().parent


def start(script: pathlib.Path, folder: pathlib.Path, where: pathlib.Path) -> subprocess.Popen:
    return subprocess.Popen(
        [sys.executable, "-m", "player", script, folder, where],
        cwd=HERE,
        env={**os.environ, "PYTHONDONTWRITEBYTECODE": "1"},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def play_killed(script: list[dict], folder: pathlib.Path, kills: int, seed: int) -> Player:
    """Plays to the end however often somebody is killed, and gives the phones as they were left."""
    folder.mkdir()
    written, play = folder / "script.jsonl", folder / "play"
    written.write_text("".join(json.dumps(line) + "\n" for line in script))
    desk = DeskProcess(folder / "desk", play, script)
    desk.start()
    draw = random.Random(seed)
    # Before which line, whom, and how long into it.
    points = [
        (number, draw.choice(["player", "desk", "both"]), draw.random() * 0.05)
        for number in sorted(draw.sample(range(len(script) - LAST), kills))
    ]
    assert {"player", "desk"} <= {victim for _, victim, _ in points}
    until = time.monotonic() + PATIENCE_S
    player = start(written, play, desk.where)
    while line := player.stdout.readline():
        assert time.monotonic() < until, "the play does not end"
        # The player goes on while somebody is being killed: a point it has passed is due now.
        due = bool(points) and points[0][0] <= int(line)
        _, victim, wait = points.pop(0) if due else (0, "nobody", 0.0)
        time.sleep(wait)
        if victim in ("player", "both"):
            player.kill()
            player.communicate()
        if victim in ("desk", "both"):
            desk.kill()
            desk.start()
        if victim in ("player", "both"):
            player = start(written, play, desk.where)
    said = player.communicate()[1]
    desk.kill()
    assert player.returncode == 0, said
    assert not points
    return Player([], play, desk.where)


def events(player: Player, phone: str) -> list[dict]:
    return [entry["event"] for entry in player.entries(JOB, phone)]


def test_killed_anywhere_the_small_play_ends_the_same(tmp_path, played, desk, script):
    unkilled = events(played, "phone-pad")
    killed = play_killed(script, tmp_path / "killed", kills=12, seed=1)
    for phone in ("phone-pad", "phone-house"):
        assert events(killed, phone) == unkilled


def test_killed_anywhere_both_jobs_of_the_demo_end_as_written(tmp_path, demo_script):
    # Each `end` of the script holds the job to closed, and to the events of the undisturbed play.
    play_killed(demo_script, tmp_path / "killed", kills=20, seed=2)
