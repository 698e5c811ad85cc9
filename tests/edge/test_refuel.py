"""Change of fuel: what must change, what may stay, and the numbers before and after."""

import json
from datetime import date
from pathlib import Path

import msgspec
import pytest
from click.testing import CliRunner

from steadycone.card.make import make_card
from steadycone.card.refuel import refuel
from steadycone.cli.refuel import refuel_command
from steadycone.data.reader import sources, toml
from steadycone.errors import InputError, UnknownName
from steadycone.files.chart import chart_from_bytes
from steadycone.files.read import read_setup
from steadycone.physics.gas import load, neutral_ratio
from steadycone.procedures.refuel import Refuel, convert
from steadycone.procedures.refuel.convert import FUELS
from steadycone.render.refuel import refuel_dict, refuel_text
from steadycone.station.chart import Chart
from steadycone.station.setup import Setup

EXAMPLES = Path(__file__).parents[2] / "examples"
ON = date(2026, 11, 25)
STATIONS = sorted(path.stem for path in EXAMPLES.glob("*.toml"))


def setup(name: str) -> Setup:
    return read_setup(EXAMPLES / f"{name}.toml")


def chart(name: str) -> Chart:
    path = EXAMPLES / "charts" / f"{name}.csv"
    return chart_from_bytes(path.name, path.read_bytes())


def changed(name: str, fuel: str, new_chart: str | None = None) -> Refuel:
    return refuel(setup(name), fuel, ON, chart(new_chart) if new_chart else None)


def fates(change: Refuel) -> dict[str, str]:
    return {item.subject if item.id in ("part", "hose") else item.id: item.fate for item in change.items}


TO_PROPANE = ("slip-2", "propane", "demo-propane-cutting")
TO_ACETYLENE = ("pontoon-lpg-au", "acetylene", "demo-acetylene-cutting")


@pytest.mark.parametrize("case", [TO_PROPANE, TO_ACETYLENE])
def test_between_acetylene_and_lpg_nearly_all_of_the_fuel_side_changes(case: tuple[str, str, str]) -> None:
    found = fates(changed(*case))
    assert [found[name] for name in ("supply", "tip", "mixer", "regulator")] == ["change"] * 4
    assert all(fate == "change" for subject, fate in found.items() if subject.startswith("fuel part"))
    assert found["oxygen"] == "stays"
    assert found["seals"] == "check"


def test_between_propane_and_lpg_the_gear_may_stay() -> None:
    found = changed("pontoon-lpg-au", "propane")
    assert {item.fate for item in found.items} == {"stays"}


def test_from_lpg_to_natural_gas_the_hose_may_stay_and_the_arrestor_not() -> None:
    found = fates(changed("pontoon-lpg-au", "natural gas", "demo-natural-gas-cutting"))
    assert found["fuel part 2 (hose)"] == "stays"
    assert found["fuel part 1 (arrestor)"] == "change"


def test_a_torch_that_does_not_say_what_it_is_made_for_is_to_be_looked_at() -> None:
    was = setup("shop-25mm-uk")
    bare = msgspec.structs.replace(was.station, torch=msgspec.structs.replace(was.station.torch, fuels=()))
    assert fates(refuel(msgspec.structs.replace(was, station=bare), "propane", ON))["mixer"] == "check"


def test_an_injector_that_stays_is_to_be_looked_at() -> None:
    found = changed("weld-bench-eu", "propane")
    assert setup("weld-bench-eu").station.torch.mixer == "injector"
    assert fates(found)["mixer"] == "change" or fates(found)["injector"] == "check"


def test_the_gear_is_judged_as_the_card_judges_it() -> None:
    """Every stop of the new card for gas or grade is something to be changed, and nothing else of those is."""
    made = make_card(convert(setup("slip-2"), "propane", chart("demo-propane-cutting")), ON)
    stops = {
        finding.subject
        for finding in made.findings
        if finding.code in ("part-gas", "hose-grade", "regulator-gas") and finding.verdict == "stop"
    }
    told = {item.subject for item in changed(*TO_PROPANE).items if item.fate == "change" and item.id in ("part", "hose", "regulator")}
    assert told == stops


def test_propane_needs_several_times_the_oxygen_of_acetylene() -> None:
    found = changed(*TO_PROPANE)
    assert found.before.neutral.value == neutral_ratio(load("acetylene")).typical
    assert found.after.neutral.value == neutral_ratio(load("propane")).typical
    assert found.after.oxygen_per_heat > 2 * found.before.oxygen_per_heat


def test_the_numbers_are_the_cards() -> None:
    found = changed(*TO_PROPANE)
    before = make_card(setup("slip-2"), ON)
    assert found.before.figures is not None
    assert found.after.figures is not None
    assert found.before.figures.lines["fuel"].set_pressure == before.figures.lines["fuel"].set_pressure
    assert found.after.figures.tip.size == "P3"


def test_without_a_chart_there_are_no_settings_after() -> None:
    found = changed("slip-2", "propane")
    assert found.after.figures is None
    assert "give the new chart" in " ".join(refuel_text(found, "uk").split())


def test_a_setting_that_a_card_stops_at_is_not_shown() -> None:
    """Acetylene through 100 ft of 3/16 in hose stands over the cap, before the change or after it."""
    acetylene = setup("bay-4-us")
    away = refuel(acetylene, "propane", ON)
    assert {finding.code for finding in away.before.withheld} >= {"acetylene-pressure-flowing"}
    back = refuel(convert(acetylene, "propane"), "acetylene", ON, acetylene.chart, acetylene.station.tip.size)
    assert {finding.code for finding in back.after.withheld} >= {"acetylene-pressure-flowing"}
    for side in (refuel_dict(away, "us")["before"], refuel_dict(back, "us")["after"]):
        assert side["lines"]["fuel"]["set_pressure"]["value"] is None
        assert side["lines"]["fuel"]["flow"]["value"] is not None
    assert "No settings after" in refuel_text(back, "us")


def test_a_caution_that_the_new_fuel_brings_is_told() -> None:
    brought = [item.finding for item in changed(*TO_PROPANE).items if item.finding]
    assert {finding.code for finding in brought} == {"hose-loss-high"}


def test_to_acetylene_brings_the_cap_and_from_it_takes_it_away() -> None:
    to, away = changed(*TO_ACETYLENE), changed(*TO_PROPANE)
    assert to.after.cap is not None
    assert "cap" in {rule.id for rule in to.rules}
    assert away.after.cap is None
    assert "cap-gone" in {rule.id for rule in away.rules}


@pytest.mark.parametrize(
    ("fuel", "rules"),
    [
        ("propane", {"draw-lpg", "light-slow", "flame-slow", "heavy"}),
        ("natural gas", {"draw-line", "light-slow", "flame-slow", "light-gas"}),
        ("hydrogen", {"draw-line", "light-hydrogen", "light-gas"}),
    ],
)
def test_what_is_done_differently_follows_the_fuel(fuel: str, rules: set[str]) -> None:
    always = {"pressures", "old-gas-out", "labels", "sign-off", "cap-gone"}
    assert {rule.id for rule in changed("slip-2", fuel).rules} == rules | always


def test_copper_is_found_when_acetylene_comes() -> None:
    import msgspec

    from steadycone.station.parts import Pipe
    from steadycone.units import Length

    base = setup("pontoon-lpg-au")
    pipe = Pipe(bore=Length.parse("8 mm"), length=Length.parse("1 m"), material="copper")
    line = msgspec.structs.replace(base.station.fuel, part=(*base.station.fuel.part, pipe))
    with_pipe = msgspec.structs.replace(base, station=msgspec.structs.replace(base.station, fuel=line))
    found = {item.id: item.fate for item in refuel(with_pipe, "acetylene", ON).items}
    assert found["copper"] == "change"


def test_the_fuel_it_has_and_a_fuel_nobody_knows_are_refused() -> None:
    with pytest.raises(InputError):
        changed("slip-2", "acetylene")
    with pytest.raises(UnknownName, match="propan"):
        changed("slip-2", "propan")


@pytest.mark.parametrize("name", STATIONS)
def test_every_station_can_be_told_every_change(name: str) -> None:
    base = setup(name)
    region = base.station.station.region
    for fuel in FUELS:
        if fuel == base.station.station.fuel:
            continue
        found = refuel(base, fuel, ON)
        text = refuel_text(found, region)
        assert "{" not in text
        assert max(len(line) for line in text.splitlines()) <= 80
        json.dumps(refuel_dict(found, region), allow_nan=False)


def test_every_text_has_a_source_that_exists() -> None:
    table = toml("refuel.toml")
    for entry in (*table["item"].values(), *table["rule"]):
        assert entry["source"]
        assert set(entry["source"]) <= set(sources())


def test_the_lower_limit_in_air_is_never_rounded_up() -> None:
    assert "1.7 to" in refuel_text(changed(*TO_PROPANE), "uk")


def test_the_command_writes_json_and_text() -> None:
    arguments = [str(EXAMPLES / "slip-2.toml"), "--to", "propane", "--on", "2026-11-25"]
    told = CliRunner().invoke(refuel_command, [*arguments, "--chart", str(EXAMPLES / "charts" / "demo-propane-cutting.csv"), "--json"])
    assert told.exit_code == 0
    assert json.loads(told.stdout)["after"]["lines"]["oxygen"]["set_pressure"]["unit"] == "bar gauge"
    assert "MUST BE CHANGED" in CliRunner().invoke(refuel_command, arguments).stdout


def test_to_acetylene_copper_is_told_of_whether_or_not_the_file_names_any() -> None:
    base = setup("plate-shop-natural-gas-eu")
    told = next(rule for rule in refuel(base, "acetylene", ON).rules if rule.id == "copper")
    assert "No copper" in told.says
    assert "copper" not in {rule.id for rule in refuel(base, "propane", ON).rules}
