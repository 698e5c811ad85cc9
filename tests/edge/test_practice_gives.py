"""What a supply gives: low pipelines, vapour in the cold, and LPG that nobody has named."""

from typing import Any

import pytest
from tests import factories as bench
from tests.factories import flow, gauge
from tests.stations import ON

from steadycone.assembly.figures import Figures
from steadycone.card.make import make_card
from steadycone.files.read import setup_from_text
from steadycone.practice import supply_gives
from steadycone.practice.finding import Finding
from steadycone.units import GasFlow


def piped(bar: float, setting: float, error: float = 0.0) -> Finding:
    """A fuel line set to `setting` bar from a pipe at `bar`."""
    figures = bench.with_supply_noun(bench.clean("natural gas"), "fuel", kind="pipeline", available_flow=GasFlow.parse("8 m3/h"))
    figures = bench.with_line(figures, "fuel", flowing=gauge(setting), set_pressure=gauge(setting, error))
    figures = bench.with_supply(figures, "fuel", pressure=gauge(bar), pressure_at_end=gauge(bar), vaporisation=None)
    return supply_gives.pressure(figures, figures.lines["fuel"])[0]


@pytest.mark.parametrize(
    ("bar", "setting", "verdict"),
    [
        (0.80, 0.25, "go"),  # an acetylene main
        (0.100, 0.032, "go"),  # natural gas for a low-pressure burner
        (0.081, 0.032, "caution"),  # 50 mbar over it is 82
        (0.063, 0.032, "caution"),
        (0.061, 0.032, "stop"),  # 30 mbar over it is 62
        (0.51, 0.25, "go"), (0.49, 0.25, "caution"), (0.33, 0.25, "caution"), (0.32, 0.25, "stop"),
        (5.51, 5.0, "go"), (5.49, 5.0, "stop"),  # half a bar is the most that is asked
    ],
)  # fmt: skip
def test_a_pipe_is_asked_for_a_share_of_the_setting(bar: float, setting: float, verdict: str) -> None:
    finding = piped(bar, setting)
    assert (finding.verdict, finding.text) == (verdict, "" if verdict == "go" else f"{verdict} pipe")


def test_the_gauge_s_error_counts_on_a_pipe_too() -> None:
    assert piped(0.51, 0.25, 0.01).verdict == "caution"


def lpg(celsius: float, litres_an_hour: float = 300.0, composition: str = "", content: str = "13 kg") -> dict[str, Finding]:
    """Findings of a bench on one LPG cylinder of 10.8 kg left, drawn at so much."""
    mix = f"composition = {{ {composition} }}" if composition else ""
    text = f"""format = "steadycone-station/1"
[station]
name = "Tern Quay, LPG bench"
region = "uk"
fuel = "lpg"
ambient = "{celsius} °C"
[oxygen.supply]
water_volume = "50 L"
[oxygen.regulator]
gas = "O"
outlet_rating = "10 bar"
[[oxygen.part]]
kind = "hose"
grade = "blue"
bore = "8 mm"
length = "10 m"
[fuel.supply]
content = "{content}"
gross = "25.0 kg"
tare = "14.2 kg"
{mix}
[fuel.regulator]
gas = "P"
outlet_rating = "4 bar"
[[fuel.part]]
kind = "hose"
grade = "orange"
bore = "8 mm"
length = "10 m"
[torch]
attachment = "heating"
[tip]
chart = "h.csv"
size = "1"
[job]
kind = "heat"
time = "20 min"
"""
    chart = "# fuel: lpg\n# attachment: heating\n# basis: torch inlet\n"
    chart += "size,oxygen pressure [bar],fuel pressure [bar],preheat oxygen [m3/h],fuel flow [m3/h]\n"
    chart += f"1,2.0,0.2,{4 * litres_an_hour / 1000},{litres_an_hour / 1000}\n"
    made = make_card(setup_from_text(text, "lpg.toml", lambda name, limit, what: chart.encode()), ON)
    return {finding.code: finding for finding in made.findings if finding.subject == "fuel supply"}


@pytest.mark.parametrize("celsius", [15.0, 10.0, 0.0])
def test_lpg_that_nobody_has_named_is_a_caution_to_name_it_and_never_over_nothing(celsius: float) -> None:
    found = lpg(celsius)
    assert {found[code].verdict for code in ("lpg-vaporisation", "supply-pressure-low", "fuel-mix-unknown")} == {"caution"}
    likely = found["lpg-vaporisation"].blanks["likely"]
    assert not isinstance(likely, str)
    assert (likely.value or 0) > 0


def test_what_not_even_propane_would_give_is_a_stop() -> None:
    assert lpg(10.0, 2000.0)["lpg-vaporisation"].verdict == "stop"


def test_a_fuel_with_no_vapour_in_the_cold_is_the_wrong_one_whatever_the_number_of_cylinders() -> None:
    finding = lpg(-5.0, composition='propane = "20 %", butane = "80 %"')["lpg-vaporisation"]
    assert (finding.verdict, finding.text) == ("stop", "none")


def test_the_number_of_cylinders_told_is_the_fewest_that_evaporate_the_draw() -> None:
    finding = lpg(10.0, 2000.0, composition='propane = "100 %"')["lpg-vaporisation"]
    assert finding.value is not None
    assert finding.limit is not None
    assert finding.value.high is not None
    count = int(str(finding.blanks["cylinders"]))
    one = finding.limit.value or 0.0
    assert (count - 1) * one < finding.value.high <= count * one


def test_more_than_a_dozen_cylinders_of_it_are_told_as_too_many() -> None:
    def of(evaporates: float) -> str:
        figures: Figures = bench.with_supply(bench.clean("propane"), "fuel", vaporisation=flow(evaporates))
        found: Any = supply_gives.vaporisation(figures, figures.lines["fuel"])[0]
        return str(found.text)

    assert of(0.45 / 11.9) == ""  # 0.45 m³/h drawn
    assert of(0.45 / 12.1) == "many"
