"""What the Python checks share: a script by hand, a desk that runs, a play of both."""

import pathlib

import pytest
from desk_process import DeskProcess
from player.play import Player
from small_script import small_script


@pytest.fixture(scope="session")
def script() -> list[dict]:
    """The script by hand."""
    return small_script()


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
