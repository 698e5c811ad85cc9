"""What a sign-off is worth, and what ends it."""

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from tests.edge.render_samples import card, told
from tests.edge.round_samples import gone, keyed, plan

from steadycone.errors import InputError, UnknownName
from steadycone.procedures.rounds import Event, still_holds
from steadycone.procedures.rounds.sign import ENDS
from steadycone.render.round_json import round_dict

UNTIL = datetime(2026, 11, 25, 16, 30, tzinfo=UTC)
NOON = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)


def report(**changes: str) -> dict[str, Any]:
    return round_dict(gone(plan(), **keyed(**changes)), card("slip-2"), told(card("slip-2")))


def minutes(count: float) -> timedelta:
    return timedelta(minutes=count)


def test_it_holds_until_the_shift_ends_and_not_a_moment_longer() -> None:
    assert still_holds(report(), UNTIL - minutes(1), ()).holds
    ended = still_holds(report(), UNTIL, ())
    assert not ended.holds
    assert (ended.ended_by, ended.at) == ("shift-ended", UNTIL)


@pytest.mark.parametrize("kind", ENDS)
def test_whatever_opens_or_moves_it_ends_it(kind: str) -> None:
    ended = still_holds(report(), NOON, [Event(kind, NOON - minutes(5))])
    assert (ended.holds, ended.ended_by, ended.at) == (False, kind, NOON - minutes(5))


def test_a_break_may_last_as_long_as_the_policy_says() -> None:
    short = Event("break", NOON - minutes(60), NOON - minutes(30))
    assert still_holds(report(), NOON, [short]).holds
    long = Event("break", NOON - minutes(60), NOON - minutes(29))
    ended = still_holds(report(), NOON, [long])
    assert (ended.holds, ended.at) == (False, NOON - minutes(30))


def test_a_break_that_lasts_counts_up_to_now() -> None:
    assert still_holds(report(), NOON, [Event("break", NOON - minutes(30))]).holds
    assert not still_holds(report(), NOON, [Event("break", NOON - minutes(31))]).holds


def test_the_first_thing_that_ended_it_is_named() -> None:
    events = [Event("moved", NOON - minutes(5)), Event("tip-changed", NOON - minutes(50))]
    assert still_holds(report(), NOON, events).ended_by == "tip-changed"


def test_what_was_before_the_signature_or_is_yet_to_come_ends_nothing() -> None:
    events = [Event("moved", datetime(2026, 11, 25, 7, 0, tzinfo=UTC)), Event("moved", NOON + minutes(5))]
    assert still_holds(report(), NOON, events).holds


def test_it_does_not_hold_before_it_was_given() -> None:
    assert still_holds(report(), datetime(2026, 11, 25, 7, 0, tzinfo=UTC), ()).ended_by == "not signed yet"


def test_an_unsigned_report_never_holds() -> None:
    assert still_holds(report(leak_end_low__oxygen="3.9 bar"), NOON, ()).ended_by == "not signed"
    assert not still_holds({}, NOON, ()).holds


def test_an_unknown_event_is_refused_and_so_is_a_time_without_zone() -> None:
    with pytest.raises(UnknownName):
        still_holds(report(), NOON, [Event("moved a bit", NOON)])
    with pytest.raises(InputError):
        still_holds(report(), datetime(2026, 11, 25, 12, 0), ())


def test_the_report_says_when_it_ends() -> None:
    sign = report()["sign_off"]
    assert sign["valid_until"] == UNTIL.isoformat()
    assert sign["longest_break"]["value"] == 30.0
    assert {"joint-broken", "cylinder-changed", "hose-changed", "tip-changed", "moved", "shift-ended", "break"} <= set(sign["ends_with"])
    assert "a break lasts over 30 min" in sign["says"]


def test_not_lit_it_says_to_purge_first() -> None:
    sign = report(light_now="later")["sign_off"]
    assert [purge["seconds"] for purge in sign["purge_first"]] == [6, 25]
