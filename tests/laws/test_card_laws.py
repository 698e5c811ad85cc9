"""Verdicts move the way a careful person's would: nothing gets better by getting worse."""

from hypothesis import given, settings
from hypothesis import strategies as st
from tests.stations import card

from steadycone.card.card import Card
from steadycone.render.json_card import card_dict

QUICK = settings(max_examples=25, deadline=None)
WORSE = {"go": 0, "caution": 1, "stop": 2}


def verdicts(made: Card) -> dict[tuple[str, str], int]:
    return {(finding.code, finding.subject): WORSE[finding.verdict] for finding in made.findings}


def never_improves(before: Card, after: Card, codes: tuple[str, ...]) -> None:
    """Each finding of these codes is at least as bad as it was, one that vanished counts as go, and so is the card as a whole."""
    old, new = verdicts(before), verdicts(after)
    for key, verdict in old.items():
        if key[0] in codes:
            assert new.get(key, WORSE["go"]) >= verdict, key
    assert WORSE[after.verdict] >= WORSE[before.verdict]


@QUICK
@given(st.integers(50, 150), st.integers(1, 60), st.sampled_from(["30 %", "60 %", "120 %"]))
def test_a_stricter_cap_never_turns_stop_into_go(cap: int, stricter: int, lockup: str) -> None:
    loose = card(f'acetylene_cap = "{cap / 100} bar"', lockup=lockup)
    tight = card(f'acetylene_cap = "{max(1, cap - stricter) / 100} bar"', lockup=lockup)
    never_improves(loose, tight, ("acetylene-pressure-flowing", "acetylene-pressure-static"))


@QUICK
@given(st.integers(5, 50), st.integers(1, 60))
def test_a_longer_hose_never_makes_a_pressure_finding_better(length: int, more: int) -> None:
    codes = (
        "acetylene-pressure-flowing",
        "acetylene-pressure-static",
        "regulator-range",
        "regulator-closing",
        "hose-loss-high",
        "part-pressure",
        "regulator-flow",
    )
    never_improves(card(length=f"{length} m"), card(length=f"{length + more} m"), codes)


@QUICK
@given(st.integers(6, 190), st.integers(1, 60))
def test_less_oxygen_never_makes_a_supply_finding_better(pressure: int, less: int) -> None:
    codes = ("contents-short", "oxygen-first-out", "supply-pressure-low")
    never_improves(card(pressure=f"{pressure} bar"), card(pressure=f"{max(5, pressure - less)} bar"), codes)


@QUICK
@given(st.integers(625, 703), st.integers(1, 60))
def test_less_acetylene_never_makes_its_draw_better(gross: int, less: int) -> None:
    lighter = max(624, gross - less)
    codes = ("fuel-draw", "contents-short", "supply-pressure-low")
    never_improves(card(gross=f"{gross / 10} kg"), card(gross=f"{lighter / 10} kg"), codes)


@QUICK
@given(st.sampled_from(["2019-01", "2021-11", "2021-12", "2022-06", "2024-05", "2026-01"]), st.sampled_from(["2018-01", "2016-01"]))
def test_older_gear_is_never_better(made: str, older: str) -> None:
    never_improves(card(made=made), card(made=older), ("part-overdue",))


@QUICK
@given(st.integers(20, 60), st.integers(1, 40))
def test_a_longer_job_never_makes_the_supply_better(cut: int, more: int) -> None:
    codes = ("contents-short", "oxygen-first-out", "fuel-draw", "supply-pressure-low")
    never_improves(card(cut=f"{cut} m"), card(cut=f"{cut + more} m"), codes)


@QUICK
@given(st.integers(10, 100), st.integers(20, 190), st.integers(0, 30))
def test_the_same_station_in_other_units_gives_the_same_card(feet: int, bar: int, celsius: int) -> None:
    here = card_dict(card(length=f"{feet} ft", bore="0.25 in", pressure=f"{bar} bar", ambient=f"{celsius} °C", thickness="1 in"))
    there = card_dict(
        card(
            length=f"{feet * 304.8:.10g} mm",
            bore="6.35 mm",
            pressure=f"{bar * 100} kPa",
            ambient=f"{celsius * 9 / 5 + 32:.10g} °F",
            thickness="25.4 mm",
        )
    )
    assert here["verdict"] == there["verdict"]
    for line in ("oxygen", "fuel"):
        for key, number in here[line].items():
            if isinstance(number, dict):
                for end in ("value", "low", "high"):
                    assert abs(number[end] - there[line][key][end]) <= 1e-6 * abs(number[end]), (line, key, end)
