"""A change of fuel: what must be changed on a station, what may stay, and its numbers before and after."""

import json
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from starlette.responses import Response

from steadycone.data.reader import toml
from steadycone.errors import BadUnit, InputError
from steadycone.files.chart import chart_from_bytes
from steadycone.render.refuel import notes, refuel_dict, rows
from steadycone.render.words import Words, capital
from steadycone.station.form import FUELS
from steadycone.web.answer import status_of
from steadycone.web.chosen import Chosen, against, chosen, stations
from steadycone.web.desk import Desk
from steadycone.web.fields import command
from steadycone.web.page import get

if TYPE_CHECKING:
    from steadycone.procedures.refuel import Refuel
    from steadycone.station.chart import Chart

_FATES = (("change", "Must be changed", "stop"), ("check", "To be looked at", "caution"), ("stays", "May stay", "go"))
_LONGEST = 60


def _refuel(desk: Desk) -> Response:
    asked = {name: " ".join(desk.asked.get(name, "").split()) for name in ("station", "to", "chart", "size")}
    shown, problem, line = None, None, ""
    held: tuple[tuple[str, str, str], ...] = ()
    if asked["station"] and asked["to"]:
        try:
            found, region, station = _worked(desk, asked)
            if desk.asked.get("as") == "json":
                told = refuel_dict(found, region)
                return Response(json.dumps(told, ensure_ascii=False, allow_nan=False, indent=1) + "\n", media_type="application/json")
            shown, line, held = _shown(found, Words.of(region)), _line(station.file, asked), against(station)
        except InputError as error:
            problem = error
    charts = [(paper.name, paper.name) for paper in desk.site.papers("chart")]
    return desk.page(
        "refuel.html.j2", "Change of fuel", status=status_of(problem) if problem else 200, asked=asked, problem=problem, shown=shown,
        stations=stations(desk), fuels=[(fuel, capital(desk.words.gas(fuel))) for fuel in FUELS], charts=charts, command=line, held=held,
        query=urlencode({name: value for name, value in asked.items() if value}), advice=toml("cautions.toml")["advice"].replace("this card", "this"),
    )  # fmt: skip


def _worked(desk: Desk, asked: dict[str, str]) -> "tuple[Refuel, str, Chosen]":
    """The change, whose words it is told in, and the station. Raises InputError."""
    from steadycone.card.refuel import refuel

    if len(asked["size"]) > _LONGEST:
        raise BadUnit(f"a size of {len(asked['size'])} characters", where="size", try_="Write it as the chart has it.")
    station = chosen(desk, asked["station"])
    setup = station.card.figures.setup
    found = refuel(setup, asked["to"], desk.today, _chart(desk, asked["chart"]), asked["size"] or None, held=station.held)
    return found, setup.station.station.region, station


def _chart(desk: Desk, name: str) -> "Chart | None":
    """A chart that is kept. Raises UnknownName, InputError."""
    if not name:
        return None
    paper = desk.site.paper(name)
    return chart_from_bytes(paper.name, desk.site.files.document(paper.hash))


def _shown(found: "Refuel", words: Words) -> dict[str, Any]:
    told = refuel_dict(found, words.region)
    old, new = (dict(rows(side, words)) for side in (found.before, found.after))
    return {
        "before": capital(words.gas(found.before.fuel)),
        "after": capital(words.gas(found.after.fuel)),
        "fates": [(says, mark, [item for item in told["items"] if item["fate"] == fate]) for fate, says, mark in _FATES],
        "rules": told["rules"],
        "table": [(capital(name), old.get(name, "—"), new.get(name, "—")) for name in dict.fromkeys([*old, *new])],
        "notes": notes(found, words),
        "sources": [(source["title"], source["kind"]) for source in told["sources"].values()],
    }


def _line(file: str, asked: dict[str, str]) -> str:
    words = command(f"steadycone refuel {file} --to", {"": asked["to"]}).replace("--to =", "--to ")
    for name in ("chart", "size"):
        if asked[name]:
            words = command(f"{words} --{name}", {"": asked[name]}).replace(f"--{name} =", f"--{name} ")
    return words


PAGES = (get("/refuel", _refuel),)
