"""What a shell gives a phone: a told clock, a key in a file, HTTP."""

import hashlib
import os
import pathlib
import urllib.error
import urllib.request

from .bindings import coldlug_phone as api

PATIENCE_S = 60


class Told(api.Clock):
    """The moment it was told last."""

    def __init__(self) -> None:
        self.moment = {"wall_ms": 1, "boot": "none", "mono_ms": 1}

    def now(self) -> api.Moment:
        return api.Moment(**self.moment)


class Drawer(api.Keys):
    """A key in a file; chance that is the same again for the same drawer."""

    def __init__(self, folder: pathlib.Path, device: str) -> None:
        self.file = folder / "key.bin"
        self.device = device
        self.drawn = 0

    def seed(self) -> bytes | None:
        return self.file.read_bytes() if self.file.exists() else None

    def keep(self, seed: bytes) -> None:
        part = self.file.with_suffix(".part")
        with part.open("wb") as file:
            file.write(seed)
            file.flush()
            os.fsync(file.fileno())
        part.replace(self.file)

    def random(self, count: int) -> bytes:
        self.drawn += 1
        text = f"{self.device} {self.drawn}".encode()
        blocks = [hashlib.sha256(text + bytes([n])).digest() for n in range(count // 32 + 1)]
        return b"".join(blocks)[:count]


class NoRedirect(urllib.request.HTTPRedirectHandler):
    """Where an answer sends on to is the caller's affair."""

    def redirect_request(self, *args: object) -> None:
        return None


OPENER = urllib.request.build_opener(NoRedirect)


def answered(request: urllib.request.Request) -> tuple[int, bytes, dict[str, str]]:
    """Status, body and headers, whatever the status. OSError: nobody answers."""
    try:
        with OPENER.open(request, timeout=PATIENCE_S) as answer:
            return answer.status, answer.read(), dict(answer.headers)
    except urllib.error.HTTPError as error:
        return error.code, error.read(), dict(error.headers)


class Http(api.Transport):
    """The way to the desk. The desk may have moved: `at` says where it is now."""

    def __init__(self) -> None:
        self.at: str | None = None

    def send(self, url: str, body: bytes) -> api.Reply:
        if self.at is not None:
            url = self.at + "/exchange/" + url.rsplit("/exchange/", 1)[1]
        request = urllib.request.Request(
            url, data=body, headers={"content-type": "application/octet-stream"}, method="POST"
        )
        try:
            status, answer, _ = answered(request)
        except (OSError, ValueError) as error:
            raise api.PortError.Failed(reason=str(error)) from error
        return api.Reply(status=status, body=answer)
