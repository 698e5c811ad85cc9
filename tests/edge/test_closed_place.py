"""Closed places: never a plain go, on the front of every card, with steps that let nothing out inside."""

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from tests import factories as bench

from steadycone.assembly.figures import Figures
from steadycone.card.card import Card
from steadycone.card.make import make_card
from steadycone.errors import BadUnit, InputError, OutOfRange, UnknownName
from steadycone.files.read import read_setup
from steadycone.files.station import station_from_text
from steadycone.practice import air, place, space
from steadycone.practice.finding import Finding
from steadycone.quantity import exact
from steadycone.render.html_card import html_card
from steadycone.render.json_card import card_dict
from steadycone.render.page_fit import _fixed as fixed_height
from steadycone.render.page_fit import page_of
from steadycone.render.pdf_card import pdf_card
from steadycone.render.text import text_card
from steadycone.render.view import view_of
from steadycone.units import Length, Pressure, Share, Volume

EXAMPLES = Path(__file__).parents[2] / "examples"
ON = date(2026, 11, 25)
NAMES = sorted(path.name for path in EXAMPLES.glob("*.toml"))


def closed_text(name: str, fields: str) -> str:
    """An example with this as its place."""
    text = re.sub(r"\n\[place\]\n(?:[^\[]*\n)?(?=\n?\[)", "\n", (EXAMPLES / name).read_text(encoding="utf-8"))
    return text.replace("\n[oxygen.supply]", f"\n[place]\n{fields}\n\n[oxygen.supply]", 1)


def card_of(name: str, fields: str) -> Card:
    return make_card(read_setup(EXAMPLES / name, text=closed_text(name, fields)), ON)


def found(figures: Figures, code: str, subject: str | None = None) -> Finding:
    return bench.found(place.judge(figures), code, subject)


# --- never a plain go ---


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize(
    "fields", ["enclosed = true", 'enclosed = true\nvolume = "12 m3"', 'confined = true\nvolume = "2000 m3"\nceiling = "8 m"']
)
def test_no_closed_place_is_a_plain_go(name: str, fields: str) -> None:
    card = card_of(name, fields)
    assert card.verdict != "go"
    assert "place-closed" in {finding.code for finding in card.findings}
    assert card.verdict == "stop"  # no fresh air is stated


def test_a_closed_place_with_all_stated_is_still_a_caution() -> None:
    fields = 'enclosed = true\nvolume = "400 m3"\nceiling = "6 m"\nfresh_air = "3000 m3/h"\nfresh_air_measured = "2026-11-25"\ncylinders = "outside"'
    card = card_of("clean-bench.toml", fields)
    assert card.verdict == "caution"
    assert [finding.code for finding in card.findings if finding.verdict != "go"] == ["place-closed"]


def test_an_open_place_says_nothing_of_it() -> None:
    card = card_of("clean-bench.toml", "enclosed = false")
    assert card.verdict == "go"
    assert not {finding.code for finding in card.findings if finding.code.startswith(("space-", "place-", "enclosed-"))}


# --- both sides of each limit ---


def timed(minutes: float, volume: str = "100 m3", fresh_air: str | None = None, kind: str = "cut", **more: Any) -> Figures:
    figures = bench.enclosed(bench.clean(), volume, fresh_air, **more)
    return replace(figures, job=replace(figures.job, kind=kind, time=exact(minutes * 60.0, "minutes")))  # type: ignore[arg-type]


def turning(verdict: Callable[[float], str], low: float, high: float, worst: str) -> float:
    """Where the verdict turns to the worst between two numbers, by halving."""
    assert verdict(low) != worst
    assert verdict(high) == worst
    for _ in range(50):
        middle = (low + high) / 2.0
        low, high = (low, middle) if verdict(middle) == worst else (middle, high)
    return high


@pytest.mark.parametrize(
    ("code", "subject", "limit"),
    [
        ("space-oxygen-jet", "oxygen in the place", 0.22),
        ("space-flame-takes", "oxygen in the place", 0.195),
        ("space-flame-takes", "carbon dioxide in the place", 0.03),
    ],
)
def test_stop_begins_where_the_job_ends_at_the_limit_and_caution_at_a_fourth_of_it(code: str, subject: str, limit: float) -> None:
    def verdict(minutes: float) -> str:
        return found(timed(minutes), code, subject).verdict

    stops = turning(verdict, 0.1, 3000.0, "stop")
    judged = found(timed(stops * 1.0001), code, subject).judged
    assert judged is not None
    assert judged.value == pytest.approx(limit, abs=2e-5)
    assert found(timed(stops * 0.26), code, subject).verdict == "caution"
    assert found(timed(stops * 0.24), code, subject).text.split()[0] in ("go", "shift")


def test_a_shifts_limit_of_carbon_dioxide_is_a_caution() -> None:
    def text(minutes: float) -> str:
        finding = found(timed(minutes), "space-flame-takes", "carbon dioxide in the place")
        return "stop" if finding.verdict != "go" else "go"

    turns = turning(text, 0.1, 3000.0, "stop")
    finding = found(timed(turns * 1.0001), "space-flame-takes", "carbon dioxide in the place")
    assert (finding.verdict, finding.text) == ("caution", "shift carbon dioxide")
    assert finding.judged is not None
    assert finding.judged.value == pytest.approx(0.005, abs=1e-5)


def test_a_stricter_policy_stops_the_jet_sooner() -> None:
    stops = turning(lambda minutes: found(timed(minutes), "space-oxygen-jet").verdict, 0.1, 3000.0, "stop")
    strict = bench.with_policy(timed(stops / 2.0), enrichment=bench.given(Share, "21.2 %"))
    assert found(timed(stops / 2.0), "space-oxygen-jet").verdict == "caution"
    assert found(strict, "space-oxygen-jet").verdict == "stop"


def test_the_fuels_share_is_the_regions_own() -> None:
    share = {
        region: air.fuel_most(bench.enclosed(bench.clean(region=region), "40 m3")).si for region in ("uk", "eu", "us", "ca", "au", "nz")
    }
    assert share == {"uk": 0.1, "eu": 0.1, "us": 0.1, "ca": 0.1, "au": 0.05, "nz": 0.05}


def test_a_province_tightens_and_never_loosens() -> None:
    for country, fuel, high in (("CA", 0.1, 0.22), ("CA-AB", 0.1, 0.22), ("ca-on", 0.05, 0.22)):
        figures = bench.enclosed(bench.clean(region="ca"), "40 m3", country=country)
        assert (air.fuel_most(figures).si, air.oxygen_high(figures).si) == (fuel, high)
    loose = bench.with_policy(bench.enclosed(bench.clean(region="ca"), "40 m3", country="CA-ON"), enrichment=bench.given(Share, "23.5 %"))
    assert air.oxygen_high(loose).si == 0.23


def test_aboard_a_ship_oxygen_stays_under_the_shipyards_limit() -> None:
    loose = bench.with_policy(bench.clean(region="us"), enrichment=bench.given(Share, "23.5 %"))
    assert air.oxygen_high(bench.enclosed(loose, "40 m3")).si == pytest.approx(0.235)
    assert air.oxygen_high(bench.enclosed(loose, "40 m3", ship=True)).si == pytest.approx(0.22)


# --- fresh air ---


def test_fresh_air_is_needed_stated_and_measured() -> None:
    needed = space.air_needed(timed(30.0))[0].value
    assert needed is not None
    enough, short = f"{needed * 3600.0 * 1.001:.3f} m3/h", f"{needed * 3600.0 * 0.999:.3f} m3/h"
    assert found(timed(30.0), "space-air-needed").verdict == "stop"
    assert found(timed(30.0, fresh_air="0 m3/h"), "space-air-needed").verdict == "stop"
    assert found(timed(30.0, fresh_air=short), "space-air-needed").verdict == "caution"
    assert found(timed(30.0, fresh_air=enough), "space-air-needed").verdict == "go"
    unmeasured = timed(30.0, fresh_air=enough, fresh_air_measured=None)
    assert (found(unmeasured, "space-air-needed").verdict, found(unmeasured, "space-air-needed").text) == ("caution", "not measured")


def test_with_the_air_that_is_needed_no_job_is_too_long() -> None:
    needed = space.air_needed(timed(30.0))[0].value
    assert needed is not None
    aired = timed(1e5, fresh_air=f"{needed * 3600.0 * 1.0001:.4f} m3/h", volume="12 m3")
    assert {finding.verdict for finding in space.judge(aired)} == {"go"}


@pytest.mark.parametrize(
    ("volume", "more", "expected"),
    [
        ("284 m3", {}, "caution"),
        ("282 m3", {}, "stop"),
        ("284 m3", {"ceiling": "4.8 m"}, "stop"),
        ("284 m3", {"ceiling": "5 m"}, "caution"),
    ],
)
def test_a_large_place_without_stated_air_is_a_caution(volume: str, more: dict[str, str], expected: str) -> None:
    more_read = {name: bench.given(Length, value) for name, value in more.items()}
    assert found(timed(1.0, volume, **more_read), "space-air-needed").verdict == expected
    assert found(timed(1.0, "5000 m3", welders=18), "space-air-needed").verdict == "stop"
    assert found(timed(1.0, "5000 m3", confined=True), "space-air-needed").verdict == "stop"


def test_the_united_states_law_is_asked_there_alone() -> None:
    def needed(region: str, **more: Any) -> float:
        figures = bench.enclosed(bench.clean(region=region), "100 m3", **more)
        return (space.air_needed(figures)[0].value or 0.0) * 60.0

    assert needed("us") == pytest.approx(56.63, rel=1e-3)
    assert needed("us", welders=2) == pytest.approx(2 * 56.63, rel=1e-3)
    assert needed("uk") < 40.0


# --- what stands and lay there ---


@pytest.mark.parametrize(("where", "verdict"), [("inside", "stop"), ("outside", "go")])
def test_cylinders_stand_outside(where: str, verdict: str) -> None:
    assert found(bench.enclosed(bench.clean(), "40 m3", cylinders=where), "place-cylinders-inside").verdict == verdict


@pytest.mark.parametrize(
    ("held", "certificate", "verdict"),
    [
        ("unknown", None, "stop"), ("diesel oil", None, "stop"), ("Petrol", None, "stop"), ("ballast water", None, "go"),
        ("Heizöl", None, "caution"), ("milk", None, "caution"), ("water with oil", None, "stop"), ("?", None, "stop"), ("not known", None, "stop"),
        ("diesel oil", "none", "stop"), ("unknown", "not known", "stop"), ("clean sea water", None, "go"),
        ("diesel oil", "marine chemist 5521", "caution"), ("unknown", "marine chemist 5521", "caution"),
    ],
)  # fmt: skip
def test_what_the_tank_held(held: str, certificate: str | None, verdict: str) -> None:
    figures = bench.with_station(bench.clean(), place=bench.Place(held=held, certificate=certificate))
    assert found(figures, "place-held-unknown").verdict == verdict


def test_low_places_matter_to_a_heavy_fuel_alone() -> None:
    for fuel, codes in (("propane", ["place-low-points"]), ("hydrogen", [])):
        figures = bench.with_station(bench.clean(fuel), place=bench.Place(low_points=("bilge well",)))
        assert [finding.code for finding in place.judge(figures)] == codes


# --- what is not known ---


@pytest.mark.parametrize("volume", [None, "40 m3"])
def test_without_volume_or_time_the_end_of_it_decides(volume: str | None) -> None:
    figures = timed(30.0, fresh_air="10 m3/h")
    figures = bench.enclosed(figures, volume, "10 m3/h")
    figures = figures if volume is None else replace(figures, job=replace(figures.job, time=None))
    assert {finding.verdict for finding in space.judge(figures)} == {"caution"}
    aired = bench.enclosed(figures, volume, "20000 m3/h")
    assert {finding.verdict for finding in space.judge(aired)} == {"go"}


def test_a_job_of_no_time_is_a_job_whose_time_is_not_known() -> None:
    assert {finding.verdict for finding in space.judge(timed(0.0, fresh_air="10 m3/h"))} == {"caution"}


def test_a_site_that_asks_for_less_oxygen_than_air_has_is_told_at_once() -> None:
    finding = found(bench.with_policy(timed(3.0), enrichment=bench.given(Share, "20.9 %")), "space-oxygen-jet")
    assert finding.verdict == "stop"
    assert finding.blanks["minutes"] == exact(0.0, "minutes")


def test_hydrogen_gives_no_carbon_dioxide() -> None:
    subjects = [finding.subject for finding in space.judge(bench.enclosed(bench.clean("hydrogen"), "40 m3"))]
    assert "carbon dioxide in the place" not in subjects


def test_raised_pressure_makes_the_same_share_of_carbon_dioxide_worse() -> None:
    figures = bench.enclosed(bench.clean(), "40 m3")
    assert space.carbon_dioxide_limit(replace(figures, atmosphere=202650.0), "stop").si == pytest.approx(0.015)
    assert space.carbon_dioxide_limit(replace(figures, atmosphere=80000.0), "stop").si == pytest.approx(0.03)


@pytest.mark.parametrize(
    ("measured", "verdict"), [("2025-09-25", "go"), ("2025-09-24", "caution"), ("2026-11-25", "go"), ("2026-11-26", "caution")]
)
def test_fresh_air_is_measured_lately(measured: str, verdict: str) -> None:
    figures = timed(3.0, fresh_air="20000 m3/h", fresh_air_measured=bench.given(bench.GivenDate, measured))
    assert found(figures, "space-air-needed").verdict == verdict


@pytest.mark.parametrize(("volume", "codes"), [("99 m3", ["place-closed"]), ("100 m3", [])])
def test_a_small_place_that_nobody_calls_closed_is_asked_about(volume: str, codes: list[str]) -> None:
    figures = bench.with_station(bench.clean(), place=bench.Place(volume=bench.given(Volume, volume)))
    assert [finding.code for finding in place.judge(figures)] == codes


def test_gas_that_flows_back_feeds_no_flame() -> None:
    figures = timed(3.0)
    back = bench.as_set_line(figures.lines["fuel"], -0.5, "blocked")
    assert found(bench.with_as_set(figures, fuel=back), "space-flame-takes", "oxygen in the place").value is not None


# --- the front ---


@pytest.fixture(scope="module")
def tank() -> Card:
    fields = 'enclosed = true\nvolume = "400 m3"\nfresh_air = "3000 m3/h"\nfresh_air_measured = "2026-11-25"'
    return card_of("clean-bench.toml", fields)


def test_the_json_keeps_the_contract(tank: Card) -> None:
    import msgspec

    from steadycone.render import contract

    assert msgspec.convert(card_dict(tank), contract.Card).place.heading == "CLOSED PLACE"  # type: ignore[union-attr]


def test_the_front_says_closed_place_by_the_verdict(tank: Card) -> None:
    told = card_dict(tank)
    view = view_of(tank, told)
    assert told["place"]["heading"] == "CLOSED PLACE"
    lines = text_card(view).splitlines()
    assert any(line.startswith("CLOSED PLACE. 400 m³, fresh air 3000 m³/h.") for line in lines[:9])
    page = html_card(view)
    assert page.index("CLOSED PLACE") < page.index('class="panels"')
    assert pdf_card(view).startswith(b"%PDF")


def test_the_page_holds_less_of_the_list_where_the_place_is_named(tank: Card) -> None:
    view = view_of(tank, card_dict(tank))
    assert view.place_note is not None
    assert "Permit in hand" in view.place_note[1]


@pytest.mark.parametrize("name", ["gantry-three-hose.toml", "clean-bench.toml", "bay-4-us.toml"])
def test_the_page_holds_the_place_and_every_line_below_it(name: str) -> None:
    card = card_of(name, 'confined = true\nvolume = "400 m3"\nfresh_air = "30000 m3/h"\nfresh_air_measured = "2026-11-25"')
    view = view_of(card, card_dict(card))
    page = page_of(view)
    others = 2 if view.go_count else 1
    height = fixed_height(view, page.width - 12.0, page.density, page.short_times)
    assert height + (len(page.rows) + bool(page.more) + others) * page.density.row <= page.height


# --- the steps ---


def test_the_steps_carry_permit_air_test_watcher_and_hoses_out(tank: Card) -> None:
    steps = {step["id"]: step["do"] for step in card_dict(tank)["steps"]}
    ids = list(steps)
    assert ids.index("authority") < ids.index("enclosed-place") < ids.index("purge-enclosed") < ids.index("light")
    assert "somebody watches from outside" in steps["enclosed-place"]
    assert "cylinders stay outside" in steps["enclosed-place"]
    assert "tests the air again" in steps["pause-air-again"]
    assert "hoses out" in steps["pause-enclosed"]
    last = steps["shut-down-fuel-first-closed"]
    assert last.index("hoses out of the closed place") < last.index("bleed")


@pytest.mark.parametrize("procedure", ["card", "setup", "pause", "shut-down", "storage", "cylinder-change"])
@pytest.mark.parametrize("name", ["clean-bench.toml", "gantry-three-hose.toml", "weld-bench-eu.toml", "pontoon-lpg-au.toml"])
def test_no_step_lets_gas_out_inside(procedure: str, name: str) -> None:
    from steadycone.procedures.choose import steps

    figures = card_of(name, 'enclosed = true\nvolume = "40 m3"').figures
    opened = re.compile(r"valves? (?:fully |well )?open|lever down|[Ss]weep|[Bb]leed|valve open", re.IGNORECASE)
    for step in steps(figures, procedure):
        if opened.search(step.do) and not step.id.startswith(("open-", "handle", "trim", "light-trim")):
            assert re.search(r"outside|out of the closed place", step.do, re.IGNORECASE), (step.id, step.do)


def test_no_step_of_a_round_lets_gas_out_inside() -> None:
    from steadycone.procedures.rounds.asks import make_plan

    card = card_of("clean-bench.toml", 'enclosed = true\nvolume = "400 m3"\nfresh_air = "3000 m3/h"')
    opened = re.compile(r"valve open|lever down|bleed", re.IGNORECASE)
    steps = [step for step in make_plan(card, "0" * 64).steps if opened.search(step.do)]
    assert "leak-valve-wait.fuel" in {step.id for step in steps}
    assert [step.id for step in steps if not re.search(r"outside|out of the closed place", step.do, re.IGNORECASE)] == []


def test_the_tank_is_left_before_it_is_bled() -> None:
    from steadycone.procedures.choose import steps

    figures = card_of("clean-bench.toml", "enclosed = true").figures
    for procedure in ("shut-down", "storage"):
        ids = [step.id for step in steps(figures, procedure)]
        assert ids.index("out-of-the-place") < ids.index("bleed-fuel")


# --- bad input ---


@pytest.mark.parametrize(
    ("fields", "kind", "where", "says"),
    [
        ('volume = "12"', BadUnit, "volume", "no unit"),
        ('volume = "12 m3/h"', BadUnit, "volume", "not a unit of volume|not of volume"),
        ('volume = "0 m3"', OutOfRange, "volume", "above 0"),
        ('volume = "12 L"', OutOfRange, "volume", "between 0.1 and"),
        ('fresh_air = "600"', BadUnit, "fresh_air", "no unit"),
        ('fresh_air = "600 m3"', BadUnit, "fresh_air", "unit of volume"),
        ('fresh_air = "-1 m3/h"', OutOfRange, "fresh_air", "at least 0"),
        ('fresh_air = "9000000 m3/h"', OutOfRange, "fresh_air", "at most"),
        ('volume = "1 m3"\nfresh_air = "9000 m3/h"', OutOfRange, "fresh_air", "more than once a second"),
        ('fresh_air_measured = "2026-11-25"', InputError, "fresh_air", "beside fresh_air_measured"),
        ('ceiling = "240 m"', OutOfRange, "ceiling", "between 0.3 and 100 m"),
        ('ceiling = "2.4"', BadUnit, "ceiling", "no unit"),
        ('height = "700 m"', OutOfRange, "height", "at most 500 m"),
        ("welders = 0", OutOfRange, "welders", "at least 1"),
        ("welders = 51", OutOfRange, "welders", "at most 50"),
        ('welders = "two"', InputError, "welders", "whole number"),
        ('cylinders = "in"', UnknownName, "cylinders", "outside, inside"),
        ('country = "FR"', InputError, "country", "does not lie in region uk"),
        ('country = "Atlantis"', UnknownName, "country", "not a country"),
        ('country = "GB-"', UnknownName, "country", "not a country"),
        ('certificate = "chemist"', InputError, "held", "beside certificate"),
        ('low_points = "pit"', InputError, "low_points", "list"),
        ('enclosed = "yes"', InputError, "enclosed", "neither true nor false"),
        ('confinde = true', UnknownName, "confinde", "not a field"),
    ],
)  # fmt: skip
def test_one_message_with_place_value_and_what_to_try(fields: str, kind: type[InputError], where: str, says: str) -> None:
    with pytest.raises(kind) as caught:
        station_from_text(closed_text("clean-bench.toml", fields), "bench.toml")
    assert caught.value.where == f"bench.toml, place, {where}"
    assert re.search(says, str(caught.value))
    assert caught.value.try_


def test_every_field_at_once_is_read() -> None:
    fields = """name = "Hold 3, frame 41"
country = "GB"
enclosed = true
confined = true
ship = true
volume = "12 m3"
height = "4 m"
ceiling = "2.4 m"
fresh_air = "20 m3/min"
fresh_air_measured = "2026-11-25"
welders = 2
cylinders = "outside"
held = "ballast water"
certificate = "gas tester 214"
low_points = ["bilge well"]"""
    found = station_from_text(closed_text("clean-bench.toml", fields)).place
    assert found.closed
    assert found.fresh_air is not None
    assert found.fresh_air.si == pytest.approx(1200 / 3600)


# --- the height of the work ---


@pytest.mark.parametrize(("height", "metres"), [(None, 11.0), ("3 m", 11.0), ("7 m", 13.0)])
def test_high_work_clears_a_wider_ring(height: str | None, metres: float) -> None:
    from steadycone.procedures.settings import clearance

    given = bench.Place(height=bench.given(Length, height) if height else None)
    assert clearance(bench.with_station(bench.clean(), place=given)).value == pytest.approx(metres)


def test_thin_air_fills_sooner() -> None:
    at_sea, high = timed(5.0), replace(timed(5.0), atmosphere=Pressure.parse("0.8 bar abs").si)
    sea, up = (found(figures, "space-oxygen-jet").judged for figures in (at_sea, high))
    assert sea is not None
    assert up is not None
    assert (up.value or 0.0) > (sea.value or 0.0)
