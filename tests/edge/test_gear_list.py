"""A gear list in every dress people keep it in: what goes in, what would change, and why a row can't be taken."""

import time
from datetime import date

import pytest
from tests.files_samples import ods, xlsx

from steadycone.errors import BadFile, BadUnit, InputError, UnknownName
from steadycone.files.gear_sheet import gear_table
from steadycone.records.gear_item import Listed
from steadycone.records.gear_list import GearList, RowReport, read_gear_list
from steadycone.records.names import key

TODAY = date(2026, 11, 25)
HEAD = "mark,kind,gas,type,made,bought,in service,tested,tested by,fitted,note\n"
REGULATOR = "TQ-REG-014,regulator,oxygen,single stage,2023-02,2023-04,2023-05-02,2026-03-04,A. Lindqvist,,\n"
THERE = Listed("TQ-REG-014", "regulator", "oxygen", "single stage", "2023-02", "2023-04", "2023-05-02", "2026-03-04", "A. Lindqvist")


def read(text: str, *known: Listed, name: str = "gear.csv") -> GearList:
    return read_gear_list(gear_table(name, text.encode()), name, {key(item.mark): item for item in known}, TODAY)


def only(text: str, *known: Listed) -> RowReport:
    rows = read(text, *known).rows
    assert len(rows) == 1
    return rows[0]


def bad(row: str, *known: Listed, head: str = HEAD) -> str:
    found = only(head + row + "\n", *known)
    assert found.outcome == "bad"
    assert found.try_
    return found.says


def test_a_whole_row_becomes_an_item() -> None:
    found = only(HEAD + REGULATOR)
    assert (found.outcome, found.item) == ("add", THERE)


def test_headings_and_words_of_the_trade_are_understood() -> None:
    found = read("Asset no;Equipment;Date of make;Last test;Location\n12;Oxygen flashback arrester;2023-02;2026-03;Slip 2\n").rows[0]
    assert found.item == Listed("12", "arrestor", "oxygen", made="2023-02", tested="2026-03", fitted="Slip 2", place="oxygen arrestor")


def test_a_heading_that_means_nothing_is_not_taken_and_told() -> None:
    assert read("mark,kind,gas,Price,\n1,hose,oxygen,12,\n").not_taken == ("Price",)


def test_a_heading_with_a_slip_is_refused_since_it_would_lose_its_dates() -> None:
    with pytest.raises(UnknownName, match="tesstd") as caught:
        read("mark,kind,gas,tesstd\n1,hose,oxygen,2026-03\n")
    assert caught.value.try_ == 'Did you mean "tested"?'


@pytest.mark.parametrize("head", ["kind,gas\n", "mark,gas\n", "mark,kind,id\n"])
def test_headings_without_mark_or_kind_or_with_one_twice_are_refused(head: str) -> None:
    with pytest.raises(BadFile):
        read(head + "1,2,3\n"[: 2 * head.count(",") + 2])


def test_an_empty_file_and_another_kind_are_refused() -> None:
    with pytest.raises(BadFile, match="empty"):
        read("")
    with pytest.raises(BadFile, match=r"\.csv"):
        read("x", name="gear.pdf")


def test_a_mark_twice_names_the_row_it_stands_in_already() -> None:
    rows = read(HEAD + REGULATOR + REGULATOR.lower()).rows
    assert [row.outcome for row in rows] == ["add", "bad"]
    assert rows[1].says == "the mark tq-reg-014 stands in row 2 already"


@pytest.mark.parametrize("mark", ["", "=1+1", "@home", "-3", "+3", "A" * 41, "A\u202eB", "<b>"])
def test_what_no_label_could_carry_is_no_mark(mark: str) -> None:
    assert "mark" in bad(f"{mark},hose,oxygen,,2024-05,,,,,,")


def test_an_unknown_kind_or_gas_names_the_nearest() -> None:
    found = only(HEAD + "1,regulatr,oxygen,,,,,,,,\n")
    assert (found.says, found.try_) == ('kind: "regulatr" is not a kind of gear', 'Did you mean "regulator"?')
    assert "gas" in bad("1,hose,oxigen,,,,,,,,")


def test_a_kind_that_names_another_gas_than_the_gas_cell_is_refused() -> None:
    assert bad("1,oxygen hose,acetylene,,,,,,,,") == "the kind says oxygen, the gas acetylene"


@pytest.mark.parametrize("kind", ["regulator", "arrestor", "check valve", "hose"])
def test_what_belongs_to_one_gas_needs_it(kind: str) -> None:
    assert "without its gas" in bad(f"1,{kind},,,2024-05,,,,,,")


def test_a_torch_needs_no_gas() -> None:
    assert only(HEAD + "1,blowpipe,,,2024-05,,,,,,\n").outcome == "add"


@pytest.mark.parametrize("column", [4, 5, 6, 7])
def test_a_date_in_the_future_is_refused(column: int) -> None:
    cells = ["1", "hose", "oxygen", *[""] * 8]
    cells[column] = "2026-11-26"
    assert "is in the future (today is 2026-11-25)" in bad(",".join(cells))
    cells[column] = "2026-11-25"
    assert only(HEAD + ",".join(cells) + "\n").outcome == "add"


@pytest.mark.parametrize("text", ["25/11/2026", "11/25/26", "2026-13", "45987", "soon", "1926-02"])
def test_what_is_no_date_is_told(text: str) -> None:
    assert bad(f"1,hose,oxygen,,{text},,,,,,").startswith("made: ")


def test_nothing_is_tested_before_it_was_made() -> None:
    assert bad("1,hose,oxygen,,2024-05,,,2024-04-30,,,") == "tested: tested 2024-04-30, but made 2024-05"
    assert only(HEAD + "1,hose,oxygen,,2024-05-20,,,2024-05,,,\n").outcome == "add"  # a month alone may be the same month


def test_a_test_result_without_its_unit_is_refused_and_with_it_taken() -> None:
    head = "mark,kind,gas,tested,creep,flow [m3/h],passed\n"
    assert bad("1,regulator,oxygen,2026-03,0.1,,yes", head=head) == 'creep: test result "0.1" has no unit'
    assert bad("1,regulator,oxygen,2026-03,0.1 kg,,yes", head=head).startswith("creep: ")
    found = only(head + "1,regulator,oxygen,2026-03,0.1 bar,4.5,yes\n")
    assert found.item is not None
    assert (found.item.results, found.item.passed) == ({"creep": "0.1 bar", "flow": "4.5 m3/h"}, True)


def test_tightness_is_a_leak_or_a_fall_of_pressure() -> None:
    head = "mark,kind,gas,tested,tightness,passed\n"
    for figure in ("0 L/h", "0.02 bar"):
        assert only(f"{head}1,hose,oxygen,2026-03,{figure},yes\n").outcome == "add"


def test_a_number_that_nobody_said_passed_or_failed_is_refused() -> None:
    assert bad("1,regulator,oxygen,2026-03,0.1 bar,", head="mark,kind,gas,tested,creep,passed\n") == "passed: creep without what it came to"
    assert "neither yes nor no" in bad("1,regulator,oxygen,2026-03,0.1 bar,maybe", head="mark,kind,gas,tested,creep,passed\n")


def test_a_result_without_the_day_of_its_test_is_refused() -> None:
    assert "without the day" in bad("1,regulator,oxygen,,0.1 bar,yes", head="mark,kind,gas,tested,creep,passed\n")


def test_a_unit_that_is_none_is_refused_with_the_heading() -> None:
    with pytest.raises(BadUnit) as caught:
        read("mark,kind,flow [furlong]\n1,hose,\n")
    assert "column 3" in caught.value.where


# --- against the register ----------------------------------------------------------


def test_what_the_register_has_already_is_the_same() -> None:
    assert only(HEAD + REGULATOR, THERE).outcome == "same"


def test_an_empty_cell_changes_nothing_and_a_newer_test_does() -> None:
    found = only(HEAD + "tq-reg-014,regulator,,,,,,2026-11-20,,,\n", THERE)
    assert (found.outcome, found.mark, found.changes) == ("change", "TQ-REG-014", (("tested", "2026-03-04", "2026-11-20"),))


def test_a_list_older_than_the_register_changes_nothing() -> None:
    assert "2026-03-04 in the register" in bad("TQ-REG-014,regulator,oxygen,,,,,2025-03-04,,,", THERE)


def test_another_thing_under_the_same_mark_is_refused() -> None:
    assert "the register has TQ-REG-014 as oxygen" in bad("TQ-REG-014,regulator,acetylene,,,,,,,,", THERE)
    assert "as regulator, the list as hose" in bad("TQ-REG-014,hose,oxygen,,,,,,,,", THERE)


def test_an_item_fitted_in_two_places_is_refused() -> None:
    fitted = Listed("TQ-REG-014", "regulator", "oxygen", fitted="Slip 2, frame bench", place="oxygen regulator")
    says = bad('TQ-REG-014,regulator,oxygen,,,,,,,"Slip 1, bow staging",', fitted)
    assert says == "fitted: TQ-REG-014 is fitted at Slip 2, frame bench; the list says Slip 1, bow staging"
    assert only(HEAD + 'TQ-REG-014,regulator,oxygen,,,,,,,"slip 2, frame bench",\n', fitted).outcome == "same"


def test_two_items_in_one_place_are_told_with_the_one_that_is_there() -> None:
    rows = read("mark,kind,gas,fitted,place\n1,hose,oxygen,Slip 2,\n2,hose,oxygen,slip 2,\n3,hose,oxygen,Slip 2,oxygen part 3\n").rows
    assert [row.outcome for row in rows] == ["add", "bad", "add"]
    assert rows[1].says == "fitted: 1 is the oxygen hose at slip 2 already"


def test_a_place_without_a_station_is_refused() -> None:
    assert bad("1,hose,oxygen,,fuel part 1", head="mark,kind,gas,fitted,place\n").startswith("fitted: a place")


def test_a_retired_mark_is_never_given_again() -> None:
    assert "was retired" in bad("TQ-REG-014,regulator,oxygen,,,,,,,,", Listed("TQ-REG-014", "regulator", "oxygen", state="retired"))


# --- files that are broken ------------------------------------------------------------


def test_a_quote_that_never_ends_costs_its_own_row_and_no_other() -> None:
    rows = read('mark,kind,gas,note\n1,hose,oxygen,"new\n2,hose,oxygen,x\n3,hose,oxygen,y\n').rows
    assert [(row.line, row.outcome) for row in rows] == [(2, "bad"), (3, "add"), (4, "add")]


def test_a_quote_that_ends_rows_later_swallows_none_in_silence() -> None:
    rows = read('mark,kind,gas,note\n1,hose,oxygen,"new\n2,hose,oxygen,x\n3,hose,oxygen,y"\n4,hose,oxygen,z\n').rows
    assert [(row.line, row.outcome) for row in rows] == [(2, "bad"), (3, "add"), (4, "bad"), (5, "add")]


def test_a_row_with_cells_missing_or_over_is_bad_alone() -> None:
    rows = read("mark,kind,gas\n1,hose\n2,hose,oxygen,x\n3,hose,oxygen,,\n").rows
    assert [(row.line, row.outcome) for row in rows] == [(2, "bad"), (3, "bad"), (4, "add")]


def test_a_note_line_and_the_sheet_programs_own_first_line_are_passed_over() -> None:
    assert read("sep=;\n# kept by stores\nmark;kind;gas\n1;hose;oxygen\n").rows[0].outcome == "add"


@pytest.mark.parametrize("make", [xlsx, ods])
def test_a_sheet_gives_the_same_as_csv_its_dates_included(make) -> None:  # type: ignore[no-untyped-def]
    rows = [
        ["mark", "kind", "gas", "made", "tested"],
        ["TQ-HOS-1", "hose", "oxygen", date(2024, 5, 2), "2026-03"],
        [7, "hose", "oxygen", "", ""],
    ]
    name = f"gear.{make.__name__}"
    found = read_gear_list(gear_table(name, make(rows)), name, {}, TODAY)
    assert [row.item for row in found.rows] == [
        Listed("TQ-HOS-1", "hose", "oxygen", made="2024-05-02", tested="2026-03"),
        Listed("7", "hose", "oxygen"),
    ]


def test_fifty_thousand_rows_with_three_hundred_faulty_are_told_apart_in_seconds() -> None:
    rows = [f"TQ-HOS-{number:05d},hose,oxygen,,2024-05,,,2026-03-04,,,\n" for number in range(50_000)]
    for number in range(0, 30_000, 100):
        rows[number] = rows[number].replace("2026-03-04", ("2027-03-04", "4/3/26", "2024-04-01")[number // 100 % 3])
    begun = time.perf_counter()
    found = read(HEAD + "".join(rows))
    assert (found.count("add"), found.count("bad")) == (49_700, 300)
    assert time.perf_counter() - begun < 20  # measured: 1.5 s


def test_progress_is_told_to_the_end() -> None:
    told: list[tuple[int, int]] = []
    read_gear_list(gear_table("a.csv", (HEAD + REGULATOR).encode()), "a.csv", {}, TODAY, lambda *now: told.append(now))
    assert told[-1] == (1, 1)


def test_every_problem_of_a_row_is_an_input_error_with_something_to_try() -> None:
    for row in read(HEAD + "".join(f"{number},{'x' * number},{'y' * number},,z,,,,,,\n" for number in range(1, 30))).of("bad"):
        assert row.says
        assert row.try_
    assert issubclass(BadUnit, InputError)
