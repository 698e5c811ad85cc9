"""A station as a row of the yard: never better than the worst that its card or its record says."""

import xml.etree.ElementTree as ElementTree
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone
from functools import cache

import pytest
from tests import factories, stations
from tests.edge.render_samples import ON, changed
from tests.edge.render_samples import card as example

from steadycone.card.card import Card, SupplyNeed
from steadycone.practice.finding import Finding, worst, worst_first
from steadycone.quantity import unknown
from steadycone.render.yard import YardRow, row_of, row_without_card
from steadycone.render.yard_facts import GearFact, SignFact, YardFacts
from steadycone.render.yard_gas import gas_bars_svg, gas_told

ZONE = timezone(timedelta(hours=1))
NOW = datetime(2026, 11, 25, 7, 52, tzinfo=ZONE)  # a Wednesday
SIGN = SignFact("A. Reader", datetime(2026, 11, 25, 5, 50, tzinfo=UTC), datetime(2026, 11, 25, 14, 0, tzinfo=ZONE))
SIGNED = YardFacts(sign=SIGN)
GOOD = GearFact("R08", "regulator", "oxygen", until=date(2027, 6, 1))
INCIDENT = Finding("record-incident", "stop", blanks={"reason": "backfire"}, text="told")
SMALL = Finding("record-defect", "caution", blanks={"reason": "scratched"})


def made(*findings: Finding, region: str = "uk", fuel: str = "acetylene") -> Card:
    """A card with these findings and one that is go."""
    every = worst_first([*findings, Finding("regulator-gas", "go", "oxygen regulator", blanks={"made_for": "oxygen"})])
    return Card(factories.clean(fuel, region), every, worst(f.verdict for f in every), {"fuel": SupplyNeed(None, None, None)})


GO = made()
STOP = made(Finding("arrestor-missing", "stop", "fuel line", blanks={"gas": "acetylene", "where": "regulator"}))
OVERDUE = Finding(
    "part-overdue",
    "caution",
    "fuel part 2 (hose)",
    blanks={"due": "2026-12-15", "days": "20", "since": "2025-12-15", "interval": "1 year", "asked": "by habit"},
    text="soon examined",
)


def row(card: Card = GO, facts: YardFacts = SIGNED, now: datetime = NOW) -> YardRow:
    return row_of(card, facts, now)


def test_a_good_card_signed_today_has_nothing_to_do() -> None:
    got = row(facts=YardFacts(gear=(GOOD,), sign=SIGN))
    assert (got.verdict, got.word, got.do, got.more) == ("go", "GO", "Nothing to do.", 0)
    assert got.detail == got.signed_text == "Signed today 06:50 by A. Reader."  # 05:50 UTC, an hour ahead


def test_a_good_card_that_nobody_signed_is_a_caution() -> None:
    got = row(facts=YardFacts())
    assert (got.verdict, got.do, got.detail) == ("caution", "Go round it, then sign.", "Not signed.")


@pytest.mark.parametrize(
    ("sign", "told"),
    [
        (replace(SIGN, valid_until=NOW), "Not signed. The last one ran out today 07:52."),
        (replace(SIGN, ended="hose-changed", ended_at=NOW - timedelta(days=1)), "Not signed. The last one ended yesterday 07:52: a hose was changed."),
        (replace(SIGN, ended="tip-changed", ended_at=NOW), "Not signed. The last one ended today 07:52: the nozzle was changed."),
        (replace(SIGN, ended="fell {over}", ended_at=NOW), "Not signed. The last one ended today 07:52: fell {over}."),
        (replace(SIGN, at=NOW + timedelta(minutes=1)), "Not signed."),
    ],
)  # fmt: skip
def test_a_sign_off_that_no_longer_holds_is_a_caution_and_says_why(sign: SignFact, told: str) -> None:
    got = row(facts=YardFacts(sign=sign))
    assert (got.verdict, got.signed, got.signed_text) == ("caution", False, told)


def test_what_the_records_hold_is_a_stop_whatever_the_card_and_the_signature_say() -> None:
    held = Finding("record-quarantined", "stop", "oxygen regulator", blanks={"mark": "R08", "reason": "creep"})
    got = row(GO.with_findings([held]))
    assert (got.verdict, got.do, got.detail) == ("stop", "Take R08 off: quarantined.", "Oxygen regulator: R08 is quarantined: creep.")


def test_a_caution_of_the_records_is_a_caution_of_the_row() -> None:
    got = row(GO.with_findings([SMALL]))
    assert (got.verdict, got.do) == ("caution", "Mend the defect, then close it.")


def test_that_the_last_sign_off_ended_is_told_once() -> None:
    ended = Finding("record-sign-off", "caution", blanks={"reason": "it was moved"})
    got = row(GO.with_findings([ended]), YardFacts(sign=replace(SIGN, ended="moved", ended_at=NOW)))
    assert (got.verdict, got.do, got.more) == ("caution", "Go round it, then sign.", 0)


def test_due_today_is_still_in_date_and_says_today() -> None:
    got = row(facts=YardFacts(gear=(replace(GOOD, until=ON),), sign=SIGN))
    assert (got.verdict, got.due.text, got.due.what) == ("go", "today", "oxygen regulator R08")


def test_the_worst_finding_speaks_first_and_the_others_are_counted() -> None:
    card = made(OVERDUE, Finding("arrestor-missing", "stop", "fuel line", blanks={"gas": "acetylene", "where": "regulator"}))
    got = row(card.with_findings([SMALL]), SIGNED)
    assert (got.verdict, got.more) == ("stop", 2)
    assert got.detail.startswith("Fuel line: ")
    assert row(made(OVERDUE)).do == "Examination due soon: 2026-12-15."


def test_an_incident_speaks_before_a_stop_of_the_card() -> None:
    got = row(STOP.with_findings([INCIDENT]), YardFacts(held=True))
    assert (got.do, got.detail) == ("Keep it shut. Clear the incident.", "It is held by an incident: backfire.")


def test_the_first_thing_due_is_of_the_card_or_of_the_gear_whichever_is_earlier() -> None:
    soon = replace(SIGNED, gear=(GOOD,))
    assert (row(made(OVERDUE), soon).due.text, row(made(OVERDUE), soon).due.what) == ("15 Dec", "fuel hose")
    sooner = replace(SIGNED, gear=(replace(GOOD, until=date(2026, 11, 27)),))
    assert (row(made(OVERDUE), sooner).due.text, row(made(OVERDUE), sooner).due.what) == ("Fri 27", "oxygen regulator R08")


@pytest.mark.parametrize(("region", "told"), [("uk", "1 Jun 2027"), ("eu", "1 Jun 2027"), ("us", "Jun 1, 2027"), ("ca", "Jun 1, 2027")])
def test_a_far_day_is_written_as_the_region_writes_it(region: str, told: str) -> None:
    assert row(made(region=region), replace(SIGNED, gear=(GOOD,))).due.text == told


def test_an_age_that_is_not_known_is_due_now_and_sorts_before_every_date() -> None:
    unknown_age = row(made(Finding("part-age-unknown", "stop", "fuel part 2 (hose)"))).due
    assert (unknown_age.text, unknown_age.day) == ("now", None)
    assert unknown_age.sort < row(facts=replace(SIGNED, gear=(replace(GOOD, until=date(1990, 1, 1)),))).due.sort


def test_nothing_dated_is_a_dash_and_sorts_last() -> None:
    assert row().due.text == "—"
    assert row().due.sort > row(facts=replace(SIGNED, gear=(GOOD,))).due.sort


def test_rows_sort_worst_first_then_by_what_is_due() -> None:
    held = row(GO.with_findings([INCIDENT]), YardFacts(held=True))
    caution, soon = row(facts=YardFacts()), row(facts=YardFacts(gear=(replace(GOOD, until=date(2026, 12, 1)),)))
    rows = [row(), caution, row(STOP), soon, held]
    assert sorted(rows, key=lambda each: each.sort) == [held, rows[2], soon, caution, rows[0]]


@pytest.mark.parametrize(
    ("region", "fuel", "job"),
    [("uk", "acetylene", "Cut 25\xa0mm · acetylene"), ("uk", "lpg", "Cut 25\xa0mm · LPG"), ("us", "lpg", "Cut 63/64\xa0in · LP gas")],
)
def test_the_job_is_in_the_regions_words_and_units(region: str, fuel: str, job: str) -> None:
    assert row(made(region=region, fuel=fuel)).job == job


def test_a_row_holds_until_midnight_or_until_its_sign_off_does_something() -> None:
    midnight = datetime(2026, 11, 26, tzinfo=ZONE)
    assert row(facts=YardFacts()).valid_until == midnight
    assert row().valid_until == SIGN.valid_until
    assert row(facts=YardFacts(sign=replace(SIGN, valid_until=midnight + timedelta(hours=2)))).valid_until == midnight
    assert row(facts=YardFacts(sign=replace(SIGN, ended="moved", ended_at=NOW))).valid_until == midnight


@pytest.mark.parametrize("facts", [YardFacts(), SIGNED, YardFacts(gear=(replace(GOOD, until=ON),), sign=SIGN)])
def test_a_row_does_not_change_before_it_says_so(facts: YardFacts) -> None:
    before = row(facts=facts)
    assert row(facts=facts, now=before.valid_until - timedelta(seconds=1)) == before


def test_a_row_changes_when_the_sign_off_runs_out() -> None:
    assert row(now=SIGN.valid_until).verdict == "caution"


def test_a_card_of_another_day_and_a_clock_without_a_zone_are_refused() -> None:
    with pytest.raises(ValueError, match="card of 2026-11-25"):
        row(now=NOW + timedelta(days=1))
    with pytest.raises(ValueError, match="07:52"):
        row(now=NOW.replace(tzinfo=None))
    with pytest.raises(ValueError, match="zone"):
        row_without_card("Slip 2", "uk", "acetylene", "x", YardFacts(), NOW.replace(tzinfo=None))


def test_a_station_whose_file_is_in_error_is_a_stop_even_when_signed() -> None:
    got = row_without_card("Slip 2", "uk", "lpg", "oxygen.regulator: gas is missing", SIGNED, NOW)
    assert (got.verdict, got.do, got.detail) == ("stop", "Mend the station's file.", "oxygen.regulator: gas is missing.")
    assert (got.job, got.gas) == ("LPG", ())
    held = row_without_card("Slip 2", "uk", "lpg", "gas is missing", YardFacts(held=True), NOW, [SMALL, INCIDENT])
    assert (held.do, held.more) == ("Keep it shut. Clear the incident.", 3)


# --- gas left ----------------------------------------------------------------------


def test_gas_left_is_the_cards_own_duration_rounded_down() -> None:
    oxygen, fuel = row().gas
    # factories: 6.7 m³ at 4.5 m³/h = 89.3 min; 4.8 m³ at 0.45 m³/h = 10.67 h; shares 7.0 of 10.1 and 4.95 of 6.83 m³
    assert (oxygen.text, fuel.text) == ("89\xa0min", "10\xa0h")
    assert oxygen.share == pytest.approx(7.0 / 10.1)
    assert fuel.share == pytest.approx(4.95 / 6.83)


def test_gas_that_is_not_known_has_no_bar_and_says_so() -> None:
    lost = factories.with_supply(factories.clean(), "fuel", contents=unknown("amount"), duration=unknown("minutes"))
    gas = row(replace(GO, figures=lost)).gas
    assert (gas[1].text, gas[1].share) == ("?", None)
    assert gas_told(gas) == "Gas left: oxygen 89\xa0min, acetylene not known."
    assert 'class="line fu"' not in gas_bars_svg(gas, "a")
    assert 'class="line ox"' in gas_bars_svg(gas, "a")


def test_a_supply_taken_as_full_is_an_open_bar_and_a_question() -> None:
    gas = row(replace(GO, figures=factories.with_supply(factories.clean(), "oxygen", by="full"))).gas
    assert gas[0].text == "89\xa0min?"
    assert 'class="line ox"' not in gas_bars_svg(gas, "a")
    assert "89\xa0min if it is full" in gas_told(gas)


def test_an_empty_supply_is_an_empty_bar_and_no_time() -> None:
    empty = factories.with_supply(factories.clean(), "oxygen", contents=factories.amount(0), duration=factories.minutes(0))
    assert (row(replace(GO, figures=empty)).gas[0].share, row(replace(GO, figures=empty)).gas[0].minutes) == (0.0, 0.0)


@cache
def piped() -> Card:
    text = ('[oxygen.supply]\nwater_volume = "50 L"\npressure = "140 bar"', '[oxygen.supply]\nkind = "pipeline"\npressure = "8 bar"')
    return _station_card(text)


def _station_card(change: tuple[str, str]) -> Card:
    from steadycone.card.make import make_card
    from steadycone.files.read import setup_from_text

    text = stations.station_text()
    assert change[0] in text
    return make_card(setup_from_text(text.replace(*change), "law.toml", lambda *_: stations.CHART.encode()), stations.ON)


def test_piped_gas_never_runs_out_and_has_no_bar() -> None:
    gas = row(piped()).gas
    assert (gas[0].text, gas[0].share, gas[0].minutes) == ("piped", None, None)
    assert gas_told(gas).startswith("Gas left: oxygen piped, ")


def test_the_bars_are_sound_svg_with_a_title_and_one_bar_a_line() -> None:
    got = row(example("gantry-three-hose"), SIGNED)
    root = ElementTree.fromstring(gas_bars_svg(got.gas, "r7"))
    title = root.find("{http://www.w3.org/2000/svg}title")
    assert title is not None
    assert root.get("aria-labelledby") == title.get("id") == "r7-t"
    assert len(got.gas) == 3
    assert not any("style" in element.attrib for element in root.iter())


@pytest.mark.parametrize("name", ["slip-2", "bay-4-us", "pontoon-lpg-au", "weld-bench-eu", "plate-shop-natural-gas-eu"])
def test_an_unsigned_example_is_as_bad_as_its_card_or_a_caution(name: str) -> None:
    card = example(name)
    got = row(card, YardFacts())
    assert got.verdict == ("stop" if card.verdict == "stop" else "caution")
    assert "{" not in " ".join([got.do, got.detail, got.job, got.due.text, got.signed_text])


def test_a_weld_without_a_thickness_has_no_blank_in_its_job() -> None:
    assert "  " not in row(changed("weld-bench-eu"), SIGNED).job
