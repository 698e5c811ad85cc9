"""What is read from a gas mark, and what never is."""

import pytest

from steadycone.data.reader import sources, toml
from steadycone.practice.compatible import chart_serves
from steadycone.station.form import FUELS
from steadycone.station.marks import Fit, fit, fit_of_any, gas_called, hose_fit, hose_grades, hose_source, mark_source, orange_hose

GASES = ("oxygen", *FUELS)


@pytest.mark.parametrize(
    ("mark", "gas", "expected"),
    [
        ("A", "acetylene", "yes"), ("a", "acetylene", "yes"), ("C2H2", "acetylene", "yes"), ("dissolved acetylene", "acetylene", "yes"),
        ("P", "propane", "yes"), ("P", "lpg", "yes"), ("L.P.G.", "butane", "yes"), ("M", "methane", "yes"), ("NG", "natural gas", "yes"),
        ("H", "hydrogen", "yes"), ("O", "oxygen", "yes"), ("O2", "oxygen", "yes"), ("Y", "mps", "yes"), ("Y", "propylene", "yes"),
        ("A, P, M, H", "hydrogen", "yes"), ("acetylene/propane", "propane", "yes"), ("A and P", "acetylene", "yes"), ("PY", "mps", "yes"), ("AH", "hydrogen", "yes"),
        ("A 1.5 bar  P 5 bar  H 4 bar", "propane", "yes"), ("A 1,5 bar", "acetylene", "yes"), ("O 3", "oxygen", "yes"), ("A2", "acetylene", "yes"),
        ("FA NV A", "acetylene", "yes"), ("oxy-acetylene", "acetylene", "yes"), ("any fuel", "mps", "yes"), ("FUEL", "acetylene", "yes"),
        ("P", "propylene", "ask"), ("propylene", "propane", "ask"), ("F", "acetylene", "ask"), ("O, A", "acetylene", "ask"),
        ("A, Z", "acetylene", "ask"), ("not for acetylene", "acetylene", "ask"), ("all fuels except acetylene", "acetylene", "ask"),
        ("A", "oxygen", "no"), ("O", "acetylene", "no"), ("any fuel", "oxygen", "no"), ("A", "propane", "no"), ("N", "oxygen", "no"),
        ("air", "oxygen", "no"), ("fuel gas acetylene", "propane", "no"), ("methylacetylene", "methane", "no"), ("methylacetylene", "acetylene", "no"),
        ("ethylene", "acetylene", "no"), ("A", "mps", "no"), ("H", "methane", "no"),
        ("Z", "acetylene", "unknown"), ("", "acetylene", "unknown"), ("FA NV", "oxygen", "unknown"), ("12", "oxygen", "unknown"),
    ],
)  # fmt: skip
def test_a_mark_is_read(mark: str, gas: str, expected: Fit) -> None:
    assert fit(mark, gas) == expected


@pytest.mark.parametrize("mark", ["Z", "XX", "A?", "?", "gas", "fit for nothing", "MAP", "PAMH", "AA", "12 bar", "-"])
@pytest.mark.parametrize("gas", GASES)
def test_a_mark_that_nobody_knows_is_never_a_plain_yes(mark: str, gas: str) -> None:
    assert fit(mark, gas) != "yes"
    assert hose_fit(mark, gas) != "yes"


@pytest.mark.parametrize("gas", FUELS)
def test_every_fuel_has_a_mark_that_serves_it_and_none_of_oxygen_does(gas: str) -> None:
    assert fit(gas, gas) == "yes"
    assert fit("oxygen", gas) == "no"
    assert fit(gas, "oxygen") == "no"
    assert hose_fit("any fuel", gas) == "yes"
    assert hose_fit("oxygen", gas) == "no"
    assert hose_fit("acetylene", gas) == {"acetylene": "yes", "hydrogen": "ask"}.get(gas, "no")


def test_each_mark_of_a_list_stands_for_itself() -> None:
    assert fit_of_any(("A", "P"), "propane") == "yes"
    assert fit_of_any(("A", "Z"), "propane") == "unknown"
    assert fit_of_any(("A",), "propane") == "no"
    assert fit_of_any((), "propane") == "unknown"


def test_a_gas_is_called_by_the_station_s_word() -> None:
    called = {text: gas_called(text) for text in ("A", "P", "Y", "propane", "natural gas", "any fuel", "A, P", "Z")}
    assert called == {
        "A": "acetylene", "P": "lpg", "Y": "mps", "propane": "propane", "natural gas": "natural gas", "any fuel": None, "A, P": None, "Z": None,
    }  # fmt: skip


@pytest.mark.parametrize(
    ("chart", "fuel", "expected"),
    [
        ("propane", "lpg", "yes"), ("lpg", "propane", "yes"), ("methane", "natural gas", "yes"), ("acetylene, propane", "lpg", "yes"),
        ("mps", "mps", "yes"), ("propane", "butane", "ask"), ("mps", "propylene", "ask"),
        ("propane", "propylene", "no"), ("acetylene", "propane", "no"), ("any fuel", "propane", "no"), ("nothing known", "propane", "no"),
    ],
)  # fmt: skip
def test_a_chart_is_one_fuel_s_own(chart: str, fuel: str, expected: str) -> None:
    assert chart_serves(chart, fuel) == expected


def test_hydrogen_and_acetylene_go_in_red_lpg_and_its_like_in_orange() -> None:
    assert [fuel for fuel in FUELS if not orange_hose(fuel)] == ["acetylene", "hydrogen"]


def test_every_mark_names_a_source_that_exists() -> None:
    table = toml("gas_marks.toml")
    for entry in (*table["families"].values(), *table["hoses"].values()):
        assert entry["source"] in sources()
        assert set(entry["serves"]) | set(entry.get("ask", ())) <= set(GASES)
    assert {mark_source(mark) for mark in ("A", "nobody knows")} | {hose_source(grade) for grade in (*hose_grades(), "x")} <= set(sources())
