"""What must hold for every station, whatever its numbers: the figures move the way the bench does."""

from hypothesis import given, settings
from hypothesis import strategies as st
from tests.stations import card

from steadycone.assembly.figures import Figures

QUICK = settings(max_examples=40, deadline=None)


def worked_out(**changes: str) -> Figures:
    return card(**changes).figures


def ends(found: Figures, line: str, what: str) -> tuple[float, float, float]:
    number = getattr(found.lines[line], what)
    return number.low, number.value, number.high


@QUICK
@given(st.integers(5, 60), st.integers(1, 40), st.sampled_from([("5 mm", "6.3 mm"), ("6.3 mm", "8 mm"), ("8 mm", "10 mm")]))
def test_a_longer_or_narrower_hose_never_lowers_the_pressure_to_set(length: int, more: int, bores: tuple[str, str]) -> None:
    narrow, wide = bores
    here = worked_out(bore=wide, length=f"{length} m")
    for worse in (worked_out(bore=wide, length=f"{length + more} m"), worked_out(bore=narrow, length=f"{length} m")):
        for line in ("oxygen", "fuel"):
            assert all(b >= a for a, b in zip(ends(here, line, "flowing"), ends(worse, line, "flowing"), strict=True))
            assert worse.lines[line].set_pressure.value >= here.lines[line].set_pressure.value  # type: ignore[operator]


@QUICK
@given(st.integers(-20, 40), st.integers(1, 15))
def test_warmer_storage_never_lowers_the_pressure(celsius: int, more: int) -> None:
    here, warmer = worked_out(ambient=f"{celsius} °C"), worked_out(ambient=f"{celsius + more} °C")
    assert all(
        b >= a
        for a, b in zip(
            (here.lines["fuel"].supply.pressure.low, here.lines["fuel"].supply.pressure.value),
            (warmer.lines["fuel"].supply.pressure.low, warmer.lines["fuel"].supply.pressure.value),
            strict=True,
        )
    )


@QUICK
@given(st.integers(5, 60), st.integers(20, 190))
def test_the_same_station_in_other_units_has_the_same_figures(feet: int, bar: int) -> None:
    here = worked_out(length=f"{feet} ft", bore="0.25 in", ambient="50 °F", pressure=f"{bar} bar")
    there = worked_out(length=f"{feet * 304.8:.10g} mm", bore="6.35 mm", ambient="10 °C", pressure=f"{bar * 100} kPa")
    for line in ("oxygen", "fuel"):
        for what in ("flowing", "static", "flow"):
            for a, b in zip(ends(here, line, what), ends(there, line, what), strict=True):
                assert abs(a - b) <= 1e-9 * abs(a)
        assert abs(here.lines[line].supply.contents.value - there.lines[line].supply.contents.value) < 1e-6  # type: ignore[operator]


@QUICK
@given(st.integers(5, 60), st.sampled_from(["5 mm", "6.3 mm", "10 mm"]))
def test_every_band_holds_its_value(length: int, bore: str) -> None:
    found = worked_out(length=f"{length} m", bore=bore)
    for line in found.lines.values():
        for what in ("torch_inlet", "flowing", "static", "set_pressure", "flow", "loss_hoses", "loss_parts"):
            number = getattr(line, what)
            assert number.low <= number.value <= number.high
        assert [part.inlet.value for part in line.parts] == sorted((part.inlet.value for part in line.parts), reverse=True)
