"""What the reverse-flow answers must not be trusted for, and what would have prevented them, on this station."""

from steadycone.errors import SteadyconeError
from steadycone.physics.gas import dew_pressure
from steadycone.whatif.common.pushed import Pushed
from steadycone.whatif.common.rig import Rig
from steadycone.whatif.frame import Prevention

SOURCES = (
    "hose-march", "nozzle-ideal", "isothermal-pipe", "taylor-dispersion", "bureau-of-mines", "judged-torch-open", "judged-mixing-point",
    "judged-burnable", "reverse-flow",
)  # fmt: skip


def doubts(pushed: Pushed) -> tuple[str, ...]:
    """Keys of [not_trusted]."""
    found = ["openings", "arrestor-valve", "limits", "plug"]
    if len([1 for part in pushed.rig.line(pushed.back.receiver).line.part if part.word in ("hose", "pipe")]) > 1:
        found.append("hoses")
    if pushed.back.valve in ("leaking", "failed"):
        found.append("valve")
    if pushed.back.far is not None:
        found.append("far-end")
    if condenses(pushed):
        found.append("condenses")
    return tuple(found)


def condenses(pushed: Pushed) -> bool:
    """Whether the fuel ahead of the front is pushed over its dew pressure: part of it is then liquid, and the front goes further."""
    if pushed.back.receiver != "fuel" or not pushed.case.pushes():
        return False
    try:
        return pushed.case.lumped(pushed.time).pressure > dew_pressure(pushed.rig.fuel, pushed.rig.temperature)
    except SteadyconeError:  # the gas has no dew point at this temperature
        return False


def _check_valve(fitted: str, receiver: str, asked: str) -> Prevention:
    """Told of the valve in the question, not of the one in the file: one that the question takes as failed shut nothing off."""
    if asked == "good":
        return Prevention("check-valve", "fitted", fitted or receiver)
    return Prevention("check-valve-failed" if fitted else "check-valve", "always" if fitted else "missing", fitted or receiver)


def preventions(rig: Rig, receiver: str, asked: str) -> tuple[Prevention, ...]:
    """Check valve and arrestor at the torch: what would have held. `asked`: the valve as it is in this question, "good", "leaking" or "none"."""
    valve, arrestor = rig.check_valve(receiver), rig.arrestor(receiver, at_torch=True) or rig.arrestor(receiver, at_torch=False)
    return (
        _check_valve(valve, receiver, asked),
        Prevention("arrestor", "fitted" if arrestor else "missing", arrestor or receiver),
    )
