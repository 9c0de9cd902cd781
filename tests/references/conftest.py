"""What the reference checks share: the built program, asked for JSON."""

import json
import os
import pathlib
import subprocess

import pytest

ROOT = pathlib.Path(__file__).resolve().parents[2]
PROGRAM = os.environ.get("COLDLUG_PROGRAM", str(ROOT / "target" / "debug" / "coldlug"))


class Coldlug:
    """Runs the program; an answer that is no JSON, or an unlooked-for status, fails the check."""

    def run(self, *args: str) -> subprocess.CompletedProcess:
        return subprocess.run(
            [PROGRAM, *args], capture_output=True, text=True, timeout=60, cwd=ROOT, check=False
        )

    def ask(self, *args: str, statuses: tuple[int, ...] = (0,)) -> dict:
        done = self.run(*args, "--json")
        said = f"coldlug {' '.join(args)}: status {done.returncode}\n{done.stdout}{done.stderr}"
        assert done.returncode in statuses, said
        return json.loads(done.stdout)


@pytest.fixture(scope="session")
def coldlug() -> Coldlug:
    return Coldlug()
