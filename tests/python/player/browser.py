"""Somebody's browser: one cookie, and the page it got last."""

import secrets
import urllib.parse
import urllib.request

from . import page
from .shell import answered

MOST_HOPS = 5


class NoForm(Exception):
    """The page has no such form."""


class Browser:
    """A browser at one desk. What it keeps is plain data, so that it survives a kill."""

    def __init__(self, kept: dict) -> None:
        self.kept = kept
        self.kept.setdefault("cookie", None)
        self.kept.setdefault("path", "/")
        self.text = ""

    def get(self, desk: str, path: str) -> int:
        if "{choice:" in path and not self.text:
            self.get(desk, self.kept["path"])
        self.kept["path"] = path = self._chosen(path)
        return self._ask(desk, path, None, {})

    def send(self, desk: str, ends: str, answers: list[list[str]]) -> int:
        form = self._form(desk, ends)
        fields = self._fields(form, answers)
        body = urllib.parse.urlencode(fields).encode()
        kind = "application/x-www-form-urlencoded"
        return self._ask(desk, form.action, body, {"content-type": kind})

    def upload(self, desk: str, ends: str, answers: list[list[str]], file: dict) -> int:
        form = self._form(desk, ends)
        mark = "coldlug" + secrets.token_hex(8)
        parts = [
            f'--{mark}\r\ncontent-disposition: form-data; name="{name}"\r\n\r\n{value}\r\n'
            for name, value in self._fields(form, answers)
        ]
        parts.append(
            f'--{mark}\r\ncontent-disposition: form-data; name="{file["field"]}"; '
            f'filename="{file["name"]}"\r\ncontent-type: application/octet-stream\r\n\r\n'
            f'{file["text"]}\r\n--{mark}--\r\n'
        )
        kind = f"multipart/form-data; boundary={mark}"
        return self._ask(desk, form.action, "".join(parts).encode(), {"content-type": kind})

    def shown_address(self) -> str:
        return page.read(self.text).address

    def _chosen(self, text: str) -> str:
        """The text with what stands first in a list of the page, for `{choice:LIST}`."""
        for name, value in page.read(self.text).choices.items():
            text = text.replace("{choice:" + name + "}", value)
        return text

    def _fields(self, form: page.Form, answers: list[list[str]]) -> list[tuple[str, str]]:
        """What the form sends anyway, but for what is answered, and the answers."""
        answered_here = {name for name, _ in answers}
        hidden = [(name, value) for name, value in form.hidden if name not in answered_here]
        return hidden + [(name, self._chosen(value)) for name, value in answers]

    def _form(self, desk: str, ends: str) -> page.Form:
        if not self.text:
            # Started again: the page it stood on is got anew.
            self.get(desk, self.kept["path"])
        for form in page.read(self.text).forms:
            if form.action.endswith(ends):
                return form
        raise NoForm(f"{self.kept['path']} has no form for {ends}")

    def _ask(self, desk: str, path: str, body: bytes | None, headers: dict) -> int:
        for _ in range(MOST_HOPS):
            if self.kept["cookie"]:
                headers = {**headers, "cookie": self.kept["cookie"]}
            method = "GET" if body is None else "POST"
            request = urllib.request.Request(desk + path, data=body, headers=headers, method=method)
            status, text, told = answered(request)
            told = {name.lower(): value for name, value in told.items()}
            if "set-cookie" in told:
                self.kept["cookie"] = told["set-cookie"].split(";", 1)[0]
            if status not in (302, 303):
                self.text = text.decode(errors="replace")
                return status
            path = told["location"].removeprefix(desk)
            self.kept["path"] = path
            body, headers = None, {}
        raise OSError(f"{path} sends on for ever")
