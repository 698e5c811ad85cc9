"""The table of the station form against the nouns: all of a station file is asked, once, and nothing else."""

import re
from typing import Any

import pytest

from steadycone.data import reader
from steadycone.errors import BadUnit
from steadycone.render.schema import station_schema
from steadycone.render.station_form import form_of
from steadycone.render.words import Words
from steadycone.station.form import LINES, NOUNS, FormField, field_at, fields_in, form_table, table_order
from steadycone.units import GasAmount, GasFlow, Length, Mass, Pressure, Temperature, Volume

REGIONS = ("uk", "eu", "us", "ca", "au", "nz")
ALL = [pytest.param(field, id=f"{table}.{field.name}") for table in NOUNS for field in fields_in(table).values()]
# The parts of the schema that are no table of fields of their own: the whole, a line, and what stands in one box.
WHOLE, IN_ONE_BOX = {"Station", "Line"}, {"FlowPoint"}
TABLES = {"About": "station", "Supply": "supply", "Regulator": "regulator", "Torch": "torch", "TipChoice": "tip", "Job": "job",
          "Settings": "settings", "Place": "place", "Declared": "declared", "Arrestor": "part", "CheckValve": "part", "Valve": "part",
          "Coupling": "part", "Hose": "part", "Pipe": "part"}  # fmt: skip


def schema() -> dict[str, Any]:
    defs: dict[str, Any] = station_schema()["$defs"]
    return defs


def test_every_field_of_the_schema_is_asked_and_no_other() -> None:
    assert set(schema()) == set(TABLES) | WHOLE | IN_ONE_BOX
    wanted: dict[str, set[str]] = {}
    for name, table in TABLES.items():
        wanted.setdefault(table, set()).update(schema()[name]["properties"])
    assert {table: set(fields_in(table)) for table in wanted} == wanted


def test_every_table_of_the_schema_is_in_the_form_once() -> None:
    assert sorted(form_table()["order"]) == sorted(set(schema()["Station"]["properties"]) - {"format"})
    assert sorted(form_table()["line"]) == sorted(schema()["Line"]["properties"])
    assert len(set(table_order())) == len(table_order())


def test_a_kind_of_part_is_asked_its_own_fields_only() -> None:
    for name in ("Arrestor", "CheckValve", "Valve", "Coupling", "Hose", "Pipe"):
        told = schema()[name]
        kind = told["properties"]["kind"]["enum"][0]
        assert {field.name for field in fields_in("part").values() if kind in field.kinds} == set(told["properties"])
        needed = {field.name for field in fields_in("part").values() if kind in field.kinds and field.required}
        assert needed == set(told["required"])


@pytest.mark.parametrize("name", sorted(set(TABLES) - {"Arrestor", "CheckValve", "Valve", "Coupling", "Hose", "Pipe"}))
def test_what_the_schema_needs_the_form_needs(name: str) -> None:
    assert {field.name for field in fields_in(TABLES[name]).values() if field.required} == set(schema()[name].get("required", ()))


@pytest.mark.parametrize("field", ALL)
def test_the_words_of_a_choice_are_the_schemas(field: FormField) -> None:
    names = [name for name, table in TABLES.items() if table == field.table and field.name in schema()[name]["properties"]]
    told = [schema()[name]["properties"][field.name] for name in names]
    words = {str(word) for entry in told for one in (entry, *entry.get("anyOf", ())) for word in one.get("enum", ())}
    assert set(field.choices) == words
    assert (field.kind == "choice") == bool(words)


@pytest.mark.parametrize("field", ALL)
def test_a_hint_is_one_sentence_and_a_label_is_short(field: FormField) -> None:
    assert field.label
    assert len(field.label) <= 32
    assert not field.label.endswith(".")
    assert not field.hint or re.fullmatch(r"[A-Z][^.;!?]*(?:;[^.;!?]*)?\.", re.sub(r"(?<=\d)\.(?=\d)", "", field.hint))


@pytest.mark.parametrize("field", ALL)
def test_each_condition_names_what_there_is(field: FormField) -> None:
    for name, allowed in field.only_when.items():
        if name in ("line", "has"):
            assert set(allowed) <= set(LINES)
            continue
        found = field_at(name)
        asked = found[1] if found else fields_in(field.table)[name]
        assert set(allowed) <= set(asked.choices)


@pytest.mark.parametrize("field", ALL)
def test_each_example_is_one_of_its_kind_in_its_units(field: FormField) -> None:
    metric, us = [field.metric, field.fuel_metric], [field.us, field.fuel_us]
    assert bool(field.fuel_metric) == bool(field.fuel_us)
    assert field.metric
    assert field.us
    if field.choices:
        assert set(filter(None, metric + us)) <= set(field.choices)
    if field.kind == "measure" and field.name not in ("sonic_conductance", "reference_state"):
        foreign = re.compile(r"\b(psi|ft3|ft|in|in3|lb|CFH|°F)\b")
        assert not any(foreign.search(text) for text in metric)
        assert not any(re.search(r"\b(bar|m3|m|mm|kg|m3/h|L)\b", text) for text in us)


@pytest.mark.parametrize("region", REGIONS)
def test_every_text_can_be_told_in_every_region(region: str) -> None:
    words = Words.of(region)
    texts = [text for part in ("title", "legend", "choice") for text in form_table()[part].values()]
    texts += [text for table in NOUNS for field in fields_in(table).values() for text in (field.label, field.hint)]
    for text in texts:
        assert "{" not in words.fill(text, {"gas": "oxygen", "part": "hose", "default": "edge"})


def test_the_words_follow_the_region() -> None:
    def titles(region: str) -> list[str]:
        return [section.title for section in form_of({}, region, "acetylene").sections]

    assert {"Blowpipe", "Nozzle"} <= set(titles("uk"))
    assert {"Torch", "Tip"} <= set(titles("us"))


def test_an_example_follows_the_regions_units_and_the_line() -> None:
    def example(region: str, path: str) -> str:
        form = form_of({"oxygen.part.1.kind": "hose", "fuel.part.1.kind": "hose"}, region, "propane")
        return next(field.example for section in form.sections for group in section.groups for field in group.fields if field.path == path)

    assert example("uk", "oxygen.part.1.length") == "20 m"
    assert example("us", "oxygen.part.1.length") == "50 ft"
    assert example("ca", "station.ambient") == "12 °C"  # feet and psi, yet Celsius
    assert example("us", "station.ambient") == "60 °F"
    assert example("uk", "fuel.regulator.outlet_rating") == "1.5 bar"  # the example of the fuel line stays under acetylene's cap
    assert example("uk", "fuel.regulator.gas") == "propane"


def test_no_example_for_the_fuel_regulator_is_over_the_acetylene_cap() -> None:
    rating = fields_in("regulator")["outlet_rating"]
    caps = {"metric": reader.toml("regions/uk.toml")["acetylene_cap"], "us": reader.toml("regions/us.toml")["acetylene_cap"]}
    assert Pressure.parse(rating.fuel_metric).si <= Pressure.parse(caps["metric"]).si
    assert Pressure.parse(rating.fuel_us).si <= Pressure.parse(caps["us"]).si


def test_no_measure_s_example_fails_to_read() -> None:
    kinds = (Pressure, Length, Volume, Mass, Temperature, GasFlow, GasAmount)
    read = {"outlet_rating": Pressure, "bore": Length, "length": Length, "water_volume": Volume, "gross": Mass, "ambient": Temperature,
            "rated_flow": GasFlow, "content": GasAmount, "capacity": GasAmount, "fuel_flow": GasFlow, "thickness": Length}  # fmt: skip
    assert set(read.values()) == set(kinds)
    for table in NOUNS:
        for name, field in fields_in(table).items():
            for text in filter(None, (field.metric, field.us, field.fuel_metric, field.fuel_us) if name in read else ()):
                try:
                    read[name].parse(text)
                except BadUnit as error:
                    pytest.fail(f"{table}.{name}: {error}")
