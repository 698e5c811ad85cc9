"""Numbers as a region writes them."""

import pytest

from steadycone.errors import UnknownName
from steadycone.quantity import Quantity, band, exact, unknown
from steadycone.render.numbers import Numbers, step_decimals
from steadycone.units import GasFlow, Length, Pressure

BAR = 1e5


@pytest.mark.parametrize(
    ("region", "shown"),
    [("uk", "3.31 bar"), ("eu", "3,31 bar"), ("us", "48.0 psi"), ("ca", "48.0 psi"), ("au", "331 kPa"), ("nz", "331 kPa")],
)
def test_a_pressure_follows_its_region(region: str, shown: str) -> None:
    assert Numbers.of(region).show(exact(3.31 * BAR, "gauge pressure")).replace("\u00a0", " ") == shown


def test_a_flow_in_cubic_feet_is_at_seventy_fahrenheit() -> None:
    flow = exact(GasFlow.parse("106 CFH").si, "flow")
    assert Numbers.of("us").show(flow).replace("\u00a0", " ") == "106 CFH"
    assert "70 °F" in Numbers.of("us").reference_state
    assert Numbers.of("eu").reference_state == "0 °C, 1,01325 bar"


@pytest.mark.parametrize(("x", "decimals", "way", "shown"), [
    (4.3, 1, "up", "4.3"), (4.31, 1, "up", "4.4"), (4.39, 1, "down", "4.3"), (-0.31, 2, "nearest", "−0.31"), (0.0, 0, "nearest", "0"),
    (12345.6, 0, "nearest", "12,346"), (4200.0, 0, "nearest", "4200"),
])  # fmt: skip
def test_rounding_goes_where_it_is_told_and_no_further(x: float, decimals: int, way: str, shown: str) -> None:
    assert Numbers.of("uk").text(x, decimals, way) == shown  # type: ignore[arg-type]


def test_a_small_number_keeps_a_figure() -> None:
    assert Numbers.of("uk").show(exact(0.003 * BAR, "pressure difference")).startswith("0.003")


@pytest.mark.parametrize(
    ("text", "shown"), [("3/16 in", "3/16"), ("1 1/4 in", "1 1/4"), ("1 in", "1"), ("2.3 in", "2.3"), ("4.76 mm", "3/16")]
)
def test_inches_are_fractions_where_fractions_were_meant(text: str, shown: str) -> None:
    assert Numbers.of("us").bare(Length.parse(text).si, "thickness") == shown


def test_sixty_millimetres_do_not_become_sixty_fourths() -> None:
    assert "/" not in Numbers.of("us").bare(0.060, "thickness")


def test_a_value_and_its_limit_never_read_alike() -> None:
    value, limit = exact(1.5004 * BAR, "gauge pressure"), exact(1.5 * BAR, "gauge pressure")
    shown, at = Numbers.of("uk").pair(value, limit)
    assert shown != at


@pytest.mark.parametrize(("division", "places"), [(0.1, 1), (0.05, 2), (0.02, 2), (0.25, 2), (0.5, 1), (1.0, 0), (2.0, 0), (5.0, 0)])
def test_a_set_number_has_the_decimals_of_its_gauge(division: float, places: int) -> None:
    assert step_decimals(division) == places


@pytest.mark.parametrize(("seconds", "shown"), [(300.0, "5 min"), (45.0, "45 s"), (4 * 3600.0, "4.0 h"), (80 * 3600.0, "80 h")])
def test_times_are_minutes_and_then_hours(seconds: float, shown: str) -> None:
    assert " ".join(Numbers.of("uk").duration(seconds)) == shown


def test_unknown_and_inapplicable_are_told_apart() -> None:
    numbers = Numbers.of("uk")
    assert (numbers.show(unknown("flow")), numbers.show(None)) == ("?", "—")


def test_a_temperature_is_shifted_and_a_band_is_kept_in_order() -> None:
    assert Numbers.of("us").show(exact(273.15, "temperature")).replace("\u00a0", " ") == "32 °F"
    assert Numbers.of("ca").show(exact(273.15, "temperature")).replace("\u00a0", " ") == "0 °C"
    wide = band(3.0, 4.0, 2.0, "number")
    assert (wide.low, wide.high) == (2.0, 4.0)


def test_an_unknown_region_is_refused_with_a_hint() -> None:
    with pytest.raises(UnknownName, match="no region"):
        Numbers.of("uq")


def test_every_kind_can_be_shown_in_every_region() -> None:
    from steadycone.quantity import KINDS

    for region in ("uk", "eu", "us", "ca", "au", "nz"):
        for kind in KINDS:
            assert Numbers.of(region).show(Quantity(300.0, 290.0, 310.0, kind))


def test_a_pressure_class_is_in_the_units_of_the_table() -> None:
    assert {"bar", "psi", "kPa"} <= set(Pressure.units)
