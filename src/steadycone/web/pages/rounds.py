"""A round of a station: the page that a phone goes on with alone, and what it delivers."""

from typing import TYPE_CHECKING, Any

from starlette.responses import Response

from steadycone.errors import InputError
from steadycone.procedures.rounds import happened
from steadycone.render.round_phone import FORMAT
from steadycone.render.words import capital
from steadycone.web.desk import Desk
from steadycone.web.page import get, post
from steadycone.web.rounds.deliver import Delivery, Standing, keep, read_delivery, reply, standing
from steadycone.web.rounds.finish import check_signer, finish
from steadycone.web.rounds.made import MadeRound, made_now
from steadycone.web.rounds.show import ahead, cautions, of_phone, own_rounds

if TYPE_CHECKING:
    from steadycone.records.drafts import Draft

MOST = 2_100_000  # bytes of a delivery: the answers' own limit is in records/drafts.py


def _round(desk: Desk) -> Response:
    """Without script a form to begin or go on; with script the round itself, which needs no connection after this."""
    station = desk.station()
    made = made_now(desk.yard, desk.site, station.name, desk.today)
    return desk.page(
        "round.html.j2", f"Round: {station.name}", station=station.name, slug=desk.path["station"], made=made, screens=of_phone(made),
        plan=_plan(desk, made), held=_held(desk, made), open_rounds=own_rounds(desk, station.name), ahead=ahead(made), cautions=cautions(made), hoses=_hoses(made),
    )  # fmt: skip


def _held(desk: Desk, made: MadeRound) -> list[str]:
    """What the records hold against the station. The round itself is bound to the files alone; its signature is refused for these."""
    from steadycone.records.held import held
    from steadycone.records.holds import stops

    words = made.words.words
    found = held(desk.site, made.files.name).findings(desk.today, made.files.setup)
    return [f"{capital(words.subject(finding.subject))}: {words.says(finding)}" for finding in stops(found)]


def _hoses(made: MadeRound) -> str:
    return made.card.view.hoses


def _plan(desk: Desk, made: MadeRound) -> dict[str, Any]:
    """What the phone keeps of the station: the plan, and what its delivery names."""
    return made.phone | {
        "station": made.files.name,
        "slug": desk.path["station"],
        "file": made.files.file,
        "hashes": made.files.hashes,
        "on": made.on.isoformat(),
        "until": made.until.isoformat(),
        "signs": desk.may("sign"),
    }


def _here(desk: Desk) -> Response:
    """Who is signed in, a token to deliver with, and the yard's time: what a page from the phone's own store can't know."""
    return desk.told(
        {"person": desk.person, "token": desk.token(), "now": desk.now.isoformat(), "round": desk.may("round"), "format": FORMAT}
    )


def _deliver(desk: Desk) -> Response:
    told = read_delivery(desk.json)
    draft = keep(desk, desk.path["id"], told)
    found = standing(desk, draft)
    problem = ""
    if draft.state != "recorded" and (told.sign or told.close or _held_by(found)):
        found, problem = _ended(desk, found, told)
    if found.made is None and draft.state == "open":
        found = Standing(desk.site.drafts.mark(draft.id, "refused", problem=found.problem), None, None, found.problem)
    return desk.told(reply(desk, found, len(told.answers), problem))


def _ended(desk: Desk, found: Standing, told: Delivery) -> tuple[Standing, str]:
    """Signed or closed; or why not, in words, and everything stays kept. A round that was signed needs no second asking."""
    try:
        signer = check_signer(desk, told.sign.by, told.sign.password) if told.sign and not _held_by(found) else ""
        return finish(desk, found, signer), ""
    except InputError as error:
        return found, f"{error.says}. {error.try_}"


def _held_by(found: Standing) -> bool:
    """What happened ends the round: nobody signs it."""
    return found.round is not None and bool(happened(found.round))


def _offline(desk: Desk) -> Response:
    """Kept by every phone: what is shown for a page that is neither reached nor kept."""
    response = desk.page("round_offline.html.j2", "The yard can’t be reached")
    response.headers["cache-control"] = "no-cache"
    return response


def _kept(desk: Desk) -> Response:
    """The answers as they are kept, to take away."""
    import json

    draft = desk.site.drafts.get(desk.path["id"])
    return desk.file(
        json.dumps(_file(draft), ensure_ascii=False, indent=1).encode("utf-8", "replace"), f"round-{draft.id}.json", "application/json"
    )


def _file(draft: "Draft") -> dict[str, Any]:
    """As `steadycone round --answers` reads it."""
    return {"station": draft.digest, "plan": draft.plan, "answers": draft.answers}


PAGES = (
    get("/stations/{station}/round", _round, "round"),
    get("/rounds/here.json", _here),
    get("/offline", _offline, "open"),
    get("/rounds/{id}/answers.json", _kept),
    post("/rounds/{id}.json", _deliver, "round", most=MOST, takes="json"),
)
