"""The form as it is drawn: groups in the region's words, boxes with values, and each message beside the box it is about."""

from pathlib import Path

import pytest
from tests.files_samples import STATION

from steadycone.errors import InputError, UnknownName
from steadycone.files.edit import AddPart, apply, change, fields_of
from steadycone.files.edit_new import new_station
from steadycone.files.station import station_from_text
from steadycone.render.station_form import Field, Form, Group, form_of
from steadycone.render.station_form_errors import path_in

EXAMPLES = [path.read_text(encoding="utf-8") for path in sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))]


def groups(form: Form) -> dict[str, Group]:
    return {group.path: group for section in form.sections for group in section.groups}


def boxes(form: Form) -> dict[str, Field]:
    return {field.path: field for group in groups(form).values() for field in group.fields}


def formed(text: str, errors: tuple[InputError, ...] = (), region: str = "uk", fuel: str = "acetylene") -> Form:
    return form_of(fields_of(text), region, fuel, errors)


def fault(text: str) -> InputError:
    with pytest.raises(InputError) as caught:
        station_from_text(text, "slip-2.toml")
    return caught.value


@pytest.mark.parametrize("text", EXAMPLES)
def test_the_form_holds_every_value_of_the_file_and_posts_it_back(text: str) -> None:
    shown = {path: box.value for path, box in boxes(formed(text)).items()}
    assert shown.items() >= fields_of(text).items()
    assert apply(text, shown) == text


def test_each_box_has_an_id_of_its_own() -> None:
    form = formed(STATION)
    ids = [box.id for box in boxes(form).values()] + [group.id for group in groups(form).values()]
    assert len(set(ids)) == len(ids)


def test_parts_are_named_in_the_regions_words_and_counted_by_kind() -> None:
    text = change(change(STATION, AddPart("oxygen", "hose")), AddPart("oxygen", "check valve"))
    uk, us = groups(formed(text)), groups(formed(text, region="us"))
    assert uk["oxygen.part.2"].title == "Oxygen hose 1"
    assert uk["oxygen.part.3"].title == "Oxygen hose 2"
    assert uk["oxygen.part.4"].title == "Oxygen non-return valve"
    assert us["oxygen.part.4"].title == "Oxygen check valve"
    assert uk["fuel.supply"].title == "Acetylene supply"
    assert (uk["oxygen.part.3"].number, uk["oxygen.part.3"].count) == (3, 4)


def test_only_what_applies_is_asked_and_what_is_filled_is_always_shown() -> None:
    asked = boxes(formed(STATION))
    assert "oxygen.part.2.grade" in asked
    assert "oxygen.part.1.grade" not in asked
    assert "fuel.supply.composition" not in asked
    assert "fuel.supply.composition" in boxes(formed(STATION, fuel="lpg"))
    assert boxes(formed(apply(STATION, {"oxygen.part.1.grade": "R"})))["oxygen.part.1.grade"].value == "R"


def test_a_word_the_choice_has_not_is_kept_as_the_file_has_it() -> None:
    box = boxes(formed(apply(STATION, {"torch.mixer": "bucket"})))["torch.mixer"]
    assert box.options[-1].value == box.value == "bucket"


def test_a_choice_that_may_be_left_open_says_what_then_holds() -> None:
    box = boxes(formed(new_station("uk", "lpg", "cutting", "A")))
    assert box["job.start"].options[0].label == "Not stated: edge"
    assert box["torch.mixer"].options[0].label == "Not stated"
    assert [option.value for option in box["torch.attachment"].options] == ["cutting", "heating", "welding"]


def test_an_advanced_box_that_is_filled_is_not_folded_away() -> None:
    assert boxes(formed(STATION))["oxygen.regulator.droop"].advanced
    assert not boxes(formed(apply(STATION, {"oxygen.regulator.droop": "0.5 bar"})))["oxygen.regulator.droop"].advanced


def test_what_is_missing_is_listed_by_name() -> None:
    missing = dict(formed(new_station("uk", "acetylene", "cutting", "A")).missing)
    assert missing["fuel.part.2.bore"] == "Acetylene hose: Bore"
    assert len(missing) == 10  # regulator gas and rating, hose grade, bore and length, on two lines
    assert formed(STATION).missing == ()


def test_a_table_that_may_be_left_out_needs_nothing_until_it_is_begun() -> None:
    assert not boxes(formed(new_station("uk", "lpg", "cutting", "A")))["settings.when"].required
    assert boxes(form_of({"settings.oxygen": "3 bar"}, "uk", "lpg"))["settings.when"].required


@pytest.mark.parametrize(
    ("values", "path"),
    [
        ({"oxygen.part.2.length": "20"}, "oxygen.part.2.length"),
        ({"oxygen.part.2.length": ""}, "oxygen.part.2.length"),
        ({"oxygen.part.1.flow_points": "inlet=5 bar, drop=0 bar, flow=16 m3/h"}, "oxygen.part.1.flow_points"),
        ({"station.region": "england"}, "station.region"),
        ({"fuel.supply.composition": "propane=60 %, butane=40 %"}, "fuel.supply.composition"),
        ({"settings.when": "static", "settings.fuel": ""}, "settings.fuel"),
        ({"declared.1.kind": "rust"}, "declared.1.kind"),
        ({"job.duty": "200 %"}, "job.duty"),
    ],
)
def test_a_message_of_the_reader_stands_beside_its_box_and_nowhere_else(values: dict[str, str], path: str) -> None:
    text = apply(STATION, values)
    form = formed(text, (fault(text),))
    assert [box.path for box in boxes(form).values() if box.error] == [path]
    assert form.errors == ()
    assert not any(section.errors for section in form.sections)


def test_a_message_about_a_part_or_a_line_stands_at_its_heading() -> None:
    both = apply(STATION, {"oxygen.part.1.equivalent_bore": "3 mm"})
    assert groups(formed(both, (fault(both),)))["oxygen.part.1"].errors
    no_hose = apply(STATION, {"oxygen.part.2.kind": "pipe", "oxygen.part.2.grade": ""})
    oxygen = next(section for section in formed(no_hose, (fault(no_hose),)).sections if section.id == "oxygen")
    assert oxygen.errors[0].startswith("This line has no hose")


def test_a_message_about_another_file_stands_on_top_with_its_place() -> None:
    form = formed(STATION, (InputError('no column "size"', where="yard.csv, row 1", try_="Name it."),))
    assert form.errors == ('yard.csv, row 1: No column "size". Name it.',)


def test_no_message_is_lost() -> None:
    places = ["", "x", "format", "oxygen", "oxygen.part", "oxygen.part 9 (hose)", "fuel.supply, wibble", "preheat_oxygen", "tip, chart, \"a\"",
              "oxygen.regulator", "declared", "declared 4", "station, policy, \"b\", acetylene_cap", "settings"]  # fmt: skip
    for where in places:
        form = formed(STATION, (InputError("zanzibar", where=where),))
        told = [*form.errors, *(text for section in form.sections for text in section.errors)]
        told += [text for group in groups(form).values() for text in group.errors] + [box.error for box in boxes(form).values()]
        assert sum("anzibar" in text for text in told) == 1, where


@pytest.mark.parametrize(
    ("where", "path"),
    [
        ("oxygen.part 2 (hose), length", "oxygen.part.2.length"),
        ("my, file.toml, oxygen.part 2 (check valve).flow_points 1, drop", "oxygen.part.2.flow_points"),
        ('slip-2.toml, tip, chart, "torch.csv"', "tip.chart"),
        ("oxygen.part 2 (hose)", "oxygen.part.2"),
        ("fuel.supply.composition, propane", "fuel.supply.composition"),
        ("torch, fuels 1", "torch.fuels"),
        ("yard.csv, row 3", ""),
        ("", ""),
    ],
)
def test_a_place_is_told_from_its_words(where: str, path: str) -> None:
    assert path_in(where) == path


def test_paths_that_are_none_draw_nothing() -> None:
    odd = {"oxygen.part.99999999.kind": "hose", "oxygen.part.²": "", "preheat_oxygen": "", "x.y": "z", "": ""}
    assert groups(form_of(odd, "uk", "lpg")).keys() == groups(form_of({}, "uk", "lpg")).keys()


def test_an_unknown_region_is_refused() -> None:
    with pytest.raises(UnknownName):
        form_of({}, "xx", "lpg")


def test_more_words_can_be_offered() -> None:
    box = boxes(form_of(fields_of(STATION), "uk", "acetylene", suggest={"chart": ["a.csv", "b.csv"]}))
    assert box["tip.chart"].suggest == ("a.csv", "b.csv")
    assert "any fuel" in box["oxygen.part.2.grade"].suggest
