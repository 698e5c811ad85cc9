"""Parts, lines and declared things added, taken away and moved in a station file."""

import tomllib
from pathlib import Path

import pytest

from steadycone.errors import InputError, OutOfRange, UnknownName
from steadycone.files.edit import (
    AddDeclared,
    AddLine,
    AddPart,
    DuplicatePart,
    MovePart,
    Op,
    RemoveDeclared,
    RemoveLine,
    RemovePart,
    apply,
    change,
    fields_of,
)
from steadycone.files.edit_new import new_station
from steadycone.files.station import station_from_text

EXAMPLES = [path.read_text(encoding="utf-8") for path in sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))]
TWO = """\
format = "steadycone-station/1"
# ---- oxygen side ----

# the yard's own arrestor
[[oxygen.part]]
kind = "arrestor" # blue
# checked twice

# orange reel
[[oxygen.part]]
kind = "hose"
[[oxygen.part.flow_points]] # nonsense on a hose, still its own
inlet = "1 bar"

# ---- fuel side ----

[fuel.supply]
cylinders = 1
"""


def kinds(text: str, line: str = "oxygen") -> list[str]:
    return [part["kind"] for part in tomllib.loads(text)[line]["part"]]


def test_a_part_moves_with_its_comments_and_its_own_tables() -> None:
    moved = change(TWO, MovePart("oxygen", 1, "torch"))
    assert moved == TWO.replace(
        TWO[TWO.index("# the yard") : TWO.index("\n# ---- fuel")],
        TWO[TWO.index("# orange") : TWO.index("\n# ---- fuel")] + "\n" + TWO[TWO.index("# the yard") : TWO.index("\n# orange")],
    )
    assert change(moved, MovePart("oxygen", 2, "regulator")) == TWO


def test_a_part_goes_with_its_comments_and_leaves_what_is_not_its_own() -> None:
    left = change(TWO, RemovePart("oxygen", 2))
    assert left == TWO[: TWO.index("# orange")] + TWO[TWO.index("# ---- fuel") :]
    assert kinds(change(TWO, RemovePart("oxygen", 1))) == ["hose"]


def test_a_part_is_added_at_the_torch_end_or_where_it_is_wanted() -> None:
    assert kinds(change(TWO, AddPart("oxygen", "check valve"))) == ["arrestor", "hose", "check valve"]
    for at in (1, 2, 3):
        after = change(TWO, AddPart("oxygen", "valve", at))
        assert kinds(after).index("valve") == at - 1
        assert change(after, RemovePart("oxygen", at)) == TWO
    assert '\n[[oxygen.part]]\nkind = "valve"\n\n# ---- fuel side' in change(TWO, AddPart("oxygen", "valve", 3))


def test_a_new_part_states_its_kind_alone() -> None:
    # A gas or grade filled in by a program would be judged good though nobody read it off the part.
    after = change(EXAMPLES[0], AddPart("fuel", "hose"))
    assert tomllib.loads(after)["fuel"]["part"][-1] == {"kind": "hose"}
    with pytest.raises(InputError, match="missing"):
        station_from_text(after)


@pytest.mark.parametrize("text", EXAMPLES)
def test_what_is_added_or_moved_can_be_undone_to_the_letter(text: str) -> None:
    for line in ("oxygen", "fuel"):
        count = len(kinds(text, line))
        for number in range(1, count + 1):
            assert change(change(text, DuplicatePart(line, number)), RemovePart(line, number + 1)) == text
            assert change(change(text, AddPart(line, "pipe", number)), RemovePart(line, number)) == text
            if number < count:
                assert change(change(text, MovePart(line, number, "torch")), MovePart(line, number + 1, "regulator")) == text
    assert change(change(text, AddDeclared("oil")), RemoveDeclared(1)).rstrip("\n") == text.rstrip("\n")
    if "preheat_oxygen" not in text:
        assert change(change(text, AddLine()), RemoveLine()) == text


def test_a_preheat_line_comes_behind_the_fuel_line_with_nothing_stated_of_it() -> None:
    after = change(next(text for text in EXAMPLES if "[tip]" in text and "preheat" not in text), AddLine())
    assert kinds(after, "preheat_oxygen") == ["arrestor", "hose", "arrestor"]
    assert after.index("[fuel.supply]") < after.index("[preheat_oxygen.supply]") < after.index("[torch]")


def test_a_preheat_line_goes_with_its_gauge_reading() -> None:
    text = next(text for text in EXAMPLES if "preheat_oxygen" in text)
    values = {"settings.when": "static", "settings.oxygen": "8 bar", "settings.fuel": "0.5 bar", "settings.preheat_oxygen": "2 bar"}
    left = change(apply(text, values), RemoveLine())
    assert "preheat_oxygen" not in left
    station_from_text(left)


def test_the_line_end_of_the_file_is_kept() -> None:
    text = TWO.replace("\n", "\r\n")
    ops: list[Op] = [AddPart("oxygen", "valve", 1), AddPart("oxygen", "valve"), DuplicatePart("oxygen", 1), AddLine(), AddDeclared("oil")]
    for op in ops:
        assert "\n" not in change(text, op).replace("\r\n", "")


def test_a_file_without_its_last_line_end_can_be_added_to() -> None:
    text = TWO[: TWO.index("\n\n# ---- fuel")]
    assert kinds(change(text, AddPart("oxygen", "valve"))) == ["arrestor", "hose", "valve"]
    assert kinds(change(text, MovePart("oxygen", 2, "regulator"))) == ["hose", "arrestor"]
    assert kinds(change(text, DuplicatePart("oxygen", 2))) == ["arrestor", "hose", "hose"]


@pytest.mark.parametrize(
    ("op", "kind"),
    [
        (AddPart("oxygen", "bucket"), UnknownName),
        (AddPart("water", "hose"), UnknownName),
        (AddPart("oxygen", "hose", 9), OutOfRange),
        (RemovePart("oxygen", 3), OutOfRange),
        (RemovePart("oxygen", 0), OutOfRange),
        (MovePart("oxygen", 1, "regulator"), OutOfRange),
        (MovePart("oxygen", 2, "torch"), OutOfRange),
        (DuplicatePart("fuel", 1), OutOfRange),
        (AddLine("fuel"), UnknownName),
        (RemoveLine("oxygen"), UnknownName),
        (RemoveLine(), InputError),
        (AddDeclared("rust"), UnknownName),
        (RemoveDeclared(1), OutOfRange),
    ],
)
def test_what_is_not_there_is_refused(op: Op, kind: type[InputError]) -> None:
    with pytest.raises(kind):
        change(TWO, op)


def test_a_line_has_at_most_a_hundred_parts() -> None:
    text = 'format = "steadycone-station/1"\n' + '[[oxygen.part]]\nkind = "valve"\n' * 100
    for op in (AddPart("oxygen", "valve"), DuplicatePart("oxygen", 1)):
        with pytest.raises(OutOfRange):
            change(text, op)


def test_parts_written_in_one_value_are_refused_with_what_to_do() -> None:
    text = 'format = "steadycone-station/1"\noxygen = { part = [ { kind = "hose" }, { kind = "valve" } ] }\n'
    with pytest.raises(InputError) as caught:
        change(text, MovePart("oxygen", 1, "torch"))
    assert "[[oxygen.part]]" in caught.value.try_


@pytest.mark.parametrize(
    ("region", "fuel", "attachment"), [("uk", "acetylene", "cutting"), ("us", "lpg", "heating"), ("eu", "hydrogen", "welding")]
)
def test_a_new_station_holds_no_figure_and_says_what_is_missing(region: str, fuel: str, attachment: str) -> None:
    text = new_station(region, fuel, attachment, ' Bay "4" ')
    assert not any(letter.isdigit() for letter in text.replace("steadycone-station/1", "").replace('Bay \\"4\\"', ""))
    assert kinds(text) == kinds(text, "fuel") == ["arrestor", "hose", "arrestor"]
    with pytest.raises(InputError, match="missing") as caught:
        station_from_text(text)
    assert caught.value.where == "oxygen.regulator, gas"


def test_a_new_station_reads_once_the_needed_is_filled() -> None:
    values = {f"{line}.part.2.{name}": value for line in ("oxygen", "fuel") for name, value in (("bore", "6.3 mm"), ("length", "20 m"))}
    values |= {
        "oxygen.part.2.grade": "oxygen",
        "fuel.part.2.grade": "propane",
        "oxygen.regulator.gas": "oxygen",
        "fuel.regulator.gas": "propane",
    }
    values |= {"oxygen.regulator.outlet_rating": "10 bar", "fuel.regulator.outlet_rating": "4 bar"}
    text = apply(new_station("uk", "propane", "cutting", "Quay 1"), values)
    assert station_from_text(text).station.name == "Quay 1"
    assert fields_of(text).items() >= values.items()


@pytest.mark.parametrize(
    "given", [("xx", "lpg", "cutting", "A"), ("uk", "petrol", "cutting", "A"), ("uk", "lpg", "boiling", "A"), ("uk", "lpg", "cutting", " ")]
)
def test_a_new_station_of_no_known_kind_is_refused(given: tuple[str, str, str, str]) -> None:
    with pytest.raises(InputError):
        new_station(*given)


def test_the_last_part_of_a_line_can_be_taken_away_and_another_put_in_its_place() -> None:
    bare = change(change(TWO, RemovePart("oxygen", 2)), RemovePart("oxygen", 1))
    assert "[[oxygen.part]]" not in bare
    assert "part" not in tomllib.loads(bare).get("oxygen", {})
    assert kinds(change(bare, AddPart("oxygen", "hose"))) == ["hose"]
