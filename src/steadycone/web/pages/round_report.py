"""A round's report: as a page, as JSON, to print."""

from starlette.responses import Response

from steadycone.errors import InputError
from steadycone.procedures.rounds import Round
from steadycone.web.desk import Desk
from steadycone.web.page import get
from steadycone.web.rounds.deliver import Standing, standing
from steadycone.web.rounds.made import MadeRound


def _found(desk: Desk) -> Standing:
    return standing(desk, desk.site.drafts.get(desk.path["id"]))


def _read(found: Standing) -> tuple[MadeRound, Round]:
    """Raises  InputError: the answers can't be read as a round any more."""
    if found.made is None or found.round is None:
        raise InputError(found.problem, where="round", try_="The answers as they were kept can be taken away as a file.")
    return found.made, found.round


def _report(desk: Desk) -> Response:
    found = _found(desk)
    made, now = _read(found)
    draft = found.draft
    return desk.page(
        "round_report.html.j2", f"Round: {draft.station}", view=made.view(now), draft=draft, hoses=made.card.view.hoses,
        refused=draft.problem if draft.state == "recorded" else "",
    )  # fmt: skip


def _json(desk: Desk) -> Response:
    from steadycone.render.json_card import card_bytes

    made, now = _read(_found(desk))
    return Response(card_bytes(made.report(now)), media_type="application/json")


def _pdf(desk: Desk) -> Response:
    from steadycone.render.round_pdf import pdf_round

    found = _found(desk)
    made, now = _read(found)
    return desk.file(pdf_round(made.view(now)), f"round-{found.draft.station}.pdf", "application/pdf", show=True)


PAGES = (
    get("/rounds/{id}/report", _report),
    get("/rounds/{id}/report.json", _json),
    get("/rounds/{id}/report.pdf", _pdf),
)
