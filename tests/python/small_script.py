"""A small script by hand: a desk is set up, two phones enrolled, a job begun on both."""

import pathlib

ROOT = pathlib.Path(__file__).resolve().parents[2]
SHEET = ROOT / "bindings" / "phone" / "examples" / "ready_folder" / "map_sheet.geojson"

PHONES = {"phone-pad": "lineworker-1", "phone-house": "lineworker-2"}
JOB = "J-0001"
SERVICE = "P1V2"
SUBJECTS = [
    "brief-hazards", "brief-procedures", "brief-precautions", "brief-energy-control",
    "brief-protection", "brief-premises", "brief-neighbours", "brief-holder", "brief-emergency",
    "brief-open-pad",
]  # fmt: skip


class Written:
    """A script being written: every step takes a minute."""

    def __init__(self) -> None:
        self.lines: list[dict] = []
        self.minutes = 0
        self.places = {device: 0 for device in PHONES}

    def moment(self, device: str) -> dict:
        ms = self.minutes * 60_000
        return {"wall_ms": 1_790_000_000_000 + ms, "boot": f"{device}-boot-1", "mono_ms": ms}

    def step(self, who: str, do: str, **more: object) -> None:
        self.minutes += 1
        line = {"who": who, "do": do, "desk": self.moment("desk"), **more}
        if who in PHONES:
            line["now"] = self.moment(who)
        self.lines.append(line)

    def act(self, phone: str, *statements: str) -> None:
        first = self.places[phone] + 1
        self.places[phone] += len(statements)
        writes = [f"{phone}-{n}" for n in range(first, self.places[phone] + 1)]
        self.step(
            phone, "act", job=JOB, person=PHONES[phone], statements=list(statements), writes=writes
        )

    def sync(self) -> None:
        for phone in [*PHONES, *PHONES]:
            self.step(phone, "sync")


def statement(kind: str, body: str) -> str:
    return f'{{"kind":"{kind}","version":1,"body":{body}}}'


def briefed() -> str:
    subjects = ",".join(f'"{subject}"' for subject in SUBJECTS)
    people = ",".join(f'"{person}"' for person in PHONES.values())
    return statement("briefed", f'{{"subjects":[{subjects}],"present":[{people}]}}')


def stay(kind: str, name: str) -> str:
    return statement(kind, f'{{"stay":"{name}"}}')


LIFT = statement(
    "operation",
    '{"operation":{"op":"leg-lifted","pad":"P1","leg":"L1","runs":1,'
    '"loosened_amps":"0.1","handle":{"by":"position","position":"2"}}}',
)


def small_script() -> list[dict]:
    """From the first dispatcher to two phones that have each other's entries."""
    script = Written()
    script.step("desk", "start", chance="5a" * 32)
    who = "dispatcher-1"
    get = lambda path: script.step(who, "get", path=path, status=200)  # noqa: E731
    send = lambda form, *answers: script.step(  # noqa: E731
        who, "send", form=form, answers=[list(pair) for pair in answers], status=200
    )
    get("/start")
    password = ("password", "harbour light on the hill")
    send("/start", ("code", "{first-code}"), ("name", who), password)
    get("/map-sheets")
    file = {"field": "sheet", "name": "small.geojson", "text": SHEET.read_text()}
    script.step(
        who, "upload", form="/map-sheets", answers=[["name", "small"]], file=file, status=200
    )
    for phone, person in PHONES.items():
        get("/devices")
        send("/devices", ("device", phone), ("person", person))
        script.step(phone, "enrol")
    get("/jobs/new")
    get("/jobs/new?sheet={choice:sheet}&q=" + SERVICE)
    crew = [("crew", phone) for phone in PHONES]
    send(
        "/jobs", ("sheet", "{choice:sheet}"), ("service", SERVICE), ("scope", "base-both-sides"),
        ("work", "replace the meter base"), *crew, ("electrician", "electrician-1"),
        ("job", JOB), ("rules", ""),
    )  # fmt: skip
    script.sync()
    script.act("phone-pad", briefed())
    script.step("phone-pad", "refused", job=JOB, person="lineworker-1", statements=[LIFT],
                rule="questions-before-lift")  # fmt: skip
    script.sync()
    for number in range(4):
        script.act("phone-house", stay("stay-begun", f"st-{number}"), stay("stay-ended", f"st-{number}"))
        script.act("phone-pad", stay("stay-begun", f"sp-{number}"))
        script.act("phone-pad", stay("stay-ended", f"sp-{number}"))
        script.sync()
    get(f"/jobs/{JOB}")
    return script.lines
