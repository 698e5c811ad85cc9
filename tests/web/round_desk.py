"""The demo station filed at an office, and answers that are all in order."""

from datetime import timedelta
from pathlib import Path
from typing import Any, Literal

from steadycone.procedures.rounds import Answer
from steadycone.records.station_files import file_paper, file_station
from steadycone.web.rounds.made import MadeRound, made_now
from tests.edge.round_samples import START, answers
from tests.web_desk import PASSWORD, Office, token_of

EXAMPLES = Path(__file__).parents[2] / "examples"
NAME, SLUG, FILE = "Slip 2, frame bench", "slip-2-frame-bench", "slip-2.toml"
_PAPERS: tuple[tuple[Literal["chart", "policy"], str], ...] = (
    ("policy", "policies/harbour-yard.toml"),
    ("chart", "charts/demo-acetylene-cutting.csv"),
)


def file_it(found: Office) -> None:
    for what, name in _PAPERS:
        file_paper(found.site, "L. Marsh", START, name, what, (EXAMPLES / name).read_bytes())
    file_station(found.site, "L. Marsh", START, FILE, (EXAMPLES / FILE).read_text(encoding="utf-8"))


def made(found: Office) -> MadeRound:
    return made_now(found.yard, found.site, NAME, found.clock.now.date())


def given(of: MadeRound, **changes: str) -> list[Answer]:
    """Answers of O. Quist, with L. Marsh's name under them; they begin when the samples do."""
    return list(answers(of.plan, **({"who": "O. Quist", "sign": "L. Marsh"} | changes)))


def delivery(of: MadeRound, some: list[Answer], **more: Any) -> dict[str, Any]:
    """As a phone sends it."""
    files = of.files
    told = {
        "station": files.name,
        "file": files.file,
        "hashes": files.hashes,
        "on": of.on.isoformat(),
        "digest": files.digest,
        "plan": of.plan.hash,
    }
    return told | {"answers": [answer.out() for answer in some]} | more


def deliver(found: Office, person: str, id_: str, told: dict[str, Any]) -> Any:
    client = found.client(person)
    token = client.get("/rounds/here.json").json()["token"]
    return client.post(f"/rounds/{id_}.json", json=told, headers={"x-form-token": token})


def signature(by: str = "L. Marsh") -> dict[str, str]:
    return {"by": by, "password": PASSWORD}


def fields_of(step: Any, value: str) -> dict[str, str]:
    """What a person presses or types for an answer, by the step's kind."""
    if step.kind in ("tick", "wait"):
        return {"do": value} if value == "done" else {"do": "fail", "why": value.partition(": ")[2]}
    if step.kind == "choice":
        return {"choice": value}
    return {"do": "save", "text" if step.kind == "text" else "number": value}


def press(found: Office, person: str, round_: str, **fields: str) -> Any:
    """Fill the page that is open, send it where its form goes."""
    client = found.client(person)
    page = client.get(round_).text
    return client.post(round_ + fields.pop("to", ""), data={"token": token_of(page), **fields})


def later(found: Office, **by: float) -> None:
    found.clock.now += timedelta(**by)
