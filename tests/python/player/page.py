"""A page of the desk: its forms, and what it shows."""

import dataclasses
import html.parser

FIELDS = ("input", "select", "textarea", "button")


@dataclasses.dataclass
class Form:
    """Where it is sent, and what it sends whatever is filled in."""

    action: str
    hidden: list[tuple[str, str]]


class Reader(html.parser.HTMLParser):
    """Gathers forms, what stands first in lists, and the address under a picture of a code."""

    def __init__(self) -> None:
        super().__init__()
        self.forms: list[Form] = []
        self.choices: dict[str, str] = {}
        self.address = ""
        self.in_address = False
        self.list = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        has = {name: value or "" for name, value in attrs}
        if tag == "form":
            self.forms.append(Form(has.get("action", ""), []))
        elif tag == "input" and has.get("type") == "hidden" and self.forms:
            self.forms[-1].hidden.append((has.get("name", ""), has.get("value", "")))
        elif tag == "select":
            self.list = has.get("name", "")
        elif tag == "option" and self.list:
            self.choices.setdefault(self.list, has.get("value", ""))
        self.in_address = has.get("class") == "address"

    def handle_data(self, data: str) -> None:
        if self.in_address and not self.address:
            self.address = data.strip()

    def handle_endtag(self, tag: str) -> None:
        self.in_address = False
        if tag == "select":
            self.list = ""


def read(text: str) -> Reader:
    reader = Reader()
    reader.feed(text)
    return reader
