"""Worse gear never makes a better card: the card as a whole, and every finding of it, one that vanished counted as go.

From the bench that is a plain go, so that every step down is seen.
"""

import re
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from steadycone.card.card import Card
from steadycone.card.make import make_card
from steadycone.files.read import setup_from_text

EXAMPLES = Path(__file__).parents[2] / "examples"
BENCH = (EXAMPLES / "clean-bench.toml").read_text(encoding="utf-8")
WORSE = {"go": 0, "caution": 1, "stop": 2}
QUICK = settings(max_examples=12, deadline=None)


def made(
    length: float = 5,
    bore: float = 6.3,
    drop: float = 1.0,
    error: float = 1.0,
    scale: float = 1.0,
    thickness: str = "25 mm",
    size: str = "",
) -> Card:
    """The bench with both hoses at a length [m] and bore [mm], its arrestors' drops times `drop`, its gauges of a class and a scale."""
    text = BENCH.replace('length = "5 m"', f'length = "{length:g} m"').replace('bore = "6.3 mm"', f'bore = "{bore:g} mm"')
    text = re.sub(r'drop = "([\d.]+) bar"', lambda found: f'drop = "{float(found[1]) * drop:.4g} bar"', text)
    text = text.replace('gauge_class = "1"', f'gauge_class = "{error:g}"')
    text = re.sub(r'outlet_scale = "([\d.]+) bar"', lambda found: f'outlet_scale = "{float(found[1]) * scale:g} bar"', text)
    text = text.replace('thickness = "25 mm"', f'thickness = "{thickness}"').replace('size = "3"\n', size)
    return make_card(setup_from_text(text, "bench.toml", lambda name, limit, what: (EXAMPLES / name).read_bytes()), date(2026, 11, 25))


def never_better(before: Card, after: Card, but: tuple[str, ...] = ()) -> None:
    new = {(finding.code, finding.subject): WORSE[finding.verdict] for finding in after.findings}
    for finding in before.findings:
        if finding.code not in but:
            key = (finding.code, finding.subject)
            assert new.get(key, WORSE["go"]) >= WORSE[finding.verdict], key
    if not any(finding.code in but and finding.verdict != "go" for finding in before.findings):
        assert WORSE[after.verdict] >= WORSE[before.verdict]


def test_the_bench_is_a_plain_go() -> None:
    assert made().verdict == "go"


@QUICK
@given(
    st.floats(1, 200), st.floats(0.1, 150), st.sampled_from([5, 6.3, 8, 10]), st.floats(1, 8), st.sampled_from(["12 mm", "25 mm", "60 mm"])
)
def test_a_longer_hose(length: float, more: float, bore: float, drop: float, thickness: str) -> None:
    never_better(made(length, bore, drop, thickness=thickness), made(length + more, bore, drop, thickness=thickness))


@QUICK
@given(st.floats(1, 100), st.floats(4, 12), st.floats(0.05, 3), st.floats(1, 8))
def test_a_narrower_hose(length: float, bore: float, less: float, drop: float) -> None:
    never_better(made(length, bore, drop), made(length, max(2.0, bore - less), drop), but=("purge-long", "leak-floor-coarse"))


@QUICK
@given(st.floats(1, 100), st.sampled_from([5, 6.3, 8]), st.floats(0.5, 8), st.floats(1.01, 3))
def test_a_tighter_arrestor(length: float, bore: float, drop: float, times: float) -> None:
    never_better(made(length, bore, drop), made(length, bore, drop * times))


@QUICK
@given(st.floats(1, 60), st.floats(0.5, 6), st.floats(1.01, 3), st.sampled_from([1.0, 1.6, 2.5]))
def test_a_worse_gauge(length: float, error: float, times: float, scale: float) -> None:
    never_better(made(length, error=error, scale=scale), made(length, error=min(10.0, error * times), scale=scale))


@pytest.mark.parametrize("drop", [6.0, 7.0, 8.0])
def test_no_hose_mends_an_arrestor(drop: float) -> None:
    """The fuel's arrestor starves the tip; a regulator set higher for a long hose used to bring it back under the limit."""
    shares = []
    for length in (5, 20, 60):
        found = [
            finding for finding in made(length, drop=drop).findings if finding.code == "arrestor-starves" and "fuel" in finding.subject
        ]
        assert found[0].value is not None
        shares.append(found[0].value.high)
    assert shares == pytest.approx([shares[0]] * 3, rel=0.01)
