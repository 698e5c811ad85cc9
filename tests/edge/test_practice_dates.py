"""Gear by both clocks, region by region: the last day of each, the day after, and what is not known."""

from dataclasses import replace
from datetime import date

import pytest
from tests import factories as bench

from steadycone.assembly.figures import Figures
from steadycone.data.reader import sources, toml
from steadycone.files.policy import REGIONS, policy_from_text, region_policy
from steadycone.practice import dates
from steadycone.practice.finding import Finding, worst
from steadycone.render.words import Words
from steadycone.station.policy import Policy
from steadycone.units import GivenDate, Interval

ON = date(2026, 11, 25)
HEAD = 'format = "steadycone-policy/1"\n'
KINDS = tuple(dates.DATED)


def judged(kind: str, region: str, made: str | None, tested: str | None, policy: Policy | None = None, on: date = ON) -> list[Finding]:
    given = [GivenDate.parse(text) if text else None for text in (made, tested)]
    return list(dates.judge_one("part", kind, given[0], given[1], policy or region_policy(region), on))


def verdict(kind: str, region: str, made: str | None, tested: str | None, policy: Policy | None = None, on: date = ON) -> str:
    return worst(finding.verdict for finding in judged(kind, region, made, tested, policy, on))


LATE_EXAMINATION = {
    "uk": {"regulator": "stop", "arrestor": "stop", "check valve": "caution", "hose": "caution"},
    "eu": {"regulator": "caution", "arrestor": "stop", "check valve": "caution", "hose": "caution"},
    "us": {"regulator": "caution", "arrestor": "caution", "check valve": "caution", "hose": "caution"},
    "ca": {"regulator": "caution", "arrestor": "caution", "check valve": "caution", "hose": "caution"},
    "au": {"regulator": "caution", "arrestor": "stop", "check valve": "caution", "hose": "caution"},
    "nz": {"regulator": "caution", "arrestor": "stop", "check valve": "caution", "hose": "caution"},
}
OVER_AGE = {
    "uk": {"regulator": "stop", "arrestor": "stop", "check valve": "caution", "hose": "stop"},
    "eu": {"regulator": "caution", "arrestor": "caution", "check valve": "caution", "hose": "stop"},
    "us": {"regulator": "caution", "arrestor": "caution", "check valve": "go", "hose": "caution"},
    "ca": {"regulator": "caution", "arrestor": "caution", "check valve": "go", "hose": "caution"},
    "au": {"regulator": "stop", "arrestor": "caution", "check valve": "caution", "hose": "stop"},
    "nz": {"regulator": "stop", "arrestor": "caution", "check valve": "caution", "hose": "stop"},
}
NO_DATE = {
    "uk": {"regulator": "stop", "arrestor": "stop", "check valve": "caution", "hose": "stop"},
    "eu": {"regulator": "stop", "arrestor": "stop", "check valve": "caution", "hose": "stop"},
    "us": {"regulator": "caution", "arrestor": "caution", "hose": "caution"},
    "ca": {"regulator": "caution", "arrestor": "caution", "hose": "caution"},
    "au": {"regulator": "stop", "arrestor": "stop", "check valve": "caution", "hose": "stop"},
    "nz": {"regulator": "stop", "arrestor": "stop", "check valve": "caution", "hose": "stop"},
}


@pytest.mark.parametrize("region", REGIONS)
@pytest.mark.parametrize("kind", KINDS)
def test_an_examination_holds_to_its_last_day_and_not_a_day_longer(kind: str, region: str) -> None:
    assert verdict(kind, region, "2025-06", "2025-11-25") != "stop"
    assert verdict(kind, region, "2025-06", "2025-11-24") == LATE_EXAMINATION[region][kind]
    assert verdict(kind, region, "2025-06", "2026-03-04") == "go"


@pytest.mark.parametrize("region", REGIONS)
@pytest.mark.parametrize("kind", KINDS)
def test_a_life_ends_though_it_was_tested_yesterday(kind: str, region: str) -> None:
    assert verdict(kind, region, "2021-11-25", "2026-11-24") != "stop"
    assert verdict(kind, region, "2021-11-24", "2026-11-24") == OVER_AGE[region][kind]
    assert verdict(kind, region, "2022-06", "2026-11-24") == "go"


@pytest.mark.parametrize("region", REGIONS)
@pytest.mark.parametrize("kind", KINDS)
def test_no_date_at_all(kind: str, region: str) -> None:
    found = judged(kind, region, None, None)
    expected = NO_DATE[region].get(kind)
    if expected is None:
        assert found == [], "no habit of this region dates such a thing"
    else:
        assert [(finding.code, finding.verdict) for finding in found] == [("part-age-unknown", expected)]


@pytest.mark.parametrize("kind", ["regulator", "arrestor"])
def test_what_was_never_tested_counts_its_examination_from_make(kind: str) -> None:
    assert verdict(kind, "uk", "2025-12-25", None) == "caution", "due in thirty days"
    assert verdict(kind, "uk", "2025-12-26", None) == "go"
    assert verdict(kind, "uk", "2025-11-25", None) == "caution"
    assert verdict(kind, "uk", "2025-11-24", None) == "stop"


def test_a_year_long_past_stands_though_the_other_clock_is_in_order() -> None:
    (finding,) = judged("arrestor", "uk", "2012-03", "2026-06")
    assert (finding.code, finding.verdict, finding.text) == ("part-overdue", "stop", "late life")
    (finding,) = judged("regulator", "uk", "2022-03", "2022-03")
    assert (finding.verdict, finding.text) == ("stop", "late examined")


def test_where_both_clocks_ran_out_the_card_speaks_of_the_life_which_no_test_mends() -> None:
    (finding,) = judged("regulator", "uk", "2015-01", "2016-01")
    assert finding.text == "late life"


def test_a_tested_thing_of_unknown_make_says_so_and_is_no_stop() -> None:
    examined, life = judged("regulator", "uk", None, "2026-03-04")
    assert (examined.code, examined.verdict) == ("part-overdue", "go")
    assert (life.code, life.verdict, life.text) == ("part-age-unknown", "caution", "no make")
    assert "2026-03-04" in Words.of("uk").says(life)
    assert verdict("regulator", "uk", None, "2025-03-04") == "stop", "its examination is long past"


def test_a_hose_that_dates_no_examination_is_looked_over_in_every_round_instead() -> None:
    assert [finding.verdict for finding in judged("hose", "uk", "2024-05", None)] == ["go"]


def test_a_date_that_lies_ahead_is_no_date_whichever_it_is() -> None:
    for made, tested in (("2027-01", None), ("2027-01", "2026-03"), ("2025-01", "2027-01-01")):
        for region in REGIONS:
            (finding,) = judged("arrestor", region, made, tested)
            assert (finding.code, finding.verdict, finding.text) == ("part-age-unknown", "stop", "future")
    assert verdict("arrestor", "uk", "2025-01", "2026-11-25") == "go", "tested today"


def test_other_kinds_of_part_are_asked_for_no_date() -> None:
    assert judged("coupling", "uk", None, None) == []
    assert judged("pipe", "uk", "1990-01", None) == []


# --- the site's own ---


@pytest.mark.parametrize(
    ("text", "made", "tested", "expected"),
    [
        ('intervals = { regulator = "5 years" }', "2020-01", "2026-03", "stop"),
        ('intervals = { regulator = { life = "5 years" } }', "2020-01", "2026-03", "stop"),
        ('intervals = { regulator = { life = "5 years", caution = ["life"] } }', "2020-01", "2026-03", "caution"),
        ('intervals = { regulator = { life = "8 years" } }', "2020-01", "2026-03", "go"),
        ('intervals = { regulator = { examined = "1 year" } }', "2024-01", None, "stop"),
        ('intervals = { unknown_age = "overdue" }', None, None, "stop"),
        ('intervals = { regulator = { unknown_age = "overdue" } }', None, None, "stop"),
        ('intervals = { hose = "5 years" }', None, None, "caution"),
    ],
)
def test_in_the_us_a_site_makes_a_rule_of_a_habit(text: str, made: str | None, tested: str | None, expected: str) -> None:
    assert verdict("regulator", "us", made, tested, policy_from_text(HEAD + text + "\n", "us")) == expected


def test_the_short_form_of_old_policy_files_reads_as_before() -> None:
    text = 'intervals = { regulator = "4 years", arrestor = "6 months", hose = "3 years", unknown_age = "overdue" }\n'
    intervals = policy_from_text(HEAD + text, "uk").intervals
    assert intervals.regulator.life == Interval.parse("4 years")
    assert intervals.arrestor.examined == Interval.parse("6 months")
    assert intervals.hose.life == Interval.parse("3 years")
    assert intervals.arrestor.life == Interval.parse("5 years"), "the region's"


# --- what is asked, and by whom ---


@pytest.mark.parametrize("region", REGIONS)
def test_every_clock_of_every_region_has_a_source_and_says_who_asks(region: str) -> None:
    policy, known = region_policy(region), sources()
    for kind in KINDS:
        for clock in dates.clocks(kind, GivenDate.parse("2024-01"), GivenDate.parse("2026-01"), policy):
            assert clock.source in known
            assert dates.asked_by(clock.source)
            if clock.late == "stop":
                assert policy.intervals.unknown_age == "overdue", "where nothing stops for age, nothing stops for want of a date"
    assert set(toml("dates.toml")["asked_by"]) <= set(known)


@pytest.mark.parametrize("region", ["us", "ca"])
def test_no_text_of_a_region_without_a_rule_speaks_of_quarantine(region: str) -> None:
    words = Words.of(region)
    for kind in KINDS:
        for made, tested in ((None, None), ("2012-01", None), ("2012-01", "2014-01"), (None, "2014-01")):
            for finding in judged(kind, region, made, tested):
                assert finding.verdict != "stop"
                assert "uarantine" not in words.do(finding) + words.says(finding) + words.remedy(finding)


@pytest.mark.parametrize(
    ("since", "interval", "day"),
    [
        (date(2024, 2, 29), "1 year", date(2025, 2, 28)),
        (date(2024, 8, 31), "6 months", date(2025, 2, 28)),
        (date(2024, 12, 1), "1 month", date(2025, 1, 1)),
        (date(2024, 1, 15), "0.5 months", date(2024, 1, 30)),
    ],
)
def test_intervals_follow_the_calendar(since: date, interval: str, day: date) -> None:
    assert dates.due(since, Interval.parse(interval)) == day


# --- on a station ---


def on_station(figures: Figures, subject: str) -> str:
    return worst(finding.verdict for finding in dates.judge(figures) if finding.subject == subject)


def test_every_line_is_judged_regulator_and_parts() -> None:
    figures = bench.clean()
    assert {finding.subject for finding in dates.judge(figures)} >= {"oxygen regulator", "fuel regulator", "fuel part 1 (arrestor)"}
    assert on_station(replace(figures, on=date(2027, 3, 5)), "fuel part 1 (arrestor)") == "stop"
    assert on_station(bench.with_part(figures, "fuel", 2, made=None), "fuel part 2 (hose)") == "stop"
