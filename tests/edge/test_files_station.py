"""Each way a station file can be wrong gives one message: the place, the value, what is allowed, what to try."""

import tomllib

import pytest
from tests.files_samples import STATION

from steadycone.errors import BadFile, BadUnit, InputError, LooserThanLaw, OutOfRange, UnknownName
from steadycone.files.station import station_from_text
from steadycone.files.station_rules import COMPONENTS, TEST_GASES
from steadycone.physics.gas.load import NAMES
from steadycone.station.parts import Hose

MINIMAL = """\
format = "steadycone-station/1"
[station]
name = "bench"
region = "uk"
fuel = "propane"
[oxygen.regulator]
gas = "oxygen"
outlet_rating = "10 bar"
[[oxygen.part]]
kind = "hose"
grade = "oxygen"
bore = "6.3 mm"
length = "10 m"
[fuel.regulator]
gas = "propane"
outlet_rating = "4 bar"
[[fuel.part]]
kind = "hose"
grade = "propane"
bore = "6.3 mm"
length = "10 m"
[torch]
attachment = "heating"
[job]
kind = "heat"
"""


def refused(text: str) -> InputError:
    with pytest.raises(InputError) as caught:
        station_from_text(text, "bench.toml")
    error = caught.value
    assert error.where.startswith("bench.toml")
    assert error.says
    assert error.try_
    assert "\n" not in error.says + error.where
    return error


def swapped(old: str, new: str, text: str = STATION) -> str:
    assert text.count(old) >= 1, old
    return text.replace(old, new, 1)


def test_the_required_fields_alone_make_a_station() -> None:
    station = station_from_text(MINIMAL)
    assert station.oxygen.supply.cylinders == 1
    assert station.job.start == "edge"


def test_what_was_written_is_kept_beside_its_value() -> None:
    station = station_from_text(STATION)
    hose = station.fuel.part[1]
    assert isinstance(hose, Hose)
    assert (hose.bore.text, hose.bore.si) == ("1/4 in", pytest.approx(0.00635))


def test_a_bare_number_may_be_a_size_and_a_date_may_be_bare() -> None:
    station = station_from_text(STATION)
    assert station.tip.size == "3"
    assert station.oxygen.regulator.tested is not None
    assert station.oxygen.regulator.tested.day.isoformat() == "2026-03-04"


def test_a_reference_state_holds_for_every_gas_volume_of_the_file() -> None:
    plain = station_from_text(STATION).oxygen.regulator.rated_flow
    stated = station_from_text(
        swapped('fuel = "acetylene"', 'fuel = "acetylene"\nreference_state = "15 °C, 1.01325 bar"')
    ).oxygen.regulator.rated_flow
    assert plain is not None
    assert stated is not None
    assert stated.si / plain.si == pytest.approx(273.15 / 288.15, rel=1e-6)


@pytest.mark.parametrize(
    ("old", "new", "place", "hint"),
    [
        ('length = "20 m"\nmax', 'lenght = "20 m"\nmax', "oxygen.part 2 (hose), lenght", '"length"'),
        ("[place]", "[plaec]", "plaec", '"place"'),
        ('region = "uk"', 'regoin = "uk"', "station, regoin", '"region"'),
        ('drop = "0.2 bar"', 'dorp = "0.2 bar"', "oxygen.part 1 (arrestor).flow_points 1, dorp", '"drop"'),
        ("reserve =", "resrve =", "oxygen.supply, resrve", '"reserve"'),
    ],
)
def test_an_unknown_field_is_named_with_the_nearest_known(old: str, new: str, place: str, hint: str) -> None:
    error = refused(swapped(old, new))
    assert isinstance(error, UnknownName)
    assert error.where == f"bench.toml, {place}"
    assert hint in error.try_


@pytest.mark.parametrize("given", ['"5 bar"', '{ inlet = "5 bar", drop = "0.2 bar", flow = "16 m3/h" }', "5"])
def test_flow_points_of_the_wrong_shape_are_answered_with_lines_that_toml_reads(given: str) -> None:
    old = '[ { inlet = "5 bar", drop = "0.2 bar", flow = "16 m3/h", gas = "air" } ]'
    error = refused(swapped(old, given))
    assert error.where.startswith("bench.toml, oxygen.part 1 (arrestor)")
    line = error.try_.removeprefix("Write for example ").removesuffix(".")
    assert set(tomllib.loads(line)["flow_points"][0]) == {"inlet", "drop", "flow"}
    assert station_from_text(swapped(f"flow_points = {old}", line))


@pytest.mark.parametrize(
    ("made", "tested", "fits"),
    [
        ("2024", "2024-05", True),
        ("2024-05", "2024", True),
        ("2024-05", "2023", False),
        ("5-24", "04/2024", False),
        ("Q2 24", "2024-06", True),
    ],
)
def test_made_and_tested_are_in_order_wherever_their_stamps_can_be(made: str, tested: str, fits: bool) -> None:
    text = swapped('made = "2023-02"\ntested = 2026-03-04', f'made = "{made}"\ntested = "{tested}"')
    if fits:
        assert station_from_text(text)
    else:
        assert "before the date of make" in refused(text).says


def test_an_unknown_field_is_told_before_a_missing_one() -> None:
    text = swapped('region = "uk"\n', "")
    text = swapped('where = "oxygen inlet"', 'wear = "oxygen inlet"', text)
    assert refused(text).where == "bench.toml, declared 1 (adaptor), wear"


@pytest.mark.parametrize(
    ("old", "new", "place", "says"),
    [
        ('"20 m"\nmax', '"20"\nmax', "oxygen.part 2 (hose), length", "no unit"),
        ('"20 m"\nmax', '"20 bar"\nmax', "oxygen.part 2 (hose), length", "pressure, not of length"),
        ('"20 m"\nmax', '"-20 m"\nmax', "oxygen.part 2 (hose), length", "above 0"),
        ('"20 m"\nmax', '"1,5 m"\nmax', "oxygen.part 2 (hose), length", "not a number"),
        ('pressure = "140 bar"', 'pressure = "-2 bar"', "oxygen.supply, pressure", "below vacuum"),
        ('pressure = "140 bar"', 'pressure = "-0.5 bar"', "oxygen.supply, pressure", "zero or more"),
        ('pressure = "140 bar"', 'pressure = "140000 bar"', "oxygen.supply, pressure", "1000 bar"),
        ('pressure = "140 bar"', "pressure = 140", "oxygen.supply, pressure", "no unit"),
        ('pressure = "140 bar"', "pressure = nan", "oxygen.supply, pressure", "no unit"),
        ('pressure = "140 bar"', 'pressure = ["140 bar"]', "oxygen.supply, pressure", "a list where one value"),
        ('lockup = "30 %"', "lockup = inf", "oxygen.regulator, lockup", "at most"),
        ('lockup = "30 %"', "lockup = 30", "oxygen.regulator, lockup", "at most"),
        ('gauge_class = "2.5"', "gauge_class = 0", "oxygen.regulator, gauge_class", "above 0"),
        ('made = "2023-02"\ntested = 2', 'made = "last year"\ntested = 2', "oxygen.regulator, made", "not a date"),
        ('made = "2023-02"\ntested = 2', 'made = "2023-13"\ntested = 2', "oxygen.regulator, made", "calendar"),
        ('made = "2023-02"\ntested = 2', 'made = "2026-05"\ntested = 2', "oxygen.regulator, tested", "before the date of make"),
        ("enclosed = false", 'enclosed = "no"', "place, enclosed", "neither true nor false"),
        ("cylinders = 1\nwater", "cylinders = 0\nwater", "oxygen.supply, cylinders", "at least 1"),
        ("cylinders = 1\nwater", "cylinders = 1001\nwater", "oxygen.supply, cylinders", "at most 1000"),
        ("cylinders = 1\nwater", "cylinders = 1.5\nwater", "oxygen.supply, cylinders", "whole number"),
        ("cylinders = 1\nwater", f"cylinders = {'9' * 400}\nwater", "oxygen.supply, cylinders", "whole number"),
        ("size = 3", f"size = {'9' * 400}", "tip, size", "15 digits"),
        ('ambient = "12 °C"', 'ambient = "212 °C"', "station, ambient", "between -60 and 70"),
        ('ambient = "12 °C"', 'ambient = "-300 °C"', "station, ambient", "absolute zero"),
        ('atmosphere = "1.013 bar abs"', 'atmosphere = "1.013 bar"', "station, atmosphere", "absolute"),
        ('atmosphere = "1.013 bar abs"', 'atmosphere = "1 bar abs"\naltitude = "90 m"', "station, altitude", "both"),
        ('name = "Tern Quay, slip 2"', 'name = " "', "station, name", "empty"),
        ('name = "Tern Quay, slip 2"', 'name = "a\\nb"', "station, name", "control characters"),
        ('tare = "62.4 kg"\n', "", "fuel.supply, tare", "needed beside gross"),
        ('gross = "68.2 kg"', 'gross = "8.2 kg"', "fuel.supply, gross", "less than the tare"),
        ('content = "8 kg"', 'content = "8 kg"\ncapacity = "8 kg"', "fuel.supply, content", "the same"),
        ("critical_ratio = 0.4\n", "", "fuel.part 1 (check valve), critical_ratio", "needed beside"),
        ("critical_ratio = 0.4", "critical_ratio = 1", "fuel.part 1 (check valve), critical_ratio", "below 1"),
        ("critical_ratio = 0.4", 'critical_ratio = 0.4\nequivalent_bore = "3 mm"', "fuel.part 1 (check valve)", "each say how much"),
        ('flow = "16 m3/h"', 'flow = "0 m3/h"', "oxygen.part 1 (arrestor).flow_points 1, flow", "above zero"),
        ('drop = "0.2 bar"', 'drop = "7 bar"', "oxygen.part 1 (arrestor).flow_points 1, drop", "more than the inlet has"),
        ('gas = "air"', 'gas = "aire"', "oxygen.part 1 (arrestor).flow_points 1, gas", "not a gas"),
        ('gas = "air" } ]', 'gas = "air" } ]\ncracking = "0.2 bar"', "oxygen.part 1 (arrestor).flow_points 1, drop", "opening pressure"),
        ('gas = "air" } ]', 'gas = "air" } ]\ncracking = "2 bar"', "oxygen.part 1 (arrestor), cracking", "0 to 1 bar"),
        ('bevel = "0°"', 'bevel = "85°"', "job, bevel", "at most 80"),
        ('oxygen = "3.5 bar"', 'oxygen = "-0.1 bar"', "settings, oxygen", "zero or more"),
        ('fuel = "0.5 bar"', 'fuel = "0.5 bar"\npreheat_oxygen = "2 bar"', "settings, preheat_oxygen", "no preheat oxygen line"),
        ('attachment = "cutting"', 'attachment = "heating"', "torch, attachment", 'kind "cut"'),
        ('thickness = "25 mm"\n', "", None, ""),
    ],
)  # fmt: skip
def test_a_wrong_value_is_told_with_its_place(old: str, new: str, place: str | None, says: str) -> None:
    text = swapped(old, new)
    if place is None:  # with a tip size the thickness may be left out
        assert station_from_text(text).job.thickness is None
        return
    error = refused(text)
    assert error.where == f"bench.toml, {place}"
    assert says in error.says


def test_the_fewest_fields_that_a_station_needs_are_enough() -> None:
    # format; name, region, fuel; each line's regulator gas and outlet rating, and a hose; attachment; job kind
    hose = 'kind = "hose"\nbore = "6.3 mm"\nlength = "10 m"\n'
    text = 'format = "steadycone-station/1"\n[station]\nname = "Tern Quay, bare bench"\nregion = "eu"\nfuel = "lpg"\n'
    for line, gas in (("oxygen", "oxygen"), ("fuel", "propane")):
        text += f'[{line}.regulator]\ngas = "{gas}"\noutlet_rating = "4 bar"\n[[{line}.part]]\ngrade = "{gas}"\n{hose}'
    text += '[torch]\nattachment = "cutting"\n[job]\nkind = "cut"\n'
    assert station_from_text(text).job.thickness is None


@pytest.mark.parametrize(
    ("old", "new", "place", "hint"),
    [
        ('kind = "arrestor"', 'kind = "flashback arrestor"', "oxygen.part 1 (flashback arrestor), kind", '"arrestor"'),
        ('kind = "check valve"', 'kind = "non-return valve"', "fuel.part 1 (non-return valve), kind", '"check valve"'),
        ('kind = "hose"', 'kind = "Hose"', "oxygen.part 2 (Hose), kind", '"hose"'),
        ('kind = "hose"', "kind = 3", "oxygen.part 2, kind", "One of"),
        ('region = "uk"', 'region = "gb"', "station, region", '"uk"'),
        ('fuel = "acetylene"', 'fuel = "acetelyne"', "station, fuel", '"acetylene"'),
        ('when = "flowing"', 'when = "flow"', "settings, when", '"flowing"'),
    ],
)
def test_a_word_that_is_not_allowed_is_answered_with_the_one_meant(old: str, new: str, place: str, hint: str) -> None:
    error = refused(swapped(old, new))
    assert error.where == f"bench.toml, {place}"
    assert hint in error.try_


@pytest.mark.parametrize(
    ("old", "place", "hint"),
    [
        ('length = "20 m"\nmax', "oxygen.part 2 (hose), length", 'length = "6.3 mm"'),
        ('outlet_rating = "10 bar"\n', "oxygen.regulator, outlet_rating", 'outlet_rating = "'),
        ('region = "uk"\n', "station, region", '"uk" or "eu"'),
        ('kind = "hose"\n', "oxygen.part 2, kind", "hose"),
        ('attachment = "cutting"\n', "torch, attachment", '"cutting"'),
    ],
)
def test_a_missing_field_is_told_with_an_example(old: str, place: str, hint: str) -> None:
    error = refused(swapped(old, "max" if old.endswith("max") else ""))
    assert error.where == f"bench.toml, {place}"
    assert hint in error.try_


def test_a_missing_table_is_told_with_what_belongs_into_it() -> None:
    start, end = STATION.index("[fuel.regulator]"), STATION.index("[[fuel.part]]")
    error = refused(STATION[:start] + STATION[end:])
    assert error.where == "bench.toml, fuel.regulator"
    assert "outlet_rating" in error.try_


def test_a_line_without_a_hose_is_refused() -> None:
    start, end = STATION.rindex("[[fuel.part]]"), STATION.index("[torch]")
    error = refused(STATION[:start] + STATION[end:])
    assert error.where == "bench.toml, fuel.part"
    assert "no hose" in error.says
    no_part = MINIMAL.replace('[[fuel.part]]\nkind = "hose"\ngrade = "propane"\nbore = "6.3 mm"\nlength = "10 m"\n', "")
    assert refused(no_part).where == "bench.toml, fuel.part"


def test_single_and_double_brackets_are_told_apart() -> None:
    single = MINIMAL.replace("[[oxygen.part]]", "[oxygen.part]")
    assert "[[oxygen.part]]" in refused(single).try_
    double = MINIMAL.replace("[torch]", "[[torch]]")
    error = refused(double)
    assert error.where == "bench.toml, torch"
    assert "[torch]" in error.try_


def test_a_value_where_a_table_is_expected_is_refused() -> None:
    error = refused(MINIMAL.replace('[torch]\nattachment = "heating"\n', "").replace("[station]", 'torch = "heating"\n[station]', 1))
    assert error.where == "bench.toml, torch"
    assert "[torch]" in error.try_


@pytest.mark.parametrize(
    ("composition", "place", "says"),
    [
        ('{ propane = "60 %", butane = "30 %" }', "fuel.supply.composition", "90 %"),
        ('{ propane = "60 %", butan = "40 %" }', "fuel.supply.composition, butan", "not a component"),
        ('{ propane = "60 %", butane = "-40 %" }', "fuel.supply.composition, butane", "at least 0"),
        ('"propane"', "fuel.supply, composition", "table is expected"),
    ],
)
def test_a_composition_is_checked(composition: str, place: str, says: str) -> None:
    text = MINIMAL.replace('fuel = "propane"', 'fuel = "lpg"') + f"[fuel.supply]\ncomposition = {composition}\n"
    error = refused(text)
    assert error.where == f"bench.toml, {place}"
    assert says in error.says


def test_a_composition_of_a_pure_gas_is_refused() -> None:
    error = refused(MINIMAL + '[fuel.supply]\ncomposition = { propane = "100 %" }\n')
    assert error.where == "bench.toml, fuel.supply.composition"


def test_a_full_composition_is_read() -> None:
    text = MINIMAL.replace('fuel = "propane"', 'fuel = "lpg"') + '[fuel.supply]\ncomposition = { propane = "60 %", butane = 0.4 }\n'
    found = station_from_text(text).fuel.supply.composition
    assert found is not None
    assert sum(share.si for share in found.values()) == pytest.approx(1)


def test_every_gas_that_may_be_named_is_one_the_physics_knows() -> None:
    assert set(TEST_GASES) == set(NAMES)
    assert set(COMPONENTS) <= set(NAMES)


@pytest.mark.parametrize(
    ("text", "where", "says"),
    [
        ("", "bench.toml", "empty"),
        ("  \n", "bench.toml", "empty"),
        ('name = "x', "bench.toml, line 1, the end of the file", "not TOML"),
        ("format = 3,5\n", "bench.toml, line 1, column 11", "not TOML"),
        ('format = "steadycone-station/1"\n[job]\n[job]\n', "bench.toml, line 3, column 5", "not TOML"),
        ('format = "steadycone-station/1"\nformat = "x"\n', "bench.toml, line 2", "not TOML"),
        ("a = 1\n", "bench.toml, format", "missing"),
        ('format = "steadycone-station/2"\n', "bench.toml, format", "not a number this program reads"),
        ('format = "steadycone-policy/1"\n', "bench.toml, format", "not a station file"),
        ("a = " + "[" * 5000, "bench.toml", "without end"),
        ("a = " + "9" * 5000, "bench.toml", "digits"),
    ],
)
def test_what_is_not_a_station_file_is_refused_with_line_and_column(text: str, where: str, says: str) -> None:
    error = refused(text)
    assert isinstance(error, BadFile)
    assert error.where.startswith(where)
    assert says in error.says


def test_a_third_hose_needs_its_own_setting() -> None:
    line = MINIMAL[MINIMAL.index("[oxygen.regulator]") : MINIMAL.index("[fuel.regulator]")].replace("oxygen.", "preheat_oxygen.")
    error = refused(STATION + line)
    assert error.where == "bench.toml, settings, preheat_oxygen"
    assert station_from_text(swapped('fuel = "0.5 bar"', 'fuel = "0.5 bar"\npreheat_oxygen = "2 bar"') + line).preheat_oxygen is not None


def test_preheating_with_a_cutting_attachment_is_everyday_work() -> None:
    assert station_from_text(MINIMAL.replace('attachment = "heating"', 'attachment = "cutting"')).job.kind == "heat"


def test_every_error_kind_has_its_own_code() -> None:
    codes = [kind.code for kind in (InputError, BadUnit, BadFile, UnknownName, OutOfRange, LooserThanLaw)]
    assert len(set(codes)) == len(codes)


@pytest.mark.parametrize(
    ("old", "new", "where", "allowed"),
    [
        ('length = "20 m"', 'length = "20 mm"', "length", "0.1 to 5000 m"),
        ('length = "20 m"', 'length = "20 km"', "length", "0.1 to 5000 m"),
        ('bore = "6.3 mm"', 'bore = "6.3 m"', "bore", "1 to 100 mm"),
        ('thickness = "25 mm"', 'thickness = "25 m"', "job, thickness", "0.1 mm to 3 m"),
    ],
)
def test_millimetres_for_metres_are_refused_with_what_is_allowed(old: str, new: str, where: str, allowed: str) -> None:
    error = refused(swapped(old, new))
    assert (error.where or "").endswith(where)
    assert allowed in str(error)
