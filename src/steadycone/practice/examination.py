"""A test as it goes into the register: its number against its limit, and which tests make an examination complete."""

from typing import Any, Literal, NamedTuple

from steadycone.data.reader import toml
from steadycone.errors import InputError
from steadycone.practice.bench import BENCH_STATE, leak_limit
from steadycone.units import GasFlow, Pressure, PressureDifference, Share, Temperature

TABLE = "examination.toml"
Outcome = Literal["within", "outside", "not judged"]
_ROUNDING = 1e-9
_MEASURES: dict[str, tuple[Any, ...]] = {
    "proof": (Pressure,),
    "lock-up": (Share,),
    "gauge error": (Share,),
    "cut-off": (Temperature, Pressure),
}


class Held(NamedTuple):
    """What a number came to. `limit`: what it was held to, in words; empty where no limit is known in its unit."""

    outcome: Outcome
    limit: str
    source: str = ""


def asked_of(kind: str) -> tuple[str, ...]:
    """The tests that make an examination of this kind complete; none where the kind has no list, and one test of any name is enough.

    Source      examination-lists-judged; act-arrestors; bench-order
    """
    return tuple(toml(TABLE)["tests"].get(kind, ())) if kind != "source" else ()


def window_days() -> float:
    """How far apart the tests of one examination may lie [days].

    Source      examination-lists-judged
    """
    text = str(toml(TABLE)["window"]["within"])
    return float(text.partition(" ")[0])


def held_to_limit(kind: str, test: str, value: str, given: str = "") -> Held:
    """A test's number against the kind's own limit and the one that the tester gave, the stricter of both.

    value, given : as written, with units. A flow is at 20 °C and 1.01325 bar, unless its unit says another state; flows by mass are
    held only against a limit by mass

    Source      bench-limit-state; examination-lists-judged
    """
    least = test in toml(TABLE)["least"]
    flow, asked = _read(GasFlow, value), _read(GasFlow, given) if given else None
    if flow is not None:
        return _held_flow(flow, asked, toml(TABLE)["limit"].get(kind, {}).get(test), least)
    for measure in _MEASURES.get(test, (PressureDifference,)):
        number, most = _read(measure, value), _read(measure, given) if given else None
        if number is not None:
            return _held_other(number.si, most and most.si, toml(TABLE)["own"].get(kind, {}).get(test), least, given, measure)
    return Held("not judged", "")


def _held_other(value: float, given: float | None, own: dict[str, str] | None, least: bool, text: str, measure: Any) -> Held:
    """A number that is no flow against the limit given and the kind's own, the stricter of both."""
    limit = None if own is None else float(measure.parse(own["value"]).si)
    if own is not None and limit is not None and (given is None or (limit > given if least else limit < given)):
        return _compared(value, limit, least, own["told"], own["source"])
    return Held("not judged", "") if given is None else _compared(value, given, least, f"the {text} given", "gear-rating")


def _held_flow(flow: GasFlow, asked: GasFlow | None, name: str | None, least: bool) -> Held:
    if flow.by_mass or (asked and asked.by_mass):
        if asked is None or not (flow.by_mass and asked.by_mass):
            return Held("not judged", "")
        return _compared(flow.si, asked.si, least, f"the {asked.text} given", "gear-rating")
    limit = leak_limit(name, asked, 1.0)
    if limit.amount is None:
        return Held("not judged", "")
    told = limit.told.replace("as given, ", "the ") + (" given" if limit.source == "gear-rating" else "")
    return _compared(flow.si, limit.amount, least, told, limit.source)


def _compared(value: float, limit: float, least: bool, told: str, source: str) -> Held:
    fits = value >= limit * (1.0 - _ROUNDING) if least else value <= limit * (1.0 + _ROUNDING)
    return Held("within" if fits else "outside", told, source)


def _read(measure: Any, text: str) -> Any:
    """None where the text is of another kind of measure."""
    try:
        return measure.parse(text, BENCH_STATE)
    except InputError:
        return None
