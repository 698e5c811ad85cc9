"""Answers as a file has them: JSON already read, still doubted."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from steadycone.errors import BadFile, InputError

MOST = 2000  # answers; a round has under a hundred steps
LONGEST = 300  # characters of one answer
_YEARS = (1990, 2200)
_KEYS = {"step", "value", "at", "again", "since"}


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer.

    at : when it was given, with its zone
    again : the round is gone again from this step; what came after it counts no more
    since : of a wait, when it was begun; left out: with the answer before
    """

    step: str
    value: str | bool
    at: datetime
    again: bool = False
    since: datetime | None = None

    def out(self) -> dict[str, Any]:
        """As the file has it."""
        told: dict[str, Any] = {"step": self.step, "value": self.value, "at": self.at.isoformat()}
        if self.again:
            told["again"] = True
        if self.since:
            told["since"] = self.since.isoformat()
        return told


@dataclass(frozen=True, slots=True)
class AnswersFile:
    """station : the hash it names. plan : the plan it was begun with, or empty. waiting : a wait that was begun, (step, since)."""

    station: str
    plan: str
    answers: tuple[Answer, ...]
    waiting: tuple[str, datetime] | None = None
    bad: InputError | None = None  # of the first answer that can't be read; those before it are kept


def read_answers(found: object) -> AnswersFile:
    """What an answers file holds. An answer that can't be read ends the list: those before it stay, `bad` says why.

    Raises  BadFile: not an object with a station and a list of answers.
    """
    table = _table(found, "the file")
    station, given = table.get("station"), table.get("answers")
    if not isinstance(station, str) or not isinstance(given, list):
        raise BadFile(
            "no station or no list of answers", where="answers", try_='Write {"station": hash, "answers": [{"step", "value", "at"}]}.'
        )
    if len(given) > MOST:
        raise BadFile(f"{len(given)} answers", where="answers", try_=f"A round takes at most {MOST}.")
    answers: list[Answer] = []
    bad = None
    for place, each in enumerate(given, 1):
        try:
            answers.append(_answer(_table(each, f"answer {place}")))
        except InputError as error:
            error.at(f"answer {place}")
            bad = error
            break
    plan = table.get("plan")
    return AnswersFile(station, plan if isinstance(plan, str) else "", tuple(answers), _waiting(table.get("waiting")), bad)


def _waiting(found: object) -> tuple[str, datetime] | None:
    if not isinstance(found, Mapping):
        return None
    return str(found.get("step")), moment(found.get("since"), "waiting, since")


def _table(found: object, where: str) -> Mapping[str, Any]:
    if not isinstance(found, Mapping):
        raise BadFile("not an object", where=where, try_='Write {"step": …, "value": …, "at": …}.')
    return found


def _answer(found: Mapping[str, Any]) -> Answer:
    missing = [key for key in ("step", "value", "at") if key not in found]
    if missing:
        raise InputError(f"{missing[0]} is missing", where=str(found.get("step", ""))[:60], try_="An answer has step, value and at.")
    unknown = sorted(str(key) for key in found if key not in _KEYS)
    if unknown:
        raise InputError(
            f'"{unknown[0][:60]}" is not a part of an answer', where=str(found["step"])[:60], try_="Parts: step, value, at, again, since."
        )
    step, value, again = found["step"], found["value"], found.get("again", False)
    if not isinstance(step, str):
        raise InputError("the step is not text", where="step", try_="Take the id from steadycone round STATION --plan.")
    if not isinstance(value, str | bool):
        raise InputError(
            "the value is not text",
            where=step[:60],
            try_='Write a reading with its unit, such as "3.3 bar"; a tick as "done" or "fail: why".',
        )
    if not isinstance(again, bool):
        raise InputError("again is not true or false", where=step[:60], try_="Leave it out, or write true.")
    since = moment(found["since"], step[:60]) if found.get("since") is not None else None
    return Answer(step, value, moment(found["at"], step[:60]), again, since)


def moment(found: object, where: str) -> datetime:
    """An ISO time with its zone.

    Raises  InputError.
    """
    hint = 'Write date, time and zone: "2026-11-25T14:27:00+00:00".'
    try:
        time = datetime.fromisoformat(found) if isinstance(found, str) else None
    except ValueError:
        time = None
    if time is None:
        raise InputError(f"{str(found)[:40]!r} is not a time", where=where, try_=hint)
    if not _YEARS[0] <= time.year <= _YEARS[1]:
        raise InputError(f"{str(found)[:40]!r} is outside the calendar of a station", where=where, try_=hint)
    if time.utcoffset() is None:
        raise InputError(f"{str(found)[:40]!r} has no zone", where=where, try_=hint)
    return time
