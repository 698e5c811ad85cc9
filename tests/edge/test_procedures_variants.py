"""What a site may choose among official texts, and what nobody may."""

import pytest

from steadycone.data import reader
from steadycone.errors import InputError, LooserThanLaw, RefusedVariant, UnknownName
from steadycone.files.policy import REGIONS, policy_from_text, region_policy
from steadycone.procedures.variants import chosen, refused, variant, variants

ASKED = (
    "lighting", "shutdown", "acetylene_turns", "cracking", "setting", "stand_up", "order", "purge_first", "hose_after_flashback",
)  # fmt: skip


def site(line: str, region: str = "uk") -> object:
    return policy_from_text(f'format = "steadycone-policy/1"\n{line}\n', region, "site.toml")


def test_every_difference_between_official_texts_is_there_with_two_sides_at_least() -> None:
    assert {each.name for each in variants()} == set(ASKED)
    for each in variants():
        assert len(each.choices) >= 2
        for choice in each.choices:
            assert choice.says
            assert choice.reason
            assert choice.source
            assert set(choice.source) <= reader.sources().keys()


@pytest.mark.parametrize("region", REGIONS)
def test_each_region_starts_from_one_choice_of_each(region: str) -> None:
    for each in variants():
        starting = [choice.name for choice in each.choices if region in each.starts_in(choice.name)]
        assert len(starting) == 1, (each.name, starting)
    policy = region_policy(region)
    assert set(policy.variants) == {each.name for each in variants() if not each.field}
    for name in policy.variants:
        assert region not in dict(chosen(policy, name).forbidden)
        assert policy.source(f"variants.{name}") in reader.sources()


def test_a_site_chooses_by_name() -> None:
    policy = site('variants = { lighting = "oxygen-touch" }')
    assert policy.variants["lighting"] == "oxygen-touch"  # type: ignore[attr-defined]
    assert policy.variants["shutdown"] == "fuel-first"  # type: ignore[attr-defined]
    assert policy.source("variants.lighting") == "site-policy"  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("line", "place", "hint"),
    [
        ('variants = { lighting = "fuel-frist" }', "site.toml, variants, lighting", "fuel-first"),
        ('variants = { lightning = "fuel-first" }', "site.toml, variants, lightning", "lighting"),
        ('variants = { stand_up = "45 min" }', "site.toml, variants, stand_up", "beside variants"),
        ('variants = { order = "whenever" }', "site.toml, variants, order", "leak-test-then-purge"),
    ],
)
def test_an_unknown_name_is_told_with_the_nearest(line: str, place: str, hint: str) -> None:
    with pytest.raises(UnknownName) as raised:
        site(line)
    assert raised.value.where == place
    assert hint in raised.value.try_


@pytest.mark.parametrize(
    ("line", "reason"),
    [
        ('variants = { oxygen_threads = "lubricant" }', "oil, grease and glycerine"),
        ("variants = { lubricant = true }", "oil, grease and glycerine"),
        ('variants = { lighting = "match" }', "hand is in the flame"),
        ('variants = { hose_blow = "air" }', "compressor's air carries oil"),
        ('variants = { burning_cylinder = "carry outside" }', "may burst"),
        ('variants = { hot_cylinder = "carry-outside" }', "may burst"),
        ('variants = { hose_after_flashback = "use" }', "lining is burnt"),
        ('variants = { leak_test = "flame" }', "lights where nobody can shut it"),
        ('variants = { cracking = "hydrogen" }', "light itself"),
        ('variants = { cracking = "anywhere" }', "burns"),
        ('variants = { purge_first = "both" }', "mix in the torch"),
        ('variants = { attachment = "wrench" }', "crushes the rings"),
        ('variants = { order = "no-purge" }', "burns back"),
        ('variants = { hot_cylinder = "cool-cylinder" }', "burst three minutes"),
    ],
)
def test_an_unsafe_way_is_known_and_refused_with_its_reason_and_source(line: str, reason: str) -> None:
    with pytest.raises(RefusedVariant) as raised:
        site(line)
    assert raised.value.code == "variant-refused"
    assert isinstance(raised.value, InputError)
    assert reason in raised.value.says
    assert "Source: " in raised.value.try_
    assert raised.value.where.startswith("site.toml, variants, ")


def test_every_refused_way_has_a_reason_what_to_do_and_a_source() -> None:
    names = [name for way in refused() for name in (way.name, *way.also)]
    assert len(names) == len(set(names))
    for way in refused():
        assert way.reason
        assert not way.reason.endswith(".")
        assert way.try_.endswith(".")
        assert set(way.source) <= reader.sources().keys()


def test_no_choice_that_is_offered_is_also_refused() -> None:
    for each in variants():
        for choice in each.choices:
            if not each.field:
                for region in set(REGIONS) - set(dict(choice.forbidden)):
                    site(f'variants = {{ {each.name} = "{choice.name}" }}', region)


def test_a_valve_fully_open_is_a_choice_where_the_law_allows_it_and_refused_where_not() -> None:
    site('variants = { acetylene_turns = "fully-open" }', "eu")
    with pytest.raises(LooserThanLaw) as raised:
        site('variants = { acetylene_turns = "fully-open" }', "us")
    assert "osha-1910-253" in raised.value.try_


def test_the_hose_after_a_confirmed_flashback_is_no_question() -> None:
    assert "confirmed" in variant("hose_after_flashback").asks
    assert {choice.name for choice in variant("hose_after_flashback").choices} == {"scrap", "test"}


def test_a_table_that_is_none_is_left_to_the_reader_of_the_file() -> None:
    with pytest.raises(InputError):
        site('variants = "fuel-first"')


def test_a_choice_that_is_no_text_is_an_unknown_choice() -> None:
    with pytest.raises(UnknownName):
        site("variants = { lighting = 3 }")


def test_an_unknown_question_is_told() -> None:
    with pytest.raises(UnknownName):
        variant("lighting-order")
