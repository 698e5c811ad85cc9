"""One answer's value, read by what its step asks for."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal

from steadycone.errors import BadUnit, InputError, OutOfRange, nearest
from steadycone.practice.drop import read_side
from steadycone.procedures.rounds.answers import LONGEST, Answer
from steadycone.procedures.rounds.limits import limit
from steadycone.procedures.rounds.plan import PlanStep
from steadycone.quantity import Quantity, exact
from steadycone.units import Measure, Pressure, Share, Temperature

_YES = {"done", "yes", "y", "ok", "pass", "tick", "ticked", "true"}
_NO = {"fail", "failed", "no", "n", "stop", "false"}
NAMED = ("who", "sign")  # steps that ask for a person's name
_NOT_READ = {"not read", "can't read", "can’t read", "no gauge", "none"}


@dataclass(frozen=True, slots=True)
class Value:
    """What was said: a text, a number where one was read, and whether it stops by itself.

    number : gauge pressure, temperature or share; None = none asked, or not read
    half_digit : half of the last digit written, SI
    until : a time of day, as the next moment it comes
    """

    said: str
    stops: bool = False
    number: Quantity | None = None
    half_digit: float = 0.0
    until: datetime | None = None
    finer: bool = False  # than the marks that were assumed for the gauge

    @property
    def not_read(self) -> bool:
        return self.number is None and self.said in _NOT_READ


def read_value(step: PlanStep, answer: Answer, atmosphere: float) -> Value:
    """The value of one answer.

    Raises  InputError: not an answer to this step; BadUnit, OutOfRange: a reading that can't be, or finer than its gauge.
    """
    said = _said(answer)
    if not said:
        raise InputError("an empty answer", where=step.id, try_="Enter alone is never a yes.")
    if step.kind in ("tick", "wait"):
        return _tick(step, said)
    if step.kind == "choice":
        return _choice(step, said)
    if step.kind == "text":
        return _text(step, said)
    # a gauge may be unreadable; without the shift's end nothing can be signed
    if said.lower() in _NOT_READ and step.reading != "time of day":
        return Value(said.lower())
    try:
        return _reading(step, said, answer.at, atmosphere)
    except InputError as error:
        error.where = step.id
        raise


def _said(answer: Answer) -> str:
    """One line of text: what a terminal would obey is taken out."""
    if isinstance(answer.value, bool):
        return "done" if answer.value else "fail"
    if len(answer.value) > LONGEST:
        raise InputError(f"an answer of {len(answer.value)} characters", where=answer.step, try_=f"At most {LONGEST}.")
    return " ".join("".join(letter if letter.isprintable() else " " for letter in answer.value).split())


def _text(step: PlanStep, said: str) -> Value:
    if step.id in NAMED and sum(letter.isalpha() for letter in said) < limit("name").si:
        raise InputError(f'"{said[:40]}" is no name', where=step.id, try_="Write the name by which people know you.")
    return Value(said)


def _tick(step: PlanStep, said: str) -> Value:
    head, _, reason = said.partition(":")
    word = head.strip().lower()
    if word in _YES and not reason.strip():
        return Value("done")
    if word in _NO:
        return Value(f"fail: {reason.strip()}" if reason.strip() else "fail", stops=True)
    raise InputError(f'"{said[:60]}" is not an answer here', where=step.id, try_='Write "done", or "fail: what you saw".')


def _choice(step: PlanStep, said: str) -> Value:
    for option in step.options:
        if said.lower() == option.value.lower():
            return Value(option.value, stops=option.stop)
    raise InputError(
        f'"{said[:60]}" is not a choice here', where=step.id, try_=nearest(said[:60], [option.value for option in step.options])
    )


def _reading(step: PlanStep, said: str, at: datetime, atmosphere: float) -> Value:
    if step.reading == "time of day":
        return Value(said, until=_time_of_day(said, at))
    read: Measure
    if step.reading == "temperature":
        read = Temperature.parse(said)
        if not 220.0 < read.si < 335.0:
            raise OutOfRange(f'"{said}" is no temperature to work at', try_="Check the unit: °C or °F.")
        return Value(said, number=exact(read.si, "temperature"), half_digit=read.half_digit)
    if step.reading == "share":
        read = Share.parse(said)
        if not said.rstrip().endswith("%") or read.si > 1.0:
            raise BadUnit(f'"{said}" is not a share in per cent', try_='Write for example "20.9 %".')
        return Value(said, number=exact(read.si, "share"), half_digit=read.half_digit)
    return _gauge(step, said, atmosphere)


def _gauge(step: PlanStep, said: str, atmosphere: float) -> Value:
    """A reading of a gauge: on a mark or no finer than its marks, and not below the air around."""
    assert step.division is not None
    read = Pressure.parse(said)
    pressure = read.gauge(atmosphere)
    if pressure < -0.5 * step.division.si:
        raise OutOfRange(f'"{said}" is below the air around', try_="A gauge under test shows pressure; check the sign, and abs or not.")
    side: Literal["high", "low"] = "high" if step.reading == "high" else "low"
    if step.assumed:
        return Value(said, number=exact(pressure, "gauge pressure"), half_digit=read.half_digit, finer=_finer(side, read, step, atmosphere))
    try:
        read_side(side, 1.0, read, read, step.division, atmosphere)
    except InputError as error:
        error.try_ = f"Read to the nearest {step.division.text}; finer marks are stated in the station file as {'inlet' if side == 'high' else 'outlet'}_division."
        raise
    return Value(said, number=exact(pressure, "gauge pressure"), half_digit=read.half_digit)


def _finer(side: Literal["high", "low"], read: Pressure, step: PlanStep, atmosphere: float) -> bool:
    """Whether a reading lies between the marks that were assumed: the gauge then has finer ones."""
    assert step.division is not None
    try:
        read_side(side, 1.0, read, read, step.division, atmosphere)
    except InputError:
        return True
    return False


def _time_of_day(said: str, at: datetime) -> datetime:
    """The next time it is that o'clock, in the answer's own zone."""
    hint = 'Write hours and minutes: "16:30".'
    hours, colon, minutes = said.partition(":")
    if not (
        colon and hours.isascii() and hours.isdigit() and minutes.isascii() and minutes.isdigit() and len(hours) <= 2 and len(minutes) == 2
    ):
        raise InputError(f'"{said[:40]}" is not a time of day', try_=hint)
    if int(hours) > 23 or int(minutes) > 59:
        raise OutOfRange(f'"{said}" is not on the clock', try_=hint)
    longest = limit("longest-shift").si
    until = at.replace(hour=int(hours), minute=int(minutes), second=0, microsecond=0)
    if until <= at:
        until += timedelta(days=1)
    if (until - at).total_seconds() > longest:
        raise OutOfRange(f'"{said}" is more than {longest / 3600:g} h ahead', try_="A sign-off lasts no longer than one shift.")
    return until
