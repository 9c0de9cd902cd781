"""A real desk as a process of its own, that can be killed and started again."""

import json
import os
import pathlib
import subprocess

ROOT = pathlib.Path(__file__).resolve().parents[2]
BUILT = pathlib.Path(os.environ.get("COLDLUG_PROGRAM", ROOT / "target" / "debug" / "coldlug"))
PROGRAM = BUILT.parent / "examples" / "scripted_desk"


class DeskProcess:
    """A desk over a folder. `where` tells its address to whoever plays, `play` has the moment."""

    def __init__(self, folder: pathlib.Path, play: pathlib.Path, script: list[dict]) -> None:
        self.folder = folder
        self.moment = play / "moment.json"
        self.where = folder.with_name("where.json")
        self.address = "127.0.0.1:0"
        self.process: subprocess.Popen | None = None
        play.mkdir(exist_ok=True)
        self.moment.write_text(json.dumps(script[0]["desk"]))
        self.chance = script[0]["chance"]

    def start(self) -> None:
        """Starts it, at the address it had before."""
        self.process = subprocess.Popen(
            [PROGRAM, self.folder, self.address, self.moment, self.chance],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        line = self.process.stdout.readline()
        assert line, self.process.communicate()[1]
        ready = json.loads(line)
        self.address = ready["address"]
        # The first code is told once: a desk that is started again prints none.
        if self.where.exists():
            ready["first_code"] = json.loads(self.where.read_text())["first_code"]
        part = self.where.with_suffix(".part")
        part.write_text(json.dumps(ready))
        part.replace(self.where)

    def kill(self) -> None:
        """SIGKILL: no handler runs, nothing is flushed."""
        if self.process is not None:
            self.process.kill()
            self.process.wait()
            self.process.stdout.close()
            self.process.stderr.close()
            self.process = None
