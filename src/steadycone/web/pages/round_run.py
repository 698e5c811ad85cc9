"""A round one step a page, answer by answer on the server's clock: what works without script."""

from datetime import datetime, timedelta
from typing import Any

from starlette.responses import Response

from steadycone.errors import InputError, Refused
from steadycone.procedures.rounds import Answer, PlanStep, Round, happened, next_step, stops, take, upcoming, wait_since
from steadycone.procedures.rounds.sign import state
from steadycone.records.names import key
from steadycone.records.times import new_id
from steadycone.web.answer import status_of
from steadycone.web.desk import Desk
from steadycone.web.page import get, post
from steadycone.web.rounds.deliver import Standing, add, standing
from steadycone.web.rounds.finish import check_signer, finish
from steadycone.web.rounds.made import MadeRound, made_now
from steadycone.web.rounds.show import ahead, cautions, told_stops
from steadycone.web.rounds.typed import value_of


def _begin(desk: Desk) -> Response:
    made = made_now(desk.yard, desk.site, desk.station().name, desk.today)
    files, id_ = made.files, new_id(desk.now)
    desk.site.drafts.extend(
        id_, station=files.name, file=files.file, hashes=files.hashes, on=made.on, digest=files.digest, plan=made.plan.hash, answers=[],
        author=desk.person,
    )  # fmt: skip
    return desk.to(f"/rounds/{id_}")


# --- what is asked next -----------------------------------------------------------------


def _show(desk: Desk) -> Response:
    found = standing(desk, desk.site.drafts.get(desk.path["id"]))
    return _page(desk, found, desk.asked.get("step", ""), again=desk.asked.get("again") == "yes")


def _page(
    desk: Desk, found: Standing, asked: str = "", *, again: bool = False, problem: str = "", typed: str = "", status: int = 200
) -> Response:
    """The step that is next, or the one asked for once more; the stop; or what became of it."""
    draft = found.draft
    if draft.state == "recorded":
        return desk.to(f"/rounds/{draft.id}/report")
    now, made = found.round, found.made
    if now is None or made is None or key(draft.author) != key(desk.person):
        return desk.page(
            "round_kept.html.j2",
            f"Round: {draft.station}",
            status=status,
            draft=draft,
            problem=found.problem,
            slug=_slug(desk, draft.station),
        )
    step = made.plan.step(asked) if asked and asked in now.given else _next(now, made)
    return desk.page(
        "round_now.html.j2", f"Round: {draft.station}", status=status, draft=draft, made=made, hoses=made.card.view.hoses,
        slug=_slug(desk, draft.station), screen=made.screens[made.plan.index(step.id)] if step else None, again=again, fix=bool(asked) and not again,
        ask=_ask(made, step), problem=problem or found.problem, typed=typed, wait=_wait(desk, found, now, step), before=_before(now, step),
        ahead=ahead(made, now) if step and step.group == "purge-ready" else (), cautions=_under_name(now, made) if step and step.id == "sign" else (),
        stops=told_stops(now, made), stopped=state(now) == "stopped", count=len(now.given), answered=_answered(now, made),
    )  # fmt: skip


def _next(now: Round, made: MadeRound) -> PlanStep | None:
    """What is asked: the signature too where a name stands that nobody confirmed yet."""
    return made.plan.step("sign") if state(now) == "signed" else next_step(now)


def _slug(desk: Desk, name: str) -> str:
    """The station's address; empty where it is retired."""
    return next((slug for slug, station in desk.yard.stations(desk.site).items() if station.name == name), "")


def _begun(found: Standing, step: PlanStep) -> datetime | None:
    waiting = found.draft.waiting
    return datetime.fromisoformat(waiting[1]) if waiting and waiting[0] == step.id else None


def _wait(desk: Desk, found: Standing, now: Round, step: PlanStep | None) -> dict[str, Any] | None:
    """Since when the wait runs, and when it is over."""
    if step is None or step.kind != "wait" or step.seconds is None:
        return None
    since = wait_since(now, step) if step.runs_on else _begun(found, step)
    if since is None:
        return None
    due = since + timedelta(seconds=step.seconds)
    return {"since": since, "due": due.astimezone(desk.now.tzinfo), "over": desk.now >= due}


def _ask(made: MadeRound, step: PlanStep | None) -> dict[str, Any] | None:
    """How the reading is asked, for plus and minus."""
    return made.phone["steps"][made.plan.index(step.id)].get("asked") if step else None


def _before(now: Round, step: PlanStep | None) -> tuple[str, str]:
    """The reading that this one is held beside, as it was said, and when it was taken; empty for none."""
    first = now.given.get(step.id.replace("leak-end-", "leak-start-")) if step and step.id.startswith("leak-end-") else None
    return (first.value.said, f"{first.first_at:%H:%M}") if first else ("", "")


def _under_name(now: Round, made: MadeRound) -> list[tuple[str, str]]:
    from steadycone.procedures.rounds import judged

    words = made.words
    own = [(each.finding.verdict, words.words.says(words.finding(each, now))) for each in judged(now) if each.finding.verdict != "go"]
    return [*own, *cautions(made)]


def _answered(now: Round, made: MadeRound) -> list[tuple[int, str, str, str]]:
    return [
        (made.words.number(step), step.id, made.screens[made.plan.index(step.id)].title, given.value.said) for step, given in now.answered
    ]


# --- one answer -------------------------------------------------------------------------


def _answer(desk: Desk) -> Response:
    draft = desk.site.drafts.get(desk.path["id"])
    found = standing(desk, draft)
    now, made = found.round, found.made
    if now is None or made is None or draft.state == "recorded":
        return desk.to(f"/rounds/{draft.id}")
    step = made.plan.step(desk.field("step"))
    if step.id == "sign":
        raise InputError("a name alone is no signature", where="sign", try_="Sign with name and password, on the last page of the round.")
    if desk.field("do", "") == "begin":
        return _begin_wait(desk, found, step)
    again = bool(desk.field("again", ""))
    try:
        answer = Answer(step.id, value_of(desk, step, made.words), desk.now.replace(microsecond=0), again=again, since=_begun(found, step))
        take(now, answer)
    except Refused:
        raise
    except InputError as error:
        typed = desk.field("number", "") or desk.field("text", "")
        return _page(
            desk,
            found,
            step.id if step.id in now.given else "",
            again=again,
            problem=f"{error.says}. {error.try_}",
            typed=typed,
            status=status_of(error),
        )
    after = standing(desk, add(desk, draft, [answer.out()]))
    if after.round is not None and happened(after.round):
        finish(desk, after)  # the station is held from now on, whether or not anybody closes the round
    return desk.to(f"/rounds/{draft.id}")


def _begin_wait(desk: Desk, found: Standing, step: PlanStep) -> Response:
    assert found.made is not None
    lead = found.made.screens[found.made.plan.index(step.id)].lead
    since = desk.now.replace(microsecond=0) + timedelta(seconds=lead)
    add(desk, found.draft, [], waiting=(step.id, since.isoformat()))
    return desk.to(f"/rounds/{found.draft.id}")


# --- the end ----------------------------------------------------------------------------


def _sign(desk: Desk) -> Response:
    """Sign-off asks for the person again: it may be another than the one who went round."""
    draft = desk.site.drafts.get(desk.path["id"])
    found = standing(desk, draft)
    now, name = found.round, desk.field("name", "")
    if now is None or found.made is None or draft.state == "recorded":
        return desk.to(f"/rounds/{draft.id}")
    try:
        if upcoming(now) is not None and upcoming(now).id != "sign":  # type: ignore[union-attr]
            raise InputError("it is not ready to be signed", where="sign", try_="Answer every step first.")
        person = check_signer(desk, name, desk.text("password", ""))
        answer = Answer("sign", person, desk.now.replace(microsecond=0), again="sign" in now.given)
        take(now, answer)
        found = standing(desk, add(desk, draft, [answer.out()]))
        finish(desk, found, person)
    except InputError as error:
        return _page(
            desk,
            found,
            "sign" if now and "sign" in now.given else "",
            problem=f"{error.says}. {error.try_}",
            typed=name,
            status=status_of(error),
        )
    return desk.to(f"/rounds/{draft.id}/report")


def _close(desk: Desk) -> Response:
    """The stop stands, and the round ends with it."""
    found = standing(desk, desk.site.drafts.get(desk.path["id"]))
    if key(found.draft.author) != key(desk.person):
        raise Refused(f"this round is {found.draft.author}’s", where="round", try_="Let them close it.")
    if found.round is not None and not stops(found.round) and not found.round.plan.card_stops:
        raise InputError("no stop stands", where="round", try_="Go on with it.")
    finish(desk, found)
    return desk.to(f"/rounds/{found.draft.id}/report")


PAGES = (
    post("/stations/{station}/rounds", _begin, "round"),
    get("/rounds/{id}", _show),
    post("/rounds/{id}", _answer, "round"),
    post("/rounds/{id}/sign", _sign, "round"),
    post("/rounds/{id}/close", _close, "round"),
)
