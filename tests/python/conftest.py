"""What the Python checks share: a script by hand and the demo's, a desk that runs, a play."""

import json
import pathlib
import subprocess

import pytest
from desk_process import BUILT, DeskProcess
from player.play import Player
from small_script import small_script


@pytest.fixture(scope="session")
def script() -> list[dict]:
    """The script by hand."""
    return small_script()


@pytest.fixture(scope="session")
def demo_script(tmp_path_factory: pytest.TempPathFactory) -> list[dict]:
    """Both jobs of the demo, as it writes them down."""
    written = tmp_path_factory.mktemp("demo") / "script-1.jsonl"
    command = [BUILT, "demo", "--once", "--seed", "1", "--script", written]
    played = subprocess.run(command, capture_output=True, text=True, check=False)
    assert played.returncode == 0, played.stderr
    return [json.loads(line) for line in written.read_text().splitlines()]


@pytest.fixture
def desk(tmp_path: pathlib.Path, script: list[dict]):
    """A desk that runs until the check is over."""
    process = DeskProcess(tmp_path / "desk", tmp_path / "play", script)
    process.start()
    yield process
    process.kill()


@pytest.fixture
def played(tmp_path: pathlib.Path, desk: DeskProcess, script: list[dict]) -> Player:
    """The script, played undisturbed."""
    player = Player(script, tmp_path / "play", desk.where)
    player.play()
    return player
