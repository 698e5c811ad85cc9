"""The verdict of a pressure-drop test, at the unsafe end of everything it leaves open."""

from steadycone.assembly.ceiling import loosest_cap, strictest_cap
from steadycone.physics.transient.leak import leak_at
from steadycone.practice.drop.movement import Movement
from steadycone.practice.drop.pattern import Pattern
from steadycone.practice.drop.readings import DropTest
from steadycone.practice.finding import Verdict, worst
from steadycone.quantity import Quantity

SOURCES = ("drop-verdict", "drop-acetylene-caps", "leak-reject-two-litres", "leak-scaling")


def verdict(
    test: DropTest, high: Movement, low: Movement, found: Pattern, floor_at_working: Quantity | None
) -> tuple[Verdict, tuple[str, ...]]:
    """Verdict and its reasons.

    stop      a leak, a passing seat or a passing cylinder valve was seen; a movement was proved that nothing else explains away, even
              when its cause is not clear; or acetylene stands over its cap at the upper end of its reading.
    caution   not clear with nothing proved; or nothing moved, but a leak that the policy rejects need not have moved the gauges.
    go        nothing moved, and each gauge would have moved for the leak that the policy rejects. With the screw in the leak may
              show on either gauge or be shared by both, so there the two floors together must.

    Source      drop-verdict
    """
    judged: list[tuple[Verdict, str]] = [_reading(test, high, low, found, floor_at_working)]
    for each in _cap(test):
        judged.insert(0 if each[0] == "stop" else len(judged), each)  # over its cap comes before any leak
    return worst(each for each, _ in judged), tuple(dict.fromkeys((*(why for _, why in judged if why), *found.because)))


def _reading(test: DropTest, high: Movement, low: Movement, found: Pattern, floor_at_working: Quantity | None) -> tuple[Verdict, str]:
    if found.reading == "not clear":
        return ("stop", "a gauge moved") if high.moved or low.moved else ("caution", "not clear")
    if found.reading != "no movement seen":
        return "stop", {"seat passing": "the seat passes", "cylinder valve passing": "the cylinder valve passes"}.get(
            found.reading, "a leak was seen"
        )
    floors = [high.floor.high, (floor_at_working or low.floor).high]
    if test.screw == "in" and None not in floors:
        floors = [sum(floor for floor in floors if floor is not None)]
    if any(floor is None or floor > test.acceptance for floor in floors):
        return "caution", "floor above acceptance"
    return "go", "nothing moved"


def _cap(test: DropTest) -> list[tuple[Verdict, str]]:
    """Acetylene on the low side, at the upper half step of the higher reading. Without a station's cap the regions' own decide.

    Source      drop-acetylene-caps
    """
    if test.gas.name != "acetylene":
        return []
    highest = max(test.low.start, test.low.end) + 0.5 * test.low.step - test.atmosphere
    cap = loosest_cap(test.atmosphere) if test.acetylene_cap is None else test.acetylene_cap
    if highest > cap * (1.0 + 1e-9):
        return [("stop", "acetylene over its cap")]
    if test.acetylene_cap is None and highest > strictest_cap(test.atmosphere) * (1.0 + 1e-9):
        return [("caution", "acetylene over the strictest cap")]
    return []


def at_working(test: DropTest, leak: Quantity) -> Quantity | None:
    """The low side's leak (or floor) at its working pressure, where that was given; gas coming in counts as none.

    Source      leak-scaling
    """
    tested = 0.5 * (test.low.start + test.low.end)
    if test.working is None or leak.value is None or leak.low is None or leak.high is None or not tested > test.atmosphere:
        return None
    ends = [leak_at(max(each, 0.0), tested, test.working, test.atmosphere) for each in (leak.value, leak.low, leak.high)]
    return Quantity(ends[0].value, ends[1].low, ends[2].high, leak.kind)
