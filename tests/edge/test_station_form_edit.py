"""A station file edited from form values: what changed changes, and nothing else does."""

import tomllib
from pathlib import Path

import pytest
from tests.files_samples import STATION

from steadycone.errors import BadFile, InputError, OutOfRange, UnknownName
from steadycone.files.edit import apply, fields_of
from steadycone.files.edit_scan import scan
from steadycone.files.station import station_from_text

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
HEAD = 'format = "steadycone-station/1"\n'
# Every way in which TOML may write a table, with comments and strings that look like something else.
ODD = (
    HEAD
    + '''
# the station
station . "name" = """Bay "4" # not a comment""" # but this is
station.region = 'us'
[oxygen]
supply = { kind = "manifold", "cylinders" = 4 } # four
[oxygen.regulator]
gas = 'oxygen'
  [[oxygen.part]] # first
  kind = "arrestor"
  flow_points = [
    # off the maker's curve
    { inlet = "5 bar", drop = "0.2 bar", flow = "16 m3/h" }, # one [
    { inlet = "8 bar", drop = "0.3 bar", flow = "22 m3/h" },
  ]
[job]
kind = """cut"""
[[oxygen.part]]
kind = "hose"
made = 2024-05-17
fittings = 6
[[oxygen.part]]
kind = "valve"
[[oxygen.part.flow_points]]
inlet = "5 bar"
drop = "0.1 bar"
flow = "9 m3/h"
[fuel.supply.composition]
propane = "60 %"  # by volume
butane = 0.4
[fuel]
part = [ { kind = "hose", grade = "propane" } ]
'''
)


@pytest.fixture(params=EXAMPLES, ids=lambda path: path.stem)
def text(request: pytest.FixtureRequest) -> str:
    found: str = request.param.read_text(encoding="utf-8")
    return found


def lines_changed(before: str, after: str) -> list[str]:
    old, new = before.splitlines(keepends=True), after.splitlines(keepends=True)
    assert len(old) == len(new)
    return [one for other, one in zip(old, new, strict=True) if one != other]


def test_the_values_a_file_has_change_not_a_letter(text: str) -> None:
    assert apply(text, fields_of(text)) == text


@pytest.mark.parametrize("odd", [STATION, ODD, ODD.replace("\n", "\r\n")], ids=["sample", "odd", "odd crlf"])
def test_the_values_of_an_oddly_written_file_change_nothing(odd: str) -> None:
    assert apply(odd, fields_of(odd)) == odd


def test_every_field_edited_alone_changes_its_line_alone(text: str) -> None:
    for path in fields_of(text):
        value = "drop=7 bar" if path.endswith(("flow_points", "composition")) else "7 of it"
        after = apply(text, {path: value})
        (line,) = lines_changed(text, after)
        assert line.startswith(path.rpartition(".")[2])
        assert fields_of(after) == fields_of(text) | {path: value}


def test_every_field_emptied_alone_takes_its_line_away_alone(text: str) -> None:
    for path in fields_of(text):
        before, after = text.splitlines(), apply(text, {path: ""}).splitlines()
        gone = next(at for at, line in enumerate(before) if at >= len(after) or after[at] != line)
        if path.startswith("settings") and "[settings]" not in after:
            continue
        assert before[:gone] + before[gone + 1 :] == after


def test_a_whole_form_with_one_change_changes_one_line(text: str) -> None:
    values = fields_of(text) | {"oxygen.part.2.length": " 3/16 in "}
    assert lines_changed(text, apply(text, values)) == ['length = "3/16 in"\n']


def test_a_comment_on_the_line_stays() -> None:
    text = HEAD + '[job]\nkind  =  "cut"   # as ordered\nlength = "8 m"\n'
    assert apply(text, {"job.kind": "heat"}) == HEAD + '[job]\nkind  =  "heat"   # as ordered\nlength = "8 m"\n'


def test_a_new_key_stands_at_the_end_of_its_table_in_the_forms_order() -> None:
    text = HEAD + '[job]\nkind = "cut" # last\n\n# about the place\n[place]\nenclosed = true\n'
    after = apply(text, {"job.start": "pierce", "job.material": "copper"})
    assert after == text.replace("# last\n", '# last\nmaterial = "copper"\nstart = "pierce"\n')


def test_a_new_table_stands_where_the_form_has_it() -> None:
    text = HEAD + '\n[torch]\nattachment = "cutting"\n\n# the work\n[job]\nkind = "cut"'
    after = apply(text, {"tip.size": "3", "place.volume": "400 m3"})
    assert after == text.replace("\n# the work", '\n[tip]\nsize = "3"\n\n# the work') + '\n\n[place]\nvolume = "400 m3"\n'


def test_settings_go_with_their_last_value_and_come_with_their_first() -> None:
    text = HEAD + '[job]\nkind = "cut"\n\n[settings]\nwhen = "static"\noxygen = "3 bar"\nfuel = "0.5 bar"\n'
    bare = apply(text, {"settings.when": "", "settings.oxygen": "", "settings.fuel": ""})
    assert bare == HEAD + '[job]\nkind = "cut"\n\n'
    assert fields_of(apply(bare, {"settings.when": "static", "settings.fuel": "0.5 bar"}))["settings.fuel"] == "0.5 bar"


def test_a_comment_in_the_settings_outlives_them() -> None:
    text = HEAD + '[settings]\n# read by the fitter\nwhen = "static"\n'
    assert apply(text, {"settings.when": ""}) == HEAD + "# read by the fitter\n"


def test_what_was_found_comes_and_goes() -> None:
    text = apply(HEAD, {"declared.1.kind": "oil", "declared.2.kind": "adaptor", "declared.2.where": "fuel inlet"})
    assert [entry["kind"] for entry in tomllib.loads(text)["declared"]] == ["oil", "adaptor"]
    assert tomllib.loads(apply(text, {"declared.1.kind": ""}))["declared"] == [{"kind": "adaptor", "where": "fuel inlet"}]


def test_rows_are_read_back_as_they_are_shown(text: str) -> None:
    table = tomllib.loads(text)
    for line in ("oxygen", "fuel"):
        for number, part in enumerate(table[line]["part"], 1):
            path = f"{line}.part.{number}.flow_points"
            if "flow_points" in part:
                bare = apply(text, {path: ""})
                assert tomllib.loads(apply(bare, {path: fields_of(text)[path]})) == table


def test_rows_may_come_with_any_line_end_and_blanks() -> None:
    text = HEAD + '[[oxygen.part]]\nkind = "valve"\n'
    after = apply(text, {"oxygen.part.1.flow_points": "inlet=5 bar , drop = 0.2 bar\r\n\r\n inlet=8 bar,drop=0.3 bar"})
    assert '[ { inlet = "5 bar", drop = "0.2 bar" }, { inlet = "8 bar", drop = "0.3 bar" } ]' in after


def test_a_composition_is_one_gas_a_line() -> None:
    text = HEAD + '[fuel.supply]\ncomposition = { propane = "60 %", butane = "40 %" }\n'
    assert fields_of(text)["fuel.supply.composition"] == "propane=60 %\nbutane=40 %"
    assert 'composition = { propane = "95 %", butane = "5 %" }' in apply(text, {"fuel.supply.composition": "propane=95 %, butane=5 %"})


@pytest.mark.parametrize("row", ["inlet", "inlet=5 bar, 2 bar", "=5 bar", "inlet=", "inlet=5 bar, inlet=6 bar"])
def test_a_row_that_is_not_name_and_value_is_refused_with_its_place(row: str) -> None:
    text = HEAD + '[[oxygen.part]]\nkind = "valve"\n'
    with pytest.raises(InputError) as caught:
        apply(text, {"oxygen.part.1.flow_points": row})
    assert caught.value.where == "oxygen.part 1, flow_points"


def test_numbers_and_flags_stay_bare_and_text_stays_text() -> None:
    text = HEAD + '[oxygen.supply]\ncylinders = 1\n[[oxygen.part]]\nkind = "hose"\nfittings = 6\n[tip]\nsize = 3\n'
    after = apply(text, {"oxygen.supply.cylinders": "4", "oxygen.part.1.fittings": "7.5", "tip.size": "4", "place.enclosed": "true"})
    assert tomllib.loads(after)["oxygen"] == {"supply": {"cylinders": 4}, "part": [{"kind": "hose", "fittings": 7.5}]}
    assert (tomllib.loads(after)["tip"], tomllib.loads(after)["place"]) == ({"size": 4}, {"enclosed": True})
    assert tomllib.loads(apply(after, {"tip.size": "4-A"}))["tip"] == {"size": "4-A"}


def test_a_file_written_oddly_is_edited_in_its_own_way() -> None:
    after = apply(ODD, {"station.name": "Bay 5", "station.fuel": "lpg", "oxygen.supply.cylinders": "5", "oxygen.part.2.made": "2024-06"})
    assert 'station . "name" = "Bay 5" # but this is\n' in after
    assert "station.region = 'us'\nstation.fuel = \"lpg\"\n" in after
    assert 'supply = { kind = "manifold", cylinders = 5 } # four\n' in after
    assert 'made = "2024-06"\n' in after
    assert len(lines_changed(ODD.replace("'us'\n", "'us'\n\n"), after)) == 4


def test_comments_inside_a_value_move_above_it() -> None:
    after = apply(ODD, {"oxygen.part.1.flow_points": "inlet=6 bar, drop=0.2 bar, flow=16 m3/h"})
    assert '# off the maker\'s curve\n# one [\n  flow_points = [ { inlet = "6 bar"' in after


def test_rows_in_tables_of_their_own_become_one_value() -> None:
    after = apply(ODD, {"oxygen.part.3.flow_points": "inlet=6 bar", "fuel.supply.composition": "propane=50 %, butane=50 %"})
    table = tomllib.loads(after)
    assert table["oxygen"]["part"][2]["flow_points"] == [{"inlet": "6 bar"}]
    assert table["fuel"]["supply"]["composition"] == {"propane": "50 %", "butane": "50 %"}


def test_a_key_in_an_inline_list_of_parts_can_be_changed() -> None:
    assert 'part = [ { kind = "hose", grade = "lpg", bore = "8 mm" } ]' in apply(
        ODD, {"fuel.part.1.grade": "lpg", "fuel.part.1.bore": "8 mm"}
    )


def test_the_line_end_of_the_file_is_kept() -> None:
    after = apply(ODD.replace("\n", "\r\n"), {"station.fuel": "lpg", "tip.size": "3", "job.kind": "heat"})
    assert "\n" not in after.replace("\r\n", "")


@pytest.mark.parametrize("text", [STATION, ODD, *(path.read_text(encoding="utf-8") for path in EXAMPLES)])
def test_every_place_the_scan_finds_holds_what_the_file_says_there(text: str) -> None:
    table = tomllib.loads(text)
    for block in scan(text):
        for pair in block.pairs:
            at: object = table
            for key in pair.path:
                at = at[key - 1] if isinstance(at, list) and isinstance(key, int) else at[key]  # type: ignore[index]
            assert tomllib.loads(f"x = {text[pair.value_start : pair.value_end]}")["x"] == at


def test_text_is_written_so_that_it_reads_back() -> None:
    name = 'a "quoted" \\ back\\slash, é, 🔥, {curly} # no comment'
    after = apply(HEAD, {"station.name": name})
    assert tomllib.loads(after)["station"]["name"] == name


@pytest.mark.parametrize(
    ("values", "kind"),
    [
        ({"oxygen.part.2.lenght": "1 m"}, UnknownName),
        ({"format": "x"}, UnknownName),
        ({"part.1.kind": "hose"}, UnknownName),
        ({"oxygen.part.0.kind": "hose"}, UnknownName),
        ({"oxygen.part.²": "hose"}, UnknownName),
        ({"x" * 5000: ""}, UnknownName),
        ({"oxygen.part.9.kind": "hose"}, OutOfRange),
        ({"oxygen.part.201.kind": "hose"}, UnknownName),
        ({"station.name": "x" * 501}, OutOfRange),
        ({"oxygen.part.1.flow_points": "x" * 20_001}, OutOfRange),
        ({"station.name": "two\nlines"}, InputError),
        ({"station.name": "\ud800"}, InputError),
        ({f"oxygen.part.{n}.{k}": "" for n in range(1, 999) for k in ("kind", "gas", "made", "bore", "length", "grade")}, OutOfRange),
    ],
)
def test_what_no_form_sends_is_refused(values: dict[str, str], kind: type[InputError]) -> None:
    with pytest.raises(kind):
        apply(STATION, values)


def test_a_file_that_is_no_station_or_too_large_is_refused() -> None:
    for text in ("", "x =", 'format = "steadycone-policy/1"', HEAD + "#" * 1_000_001):
        with pytest.raises(BadFile):
            apply(text, {})


@pytest.mark.parametrize("more", ["[[oxygen.part]]\n" * 1001, "".join(f"k{n} = 1\n" for n in range(5001)), "[" + "a." * 30 + "a]\n"])
def test_a_file_far_larger_than_a_station_is_not_edited(more: str) -> None:
    with pytest.raises(OutOfRange):
        apply(HEAD + more, {"station.name": "A"})


def test_no_table_is_put_where_something_else_stands() -> None:
    with pytest.raises(InputError) as caught:
        apply(HEAD + 'job = "cut"\n', {"job.kind": "cut"})
    assert caught.value.where == "job"
    with pytest.raises(InputError):
        apply(HEAD + "[oxygen]\npart = 3\n", {"oxygen.part.1.kind": "hose"})


def test_a_value_with_no_box_is_left_until_it_is_replaced() -> None:
    text = HEAD + '[job]\nkind = "cut"\nlength = ["8 m"]\nwibble = 3\n'
    assert "job.length" not in fields_of(text)
    assert apply(text, {"job.length": "", "job.kind": "cut"}) == text
    assert apply(text, {"job.length": "8 m"}) == text.replace('["8 m"]', '"8 m"')


def test_a_file_edited_to_the_end_reads_as_a_station() -> None:
    after = apply(STATION, {"oxygen.part.2.length": "40 m", "tip.size": "4"})
    station = station_from_text(after)
    assert [part.length.text for part in station.oxygen.part if part.word == "hose"] == ["40 m"]  # type: ignore[union-attr]
