"""The player: one line after another, each written down when it is done."""

import json
import os
import pathlib
import time

from .bindings import coldlug_phone as api
from .browser import Browser, NoForm
from .shell import Drawer, Http, Told

PATIENCE_S = 60
FINE = 200


class Failed(Exception):
    """The play did not go as written."""


def replace(path: pathlib.Path, text: str) -> None:
    """Writes a file whole or not at all; it is there after a kill."""
    part = path.with_suffix(".part")
    with part.open("w") as file:
        file.write(text)
        file.flush()
        os.fsync(file.fileno())
    part.replace(path)


class Player:
    """Plays a script in a folder. `where` is a file that names the desk's address."""

    def __init__(self, script: list[dict], folder: pathlib.Path, where: pathlib.Path) -> None:
        self.script = script
        self.folder = folder
        self.where = where
        self.done = folder / "done.json"
        self.kept = json.loads(self.done.read_text()) if self.done.exists() else {}
        self.kept.setdefault("lines", 0)
        self.kept.setdefault("known", {})
        self.kept.setdefault("invitations", {})
        self.kept.setdefault("browsers", {})
        self.again = self.kept["lines"] if self.done.exists() else -1
        self.phones: dict[str, tuple[api.Phone, Told]] = {}
        self.browsers: dict[str, Browser] = {}
        self.way = Http()

    def play(self, told=lambda number: None) -> None:
        """Plays what is left. `told` hears the number of each line before it is done."""
        while self.kept["lines"] < len(self.script):
            number = self.kept["lines"]
            told(number)
            self._line(number)
            self.kept["lines"] = number + 1
            replace(self.done, json.dumps(self.kept))

    def phone(self, device: str) -> tuple[api.Phone, Told]:
        """The phone of that name, opened where it is not yet."""
        if device not in self.phones:
            folder = self.folder / device
            folder.mkdir(exist_ok=True)
            clock = Told()
            phone = api.Phone.open(str(folder), clock, Drawer(folder, device))
            self.phones[device] = (phone, clock)
        return self.phones[device]

    def _line(self, number: int) -> None:
        """One line, again where the desk was away meanwhile."""
        line = self.script[number]
        until = time.monotonic() + PATIENCE_S
        again = number == self.again
        while True:
            replace(self.folder / "moment.json", json.dumps(line["desk"]))
            try:
                self._do(line, again)
                return
            except (api.PhoneError.Offline, OSError) as error:
                if time.monotonic() > until:
                    raise Failed(f"line {number + 1}: {error}") from error
                again = True
                time.sleep(0.05)
            except (api.PhoneError, NoForm, Failed) as error:
                raise Failed(f"line {number + 1}, {line['who']} {line['do']}: {error}") from error

    def _do(self, line: dict, again: bool) -> None:
        self.way.at = "http://" + json.loads(self.where.read_text())["address"]
        line = self._filled(line)
        if line["do"] == "start":
            # Whoever started the desk gave it its chance.
            return
        if line["do"] in ("get", "send", "upload"):
            self._browse(line, again)
            return
        phone, clock = self.phone(line["who"])
        if "now" in line:
            clock.moment = line["now"]
        if line["do"] == "act":
            self._act(phone, line, again)
        else:
            getattr(self, "_" + line["do"])(phone, line)

    def _filled(self, line: dict) -> dict:
        """The line with everything that differs from run to run."""
        text = json.dumps(line)
        for name, value in self.kept["known"].items():
            text = text.replace("{" + name + "}", value)
        if "{first-code}" in text:
            text = text.replace("{first-code}", json.loads(self.where.read_text())["first_code"])
        while "{head:" in text:
            device = text.split("{head:", 1)[1].split("}", 1)[0]
            head = self._heads(line["job"], line["who"])[device]
            text = text.replace("{head:" + device + "}", head)
        return json.loads(text)

    def entries(self, job: str, phone: str) -> list[dict]:
        """What is on the record of a phone, in its order."""
        lines = self.phone(phone)[0].record(job).splitlines()
        return [json.loads(line) for line in lines[1:-1]]

    def _heads(self, job: str, phone: str) -> dict[str, str]:
        return json.loads(self.phone(phone)[0].record(job).splitlines()[-1])["heads"]

    # What a phone does.

    def _enrol(self, phone: api.Phone, line: dict) -> None:
        if phone.enrolment() is None:
            invitation = api.read_invitation(self.kept["invitations"][line["who"]])
            phone.enrol(invitation, self.way)

    def _sync(self, phone: api.Phone, _line: dict) -> None:
        report = phone.sync(self.way)
        if report.problems or not report.complete:
            raise Failed(f"the sync is not whole: {report}")

    def _act(self, phone: api.Phone, line: dict, again: bool) -> None:
        if again:
            mine = {e["event"]["id"] for e in self.entries(line["job"], line["who"])}
            there = [name in mine for name in line["writes"]]
            if all(there):
                return
            if any(there):
                raise Failed(f"{line['writes']}: some are kept and some are not")
        receipt = phone.act(line["job"], line["person"], line["statements"])
        written = [one.event for one in receipt.written]
        if written != line["writes"]:
            raise Failed(f"wrote {written}")

    def _refused(self, phone: api.Phone, line: dict) -> None:
        before = phone.record(line["job"])
        try:
            phone.act(line["job"], line["person"], line["statements"])
        except api.PhoneError.Refused as refusal:
            if refusal.rule != line["rule"]:
                raise Failed(f"refused by {refusal.rule}, not by {line['rule']}") from refusal
            if phone.record(line["job"]) != before:
                raise Failed("a refused act wrote something") from refusal
            return
        raise Failed(f"{line['rule']} let it through")

    def _photo(self, phone: api.Phone, line: dict) -> None:
        kept = phone.photo(line["job"], bytes.fromhex(line["bytes"]))
        if kept != line["hash"]:
            raise Failed(f"the photo is kept as {kept}")

    def _picture(self, phone: api.Phone, line: dict) -> None:
        phone.picture(line["job"], line["hash"])

    def _link(self, phone: api.Phone, line: dict) -> None:
        link = phone.link(line["job"], line["clearance"], line["person"], self.way)
        self.kept["known"][line["as"]] = "/" + link.url.split("/", 3)[3]

    def _end(self, phone: api.Phone, line: dict) -> None:
        shown = phone.screen(line["job"], line["person"])
        if not shown.screen.is_closed():
            raise Failed(f"the job is not closed: {shown.headline.text}")
        phones = {event["device"] for event in line["events"]}
        written = [e["event"] for e in self.entries(line["job"], line["who"])]
        written = [event for event in written if event["device"] in phones]
        for mine, theirs in zip(written, line["events"], strict=True):
            if mine != theirs:
                raise Failed(f"wrote {mine}, not {theirs}")
        (self.folder / f"{line['job']}-record.jsonl").write_bytes(phone.record(line["job"]))

    # What a browser does.

    def _browse(self, line: dict, again: bool) -> None:
        name = line["who"]
        if name not in self.browsers:
            self.browsers[name] = Browser(self.kept["browsers"].setdefault(name, {}))
        browser, desk = self.browsers[name], self.way.at or ""
        try:
            status = self._page(browser, desk, line)
        except NoForm:
            if not again:
                raise
            self._came_back(browser, desk, line)
            return
        if status != line["status"] and again:
            self._came_back(browser, desk, line)
        elif status != line["status"]:
            raise Failed(f"{browser.kept['path']} answers {status}: {browser.text[:300]}")
        if browser.shown_address():
            address = browser.shown_address()
            device = address.rsplit("#", 1)[-1].split(".", 1)[-1].rsplit(".", 1)[0]
            self.kept["invitations"][device] = address

    def _page(self, browser: Browser, desk: str, line: dict) -> int:
        match line["do"]:
            case "get":
                return browser.get(desk, line["path"])
            case "send":
                return browser.send(desk, line["form"], line["answers"])
            case _:
                return browser.upload(desk, line["form"], line["answers"], line["file"])

    def _came_back(self, browser: Browser, desk: str, line: dict) -> None:
        """The desk had done it, and its answer was lost. Whoever lost a cookie signs in again."""
        answers = dict(map(tuple, line.get("answers", [])))
        if "password" in answers:
            browser.text = ""
            browser.get(desk, "/sign-in")
            kept = [[key, answers[key]] for key in ("name", "password")]
            if browser.send(desk, "/sign-in", kept) != FINE:
                raise Failed("cannot sign in again")
        # The next line begins from a page that is there.
        browser.text = ""
