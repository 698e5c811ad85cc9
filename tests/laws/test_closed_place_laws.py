"""What must hold in a closed place whatever the numbers: less room, less air, more flames and longer work are never better."""

from dataclasses import replace
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st
from tests import factories as bench

from steadycone.assembly.figures import Figures
from steadycone.practice import place
from steadycone.practice.finding import Finding
from steadycone.quantity import exact
from steadycone.units import Share

ORDER = {"go": 0, "caution": 1, "stop": 2}
FUELS = ("acetylene", "propane", "propylene", "lpg", "methane", "natural gas", "hydrogen")
REGIONS = ("uk", "eu", "us", "ca", "au", "nz")


def judged(
    fuel: str, region: str, kind: str, volume: float, fresh: float, minutes: float, flames: int, enrichment: float = 22.0
) -> list[Finding]:
    figures: Figures = bench.enclosed(bench.clean(fuel, region), f"{volume:.4f} m3", f"{fresh:.4f} m3/h", welders=flames)
    figures = bench.with_policy(figures, enrichment=bench.given(Share, f"{enrichment:.3f} %"))
    figures = replace(figures, job=replace(figures.job, kind=kind, time=exact(60.0 * minutes, "minutes")))
    return list(place.judge(figures))


def rank(findings: list[Finding]) -> dict[tuple[str, str], int]:
    return {(finding.code, finding.subject): ORDER[finding.verdict] for finding in findings}


WORSE: dict[str, Any] = {
    "less room": lambda v, f, m, n, e, k: (v / k, f, m, n, e),
    "less air": lambda v, f, m, n, e, k: (v, f / k, m, n, e),
    "longer": lambda v, f, m, n, e, k: (v, f, m * k, n, e),
    "more flames": lambda v, f, m, n, e, k: (v, f, m, n + 1, e),
    "stricter": lambda v, f, m, n, e, k: (v, f, m, n, 20.95 + (e - 20.95) / k),
}


@settings(max_examples=150, deadline=None)
@given(
    st.sampled_from(sorted(WORSE)), st.sampled_from(FUELS), st.sampled_from(REGIONS), st.sampled_from(["cut", "heat", "weld"]),
    st.floats(1.0, 5000.0), st.floats(0.1, 30000.0), st.floats(0.1, 1000.0), st.integers(1, 4), st.floats(21.1, 23.5), st.floats(1.0, 50.0),
)  # fmt: skip
def test_worse_is_never_judged_better(
    what: str, fuel: str, region: str, kind: str, volume: float, fresh: float, minutes: float, flames: int, enrichment: float, times: float
) -> None:
    before = rank(judged(fuel, region, kind, volume, fresh, minutes, flames, enrichment))
    room, air, longer, more, strict = WORSE[what](volume, fresh, minutes, flames, enrichment, times)
    after = rank(judged(fuel, region, kind, room, air, longer, more, strict))
    assert before.keys() == after.keys()
    assert all(after[key] >= before[key] for key in before), (what, before, after)
    assert max(after.values()) > 0  # a closed place is never a plain go


@settings(max_examples=100, deadline=None)
@given(st.sampled_from(FUELS), st.sampled_from(["cut", "heat"]), st.floats(1.0, 3000.0), st.floats(0.0, 5000.0), st.floats(0.1, 1000.0))
def test_a_verdict_and_its_numbers_agree(fuel: str, kind: str, volume: float, fresh: float, minutes: float) -> None:
    for finding in judged(fuel, "uk", kind, volume, fresh, minutes, 1):
        if not finding.code.startswith("space-") or finding.judged is None or finding.limit is None:
            continue
        value, limit = finding.judged.value, finding.limit.value
        assert value is not None
        assert limit is not None
        over = limit - value if finding.end == "low" or finding.code == "space-air-needed" else value - limit
        assert (over > 0) == (finding.verdict != "go") or finding.text in ("not measured", "measured long ago"), finding
