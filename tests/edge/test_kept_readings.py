"""What is kept between one reading and the next: only by value, only so much of it, and never to the harm of the next reader."""

from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest
from tests.edge.render_samples import EXAMPLES

from steadycone import measure
from steadycone.errors import InputError
from steadycone.files import chart, policy, shapes
from steadycone.physics.flow import resistance, stream
from steadycone.practice import limits
from steadycone.render import numbers, words
from steadycone.units import GasFlow, Length, Pressure, PressureDifference, ReferenceState

CHART = (EXAMPLES / "charts" / "demo-acetylene-cutting.csv").read_bytes()
POLICY = (EXAMPLES / "policies" / "harbour-yard.toml").read_text(encoding="utf-8")
KEPT: dict[str, Any] = {
    "values": measure._parsed,
    "charts": chart._kept_chart,
    "policies": policy._kept,
    "fields": shapes.fields_of,
    "names": shapes.fields_by_name,
    "limits": limits.limit,
    "curves": resistance._fit,
    "bands": resistance._fit_band,
    "streams": stream.stream_of,
    "numbers": numbers._bare,
    "pairs": numbers._pair,
    "sizes": numbers._size,
    "subjects": words._subject,
    "wordings": words._finding_text,
}


@pytest.mark.parametrize("what", KEPT)
def test_only_so_many_are_kept(what: str) -> None:
    assert 0 < KEPT[what].cache_info().maxsize <= 4096


def test_a_chart_read_again_is_the_same_chart() -> None:
    assert chart.chart_from_bytes("a.csv", CHART) == chart.chart_from_bytes("a.csv", CHART) == chart._read_chart("a.csv", CHART)


def test_what_one_reader_does_to_a_chart_does_not_reach_the_next() -> None:
    first = chart.chart_from_bytes("a.csv", CHART)
    first.written.clear()
    assert chart.chart_from_bytes("a.csv", CHART).written == chart._read_chart("a.csv", CHART).written != {}


def test_the_same_bytes_under_two_names_are_two_charts() -> None:
    assert [chart.chart_from_bytes(name, CHART).name for name in ("a.csv", "b.csv")] == ["a.csv", "b.csv"]


def test_a_bad_chart_is_told_each_time_under_its_own_name() -> None:
    bad = CHART.replace(b"\nsize", b"\nsise")
    told = []
    for name in ("a.csv", "b.csv", "a.csv"):
        with pytest.raises(InputError) as error:
            chart.chart_from_bytes(name, bad)
        told.append(str(error.value))
    assert told[0] == told[2] == told[1].replace("b.csv", "a.csv")
    assert told[1].startswith("b.csv")


def test_a_very_long_chart_is_not_kept() -> None:
    before = chart._kept_chart.cache_info()
    long = CHART + b"# note: " + b"x" * 150 + b"\n" + b"\n" * chart._KEPT_BYTES
    chart.chart_from_bytes("a.csv", long)
    assert chart._kept_chart.cache_info() == before


def test_a_bad_policy_is_told_each_time_under_its_own_name() -> None:
    for name in ("one.toml", "other.toml", "one.toml"):
        with pytest.raises(InputError, match=f"^{name}, loss: "):
            policy.policy_from_text(POLICY + '\nloss = "150 %"\n', "uk", name)


def test_a_policy_is_read_for_its_region() -> None:
    regions = ("uk", "eu", "uk")
    assert [policy.policy_from_text(POLICY, region, "a.toml") for region in regions] == [
        policy._read(POLICY, region, "a.toml") for region in regions
    ]


def test_the_same_text_is_another_value_for_another_kind_or_state() -> None:
    assert type(Pressure.parse("2 bar")) is not type(PressureDifference.parse("2 bar"))
    plain, warm = GasFlow.parse("2 m3/h"), GasFlow.parse("2 m3/h", ReferenceState.parse("15 °C, 1.01325 bar"))
    assert plain.si > warm.si
    assert GasFlow.parse("2 m3/h", ReferenceState.parse("15 °C, 1.01325 bar")) == warm
    assert GasFlow.parse("2 kg/h").by_mass
    assert not plain.by_mass


def test_a_bad_value_is_told_each_time() -> None:
    for _ in range(2):
        with pytest.raises(InputError, match='"3 barr": "barr" is not a unit of length') as error:
            Length.parse("3 barr")
        error.value.at("oxygen.part 2 (hose), bore")
        assert error.value.where == "oxygen.part 2 (hose), bore"


def test_many_readers_at_once_read_the_same() -> None:
    names = [f"{number % 100}.csv" for number in range(400)]  # more than are kept, so that some are dropped meanwhile
    with ThreadPoolExecutor(8) as pool:
        read = list(pool.map(lambda name: chart.chart_from_bytes(name, CHART), names))
    rows = chart._read_chart("a.csv", CHART).rows
    assert all(found.name == name and found.rows == rows for found, name in zip(read, names, strict=True))
