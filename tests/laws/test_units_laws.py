"""Whatever the unit, a value is the same value."""

import contextlib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from steadycone.errors import InputError
from steadycone.units import MEASURES, GasAmount, GasFlow, Length, Measure, Pressure, split

PLAIN = [kind for kind in MEASURES if kind.__name__ not in ("Temperature", "GasFlow")]
FLOWS = ["m3/h", "L/min", "L/h", "ft3/h", "CFH", "kg/h", "lb/h"]


@given(st.floats(1e-3, 40.0), st.sampled_from(PLAIN), st.data())
@settings(max_examples=200, deadline=None)
def test_a_value_written_in_another_unit_is_the_same(value: float, kind: type[Measure], data: st.DataObject) -> None:
    one = data.draw(st.sampled_from(sorted(kind.units)))
    other = data.draw(st.sampled_from(sorted(kind.units)))
    try:
        first = kind.parse(f"{value!r} {one}")
        second = kind.parse(f"{first.si / kind.units[other]!r} {other}")
    except InputError:
        return  # out of what the kind allows, or written with an exponent of its own
    assert second.si == pytest.approx(first.si, rel=1e-12)


@given(st.integers(0, 60), st.integers(1, 63), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_a_mixed_fraction_is_its_sum(whole: int, over: int, under: int) -> None:
    assert Length.parse(f"{whole} {over}/{under} in").si == pytest.approx((whole + over / under) * 0.0254, rel=1e-14)


@given(st.floats(0.001, 1e3), st.sampled_from(FLOWS))
def test_flow_times_an_hour_is_the_amount(value: float, unit: str) -> None:
    volume = {"CFH": "ft3", "L/min": "L"}.get(unit, unit.partition("/")[0])
    hours = 60 if unit == "L/min" else 1
    flow, amount = GasFlow.parse(f"{value:.6f} {unit}"), GasAmount.parse(f"{value:.6f} {volume}")
    assert flow.amount(0.032) * 3600 == pytest.approx(amount.amount(0.032) * hours, rel=1e-12)


@given(st.floats(0.0, 300.0), st.floats(6e4, 1.1e5))
def test_gauge_and_absolute_differ_by_the_atmosphere_alone(value: float, atmosphere: float) -> None:
    gauge, absolute = Pressure.parse(f"{value:.6f} bar"), Pressure.parse(f"{value:.6f} bar abs")
    assert gauge.abs(atmosphere) - absolute.abs(atmosphere) == pytest.approx(atmosphere)
    assert gauge.gauge(atmosphere) == gauge.si


@given(st.text(max_size=100))
@settings(max_examples=500, deadline=None)
def test_any_text_is_a_value_or_an_input_error(text: str) -> None:
    for kind in MEASURES:
        with contextlib.suppress(InputError):
            assert isinstance(kind.parse(text).si, float)


@given(st.text(alphabet="0123456789/., +-eE°mbarin", max_size=30))
@settings(max_examples=500, deadline=None)
def test_any_text_that_looks_like_a_number_is_split_or_refused(text: str) -> None:
    try:
        value, unit, half = split(text)
    except InputError:
        return
    assert isinstance(value, float | int)
    assert half >= 0
    assert unit == unit.strip()
