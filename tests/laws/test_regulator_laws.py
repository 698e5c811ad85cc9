"""Nothing that costs pressure makes a regulator's verdict better, and no finding of it gets lost on the way."""

from functools import cache

from hypothesis import given, settings
from hypothesis import strategies as st
from tests.stations import CHART, ON, station_text

from steadycone.card.card import Card
from steadycone.card.make import make_card
from steadycone.files.read import setup_from_text

QUICK = settings(max_examples=40, deadline=None)
RANK = {"go": 0, "caution": 1, "stop": 2}
CODES = ("regulator-flow", "regulator-range", "regulator-closing", "acetylene-pressure-flowing", "acetylene-pressure-static")


@cache
def bench(length: int = 15, bore: float = 6.3, rated: float = 30, drop: float = 0.2, others: float = 0.0, at: str = "cylinder") -> Card:
    """The law bench; `drop` bar is what its oxygen arrestor costs at 16 m³/h of air from 5 bar, `rated` and `others` m³/h of oxygen."""
    text = station_text(length=f"{length} m", bore=f"{bore:.2f} mm")
    text = text.replace('rated_flow = "30 m3/h"', f'rated_flow = "{rated:.3f} m3/h"', 1)
    text = text.replace('pressure = "140 bar"\n', f'pressure = "140 bar"\nshared_flow = "{others:.3f} m3/h"\nshared_at = "{at}"\n', 1)
    point = f'flow_points = [ {{ inlet = "5 bar", drop = "{drop:.3f} bar", flow = "16 m3/h", gas = "air" }} ]\n'
    text = text.replace('gas = "oxygen"\ntested', f'gas = "oxygen"\n{point}tested', 1)
    return make_card(setup_from_text(text, "law.toml", lambda name, limit, what: CHART.encode()), ON)


def verdicts(card: Card) -> dict[tuple[str, str], int]:
    return {(found.code, found.subject): RANK[found.verdict] for found in card.findings if found.code in CODES}


def no_better(before: Card, after: Card) -> None:
    """Each finding of the regulators stands and is as bad or worse; so is the worst of them."""
    old, new = verdicts(before), verdicts(after)
    assert set(old) <= set(new)
    for key, verdict in old.items():
        assert new[key] >= verdict, key


# 4.01 of 11.01 bar abs of the rated flow is what is trusted at the torch's 3 bar; 4.03 m³/h of oxygen flow: 11 m³/h is about enough.
RATED = st.floats(9.0, 14.0)


@QUICK
@given(st.integers(3, 60), st.integers(1, 60), RATED)
def test_a_longer_hose_never_gives_a_regulator_more_capacity(length: int, more: int, rated: float) -> None:
    no_better(bench(length=length, rated=rated), bench(length=length + more, rated=rated))


@QUICK
@given(st.floats(4.5, 10.0), st.floats(0.0, 1.5), RATED)
def test_a_narrower_bore_never_gives_a_regulator_more_capacity(bore: float, less: float, rated: float) -> None:
    no_better(bench(bore=bore, rated=rated), bench(bore=bore - less, rated=rated))


@QUICK
@given(st.floats(0.05, 1.0), st.floats(0.0, 2.0), RATED)
def test_a_tighter_arrestor_never_gives_a_regulator_more_capacity(drop: float, more: float, rated: float) -> None:
    no_better(bench(drop=drop, rated=rated), bench(drop=drop + more, rated=rated))


@QUICK
@given(st.floats(0.0, 6.0), st.floats(0.0, 6.0), st.floats(9.0, 30.0), st.sampled_from(["cylinder", "regulator", "hose"]))
def test_more_that_others_draw_never_makes_a_regulator_better(others: float, more: float, rated: float, at: str) -> None:
    no_better(bench(others=others, rated=rated, at=at), bench(others=others + more, rated=rated, at=at))


@QUICK
@given(st.floats(0.1, 6.0), st.floats(9.0, 30.0))
def test_the_nearer_to_the_torch_the_others_join_the_worse(others: float, rated: float) -> None:
    cards = [bench(others=others, rated=rated, at=at) for at in ("cylinder", "regulator", "hose")]
    no_better(cards[0], cards[1])
    no_better(cards[1], cards[2])


@QUICK
@given(RATED, st.floats(0.0, 5.0))
def test_a_smaller_rated_flow_is_never_better(rated: float, less: float) -> None:
    no_better(bench(rated=rated), bench(rated=rated - less))


def test_the_bench_of_these_laws_stands_on_both_sides_of_the_limit() -> None:
    """Else they could not fail: with the setting's pressure for the torch's, the stop at 5 m was a go at 25."""
    assert verdicts(bench(length=5, rated=10.5))["regulator-flow", "oxygen regulator"] == RANK["stop"]
    assert verdicts(bench(length=45, rated=10.5))["regulator-flow", "oxygen regulator"] == RANK["stop"]
    assert verdicts(bench(length=5, rated=12.5))["regulator-flow", "oxygen regulator"] == RANK["go"]
