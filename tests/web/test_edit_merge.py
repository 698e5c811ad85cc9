"""Two edits of one station laid over each other: each change where it belongs, and none where that is not plain."""

import tomllib

import pytest

from steadycone.files.edit import AddDeclared, AddLine, AddPart, MovePart, RemoveLine, RemovePart, apply, change, fields_of
from steadycone.web.pages.edit_merge import lay_over
from tests.web_edit import TEXT

THEIRS = apply(TEXT, {"oxygen.supply.pressure": "90 bar", "oxygen.part.2.length": "30 m"}).replace(
    "# The demo", "# Looked at today.\n# The demo"
)


def steps(mine: str, theirs: str = THEIRS, base: str = TEXT) -> list[tuple[str, str]]:
    return [(step.path, step.how) for step in lay_over(base, mine, theirs).steps]


def test_nothing_of_mine_leaves_theirs_as_it_is() -> None:
    laid = lay_over(TEXT, TEXT, THEIRS)
    assert (laid.text, laid.steps) == (THEIRS, ())


def test_a_box_of_mine_is_put_into_theirs_and_their_text_stays() -> None:
    laid = lay_over(TEXT, apply(TEXT, {"fuel.part.2.length": "25 m"}), THEIRS)
    assert [(step.path, step.how, step.theirs, step.mine) for step in laid.steps] == [("fuel.part.2.length", "laid", "20 m", "25 m")]
    assert laid.text == apply(THEIRS, {"fuel.part.2.length": "25 m"})
    assert laid.text.startswith("# Looked at today.")


def test_a_box_both_changed_is_told_and_one_both_changed_alike_is_not() -> None:
    assert steps(apply(TEXT, {"oxygen.part.2.length": "40 m"})) == [("oxygen.part.2.length", "over")]
    assert steps(apply(TEXT, {"oxygen.part.2.length": "30 m"})) == []


def test_an_emptied_box_empties_theirs() -> None:
    laid = lay_over(TEXT, apply(TEXT, {"oxygen.supply.reserve": ""}), THEIRS)
    assert "oxygen.supply.reserve" not in fields_of(laid.text)


@pytest.mark.parametrize("op", [AddPart("fuel", "valve", 2), RemovePart("fuel", 1), MovePart("fuel", 1, "torch")])
def test_parts_i_changed_on_a_line_they_left_alone_are_mine(op: object) -> None:
    mine = change(TEXT, op)  # type: ignore[arg-type]
    laid = lay_over(TEXT, mine, THEIRS)
    assert [(step.path, step.how) for step in laid.steps] == [("fuel.part", "laid")]
    table = tomllib.loads(laid.text)
    assert table["fuel"] == tomllib.loads(mine)["fuel"]
    assert table["oxygen"] == tomllib.loads(THEIRS)["oxygen"]


@pytest.mark.parametrize(
    ("mine", "theirs"),
    [
        (change(TEXT, RemovePart("oxygen", 1)), THEIRS),  # I took a part away, they changed one
        (apply(TEXT, {"oxygen.part.2.length": "40 m"}), change(TEXT, RemovePart("oxygen", 1))),  # and the reverse
        (change(TEXT, AddPart("oxygen", "valve")), change(TEXT, RemovePart("oxygen", 1))),
    ],
)
def test_parts_that_both_changed_are_theirs_and_told(mine: str, theirs: str) -> None:
    laid = lay_over(TEXT, mine, theirs)
    assert [(step.path, step.how) for step in laid.steps] == [("oxygen.part", "left")]
    assert tomllib.loads(laid.text) == tomllib.loads(theirs)


def test_the_same_parts_taken_away_by_both_need_nothing() -> None:
    mine = change(TEXT, RemovePart("oxygen", 1))
    assert steps(mine, mine) == []


def test_a_line_i_added_or_took_away_is_so_in_theirs() -> None:
    added = apply(change(TEXT, AddLine()), {"preheat_oxygen.part.2.length": "20 m", "preheat_oxygen.regulator.gas": "oxygen"})
    laid = lay_over(TEXT, added, THEIRS)
    assert [(step.path, step.how) for step in laid.steps] == [("preheat_oxygen", "laid")]
    assert tomllib.loads(laid.text)["preheat_oxygen"] == tomllib.loads(added)["preheat_oxygen"]
    gone = lay_over(added, change(added, RemoveLine()), apply(added, {"oxygen.supply.pressure": "90 bar"}))
    assert "preheat_oxygen" not in tomllib.loads(gone.text)
    changed = apply(added, {"preheat_oxygen.part.2.length": "30 m"})
    assert steps(change(added, RemoveLine()), changed, added) == [("preheat_oxygen", "left")]
    assert steps(changed, change(added, RemoveLine()), added) == [("preheat_oxygen", "left")]


def test_what_i_found_on_the_station_is_never_dropped_unsaid() -> None:
    oil = apply(change(TEXT, AddDeclared("oil")), {"declared.1.where": "inlet"})
    laid = lay_over(TEXT, oil, THEIRS)
    assert tomllib.loads(laid.text)["declared"] == [{"kind": "oil", "where": "inlet"}]
    adaptor = change(TEXT, AddDeclared("adaptor"))
    assert steps(oil, adaptor) == [("declared", "left")]
