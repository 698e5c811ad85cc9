"""What 270 situations of real yards say of the verdicts: no unsafe miss, and next to nothing that is flagged without need."""

from functools import cache

import pytest
from tests.situations import Situation, card, situations

from steadycone.errors import InputError
from steadycone.render.limit_text import limit_text
from steadycone.render.words import Words

_ORDER = "gcse"  # milder to harsher; e: the file is refused


@cache
def _verdict(situation: Situation) -> str:
    try:
        return card(situation).verdict[0]
    except InputError:
        return "e"


def _milder(situation: Situation) -> bool:
    return _ORDER.index(_verdict(situation)) < min(map(_ORDER.index, situation.verdicts))


def _harsher(situation: Situation) -> bool:
    return _ORDER.index(_verdict(situation)) > max(map(_ORDER.index, situation.verdicts))


def test_there_are_enough_of_them_and_a_good_part_is_sound() -> None:
    every = situations()
    assert len(every) >= 200
    assert sum(one.verdicts == "g" for one in every) >= 0.3 * len(every)
    assert {one.base.split()[0] for one in every} == {"uk", "eu", "us", "ca", "au", "nz"}
    assert len({one.where for one in every}) == len(every)


def test_no_situation_is_told_milder_than_safe_practice() -> None:
    assert [f"{one.where}: {_verdict(one)}, {one.verdicts}: {one.why}" for one in situations() if _milder(one)] == []


def test_hardly_any_situation_is_told_harsher_than_it_is() -> None:
    harsher = [f"{one.where}: {_verdict(one)}, {one.verdicts}: {one.why}" for one in situations() if _harsher(one)]
    assert len(harsher) <= 0.02 * len(situations()), harsher


def _of(base: str, but: str, code: str) -> list[tuple[str, str]]:
    made = card(Situation("bench", base, but, "", ""))
    return [(finding.verdict, finding.text) for finding in made.findings if finding.code == code]


_MAIN = "fuel.supply={{ }}; fuel.supply.kind=pipeline; fuel.supply.pressure={}; fuel.supply.available_flow=6 m3/h"


@pytest.mark.parametrize(
    ("base", "pressure", "verdict"),
    [
        ("us acetylene cut 1/2 in, 2 ft", "14 psi", "go"),
        ("us acetylene cut 1/2 in, 2 ft", "16 psi", "stop"),  # 29 CFR 1910.253(a)(2): nobody may pipe it
        ("uk acetylene cut 12 mm, 2 m", "1.4 bar", "go"),
        ("uk acetylene cut 12 mm, 2 m", "1.6 bar", "caution"),
    ],
)
def test_acetylene_in_a_pipe_is_held_to_the_cap(base: str, pressure: str, verdict: str) -> None:
    assert [found[0] for found in _of(base, _MAIN.format(pressure), "acetylene-piped")] == [verdict]


def test_a_manifold_of_cylinders_is_no_pipe() -> None:
    assert _of("us acetylene cut 1/2 in, 2 ft", "fuel.supply.kind=manifold", "acetylene-piped") == []


@pytest.mark.parametrize(
    ("air", "verdict"), [("1.09 bar abs", "go"), ("1.8 bar abs", "go"), ("2.3 bar abs", "stop"), ("2.7 bar abs", "stop")]
)
def test_a_gauge_cap_falls_in_compressed_air(air: str, verdict: str) -> None:
    """0.46 bar set: under 1.5 + 1.1 bar absolute up to some 2.1 bar of air."""
    found = _of("eu acetylene cut 12 mm, 1 m", f"station.atmosphere={air}", "acetylene-pressure-static")
    assert [one[0] for one in found] == [verdict]


def test_where_the_air_alone_is_over_the_cap_no_pressure_below_nothing_is_told() -> None:
    made = card(Situation("lock", "us acetylene cut 1/2 in, 1 ft", "station.atmosphere=2.2 bar abs", "", ""))
    told = {finding.code: finding.text for finding in made.findings if finding.verdict == "stop"}
    assert told["acetylene-pressure-flowing"] == told["acetylene-pressure-static"] == "stop no pressure"
    assert "chart-suspect" not in told  # the chart is right: it is the air


def test_no_cap_below_nothing_is_printed_and_no_default_as_a_power_of_ten() -> None:
    lock = card(Situation("lock", "us acetylene cut 1/2 in, 1 ft", "station.atmosphere=2.2 bar abs", "", ""))
    assert lock.figures.cap.gauge < 0
    assert limit_text(lock.figures.cap.gauge, Words.of("us")) == "0"
    quay = card(
        Situation("quay", "au acetylene cut 12 mm, 1 m", "oxygen.regulator.inlet_rating=30000 kPa; -oxygen.regulator.outlet_scale", "", "")
    )
    assert [taken for _, taken in quay.figures.assumed if "e+" in taken] == []


@pytest.mark.parametrize(("air", "told"), [("1.08 bar abs", []), ("1.5 bar abs", [("caution", "")])])
def test_compressed_air_is_never_a_plain_go(air: str, told: list[tuple[str, str]]) -> None:
    assert _of("eu propane cut 12 mm, 1 m", f"station.atmosphere={air}", "air-compressed") == told


@pytest.mark.parametrize(("grade", "verdict"), [("argon", "stop"), ("black", "stop"), ("purple", "caution"), ("red", "go")])
def test_a_hose_for_another_gas_is_taken_off(grade: str, verdict: str) -> None:
    assert [found[0] for found in _of("eu acetylene cut 12 mm, 1 m", f"fuel.hose.grade={grade}", "hose-grade") if found[0] != "go"] in (
        [[verdict]] if verdict != "go" else [[]]
    )


@pytest.mark.parametrize("code", ["acetylene-pressure-flowing", "regulator-range"])
def test_as_set_over_the_limit_asks_for_the_screw(code: str) -> None:
    but = "settings.when=flowing; settings.oxygen=2.5 bar; settings.fuel={}"
    base = "uk acetylene cut 12 mm, 1 m"
    assert ("stop", "stop as set") in _of(base, but.format("1.6 bar"), code)
    assert all(found[0] == "go" for found in _of(base, but.format("0.5 bar"), code))


@pytest.mark.parametrize(
    ("material", "told"),
    [
        ("mild steel", ("go", "")),
        ("galvanised steel", ("caution", "coated")),
        ("lead painted steel", ("caution", "coated")),
        ("titanium", ("stop", "burns")),
        ("magnesium", ("stop", "burns")),
        ("stainless steel", ("stop", "")),
    ],
)
def test_a_metal_that_burns_and_a_coating_that_poisons_are_told_as_such(material: str, told: tuple[str, str]) -> None:
    assert _of("uk acetylene cut 12 mm, 1 m", f"job.material={material}", "material-not-cuttable") == [told]


@pytest.mark.parametrize(("metal", "told"), [("silver", ("stop", "stop metal")), ("copper", ("stop", "")), ("brass", ("go", ""))])
def test_silver_is_not_called_copper(metal: str, told: tuple[str, str]) -> None:
    found = _of("uk acetylene cut 12 mm, 1 m", f"+fuel.coupling; fuel.coupling.material={metal}", "copper-acetylene")
    assert found == [told]


@pytest.mark.parametrize(("rating", "told"), [("1 bar", ("stop", "stop pipe")), ("2 bar", ("go", ""))])
def test_a_pipe_over_the_rating_asks_for_no_cylinder(rating: str, told: tuple[str, str]) -> None:
    found = _of("eu natural gas cut 20 mm, 1 m", f"fuel.regulator.inlet_rating={rating}", "regulator-inlet")
    assert sorted(found) == sorted([("go", ""), told])
