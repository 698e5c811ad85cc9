"""Live recalculation edits a table, saving edits the text: both must give the same station, whatever is typed."""

import tomllib
from collections.abc import Callable
from pathlib import Path

from hypothesis import example, given, settings
from hypothesis import strategies as st
from tests.edge.test_station_form_edit import ODD
from tests.files_samples import STATION

from steadycone.errors import InputError
from steadycone.files.edit import apply, draft_table, fields_of, fields_of_table
from steadycone.files.station import station_from_table, station_from_text
from steadycone.station.form import LISTS, NOUNS, fields_in, path_of, table_order

TEXTS = [path.read_text(encoding="utf-8") for path in sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))] + [STATION]
TABLES = [tomllib.loads(text) for text in TEXTS]


def paths() -> list[str]:
    found = []
    for order in table_order():
        places = [(*order, number) for number in (1, 2, 3, 4)] if order[-1] in LISTS else [order]
        found += [path_of(place, name) for place in places for name in fields_in(order[-1])]
    return found


PATHS = paths()
SENSIBLE = st.sampled_from(
    ["", " ", "20 m", "3/16 in", "1 1/4 in", "5 bar", "60 psi", "2024-05", "2024-05-17", "oxygen", "propane", "lpg", "hose", "valve", "cut",
     "heat", "true", "false", "3", "007", "1e9", "2.50", "static", "-1", "30 %", "inlet=5 bar, drop=0.2 bar, flow=16 m3/h, gas=air",
     "inlet=5 bar, drop=0.2 bar, flow=16 m3/h\ninlet=8 bar, drop=0.3 bar, flow=20 m3/h", "propane=60 %\nbutane=40 %", "acetylene, lpg"]
)  # fmt: skip
EDITS = st.dictionaries(st.sampled_from(PATHS), SENSIBLE | st.text(max_size=30), max_size=12)


def tried(make: Callable[[], object]) -> object:
    """What is made, or what is wrong with it."""
    try:
        return make()
    except InputError as error:
        return f"{error.code} {error}"


@given(st.integers(0, len(TEXTS) - 1), EDITS)
@settings(max_examples=300, deadline=None)
def test_the_text_edited_and_the_table_edited_are_one_station(number: int, values: dict[str, str]) -> None:
    from_text = tried(lambda: station_from_text(apply(TEXTS[number], values)))
    from_table = tried(lambda: station_from_table(draft_table(TABLES[number], values)))
    assert from_text == from_table


@given(EDITS)
@settings(max_examples=200, deadline=None)
@example({"oxygen.supply.kind": "", "oxygen.supply.cylinders": "", "station.name": "", "station.region": ""})
def test_an_oddly_written_file_is_edited_to_the_same_table(values: dict[str, str]) -> None:
    table = tomllib.loads(ODD)
    assert tried(lambda: fields_of(apply(ODD, values))) == tried(lambda: fields_of_table(draft_table(table, values)))


@given(st.integers(0, len(TEXTS) - 1), EDITS)
@settings(max_examples=200, deadline=None)
def test_an_edit_made_twice_is_made_once(number: int, values: dict[str, str]) -> None:
    kept = {path: text for path, text in values.items() if not path.startswith("declared")}  # an emptied one moves the others up
    try:
        once = apply(TEXTS[number], kept)
    except InputError:
        return
    assert apply(once, kept) == once


def test_the_table_given_is_left_alone() -> None:
    table = tomllib.loads(STATION)
    draft_table(table, {"oxygen.part.2.length": "40 m", "oxygen.part.1.flow_points": "", "tip.size": "9"})
    assert table == tomllib.loads(STATION)


def test_the_paths_tried_reach_every_table() -> None:
    assert {field.table for table in NOUNS for field in fields_in(table).values()} == {order[-1] for order in table_order()}
