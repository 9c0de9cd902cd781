"""Both jobs of the demo, played again through the generated Python against a real desk."""

import os
import pathlib
import subprocess

from desk_process import BUILT, DeskProcess
from player.play import Player


def test_both_jobs_of_the_demo_are_played_again_to_the_same_end(
    tmp_path: pathlib.Path, demo_script: list[dict]
):
    script = demo_script
    does = [line["do"] for line in script]
    assert does.count("end") == 2 and does.count("refused") >= 3 and "link" in does
    desk = DeskProcess(tmp_path / "desk", tmp_path / "play", script)
    desk.start()
    try:
        # Each `end` holds the job to closed, and to the events that the demo's phones wrote.
        Player(script, tmp_path / "play", desk.where).play()
    finally:
        desk.kill()
    records = sorted((tmp_path / "play").glob("*-record.jsonl"))
    assert len(records) == 2
    for record in records:
        verified = subprocess.run([BUILT, "verify", record], capture_output=True, check=False)
        assert verified.returncode == os.EX_OK, verified.stdout + verified.stderr
