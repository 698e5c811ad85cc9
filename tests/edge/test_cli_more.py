"""`calc`, `chart`, `schema` and `sources` from the command line."""

import json
from pathlib import Path

import pytest
from tests.edge.render_samples import EXAMPLES

from steadycone.cli.entry import run

CHART = str(EXAMPLES / "charts" / "demo-acetylene-cutting.csv")


def test_a_sum_is_one_flat_object(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["calc", "bevel", "thickness=30 mm", "angle=30°", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["effective_thickness_mm"] == pytest.approx(34.64, abs=0.01)  # 30 / cos 30°


def test_a_sum_is_readable_without_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["calc", "units", "value=1 bar", "to=psi"]) == 0
    assert "14.50" in capsys.readouterr().out


def test_a_sum_is_told_to_a_person_in_words_and_units_of_the_region_and_not_in_keys(capsys: pytest.CaptureFixture[str]) -> None:
    line = ["calc", "hose", "gas=oxygen", "bore=6.3 mm", "length=20 m", "flow=4 m3/h", "outlet=3 bar"]
    assert run(line) == 0
    told = capsys.readouterr().out
    assert "_bar" not in told
    assert "bar" in told
    assert run([*line, "--region", "us"]) == 0
    assert "psi" in capsys.readouterr().out


def test_a_sum_that_judges_begins_its_verdict_with_the_mark(capsys: pytest.CaptureFixture[str]) -> None:
    readings = "readings=0 bar/0 bar; 5.0 bar/5.0 bar; 14.0 bar/14.0 bar"
    assert run(["calc", "gauge", readings, "full_scale=16 bar", "master_class=0.25"]) == 0
    assert "[ok] Within its class" in capsys.readouterr().out


def test_calc_alone_lists_the_worksheets_and_a_name_alone_its_fields(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["calc"]) == 0
    assert "hose" in capsys.readouterr().out
    assert run(["calc", "hose"]) == 0
    assert "bore" in capsys.readouterr().out


def test_cases_come_back_in_order_and_a_bad_one_is_told_and_gives_two(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    cases = tmp_path / "cases.jsonl"
    cases.write_text('{"calc": "units", "value": "1 bar", "to": "kPa"}\n{"calc": "hoze"}\n{"calc": "units", "value": "1 ft", "to": "in"}\n')
    assert run(["calc", "--cases", str(cases)]) == 2
    lines = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert [set(line) == {"error"} for line in lines] == [False, True, False]
    assert set(lines[1]["error"]) == {"code", "where", "says", "try"}


def test_good_cases_give_nought(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    cases = tmp_path / "cases.jsonl"
    cases.write_text('{"calc": "units", "value": "1 bar", "to": "kPa"}\n')
    assert run(["calc", "--cases", str(cases)]) == 0
    assert len(capsys.readouterr().out.splitlines()) == 1


def test_a_missing_file_of_cases_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["calc", "--cases", "nowhere.jsonl"]) == 2
    assert "nowhere.jsonl" in capsys.readouterr().err


def test_a_key_twice_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["calc", "units", "to=psi", "to=bar"]) == 2
    assert "there twice" in capsys.readouterr().err


def test_a_sound_chart_passes_and_a_doubtful_one_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["chart", "check", CHART]) == 0
    capsys.readouterr()
    doubtful = tmp_path / "doubtful.csv"
    doubtful.write_text(Path(CHART).read_text(encoding="utf-8").replace(",3.0,", ",43,"), encoding="utf-8")
    assert run(["chart", "check", str(doubtful), "--json"]) == 3
    told = json.loads(capsys.readouterr().out)
    assert {finding["code"] for finding in told["findings"]} == {"chart-suspect"}


def test_a_chart_is_shown_in_the_units_of_a_region(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["chart", "show", CHART, "--region", "us"]) == 0
    out = capsys.readouterr().out
    assert "psi" in out
    assert "CFH" in out


@pytest.mark.parametrize("what", ["station", "card", "chart", "policy"])
def test_a_schema_is_json(what: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["schema", what]) == 0
    assert json.loads(capsys.readouterr().out)["$schema"].startswith("https://json-schema.org/")


def test_sources_can_be_searched(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["sources", "emergency"]) == 0
    assert "emergency-order" in capsys.readouterr().out
    assert run(["sources", "acetylene", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)
