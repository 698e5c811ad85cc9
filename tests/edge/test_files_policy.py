"""The region's policy, and the site's laid over it."""

import pytest
from tests.files_samples import POLICY

from steadycone.data import reader
from steadycone.errors import InputError, LooserThanLaw, UnknownName
from steadycone.files.policy import REGIONS, SITE_SOURCE, policy_from_text, region_policy, region_table
from steadycone.units import Interval

HEAD = 'format = "steadycone-policy/1"\n'


def refused(text: str, region: str = "uk") -> InputError:
    with pytest.raises(InputError) as caught:
        policy_from_text(HEAD + text, region, "yard.toml")
    assert caught.value.where.startswith("yard.toml")
    assert caught.value.try_
    return caught.value


@pytest.mark.parametrize("region", REGIONS)
def test_every_region_is_complete_and_names_known_sources(region: str) -> None:
    policy, known = region_policy(region), reader.sources()
    for name in policy.__struct_fields__:
        if name in ("site", "sources") or getattr(policy, name) is None:
            continue
        assert policy.source(name) in known, name
    assert all(key in known for key in policy.sources.values())
    assert all(law["source"] in known for law in region_table(region)["law"].values())
    assert policy.site == ""


@pytest.mark.parametrize("region", REGIONS)
def test_every_region_has_the_same_words_units_and_colours(region: str) -> None:
    table, other = region_table(region), region_table("uk")
    for name in ("words", "units", "numbers", "hoses", "paper", "variants"):
        assert table[name].keys() == other[name].keys(), name


def test_the_caps_of_two_regions_are_not_the_same() -> None:
    assert region_policy("us").acetylene_cap.si == pytest.approx(1.0342e5, rel=1e-4)
    assert region_policy("uk").acetylene_cap.si == 1.5e5
    assert region_policy("us").acetylene_cap_absolute is not None
    assert region_policy("uk").acetylene_arrestor_from is not None


def test_an_unknown_region_is_refused() -> None:
    with pytest.raises(UnknownName):
        region_policy("uek")


def test_the_site_lays_its_choices_over_the_region() -> None:
    policy = policy_from_text(HEAD + 'draw = { stop = "1/8" }\nloss = "10 %"\n', "uk", "yard.toml")
    assert policy.draw.stop.si == pytest.approx(1 / 8)
    assert policy.draw.caution.si == pytest.approx(1 / 10)
    assert policy.source("draw.stop") == SITE_SOURCE
    assert policy.source("draw.caution") == "draw-limits-two-rules"
    assert policy.source("loss") == SITE_SOURCE
    assert policy.site == "yard.toml"


def test_a_whole_policy_file_is_read() -> None:
    policy = policy_from_text(POLICY, "uk", "yard.toml")
    assert policy.acetylene_cap.si == pytest.approx(0.9e5)
    assert policy.arrestors.at == ("regulator", "torch")
    assert policy.variants["shutdown"] == "fuel-first"


@pytest.mark.parametrize(
    ("text", "region", "shown"),
    [
        ('acetylene_cap = "1.2 bar"', "us", ("1.2 bar", "15 psi")),
        ('acetylene_cap = "1.6 bar"', "uk", ("1.6 bar", "1.5 bar")),
        ('acetylene_cap = "151 kPa"', "au", ("151 kPa", "150 kPa")),
        ('acetylene_cap_absolute = "31 psi abs"', "us", ("31 psi abs", "30 psi abs")),
        ('acetylene_arrestor_from = "1 bar"', "uk", ("1 bar", "0.62 bar")),
        ('enrichment = "25 %"', "eu", ("25 %", "23.5 %")),
    ],
)
def test_a_choice_looser_than_the_law_is_refused_with_both_values(text: str, region: str, shown: tuple[str, str]) -> None:
    error = refused(text, region)
    assert isinstance(error, LooserThanLaw)
    assert error.code == "policy-looser-than-law"
    assert all(f'"{value}"' in error.says for value in shown)


def test_the_law_itself_and_anything_stricter_may_be_chosen() -> None:
    assert policy_from_text(HEAD + 'acetylene_cap = "15 psi"\n', "us").acetylene_cap.text == "15 psi"
    assert policy_from_text(HEAD + 'acetylene_cap = "0.5 bar"\nenrichment = "23.5 %"\n', "us").acetylene_cap.text == "0.5 bar"


def test_intervals_and_draw_are_templates_and_may_be_longer() -> None:
    policy = policy_from_text(HEAD + 'intervals = { hose = "8 years" }\ndraw = { stop = "1/5" }\n', "uk")
    assert policy.intervals.hose.life == Interval.parse("8 years")
    assert policy.intervals.regulator.examined == Interval.parse("1 year"), "what the site leaves out stays the region's"


@pytest.mark.parametrize(
    ("text", "place", "says"),
    [
        ('acetylen_cap = "1 bar"', "acetylen_cap", "not a"),
        ('draw = { stopp = "1/7" }', "draw, stopp", "not a field"),
        ('sources = { loss = "me" }', "sources", "not a"),
        ('site = "me"', "site", "not a"),
        ('variants = { lightning = "fuel-first" }', "variants, lightning", "not a variant"),
        ('intervals = { unknown_age = "fine" }', "intervals, unknown_age", "overdue"),
        ('intervals = { unknown_age = "caution" }', "intervals, unknown_age", "looser"),
        ('intervals = { regulator = { unknown_age = "caution" } }', "intervals.regulator, unknown_age", "looser"),
        ('intervals = { arrestor = { caution = ["life"] } }', "intervals.arrestor, caution", "looser"),
        ('intervals = { arrestor = { lifetime = "5 years" } }', "intervals.arrestor, lifetime", "not a field"),
        ('intervals = { arrestor = { life = "5" } }', "intervals.arrestor, life", "no unit"),
        ('intervals = { arrestor = "5" }', "intervals.arrestor, examined", "no unit"),
        ("intervals = { arrestor = 5 }", "intervals.arrestor, examined", "no unit"),
        ('intervals = { nozzle = "5 years" }', "intervals, nozzle", "not a field"),
        ('intervals = "5 years"', "intervals", "table is expected"),
        ('check_valves = { missing = "go" }', "check_valves, missing", "caution, stop"),
        ('intervals = { regulator = { examined_from = "purchase" } }', "intervals.regulator, examined_from", "test or make"),
        ('draw = { stop = "1/20" }', "draw, caution", "over stop"),
        ('draw = { stop = "2" }', "draw, stop", "at most 100 %"),
        ('draw = { of = "half" }', "draw, of", "end of job"),
        ("purge = { margin = 0.5 }", "purge, margin", "at least 1"),
        ("arrestors = { at = [] }", "arrestors, at", "empty"),
        ('arrestors = { at = ["hose"] }', "arrestors, at 1", "regulator, torch"),
        ('leak = { wait = "0 min" }', "leak, wait", "above zero"),
        ('acetylene_cap = "1.9 bar abs"', "acetylene_cap", "gauge"),
        ('acetylene_cap_absolute = "1.9 bar"', "acetylene_cap_absolute", "absolute"),
        ('reclose = "30"', "reclose", "no unit"),
        ('cylinder_watch = "29 min"', "cylinder_watch", "under half an hour"),
        ('draw = "1/7"', "draw", "table is expected"),
    ],
)
def test_an_ill_written_choice_is_told_with_its_place(text: str, place: str, says: str) -> None:
    error = refused(text)
    assert error.where == f"yard.toml, {place}"
    assert says in error.says


def test_a_flat_flow_may_be_the_draw_rule() -> None:
    policy = policy_from_text(HEAD + 'draw = { stop = "1 m3/h", caution = "0.8 m3/h" }\n', "uk")
    assert policy.draw.stop.flow is not None


def test_the_watch_after_a_flashback_may_be_half_an_hour_and_is_an_hour_where_nobody_chose() -> None:
    assert policy_from_text(HEAD + 'cylinder_watch = "30 min"\n', "uk").cylinder_watch.si == 1800
    assert policy_from_text(HEAD, "uk").cylinder_watch.si == 3600
