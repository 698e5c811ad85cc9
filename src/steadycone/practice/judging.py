"""The two ways a number is judged, not above and not below, always at its unsafe end; and the words for what was judged."""

from typing import NamedTuple

from steadycone.assembly.figures import Figures, LineFigures
from steadycone.practice.finding import Finding, Verdict
from steadycone.quantity import End, Quantity, exact, unknown

AS_SET = ", as set"
# Two roads to the same number (15 psi, or 30 psi absolute less the atmosphere) differ in the last digit: that is no excess.
_ROUNDING = 1e-9


class Ends(NamedTuple):
    """The three numbers of a quantity that is known."""

    value: float
    low: float
    high: float


def ends(quantity: Quantity | None) -> Ends | None:
    """The numbers of a quantity, or None when it is not known or cannot apply."""
    if quantity is None or quantity.value is None or quantity.low is None or quantity.high is None:
        return None
    return Ends(quantity.value, quantity.low, quantity.high)


def higher(first: Quantity, second: Quantity) -> Quantity:
    """The higher of two quantities at each end; one that is not known makes the answer unknown."""
    a, b = ends(first), ends(second)
    if a is None or b is None:
        return unknown(first.kind)
    return Quantity(max(a.value, b.value), max(a.low, b.low), max(a.high, b.high), first.kind)


def total(first: Quantity, second: Quantity) -> Quantity:
    """The sum of two quantities, unknown when either is."""
    a, b = ends(first), ends(second)
    if a is None or b is None:
        return unknown(first.kind)
    return Quantity(a.value + b.value, a.low + b.low, a.high + b.high, first.kind)


def not_above(
    code: str,
    subject: str,
    value: Quantity,
    *,
    stop: float | None = None,
    caution: float | None = None,
    sources: tuple[str, ...] = (),
    blanks: dict[str, Quantity | str] | None = None,
) -> Finding:
    """A value that must not pass a limit, judged at its high end; at the limit itself it is still go.

    At least one of `stop` and `caution` is given. An unknown value is a caution with the text "unknown".
    The limit shown is the one that was passed, else the nearer one.
    """
    return _judged(code, subject, value, stop, caution, sources, blanks, sign=1.0)


def not_below(
    code: str,
    subject: str,
    value: Quantity,
    *,
    stop: float | None = None,
    caution: float | None = None,
    sources: tuple[str, ...] = (),
    blanks: dict[str, Quantity | str] | None = None,
) -> Finding:
    """The mirror of not_above: a value that must reach a limit, judged at its low end."""
    return _judged(code, subject, value, stop, caution, sources, blanks, sign=-1.0)


def _judged(
    code: str,
    subject: str,
    value: Quantity,
    stop: float | None,
    caution: float | None,
    sources: tuple[str, ...],
    blanks: dict[str, Quantity | str] | None,
    sign: float,
) -> Finding:
    nearer = caution if caution is not None else stop
    if nearer is None:
        raise ValueError(f"{code}: a limit is needed")
    known = ends(value)
    if known is None:
        return Finding(
            code, "caution", subject, value, exact(nearer, value.kind), unknown(value.difference), sources, blanks or {}, "unknown"
        )
    end: End = "high" if sign > 0 else "low"
    worst = known.high if sign > 0 else known.low
    verdict: Verdict = "go"
    shown = nearer
    if stop is not None and _passes(worst, stop, sign):
        verdict, shown = "stop", stop
    elif caution is not None and _passes(worst, caution, sign):
        verdict = "caution"
    margin = value.map(lambda x: sign * (shown - x), value.difference)
    return Finding(code, verdict, subject, value, exact(shown, value.kind), margin, sources, blanks or {}, end=end)


def _passes(value: float, limit: float, sign: float) -> bool:
    return sign * (value - limit) > _ROUNDING * abs(limit)


def word(line: LineFigures | str) -> str:
    """How a line is called: oxygen, fuel, preheat oxygen."""
    name = line if isinstance(line, str) else line.name
    return name.replace("_", " ")


def gas_name(figures: Figures, line: LineFigures | str) -> str:
    """The gas of a line as the station file names it: "oxygen", or the fuel such as "lpg"."""
    name = line if isinstance(line, str) else line.name
    return str(figures.setup.station.station.fuel) if name == "fuel" else "oxygen"


def is_acetylene(figures: Figures) -> bool:
    """Whether the station burns acetylene."""
    return figures.setup.station.station.fuel == "acetylene"
