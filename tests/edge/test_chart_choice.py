"""Which row a job gets, and when the chart can't answer."""

from typing import Any

import msgspec
import pytest
from tests.files_samples import CHART, STATION

from steadycone.errors import UnknownName
from steadycone.files.chart import chart_from_bytes
from steadycone.files.station import station_from_text
from steadycone.physics.gas import load
from steadycone.practice.chart import Choice, choose
from steadycone.practice.finding import Finding
from steadycone.station.setup import Station

BASE = station_from_text(STATION)
HEATING = "# fuel: propane\n# attachment: heating\n# basis: torch inlet\nsize,oxygen pressure [bar],fuel pressure [bar],fuel flow [L/min]\n10,2,0.5,5-10\n20,3,1,10-20\n40,4,1.5,25-40\n"


def station(**changes: Any) -> Station:
    """The sample station with other fields of job, tip, torch or fuel."""
    job = {name: changes[name] for name in ("thickness", "start", "bevel", "kind") if name in changes}
    read = {"thickness": "Length", "bevel": "Angle"}
    import steadycone.units as units

    job = {name: getattr(units, read[name]).parse(value) if name in read and value is not None else value for name, value in job.items()}
    tip = {"size": changes.get("size"), "fuel_flow": units.GasFlow.parse(changes["fuel_flow"]) if "fuel_flow" in changes else None}
    about = msgspec.structs.replace(BASE.station, fuel=changes.get("fuel", "acetylene"))
    torch = msgspec.structs.replace(BASE.torch, attachment=changes.get("attachment", "cutting"))
    return msgspec.structs.replace(
        BASE, station=about, torch=torch, job=msgspec.structs.replace(BASE.job, **job), tip=msgspec.structs.replace(BASE.tip, **tip)
    )


def chosen(text: str = CHART, **changes: Any) -> Choice:
    asked = station(**changes)
    return choose(
        chart_from_bytes("chart.csv", text.encode()), asked, load("acetylene" if asked.station.fuel == "acetylene" else "propane")
    )


def finding(choice: Choice, code: str) -> Finding:
    return next(one for one in choice.findings if one.code == code)


@pytest.mark.parametrize(
    ("thickness", "size"), [("3 mm", "1"), ("5 mm", "1"), ("10 mm", "2"), ("20 mm", "3"), ("25 mm", "3"), ("39.9 mm", "3"), ("40 mm", "4"), ("75 mm", "4"), ("1 in", "3")]
)  # fmt: skip
def test_a_cut_goes_by_thickness_and_a_shared_end_to_the_larger_size(thickness: str, size: str) -> None:
    choice = chosen(thickness=thickness)
    assert choice.size == size
    assert finding(choice, "tip-outside-chart").verdict == "go"


def test_a_bevel_lengthens_the_cut() -> None:
    choice = chosen(thickness="36 mm", bevel="30°")
    assert choice.thickness == pytest.approx(0.0415692, rel=1e-5)
    assert choice.size == "4"


@pytest.mark.parametrize(
    ("thickness", "text", "below", "above"), [("2 mm", "below", None, "1"), ("80 mm", "above", "4", None)]
)  # fmt: skip
def test_a_thickness_beyond_the_chart_stops_and_picks_nothing(thickness: str, text: str, below: str | None, above: str | None) -> None:
    choice = chosen(thickness=thickness)
    assert choice.row is None
    assert (choice.below.size if choice.below else None, choice.above.size if choice.above else None) == (below, above)
    outside = finding(choice, "tip-outside-chart")
    assert (outside.verdict, outside.text) == ("stop", text)


def test_a_gap_names_both_neighbours_and_picks_neither() -> None:
    choice = chosen(CHART.replace("3,20,40", "3,22,40"), thickness="21 mm")
    assert choice.row is None
    outside = finding(choice, "tip-outside-chart")
    assert (outside.blanks["below"], outside.blanks["above"]) == ("2", "3")


def test_piercing_takes_the_next_size_up() -> None:
    assert chosen(thickness="25 mm", start="pierce").size == "4"
    largest = chosen(thickness="60 mm", start="pierce")
    assert largest.size == "4"
    assert (finding(largest, "pierce-limit").verdict, finding(largest, "pierce-limit").text) == ("caution", "no-larger")


def test_a_pierce_limit_stops() -> None:
    text = CHART.replace("bore [mm],", "bore [mm],pierce limit [mm],").replace(",1.9,", ",1.9,30,")
    text = text.replace(",1.0,", ",1.0,,").replace(",1.25,", ",1.25,,").replace(",1.6,", ",1.6,,")
    assert finding(chosen(text, thickness="25 mm", start="pierce"), "pierce-limit").verdict == "go"
    assert finding(chosen(text, thickness="35 mm", start="pierce"), "pierce-limit").verdict == "stop"


def test_a_size_asked_for_is_taken_where_its_band_holds_the_thickness() -> None:
    assert chosen(size="3", thickness="25 mm").size == "3"
    assert chosen(size="2", thickness="20 mm").size == "2"
    assert chosen(size="4", thickness="25 mm", start="pierce").size == "4"
    outside = chosen(size="4", thickness="25 mm")
    assert outside.row is None
    assert finding(outside, "tip-outside-chart").blanks["fits"] == "3"


def test_a_size_that_is_not_in_the_chart_is_refused() -> None:
    with pytest.raises(UnknownName) as caught:
        chosen(size="9")
    assert caught.value.where == "tip, size"
    assert '"9"' in caught.value.says


def test_double_nought_is_not_nought() -> None:
    text = CHART.replace("\n1,3,10", "\n00,3,10").replace("\n2,10", "\n0,10")
    assert chosen(text, size="00", thickness="5 mm").row is not None
    assert chosen(text, size="0", thickness="5 mm").row is None


def test_a_size_with_several_rows_is_read_by_thickness() -> None:
    text = CHART.replace("\n4,40,75", "\n3,40,75")
    assert (row := chosen(text, size="3", thickness="50 mm").row) is not None
    assert row.line == 9
    choice = chosen(text, size="3", thickness=None)
    assert choice.row is None
    assert (finding(choice, "tip-outside-chart").verdict, finding(choice, "tip-outside-chart").text) == ("stop", "no-thickness")


def test_a_cut_without_thickness_or_size_picks_nothing() -> None:
    choice = chosen(CHART, thickness=None)
    assert choice.row is None
    assert finding(choice, "tip-outside-chart").text == "no-thickness"


def test_a_chart_for_another_fuel_stops_and_gives_no_figures() -> None:
    for fuel, verdict in (("acetylene", "stop"), ("propane", "go"), ("lpg", "go")):
        choice = chosen(HEATING, fuel=fuel, attachment="heating", kind="heat", size="20", thickness=None)
        assert finding(choice, "tip-fuel").verdict == verdict
        assert (choice.row is None) == (verdict == "stop")


def test_a_chart_that_names_no_fuel_is_a_caution() -> None:
    assert finding(chosen(CHART.replace("# fuel: acetylene\n", "")), "tip-fuel").verdict == "caution"


def test_a_cutting_chart_on_a_heating_attachment_stops() -> None:
    assert finding(chosen(attachment="heating", kind="heat", size="3"), "tip-attachment").verdict == "stop"
    assert finding(chosen(CHART.replace("# attachment: cutting\n", "")), "tip-attachment").verdict == "go"


@pytest.mark.parametrize(
    ("line", "verdict"), [("", "caution"), ("# basis: regulator\n", "caution"), ("# basis: regulator\n# basis hose: 5 m x 6.3 mm\n", "go")]
)
def test_a_basis_that_is_not_stated_is_a_caution(line: str, verdict: str) -> None:
    assert finding(chosen(CHART.replace("# basis: torch inlet\n", line)), "chart-basis-unknown").verdict == verdict


@pytest.mark.parametrize(
    ("flow", "size"),
    [
        ("5 L/min", "10"),
        ("10 L/min", "10"),
        ("11 L/min", "20"),
        ("30 L/min", "40"),
        ("4 L/min", None),
        ("22 L/min", None),
        ("50 L/min", None),
    ],
)
def test_heating_goes_by_the_smallest_size_that_reaches_the_flow(flow: str, size: str | None) -> None:
    choice = chosen(HEATING, fuel="propane", attachment="heating", kind="heat", fuel_flow=flow, thickness=None)
    assert (choice.row.size if choice.row else None) == size
    assert finding(choice, "tip-outside-chart").verdict == ("go" if size else "stop")


def test_heating_with_nothing_to_choose_by_picks_nothing() -> None:
    choice = chosen(HEATING, fuel="propane", attachment="heating", kind="heat", thickness=None)
    assert choice.row is None
    assert (finding(choice, "tip-outside-chart").verdict, finding(choice, "tip-outside-chart").text) == ("stop", "no-size")


def test_welding_may_go_by_thickness() -> None:
    text = "# fuel: acetylene\n# attachment: welding\nsize,thickness [mm],oxygen pressure [bar],fuel pressure [bar],fuel flow [L/h]\n2,1-2,0.2,0.2,150\n3,2-4,0.3,0.3,300\n"
    assert chosen(text, attachment="welding", kind="weld", thickness="3 mm").size == "3"
    assert chosen(text, attachment="welding", kind="weld", thickness=None, size="2").size == "2"
