"""A part's measured flow against its maker's curve, whatever gas each was taken with."""

from collections.abc import Sequence

from steadycone.data.reader import toml
from steadycone.errors import OutOfRange
from steadycone.physics.flow.resistance import Fit, FlowPoint, Resistance, fit, fit_band
from steadycone.physics.flow.stream import Stream
from steadycone.practice.bench import Ends, Judged, said
from steadycone.practice.finding import Verdict, worst
from steadycone.practice.limits import limit


def curve_flow(points: Sequence[FlowPoint], stream: Stream, inlet: float, drop: Ends, cracking: float = 0.0) -> Ends:
    """What the curve asks of a gas [kg/s] at an inlet [Pa absolute] and a drop [Pa] read with some doubt.

    Ends over the doubt of the drop and over what the points leave open.

    Raises
    ------
    OutOfRange : the drop cannot be told from the cracking pressure, or is not below the absolute inlet.

    Source      iso-6358; one-point-ratio
    """
    if not (drop.low > cracking and drop.value < inlet):
        raise OutOfRange(
            "the drop must be clear of the cracking pressure and of what the gauge reads, and below the absolute inlet",
            where="drop",
            try_="Write the drop with every digit you can read, or measure at a larger one.",
        )
    middle = fit(points, cracking)
    flows = [_flow(each, stream, inlet, fall, cracking) for each in (middle, *fit_band(points, cracking)) for fall in (drop.low, drop.high)]
    value = _flow(middle, stream, inlet, drop.value, cracking)
    return Ends(value, min(value, *flows), max(value, *flows))


def _flow(curve: Fit, stream: Stream, inlet: float, drop: float, cracking: float) -> float:
    part = Resistance(stream, curve.conductance, curve.critical_ratio, cracking)
    return part.mass_flow(inlet, max(inlet - drop, 0.0))


def conversion_doubt(converted: bool) -> float:
    """How far a share may be off because the curve is in another gas than the test's.

    Source      arrestor-conversion
    """
    return float(toml("bench.toml")["curve"]["conversion"]) if converted else 0.0


def is_far(points: Sequence[FlowPoint], inlet: float, drop: float) -> bool:
    """Whether a measured point [Pa absolute, Pa] lies far from every point of the curve.

    Source      arrestor-far-point
    """
    table = toml("bench.toml")["curve"]
    return not any(
        _within(drop, point.drop, table["far_drop"]) and _within(inlet, point.inlet_pressure, table["far_inlet"]) for point in points
    )


def _within(one: float, other: float, times: float) -> bool:
    return one <= times * other * (1.0 + 1e-9) and other <= times * one * (1.0 + 1e-9)


def judge_share(share: Ends, largest_loss: float, far: bool) -> Judged:
    """A part's share of its curve: its low end against the loss allowed, its value against what no sound part passes.

    Source      arrestor-bench-share; arrestor-over-curve; arrestor-far-point
    """
    over = toml("bench.toml")["curve"]["over"]
    found: list[tuple[Verdict, str]] = []
    if share.value <= 0.0:
        found.append(("stop", "curve-shut"))
    elif share.low < 1.0 - limit("arrestor-stop-times").si * largest_loss - 1e-9:
        found.append(("stop", "curve-low"))
    elif share.low < 1.0 - largest_loss - 1e-9:
        found.append(("caution", "curve-slightly"))
    if share.value > over:
        found.append(("caution", "curve-over"))
    if far:
        found.append(("caution", "curve-far"))
    if not found:
        return Judged("go", said("curve-go"))
    return Judged(worst(verdict for verdict, _ in found), " ".join(said(name) for _, name in found))
