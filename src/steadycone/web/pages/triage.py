"""Triage: from what was heard and seen to what to do first, and into the log where it holds a station."""

import json
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from starlette.responses import Response

from steadycone.data.reader import toml
from steadycone.errors import InputError
from steadycone.render import emergency
from steadycone.render.triage import triage_dict
from steadycone.render.words import capital
from steadycone.web.answer import status_of
from steadycone.web.chosen import chosen, stations
from steadycone.web.desk import Desk
from steadycone.web.fields import command
from steadycone.web.page import get, post

if TYPE_CHECKING:
    from collections.abc import Sequence

    from steadycone.procedures.triage import Triage

MOST_SAID = 90  # signs at once: more than there are
LONGEST = 300  # characters of one


def _ask(desk: Desk) -> Response:
    saw = _said(desk.asked.getlist("saw"))
    slug, sent = desk.asked.get("station", ""), "saw" in desk.asked
    if not sent:
        return _page(desk, slug, saw, None, None)
    try:
        found, region = _found(desk, slug, saw)
    except InputError as error:
        return _page(desk, slug, saw, None, error)
    if desk.asked.get("as") == "json":
        told = triage_dict(found, region)
        return Response(json.dumps(told, ensure_ascii=False, allow_nan=False, indent=1) + "\n", media_type="application/json")
    return _page(desk, slug, saw, (found, region), None)


def _said(given: "Sequence[Any]") -> list[str]:
    """What was ticked and typed, in order, each once. Raises InputError."""
    found = list(dict.fromkeys(" ".join(each.split()) for each in given if isinstance(each, str) and each.strip()))
    if len(found) > MOST_SAID or any(len(each) > LONGEST for each in found):
        raise InputError("that is too much at once", where="saw", try_="Say it in a few words.")
    return found


def _found(desk: Desk, slug: str, saw: list[str]) -> "tuple[Triage, str]":
    """The triage and whose words it is told in. Raises InputError."""
    from steadycone.procedures.triage import triage

    station = chosen(desk, slug) if slug else None
    region = station.card.figures.setup.station.station.region if station else desk.region
    return triage(saw, station.card if station else None, region), region


def _page(desk: Desk, slug: str, saw: list[str], found: "tuple[Triage, str] | None", problem: InputError | None) -> Response:
    floor = emergency.floor(desk.region)
    told = triage_dict(*found) if found else None
    choices = stations(desk, demo=False)
    name = next((says for value, says in choices if value == slug), "")
    file = desk.yard.station(desk.site, slug).file if name else ""
    pairs = [("station", slug), *(("saw", each) for each in saw)]
    return desk.page(
        "triage.html.j2", capital(told["event"]) if told else "What happened?", status=status_of(problem) if problem else 200, told=told, saw=saw,
        problem=problem, groups=_groups(desk, saw), asks=_asks(desk, found[0], saw) if found else [], stations=choices, station=slug,
        name=name, floor_lines=floor["lines"], holds=bool(found and found[0].back_to_service), danger=found[0].danger if found else 0,
        urgent=bool(found and found[0].urgent), query=urlencode(pairs), advice=toml("cautions.toml")["advice"].replace("this card", "this"),
        command=_command(saw, file),
    )  # fmt: skip


def _command(saw: list[str], file: str) -> str:
    line = command("steadycone triage --saw", {"": ", ".join(saw)}).replace("--saw =", "--saw ")
    return f"{line} --station {file}" if file else line


def phrase(sign: str) -> str:
    """Words that are read as this sign."""
    said: str = toml("triage/signs.toml")[sign]["also"][0]
    return said


def _sign(desk: Desk, sign: str) -> tuple[str, str]:
    """Value and label of a tick."""
    says = toml("triage/signs.toml")[sign]["says"]
    return phrase(sign), capital(desk.words.fill(says, dict(emergency.words(desk.region))))


def _groups(desk: Desk, saw: list[str]) -> list[tuple[str, list[tuple[str, str, bool]], bool]]:
    """Heading, ticks (value, label, ticked), and whether one is ticked."""
    found = []
    for group in toml("triage_pages.toml")["group"]:
        ticks = [(value, says, value in saw) for value, says in (_sign(desk, sign) for sign in group["signs"])]
        found.append((group["says"], ticks, any(ticked for _, _, ticked in ticks)))
    return found


def _asks(desk: Desk, found: "Triage", saw: list[str]) -> list[tuple[str, list[tuple[str, str]]]]:
    """Each question with the signs that would answer it yes."""
    table, texts = toml("triage/events.toml"), triage_dict(found, desk.region)["asks"]
    asked = []
    for ask, text in zip(found.asks, texts, strict=True):
        signs = table[ask.event]["deciding"] if ask.event else [ask.sign] if ask.sign else []
        ticks = [_sign(desk, sign) for sign in signs if sign not in found.heard.signs]
        asked.append((text, [(value, says) for value, says in ticks if value not in saw]))
    return asked


def _record(desk: Desk) -> Response:
    """Into the log: the station is held, and all it is made up of, until the gate is cleared."""
    from steadycone.web.pages.incidents import record_incident

    saw, slug = _said(desk.form.getlist("saw")), desk.field("station", "")
    if not slug:
        raise InputError("no station was chosen", where="station", try_="Choose the station to record it.")
    station = desk.yard.station(desk.site, slug)
    found, _ = _found(desk, slug if station.text else "", saw)
    return desk.to(record_incident(desk, found, station.name, ", ".join(saw)[:1000]), "recorded")


PAGES = (get("/triage", _ask), post("/triage", _record, "round"))
