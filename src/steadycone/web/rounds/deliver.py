"""What a phone sends: kept first, then folded, then told what came of it. The same delivery again changes nothing."""

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

import msgspec

from steadycone.errors import InputError, Refused, SteadyconeError
from steadycone.procedures.rounds import Folded, Round, fold_file, judged, next_step, read_answers, sign_off
from steadycone.procedures.rounds.sign import state
from steadycone.web.rounds.made import MadeRound, made_of

if TYPE_CHECKING:
    from steadycone.records.drafts import Draft
    from steadycone.web.desk import Desk


class Sign(msgspec.Struct, forbid_unknown_fields=True):
    by: str
    password: str


class Delivery(msgspec.Struct, forbid_unknown_fields=True):
    """All of a round so far, from the first answer on, as the phone has it. `close`: the stop stands, the round ends here."""

    station: str
    file: str
    hashes: dict[str, str]
    on: date
    digest: str
    plan: str
    answers: list[Any]
    waiting: tuple[str, str] | None = None
    close: bool = False
    sign: Sign | None = None


@dataclass(frozen=True, slots=True)
class Standing:
    """A draft, and how far its answers bring a round. `made` None: its files or its plan are not these any more, `problem` says so."""

    draft: "Draft"
    made: MadeRound | None
    folded: Folded | None
    problem: str = ""

    @property
    def round(self) -> Round | None:
        return self.folded.round if self.folded else None


def read_delivery(found: object) -> Delivery:
    """Raises  InputError."""
    try:
        return msgspec.convert(found, Delivery)
    except msgspec.ValidationError as error:
        raise InputError(f"not a round: {str(error)[:200]}", where="round", try_="Load the page again.") from error


def keep(desk: "Desk", id_: str, told: Delivery) -> "Draft":
    """Raises  InputError, Refused."""
    return desk.site.drafts.extend(
        id_, station=told.station, file=told.file, hashes=told.hashes, on=told.on, digest=told.digest, plan=told.plan,
        answers=told.answers, waiting=told.waiting, author=desk.person,
    )  # fmt: skip


def add(desk: "Desk", draft: "Draft", answers: list[Any], waiting: tuple[str, str] | None = None) -> "Draft":
    """The draft with more answers, given at this desk.

    Raises  Refused: another person's, or somebody else was faster.
    """
    return desk.site.drafts.extend(
        draft.id, station=draft.station, file=draft.file, hashes=draft.hashes, on=draft.on, digest=draft.digest, plan=draft.plan,
        answers=[*draft.answers, *answers], waiting=waiting, author=desk.person,
    )  # fmt: skip


def standing(desk: "Desk", draft: "Draft") -> Standing:
    """How far it is. What can't be read any more is kept, and said."""
    try:
        made = made_of(desk.yard, desk.site, draft.file, draft.hashes, draft.on)
        _check(made, draft)
        found = read_answers({"station": draft.digest, "plan": draft.plan, "answers": draft.answers})
        folded = fold_file(made.plan, found)
    except (InputError, Refused) as error:
        return Standing(draft, None, None, _said(error))
    return Standing(draft, made, folded, _said(folded.problem) if folded.problem else "")


def _check(made: MadeRound, draft: "Draft") -> None:
    if made.files.digest != draft.digest or made.files.name != draft.station:
        raise InputError("the files are not the ones it was begun with", where="round", try_="Begin a new round; the answers stay kept.")


def _said(error: SteadyconeError) -> str:
    told = error if isinstance(error, InputError) else None
    where = f"{told.where}: " if told and told.where else ""
    return f"{where}{error.says}. {error.try_}".strip()


def reply(desk: "Desk", found: Standing, sent: int, problem: str = "") -> dict[str, Any]:
    """What the phone is told. `answers` only where more are kept than it sent."""
    draft, now = found.draft, found.round
    told: dict[str, Any] = {
        "kept": len(draft.answers),
        "taken": len(now.log) if now else 0,
        "draft": draft.state,
        "event": draft.event,
        "problem": problem or draft.problem or found.problem,
        "now": desk.now.isoformat(),
    }
    if len(draft.answers) > sent:
        told["answers"] = draft.answers
    if now is not None and found.made is not None:
        told |= _told(now, found.made)
    return told


def _told(now: Round, made: MadeRound) -> dict[str, Any]:
    told, coming, signed = made.words, next_step(now), sign_off(now)
    findings = [(each, told.finding(each, now)) for each in judged(now)]
    return {
        "state": state(now),
        "next": coming.id if coming else None,
        "stops": [[each.step.id, told.words.says(said), told.words.remedy(said)] for each, said in findings if said.verdict == "stop"],
        "notes": [told.words.says(said) for _, said in findings if said.verdict == "caution"],
        "drops": [[each.drop.line, said.verdict, told.words.says(said)] for each, said in findings if each.drop is not None],
        "until": signed.valid_until.isoformat() if signed else None,
    }
