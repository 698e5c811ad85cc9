"""A chart is checked before it is believed."""

import pytest
from tests.files_samples import CHART, STATION

from steadycone.files.chart import chart_from_bytes
from steadycone.files.station import station_from_text
from steadycone.physics.gas import load
from steadycone.practice.chart import check_chart, choose, judged, suspect_figures
from steadycone.practice.finding import Finding

CAP = 1.5e5


def suspects(text: str, cap: float = CAP) -> tuple[Finding, ...]:
    return check_chart(chart_from_bytes("chart.csv", text.encode()), load("acetylene"), cap)


def texts(text: str, cap: float = CAP) -> set[tuple[str, str]]:
    return {(finding.text, str(finding.blanks["size"])) for finding in suspects(text, cap)}


def verdicts(text: str) -> dict[str, str]:
    """Verdicts by text, for the sample job: 25 mm, size 3."""
    chart, station = chart_from_bytes("chart.csv", text.encode()), station_from_text(STATION)
    choice = choose(chart, station, load("acetylene"))
    return {finding.text: finding.verdict for finding in judged(suspects(text), choice, chart)}


def test_a_sound_chart_is_go() -> None:
    assert suspects(CHART) == ()
    assert verdicts(CHART) == {"": "go"}


def test_bands_that_overlap_are_told_with_both_rows() -> None:
    text = CHART.replace("\n4,40,75", "\n4,35,75")
    (found,) = suspects(text)
    assert (found.text, found.blanks["size"], found.blanks["other_size"]) == ("overlap", "3", "4")
    assert found.value is not None
    assert found.value.low == pytest.approx(0.035)
    assert verdicts(text) == {"overlap": "caution"}


def test_an_overlap_that_holds_the_job_stops() -> None:
    assert verdicts(CHART.replace("\n4,40,75", "\n4,24,75")) == {"overlap": "stop"}


def test_a_gap_is_told_and_is_never_more_than_a_caution() -> None:
    text = CHART.replace("\n4,40,75", "\n4,45,75")
    (found,) = suspects(text)
    assert (found.text, found.blanks["size"], found.blanks["other_size"]) == ("gap", "3", "4")
    assert verdicts(text) == {"gap": "caution"}


def test_a_psi_column_that_reads_like_bar_is_suspect() -> None:
    text = CHART.replace("oxygen pressure [bar]", "oxygen pressure [psi]")
    assert ("low-pressure", "3") in texts(text)
    assert verdicts(text)["low-pressure"] in ("stop", "caution")
    chart, station = chart_from_bytes("chart.csv", text.encode()), station_from_text(STATION)
    choice = choose(chart, station, load("acetylene"))
    assert "oxygen_pressure" in suspect_figures(suspects(text), choice)
    assert any(finding.verdict == "stop" and finding.text == "low-pressure" for finding in judged(suspects(text), choice, chart))


def test_a_bar_column_that_reads_like_psi_is_suspect() -> None:
    assert ("high-pressure", "3") in texts(CHART.replace("3.0-3.5", "40-50"))


def test_pressure_that_drops_at_the_next_size_is_normal() -> None:
    text = CHART.replace("3,20,40,3.0-3.5", "3,20,40,2.5-4.5").replace("4,40,75,4.0,0.5,6.5", "4,40,75,3.0,0.5,6.0")
    assert suspects(text) == ()


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("4.0,0.40,0.36,1.6", "8.5,0.40,0.36,1.6", "flow-high"),
        ("4.0,0.40,0.36,1.6", "1.6,0.40,0.36,1.6", "flow-low"),
        ("4.0,0.40,0.36,1.6", "4.0,0.40,0.36,0.8", "flow-high"),
        ("4.0,0.40,0.36,1.6", "4.0,1.40,0.36,1.6", "ratio-high"),
        ("4.0,0.40,0.36,1.6", "4.0,0.10,0.36,1.6", "ratio-low"),
        ("4.0,0.40,0.36,1.6", "4.0,0.40,0,1.6", "ratio-high"),
    ],
)
def test_figures_that_do_not_fit_each_other_stop_the_card_that_uses_them(old: str, new: str, told: str) -> None:
    text = CHART.replace(old, new)
    assert (told, "3") in texts(text)
    assert verdicts(text)[told] == "stop"


def test_elsewhere_they_are_a_caution() -> None:
    assert verdicts(CHART.replace("6.5,0.45,0.40,1.9", "26.5,0.45,0.40,1.9")) == {"flow-high": "caution"}


def test_litres_a_minute_read_as_cubic_feet_an_hour_are_seen() -> None:
    lpm = CHART.replace("cutting oxygen [m3/h]", "cutting oxygen [L/min]").replace("4.0,0.40", "141,0.40")
    assert ("flow-high", "3") in texts(lpm)


def test_acetylene_over_the_cap_depends_on_the_region() -> None:
    text = CHART.replace("3.0-3.5,0.5", "3.0-3.5,1.2")
    assert ("over-cap", "3") in texts(text, 1.034e5)
    assert texts(text, 1.5e5) == set()


def test_the_flame_of_a_propane_chart_is_judged_as_propane() -> None:
    text = CHART.replace("acetylene", "propane")
    assert {told for told, _ in texts(text)} == {"ratio-low"}
    assert {told for told, _ in texts(text.replace("0.33,0.3,", "1.2,0.3,"))} == {"ratio-low"}


def test_a_doubt_shared_by_unused_rows_is_told_once() -> None:
    text = CHART.replace("1,3,10,2.0,0.5,1.2", "1,3,10,2.0,0.5,12").replace("2,10,20,2.5,0.5,2.2", "2,10,20,2.5,0.5,22")
    chart, station = chart_from_bytes("chart.csv", text.encode()), station_from_text(STATION)
    (found,) = judged(suspects(text), choose(chart, station, load("acetylene")), chart)
    assert (found.verdict, found.blanks["size"]) == ("caution", "1, 2")


def test_a_chart_of_single_thicknesses_has_no_gaps() -> None:
    assert suspects("# fuel: acetylene\nsize,thickness [in],oxygen pressure [psi],cutting oxygen [CFH]\n1,1/4,20,60\n2,1/2,30,80\n") == ()
