"""Leaks at the technician's bench: the limit of a part, what a reading may hide, and the verdict at the unsafe end."""

from dataclasses import dataclass, replace
from typing import NamedTuple

from steadycone.data.reader import toml
from steadycone.physics.transient.bubble import bubble_volume
from steadycone.practice.finding import Verdict
from steadycone.units import GasFlow, ReferenceState, Share, Volume

_ROUNDING = 1e-9
BENCH_STATE = ReferenceState.parse("20 °C, 1.01325 bar")  # bench-limit-state


class Ends(NamedTuple):
    """A value with its ends."""

    value: float
    low: float
    high: float


class Judged(NamedTuple):
    """A verdict, and why, in a sentence that says what to do."""

    verdict: Verdict
    says: str


@dataclass(frozen=True, slots=True)
class LeakLimit:
    """What a leak may be [mol/s], None where nobody says; `told`: whose limit it is, in words; `source`: a key of data/sources.

    any_stops : bool   no figure is known, and whatever is seen is too much
    """

    amount: float | None
    told: str
    source: str
    any_stops: bool = False


def said(name: str) -> str:
    """A sentence of data/bench.toml. A missing name is our own fault and fails as a KeyError."""
    return str(toml("bench.toml")["says"][name])


def parts() -> tuple[str, ...]:
    """What can be tested for leaks, in the words of the worksheets."""
    return tuple(toml("bench.toml")["limit"])


def leak_limit(part: str | None, given: GasFlow | None, molar_mass: float) -> LeakLimit:
    """The limit somebody gave or the part's own, the stricter of both; with neither, none.

    Parameters
    ----------
    molar_mass : float   [kg/mol], of the test gas, for a limit given by mass

    Source      bench-limit-state; iso-2503-leaks; iso-9090-leak; iso-5175-reverse
    """
    own = LeakLimit(None, "none: neither part nor limit was given", "bench-unseen") if part is None else _own_limit(part)
    if given is None:
        return own
    amount = given.amount(molar_mass)
    if own.amount is not None and own.amount < amount:
        return replace(own, told=f"{own.told}; stricter than the {given.text} given")
    return LeakLimit(amount, f"as given, {given.text}", "gear-rating")


def _own_limit(part: str) -> LeakLimit:
    entry = toml("bench.toml")["limit"][part]
    amount = GasFlow.parse(entry["value"], BENCH_STATE).si if "value" in entry else None
    at = ", taken at 20 °C" if amount is not None else ""
    return LeakLimit(amount, entry["told"] + at, entry["source"], entry.get("any_stops", False))


def judge_leak(limit: LeakLimit, tested: float, service: float, seen: bool) -> Judged:
    """Go only when the unsafe ends in both gases are within the limit.

    Parameters
    ----------
    tested, service : float   [mol/s], the most that may leak of the test gas, and of the service gas
    seen : bool   something leaked; otherwise `tested` is only what the test could not have shown

    Source      bench-unseen; bench-limit-gas
    """
    if seen and limit.any_stops:
        return Judged("stop", said("leak-any"))
    if limit.amount is None:
        return Judged("caution", said("leak-no-limit"))
    most = limit.amount * (1.0 + _ROUNDING)
    if tested > most:
        return Judged("stop", said("leak-over")) if seen else Judged("caution", said("leak-blind"))
    if service > most:
        return Judged("caution", said("leak-service"))
    return Judged("go", said("leak-go"))


def one_bubble(given: Volume | None, tube: float | None) -> Ends:
    """Volume of one bubble [m³]: as given, from the outside diameter of the tube [m], or of a tube nobody measured.

    Source      bubble-default; bubble-rim; bubble-balance
    """
    if given is not None:
        return Ends(given.si, given.si, given.si)
    table = toml("bench.toml")["bubble"]
    if tube is not None:
        balance = bubble_volume(tube)
        return Ends(*(balance * share for share in table["rim"]))
    return Ends(*(Volume.parse(text).si for text in table["volume"]))


def counted(bubbles: float, time: float, volume: Ends) -> Ends:
    """Gas [m³/s] of a count [1/s] watched for a time [s], which may be one bubble off.

    Source      bubble-count
    """
    one = 1.0 / time
    return Ends(bubbles * volume.value, max(bubbles - one, 0.0) * volume.low, (bubbles + one) * volume.high)


def lacks_evidence(verdict: Verdict, says: str) -> bool:
    """Whether a verdict of the bench says no more than that the test could not show it: to be measured again, neither passed nor failed.

    Source      bench-lacking
    """
    return any(said(name) in says for name in toml("bench.toml")["lacking"].get(verdict, ()))


def only_doubt(leak: Ends, limit: float | None) -> bool:
    """Whether a leak that can't be told from none is over its limit only by what the test leaves open.

    Source      bench-lacking
    """
    return limit is not None and leak.low <= 0.0 and leak.value <= limit < leak.high


def judge_lock_up(share: Ends, limit: float, over_cap: bool) -> Judged:
    """A regulator's rise over its flowing pressure [share of it] when the flow stops, at its unsafe end.

    over_cap : the static pressure may be over what the gas may ever have in a hose

    Source      lock-up-limit
    """
    if over_cap:
        return Judged("stop", said("lock-up-cap"))
    return Judged("stop", said("lock-up-over")) if share.high > limit * (1.0 + _ROUNDING) else Judged("go", said("lock-up-go"))


def judge_least(flow: Ends, limit: float) -> Judged:
    """A flow that must be at least its limit (both in one unit), at its low end.

    Source      bench-flow-least
    """
    if flow.low >= limit * (1.0 - _ROUNDING):
        return Judged("go", said("flow-go"))
    return Judged("stop", said("flow-low" if flow.value < limit else "flow-may-be-low"))


def judge_cut_off(shut_at: Ends, limit: float, resets: bool) -> Judged:
    """A cut-off that must shut at its limit or sooner (both in one unit), at its unsafe end, and open again as its maker says.

    Source      bench-cut-off
    """
    if shut_at.high > limit + abs(limit) * _ROUNDING:
        return Judged("stop", said("cut-off-late"))
    return Judged("go", said("cut-off-go")) if resets else Judged("stop", said("cut-off-stuck"))


def meter_error() -> float:
    """What a flow meter of the bench may be off [share of its reading] where nobody says.

    Source      float-meter-error
    """
    return Share.parse(toml("bench.toml")["meter"]["error"]).si
