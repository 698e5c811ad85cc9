"""A technician's list of readings: judged by the bench's limits, item by item into the register, or told why not."""

import io
import json
from typing import Any

import pytest
from tests.records_desk import Desk, desk, empty_desk

__all__ = ["desk", "empty_desk"]
DAY = "2026-11-25"


@pytest.fixture
def bench(desk: Desk) -> Desk:
    """A register with a technician, instruments and gear to test."""
    desk.ok("people", "authorise", "M. Reyes", "authorised technician", "--basis", "course", "--at", "2026-01-05")
    desk.ok("gear", "add", "R-1", "regulator", "--gas", "oxygen", "--made", "2024-02")
    desk.ok("gear", "add", "A-1", "arrestor", "--gas", "acetylene", "--made", "2024-02")
    desk.ok("gear", "add", "A-2", "arrestor", "--gas", "any fuel", "--made", "2024-02")
    desk.ok("gear", "add", "MG-1", "master gauge", "--tested", "2026-03", "--rating", "class=0.25", "--rating", "full scale=16 bar")
    desk.ok("gear", "add", "MG-2", "master gauge", "--tested", "2024-03", "--rating", "class=0.25")
    desk.ok("gear", "add", "FM-1", "flow meter", "--tested", "2026-03", "--rating", "error=3 %")
    return desk


def listed(*readings: dict[str, str]) -> str:
    """A TOML list."""
    lines = ['format = "steadycone-bench/1"', f'on = "{DAY}"']
    for reading in readings:
        lines += ["[[reading]]", *(f'{name} = "{text}"' for name, text in reading.items())]
    return "\n".join(lines) + "\n"


CREEP = {"mark": "R-1", "test": "creep", "instrument": "MG-1", "test gas": "nitrogen", "rise": "0.000 bar", "minutes": "10", "volume": "20 mL", "start": "1.00 bar", "readability": "0.001 bar"}  # fmt: skip
TIGHT = {"mark": "R-1", "test": "tightness", "test gas": "nitrogen", "bubbles": "0", "minutes": "10", "tube": "3 mm"}
REVERSE = {"mark": "A-1", "test": "reverse flow", "test gas": "nitrogen", "bubbles": "2", "minutes": "10", "tube": "3 mm"}
FLOW = {"mark": "A-1", "test": "flow", "instrument": "FM-1", "flow": "6.20 m3/h", "inlet": "1.00 bar", "drop": "0.100 bar", "flow points": "1 bar/0.10 bar/6 m3/h/acetylene"}  # fmt: skip


def told(desk: Desk, *readings: dict[str, str], preview: bool = False) -> dict[str, Any]:
    """The list's outcome by mark."""
    text = listed(*({key.replace(" ", "_"): value for key, value in reading.items()} for reading in readings))
    desk("gear", "bench", desk.file("list.toml", text), "--json", *(["--preview"] if preview else []))
    return {item["mark"]: item for item in json.loads(desk.out)["items"]}


def test_a_regulator_that_passes_all_its_tests_is_examined_that_day(bench: Desk) -> None:
    found = told(bench, CREEP, TIGHT)["R-1"]
    assert (found["outcome"], found["complete"]) == ("passed", True), found
    shown = bench.json("gear", "show", "R-1")
    assert shown["dates"]["tested"]["date"] == DAY
    readings = next(event["body"]["readings"] for event in shown["history"] if event.get("body", {}).get("test") == "creep")
    assert (readings["rise"], readings["volume"]) == ("0.000 bar", "20 mL")


def test_a_preview_writes_nothing_and_says_the_same(bench: Desk) -> None:
    before = bench.json("gear", "show", "R-1")
    assert told(bench, CREEP, TIGHT, preview=True)["R-1"]["outcome"] == "passed"
    assert bench.json("gear", "show", "R-1") == before


def test_a_list_sent_twice_is_written_once(bench: Desk) -> None:
    first = told(bench, CREEP, TIGHT)["R-1"]["events"]
    assert told(bench, CREEP, TIGHT)["R-1"]["events"] == first


def test_one_test_short_is_kept_and_completes_nothing(bench: Desk) -> None:
    found = told(bench, CREEP)["R-1"]
    assert (found["outcome"], found["complete"]) == ("passed", False)
    assert "tightness" in found["open"]
    assert "tested" not in bench.json("gear", "show", "R-1")["dates"]


@pytest.mark.parametrize(("flow", "outcome"), [("45 cm3/h", "passed"), ("53 cm3/h", "failed")])
def test_a_reverse_flow_over_its_limit_fails_and_quarantines(bench: Desk, flow: str, outcome: str) -> None:
    bench.ok("gear", "add", "N-1", "check valve", "--gas", "oxygen", "--made", "2024-02")
    reading = {"mark": "N-1", "test": "reverse flow", "instrument": "FM-1", "test gas": "air", "flow": flow}
    assert told(bench, reading)["N-1"]["outcome"] == outcome
    assert bench.json("gear", "show", "N-1")["state"] == ("quarantined" if outcome == "failed" else "in service")


def test_within_the_limit_in_air_and_perhaps_over_it_in_acetylene_is_not_passed(bench: Desk) -> None:
    found = told(bench, REVERSE | {"bubbles": "9"})["A-1"]
    assert found["outcome"] == "failed"
    assert any("service gas" in row["says"] for row in found["rows"])


def test_one_bad_row_keeps_its_item_out_and_no_other(bench: Desk) -> None:
    found = told(bench, CREEP, {**TIGHT, "tube": "3 elephants"}, FLOW)
    assert (found["R-1"]["outcome"], found["A-1"]["outcome"]) == ("refused", "passed")
    assert not any(event["kind"] == "test-result" for event in bench.json("gear", "show", "R-1")["history"])
    bad = next(row for row in found["R-1"]["rows"] if "try" in row)
    assert bad["place"] == "reading 2"
    assert "elephants" in bad["says"]
    assert bad["try"]


@pytest.mark.parametrize(
    ("reading", "says"),
    [
        (CREEP | {"instrument": "MG-2"}, "not fit to measure with"),
        (CREEP | {"instrument": "MG-9"}, "MG-9"),
        (CREEP | {"instrument": "FM-1"}, "is a flow meter"),
        ({key: text for key, text in CREEP.items() if key != "instrument"}, "no instrument named"),
        ({key: text for key, text in CREEP.items() if key != "start"}, "proves nothing yet"),
        (TIGHT | {"minutes": "1", "tube": "8 mm"}, "proves nothing yet"),
        (
            CREEP | {"rise": "0.001 bar", "start": "5.00 bar", "volume": "50 mL", "readability": "0.002 bar"},
            "only what the test leaves open",
        ),
        (TIGHT | {"test": "tighness"}, "is not a test"),
        (TIGHT | {"rise": "0.1 bar", "instrument": "MG-1"}, "both bubbles and rise"),
        (TIGHT | {"on": "2031-01-01"}, "future"),
        (TIGHT | {"on": "2023-01-01"}, "before it was made"),
        (TIGHT | {"mark": "R-9"}, "R-9"),
        (REVERSE | {"mark": "A-2"}, "serves any fuel"),
    ],
)
def test_what_proves_nothing_is_refused_with_its_reason_and_a_way_out(bench: Desk, reading: dict[str, str], says: str) -> None:
    found = next(iter(told(bench, reading).values()))
    assert found["outcome"] == "refused"
    assert says in found["rows"][0]["says"]
    assert found["rows"][0]["try"]


@pytest.mark.parametrize(("static", "outcome"), [("5.18 bar", "passed"), ("5.22 bar", "failed")])
def test_a_lock_up_over_thirty_per_cent_at_its_unsafe_end_fails(bench: Desk, static: str, outcome: str) -> None:
    reading = {"mark": "R-1", "test": "lock-up", "instrument": "MG-1", "flowing": "4.00 bar", "static": static}
    assert told(bench, reading)["R-1"]["outcome"] == outcome


@pytest.mark.parametrize(("static", "outcome"), [("1.49 bar", "passed"), ("1.51 bar", "failed")])
def test_an_acetylene_regulator_that_locks_up_over_the_cap_fails(bench: Desk, static: str, outcome: str) -> None:
    bench.ok("gear", "add", "R-2", "regulator", "--gas", "acetylene", "--made", "2024-02")
    reading = {"mark": "R-2", "test": "lock-up", "instrument": "MG-1", "flowing": "1.30 bar", "static": static}
    assert told(bench, reading)["R-2"]["outcome"] == outcome


@pytest.mark.parametrize(("flow", "outcome"), [("6.20 m3/h", "passed"), ("3.50 m3/h", "failed")])
def test_an_arrestor_short_of_its_curve_fails(bench: Desk, flow: str, outcome: str) -> None:
    assert told(bench, FLOW | {"flow": flow})["A-1"]["outcome"] == outcome


@pytest.mark.parametrize(("at", "resets", "outcome"), [("95 °C", "yes", "passed"), ("105 °C", "yes", "failed"), ("95 °C", "no", "failed")])
def test_a_cut_off_shuts_in_time_and_opens_again(bench: Desk, at: str, resets: str, outcome: str) -> None:
    reading = {"mark": "A-1", "test": "cut-off", "shut at": at, "limit": "100 °C", "resets": resets}
    assert told(bench, reading)["A-1"]["outcome"] == outcome


@pytest.mark.parametrize(("reads", "outcome"), [("8.1", "passed"), ("8.6", "failed")])
def test_a_gauge_is_held_to_its_class_by_the_master_in_the_register(bench: Desk, reads: str, outcome: str) -> None:
    pairs = f"0 bar/0 bar; 8.00 bar/{reads} bar; 14.00 bar/14.1 bar"
    reading = {"mark": "R-1", "test": "gauge", "instrument": "MG-1", "readings": pairs, "full scale": "16 bar", "gauge class": "2.5"}
    found = told(bench, reading)["R-1"]
    assert found["outcome"] == outcome


def test_a_sheet_and_a_csv_say_the_same_as_toml(bench: Desk) -> None:
    import openpyxl

    headings = ["mark", "test", "on", "test gas", "bubbles", "minutes", "tube [mm]", "price"]
    row = ["R-1", "tightness", DAY, "nitrogen", "0", "10", "3", "12"]
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.append(headings)
    sheet.append(row)
    out = io.BytesIO()
    book.save(out)
    answers = [
        bench.json("gear", "bench", bench.file(name, data), "--preview")
        for name, data in (("list.xlsx", out.getvalue()), ("list.csv", "\n".join(",".join(line) for line in (headings, row)).encode()))
    ]
    assert answers[0] == answers[1]
    assert answers[0]["not_taken"] == ["price"]
    assert answers[0]["items"][0]["rows"][0]["value"] == told(bench, TIGHT, preview=True)["R-1"]["rows"][0]["value"]


@pytest.mark.parametrize(
    ("name", "text", "says"),
    [
        ("list.csv", "mark,what\nR-1,creep\n", 'no column "test"'),
        ("list.csv", "mark,test,bubles\nR-1,creep,3\n", "Did you mean"),
        ("list.csv", "", "empty"),
        ("list.pdf", "x", "ends in"),
        ("list.toml", 'format = "steadycone-bench/1"\n', "no list of readings"),
        ("list.toml", "mark = 3\n", "format"),
    ],
)
def test_a_list_that_is_none_is_refused_whole(bench: Desk, name: str, text: str, says: str) -> None:
    assert says in bench.refused("gear", "bench", bench.file(name, text))


def test_a_certificate_tells_readings_limits_instruments_who_when_and_the_logs_code(bench: Desk) -> None:
    told(bench, CREEP, TIGHT)
    text = " ".join(bench.ok("gear", "certificate", "r-1").split())
    for part in (
        "[ok] Examined",
        "rise 0.000 bar",
        "MG-1, in date until 2027-03",
        "12 cm3/h",
        "from memory",
        "M. Reyes, authorised technician",
        DAY,
    ):
        assert part in text, part
    code = bench.json("gear", "certificate", "R-1")["code"]
    assert code in text
    assert code in bench.ok("log", "head")
    pdf = bench.folder / "r-1.pdf"
    bench.ok("gear", "certificate", "R-1", "--pdf", str(pdf))
    assert pdf.read_bytes().startswith(b"%PDF")


def test_a_certificate_never_betters_the_register(bench: Desk) -> None:
    told(bench, CREEP, TIGHT)
    bench.ok("gear", "quarantine", "R-1", "--reason", "dropped")
    assert bench.json("gear", "certificate", "R-1")["word"] == "Not for use"
    told(bench, REVERSE)
    assert bench.json("gear", "certificate", "A-1")["word"] != "Examined"
    assert "no test of" in bench.refused("gear", "certificate", "A-2")


def test_no_test_that_an_examination_rests_on_is_struck(bench: Desk) -> None:
    told(bench, CREEP, TIGHT)
    creep = next(event for event in bench.json("gear", "show", "R-1")["history"] if event["body"].get("test") == "creep")
    refusal = bench.refused("log", "correct", str(creep["sequence"]), "--annul", "--why", "another regulator", code=3)
    assert "the last examination of R-1 rests on it" in refusal
    assert bench.json("gear", "certificate", "R-1")["word"] == "Examined"


def test_a_certificate_is_not_whole_where_an_older_log_has_struck_a_test(bench: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("steadycone.records.rules._check_examination", lambda *_: None)  # as logs were written before that rule
    told(bench, CREEP, TIGHT)
    assert bench.json("gear", "certificate", "R-1")["word"] == "Examined"
    creep = next(event for event in bench.json("gear", "show", "R-1")["history"] if event["body"].get("test") == "creep")
    bench.ok("log", "correct", str(creep["sequence"]), "--annul", "--why", "another regulator")
    found = bench.json("gear", "certificate", "R-1")
    assert (found["word"], found["verdict"]) == ("Not complete", "caution")
    assert "creep no longer stands" in found["says"]


@pytest.mark.parametrize(("on", "told_it"), [("2026-11-24", False), (DAY, True)])
def test_no_certificate_is_dated_before_its_last_test(bench: Desk, on: str, told_it: bool) -> None:
    told(bench, CREEP, TIGHT)
    if told_it:
        assert bench.json("gear", "certificate", "R-1", "--on", on)["on"] == on
    else:
        assert "before its last test" in bench.refused("gear", "certificate", "R-1", "--on", on)


def test_certificates_go_into_a_folder_that_is_there_before_anything_is_written(bench: Desk) -> None:
    name = bench.file("list.toml", listed({key.replace(" ", "_"): text for key, text in REVERSE.items()}))
    assert "no folder" in bench.refused("gear", "bench", name, "--certificates", str(bench.folder / "none"))
    assert not any(event["kind"] == "test-result" for event in bench.json("gear", "show", "A-1")["history"])
    (bench.folder / "out").mkdir()
    bench("gear", "bench", name, "--certificates", str(bench.folder / "out"))
    assert [each.name for each in (bench.folder / "out").iterdir()] == ["A-1.pdf"]


def test_exit_codes_tell_refused_from_failed(bench: Desk) -> None:
    reading = {key.replace(" ", "_"): text for key, text in REVERSE.items()}
    assert bench("gear", "bench", bench.file("list.toml", listed(reading | {"bubbles": "90"}))) == 3
    assert bench("gear", "bench", bench.file("list.toml", listed(reading | {"mark": "A-9"}))) == 2
