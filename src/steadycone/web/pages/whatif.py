"""The what-ifs: a fault that nobody may show live, worked out on one of the yard's stations."""

import json
import threading
from collections import OrderedDict
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from starlette.responses import Response

from steadycone.data.reader import sources, toml
from steadycone.errors import InputError, OutOfRange, Refused, SteadyconeError, UnknownName
from steadycone.render.view import hose_colours
from steadycone.render.whatif import Told
from steadycone.render.whatif_series import lists
from steadycone.render.whatif_svg import moving_svg, strip_svg
from steadycone.render.worksheet import worded
from steadycone.web.answer import status_of
from steadycone.web.chosen import Chosen, against, chosen, stations
from steadycone.web.desk import Desk
from steadycone.web.fields import command, field, marked, problem_of, typed
from steadycone.web.page import get

if TYPE_CHECKING:
    from steadycone.whatif.frame import Outcome

MOST_RUNS = 40  # draws that one request may cause: some seconds; the command line takes 100,000
KEPT = 64
_PATIENCE = 20.0  # s that a request waits for its turn
_STANDING = {"fitted": "Fitted:", "missing": "Missing:", "always": "Do:"}
_one_at_a_time = threading.BoundedSemaphore(1)  # a yard has few cores, and the rounds come first


def _list(desk: Desk) -> Response:
    from steadycone.whatif.run import kind_of

    listed = [
        (
            each["name"],
            desk.words.fill(each["title"], {}),
            worded((kind_of(each["name"]).__doc__ or "").strip().splitlines()[0], desk.words),
        )
        for each in toml("whatif_pages.toml")["whatif"]
    ]
    return desk.page("whatifs.html.j2", "What if", listed=listed, never=toml("whatif_pages.toml")["never"])


def _whatif(desk: Desk) -> Response:
    from steadycone.whatif.run import describe, kind_of

    name = desk.path["name"]
    kind, described, table = kind_of(name), describe(name), toml("whatif_pages.toml")
    title = next((desk.words.fill(each["title"], {}) for each in table["whatif"] if each["name"] == name), None)
    if title is None:
        raise UnknownName(f'there is no what-if "{name[:60]}"', where="whatif", try_="Take one of the list.")
    given = typed(desk)
    slug = given.pop("station", "")
    pairs = {key: value for key, value in given.items() if value}
    shown, problem, status, station = None, None, 200, None
    if slug:
        try:
            station = chosen(desk, slug)
            outcome = worked(desk, name, station, pairs)
            if desk.asked.get("as") == "json":
                return _json(outcome, station, pairs)
            shown = _shown(outcome, station)
        except InputError as error:
            problem, status = problem_of(error, ["station", *(each.name for each in described)]), status_of(error)
    choices = stations(desk)
    fields = [field(each.name, each.kind, each.help, each.example, each.default, False, each.words, desk.words, given.get(each.name, ""))
              for each in described]  # fmt: skip
    hoses = hose_colours(*_region_and_fuel(station)) if station else hose_colours(desk.region, "acetylene")
    return desk.page(
        "whatif.html.j2", title, status=status, name=name, about=worded((kind.__doc__ or "").strip().splitlines()[0], desk.words),
        fields=marked(fields, problem), problem=problem, stations=choices, station=slug or choices[0][0], shown=shown, never=table["never"],
        command=command(f"steadycone whatif {name} {station.file}", pairs) if station else "", query=urlencode({"station": slug, **pairs}),
        runs=MOST_RUNS, hoses=hoses, held=against(station) if station else (),
    )  # fmt: skip


def _region_and_fuel(station: Chosen) -> tuple[str, str]:
    about = station.card.figures.setup.station.station
    return about.region, about.fuel


def worked(desk: Desk, name: str, station: Chosen, pairs: Mapping[str, str]) -> "Outcome":
    """The outcome, kept for whoever asks the same again. One is worked out at a time.

    Raises  InputError: a setting that cannot be, more draws than a page may ask for, or a station without what it needs.
            Refused: others are being worked out.
    """
    from steadycone.whatif.run import answer, read

    filled = read(name, pairs)
    if (runs := getattr(filled, "runs", 0)) > MOST_RUNS:
        raise OutOfRange(f"{runs} draws", where="runs", try_=f"{MOST_RUNS} at most here; the command line takes more.")
    key = (station.digest, station.card.figures.on, name, tuple(sorted(pairs.items())))
    with desk.yard.lock:
        kept: OrderedDict[Any, Outcome] = desk.yard.kept.setdefault("whatifs", OrderedDict())
        if key in kept:
            kept.move_to_end(key)
            return kept[key]
    if not _one_at_a_time.acquire(timeout=_PATIENCE):
        raise Refused("others are being worked out", where="whatif", try_="Ask again in a minute.")
    try:
        found = answer(name, station.card, pairs)
    except InputError:
        raise
    except SteadyconeError as error:
        raise InputError(error.says, where=error.where, try_=error.try_ or "Take other values.") from error
    finally:
        _one_at_a_time.release()
    with desk.yard.lock:
        kept[key] = found
        while len(kept) > KEPT:
            kept.popitem(last=False)
    return found


def _json(outcome: "Outcome", station: Chosen, pairs: dict[str, str]) -> Response:
    """The very text of `steadycone whatif --json`."""
    from steadycone.render.whatif import whatif_dict

    told = whatif_dict(outcome, station.card.figures, pairs)
    return Response(json.dumps(told, ensure_ascii=False, allow_nan=False, indent=1) + "\n", media_type="application/json")


def _shown(outcome: "Outcome", station: Chosen) -> dict[str, Any]:
    """What the page shows of it, in the station's own words and units."""
    told, known = Told(outcome, station.card.figures), sources()
    return {
        "told": told,
        "moving": moving_svg(outcome, station.card) if len(outcome.frames) > 1 else "",
        # its hatching under a name of its own: where the moving one is not shown, a name shared with it would paint nothing
        "strip": strip_svg(outcome, station.card, alone=False)
        .replace('id="burns"', 'id="burns-strip"')
        .replace("url(#burns)", "url(#burns-strip)"),
        "frames": len(outcome.frames),
        "lists": lists(told),
        "preventions": [(_STANDING[each.standing], each.standing, told.prevention(each)) for each in outcome.prevented_by],
        "advice": told.fill(toml("whatif.toml")["advice"]),
        "sources": [(known[key]["title"], known[key]["kind"]) for key in outcome.sources],
    }


PAGES = (get("/whatif", _list), get("/whatif/{name}", _whatif))
