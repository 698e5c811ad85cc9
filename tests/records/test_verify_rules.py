"""What verify says, rule by rule, on a short log: which event is named, which is spared, and what is told when nothing can be."""

import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from sqlalchemy import select

from steadycone.errors import BadFile
from steadycone.records import access, tables, verify
from steadycone.records import events as e
from steadycone.records.heads import SignedHead
from steadycone.records.keys import load_key
from steadycone.records.merkle import leaf_hash
from steadycone.records.times import told as moment_told
from steadycone.records.verify import Verified
from tests.records.conftest import Yard
from tests.records.forging import Line, leaves, signed_again

Tamper = Callable[..., None]


@pytest.fixture
def short_yard(yard: Yard) -> Yard:
    """Nine events; 4 to 6 were recorded together, so one signature covers them. What this machine saw is forgotten."""
    yard.gear("R-1")
    assert yard.site.size == 3
    yard.site.append(*(yard.new(e.Noted(says=f"walk-round {number}")) for number in (4, 5, 6)))
    for number in (7, 8, 9):
        yard.says(e.Noted(says=f"walk-round {number}"))
    yard.store.address.witness(yard.site.log).unlink()
    return yard


def told(yard: Yard, **more: object) -> list[str]:
    return [problem.says for problem in yard.site.verify(**more).problems]  # type: ignore[arg-type]


def plainly(yard: Yard, **more: object) -> Verified:
    """verify as it is, without what the site adds: no key, no memory of this machine."""
    with yard.store.engine.connect() as connection:
        return verify.verify(connection, yard.site.number, **more)  # type: ignore[arg-type]


def rows(yard: Yard, changed: list[Line]) -> list[str]:
    """SQL of a log of these leaves, hashed and signed again by the right key."""
    key = load_key(yard.store.address.key)
    assert key is not None
    return signed_again(yard, changed, key)[0]


def edited(yard: Yard, number: int) -> list[str]:
    """SQL: one event edited, every hash made to fit, and the signatures left as they were, since the key is not at hand."""
    with yard.store.engine.connect() as connection:
        found = connection.execute(select(tables.events.c.sequence, tables.events.c.signature).order_by(tables.events.c.sequence)).all()
        last = connection.execute(select(tables.sites.c.signature)).scalar_one()
    changed = [
        (leaf.replace("walk-round", "stroll").replace('"region":"uk"', '"region":"us"') if at == number else leaf, signs)
        for at, (leaf, signs) in enumerate(leaves(yard), 1)
    ]
    assert changed != leaves(yard)
    old = [
        f"UPDATE events SET signature = X'{bytes(signature).hex()}' WHERE sequence = {at}"
        for at, signature in found
        if signature is not None
    ]
    return [*rows(yard, changed), *old, f"UPDATE sites SET signature = X'{bytes(last).hex()}'"]


def at(yard: Yard, size: int) -> SignedHead:
    """The log's head when it had so many events, as somebody may have kept it."""
    with yard.store.engine.connect() as connection:
        asked = select(tables.events.c.signature, tables.events.c.recorded_at).where(tables.events.c.sequence == size)
        signature, moment = connection.execute(asked).one()
        root = access.tree(connection, yard.site.number).root(size)
    head = yard.site.head()
    return replace(head, size=size, root=root, at=moment_told(moment), signature=bytes(signature))


# --- which event is to blame ------------------------------------------------------------------


def test_events_recorded_together_share_one_signature_and_are_sound(short_yard: Yard) -> None:
    seen: list[tuple[int, int]] = []
    found = short_yard.site.verify(every_signature=True, progress=lambda done, size: seen.append((done, size)))
    assert (found.sound, found.size, found.head) == (True, 9, short_yard.site.head())
    assert seen[-1] == (9, 9)


def test_the_time_that_it_took_is_told(short_yard: Yard) -> None:
    begun = time.perf_counter()
    found = short_yard.site.verify()
    assert 0 < found.seconds <= time.perf_counter() - begun
    assert found.events_per_second == pytest.approx(9 / found.seconds)
    assert replace(found, seconds=0.0).events_per_second == 0.0


@pytest.mark.parametrize(
    ("number", "first", "says"),
    [
        (1, 1, "one of the events 1 to 2, recorded together, was"),
        (4, 4, "one of the events 4 to 6, recorded together, was"),
        (6, 4, "one of the events 4 to 6, recorded together, was"),
        (7, 7, "event 7 was"),
        (8, 8, "event 8 was"),
        (9, 9, "event 9 was"),
    ],
)
def test_the_first_signature_that_fails_names_what_it_alone_covers(
    short_yard: Yard, tampered: Tamper, number: int, first: int, says: str
) -> None:
    tampered(*edited(short_yard, number))
    problem = short_yard.site.verify().problems[0]
    assert problem.sequence == first
    assert problem.says == f"{says} edited, and its hashes with it: the signature given at that moment does not hold"


def test_an_edit_is_told_as_an_edit_and_a_gap_as_a_gap(short_yard: Yard, tampered: Tamper) -> None:
    tampered("UPDATE events SET leaf = replace(leaf, 'walk', 'talk') WHERE sequence = 7")
    assert told(short_yard) == ["event 7 was edited: it is not what was recorded"]
    tampered("DELETE FROM events WHERE sequence = 7")
    assert told(short_yard) == ["event 7 is missing: it was removed"]


def test_only_the_first_of_many_bad_signatures_is_told(short_yard: Yard, tampered: Tamper) -> None:
    tampered(f"UPDATE events SET signature = X'{'00' * 64}' WHERE sequence IN (7, 8)")
    assert told(short_yard) == []
    assert told(short_yard, every_signature=True) == ["the signature of event 7 does not hold"]


def test_signatures_are_not_gone_through_where_an_event_is_bad_already(short_yard: Yard, tampered: Tamper) -> None:
    tampered(
        f"UPDATE events SET signature = X'{'00' * 64}' WHERE sequence = 6",
        "UPDATE events SET leaf = replace(leaf, 'walk', 'talk') WHERE sequence = 9",
    )
    assert told(short_yard, every_signature=True) == ["event 9 was edited: it is not what was recorded"]


def test_the_first_of_many_signatures_that_were_taken_away_is_told(short_yard: Yard, tampered: Tamper) -> None:
    tampered("UPDATE events SET signature = NULL WHERE sequence IN (3, 7)")
    assert told(short_yard) == ["the signature given with event 3 was removed"]


def test_an_event_that_is_no_event_is_named(short_yard: Yard, tampered: Tamper) -> None:
    digest = leaf_hash(b"{}").hex()
    tampered(f"UPDATE events SET leaf = '{{}}', hash = X'{digest}' WHERE sequence = 8")
    assert told(short_yard) == ["event 8 can't be read"]


def test_an_event_in_anothers_place_says_which_it_is(short_yard: Yard, tampered: Tamper) -> None:
    tampered("UPDATE events SET (leaf, hash) = (SELECT leaf, hash FROM events WHERE sequence = 7) WHERE sequence = 8")
    assert told(short_yard) == ["event 8 was moved here: it calls itself 7"]


def test_an_event_of_another_site_is_named_as_that_sites(short_yard: Yard, tampered: Tamper) -> None:
    short_yard.store.open_site("dry dock", region="us", author="J. Marsh")
    tampered(
        "UPDATE events SET (leaf, hash) = (SELECT leaf, hash FROM events WHERE site_id = 2 AND sequence = 1) "
        "WHERE site_id = 1 AND sequence = 8"
    )
    assert told(short_yard) == ['event 8 was put in here: it is of the site "dry dock"']


def test_a_column_that_says_something_else_is_an_edit(short_yard: Yard, tampered: Tamper) -> None:
    tampered("UPDATE events SET author = 'N. Reyes' WHERE sequence = 8")
    assert told(short_yard) == ["event 8 was edited: what stands beside it is not what it says"]


def test_a_log_that_does_not_begin_with_its_opening_is_none(short_yard: Yard, tampered: Tamper) -> None:
    """Signed by the right key all the same: without the opening no key is named, so none is trusted."""
    tampered(*rows(short_yard, [(leaves(short_yard)[2][0].replace('"sequence":3', '"sequence":1'), True)]))
    assert told(short_yard)[0] == "event 1 does not open a log"
    assert not any("another key" in each for each in told(short_yard))


def test_a_log_with_nothing_left_is_cut_off_from_its_first_event(short_yard: Yard, tampered: Tamper) -> None:
    tampered("DELETE FROM events")
    assert told(short_yard) == ["events 1 to 9 are missing: the log was cut off"]


# --- what stands beside the events --------------------------------------------------------------

ROW = "the site's own row does not fit its events"


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ("size = 8", ROW),
        ("size = 10", "events 10 to 10 are missing: the log was cut off"),
        ("size = 12", "events 10 to 12 are missing: the log was cut off"),
        (f"root = X'{'00' * 32}'", ROW),
        ("frontier = X'00'", ROW),
        (f"frontier = X'{'00' * 64}'", ROW),
        ("log = 'another'", ROW),
        (f"public_key = '{'00' * 32}'", "the site's own head is not signed by the log's key"),
        (f"signature = X'{'00' * 64}'", "the site's own head is not signed by the log's key"),
    ],
)
def test_the_sites_row_must_fit_its_events(short_yard: Yard, tampered: Tamper, change: str, says: str) -> None:
    tampered(f"UPDATE sites SET {change}")
    found = plainly(short_yard)
    assert [problem.says for problem in found.problems] == [says]
    assert (found.sound, found.head) == (False, None)


def test_nothing_is_said_of_the_row_or_of_a_later_head_where_an_event_is_bad(short_yard: Yard, tampered: Tamper) -> None:
    """The bad event is the news. That the log seems short from there on follows from it."""
    head = short_yard.site.head()
    tampered("UPDATE sites SET size = 20", "UPDATE events SET leaf = replace(leaf, 'walk', 'talk') WHERE sequence = 5")
    found = plainly(short_yard, held=[head])
    assert [(problem.sequence, problem.says) for problem in found.problems] == [(5, "event 5 was edited: it is not what was recorded")]


def test_the_register_is_compared_only_once_the_events_hold(short_yard: Yard, tampered: Tamper) -> None:
    tampered("UPDATE items SET note = 'x'", "UPDATE events SET leaf = replace(leaf, 'walk', 'talk') WHERE sequence = 5")
    assert told(short_yard) == ["event 5 was edited: it is not what was recorded"]


def test_a_register_is_compared_here_where_nobody_else_did_it(short_yard: Yard, tampered: Tamper) -> None:
    assert plainly(short_yard).sound
    tampered("UPDATE items SET note = 'x'")
    found = plainly(short_yard)
    assert [problem.says for problem in found.problems] == [
        'the register does not say what the events give: item r-1: note "x", by the events nothing'
    ]
    assert found.notices[0].startswith("The events themselves hold. log rebuild makes the register from them again")
    assert plainly(short_yard, differs=lambda connection: []).sound


@pytest.mark.parametrize(("count", "more"), [(20, []), (21, ["the register differs from the events in 1 more places"])])
def test_twenty_differences_are_told_one_by_one(short_yard: Yard, count: int, more: list[str]) -> None:
    found = plainly(short_yard, differs=lambda connection: [f"item {number}" for number in range(count)])
    assert [problem.says for problem in found.problems] == [
        *(f"the register does not say what the events give: item {number}" for number in range(20)),
        *more,
    ]


def test_a_register_that_can_not_be_compared_is_no_sound_one(short_yard: Yard) -> None:
    def differs(connection: object) -> list[str]:
        raise BadFile("a row can't be read", where="items", try_="Rebuild.")

    found = plainly(short_yard, differs=differs)
    assert [problem.says for problem in found.problems] == ["the register can't be compared with the events: a row can't be read"]


def test_the_first_paper_that_is_not_what_it_was_is_told_by_its_event(short_yard: Yard, tampered: Tamper) -> None:
    for content in (b"one", b"two"):
        short_yard.site.append(short_yard.new(e.Noted(says="paper"), documents={"report": content}))
    short_yard.site.append(short_yard.new(e.Noted(says="the first again"), documents={"report": b"one"}))
    assert told(short_yard) == []
    with short_yard.store.engine.connect() as connection:
        hashes = dict(connection.execute(select(tables.documents.c.content, tables.documents.c.hash)).all())  # type: ignore[arg-type]
    assert len(hashes) == 2
    tampered("UPDATE documents SET content = X'00'")
    assert [(each.sequence, each.says) for each in short_yard.site.verify().problems] == [(10, "a document of event 10 was changed")]
    tampered("DELETE FROM documents")
    assert [(each.sequence, each.says) for each in short_yard.site.verify().problems] == [(10, "a document of event 10 is missing")]


# --- what was kept elsewhere ---------------------------------------------------------------------


def test_a_head_that_holds_narrows_down_what_was_forged_with_the_key(short_yard: Yard, tampered: Tamper) -> None:
    held = [at(short_yard, size) for size in (9, 7, 3)]
    assert told(short_yard, heads=held) == []
    changed = [(leaf.replace("walk-round 8", "stroll"), signs) for leaf, signs in leaves(short_yard)]
    tampered(*rows(short_yard, changed))
    short_yard.site.rebuild()
    assert told(short_yard, heads=held) == ["an event from 8 to 9 is another one than when that head was signed"]
    assert told(short_yard, heads=held[:1]) == ["an event from 1 to 9 is another one than when that head was signed"]
    assert told(short_yard, heads=held[1:]) == []


def test_of_many_heads_that_do_not_fit_the_first_is_told(short_yard: Yard, tampered: Tamper) -> None:
    heads = [replace(at(short_yard, size), root=b"\0" * 32) for size in (9, 7)]
    assert told(short_yard, heads=heads) == ["a head of 7 events that was given is not signed"]


def test_what_came_after_a_log_that_was_cut_is_told_as_missing_and_not_as_wrong(short_yard: Yard, tampered: Tamper) -> None:
    head = short_yard.site.head()
    tampered(*rows(short_yard, leaves(short_yard)[:7]))
    short_yard.site.rebuild()
    (problem,) = plainly(short_yard, held=[head]).problems
    assert (problem.sequence, problem.cut) == (8, True)
    assert problem.says == "events 8 to 9 are missing: a head of 9 events was seen"
    (problem,) = plainly(short_yard, codes=[head.code]).problems
    assert (problem.sequence, problem.cut) == (8, True)
    assert problem.says == f"the log has 7 events; the code {head.code} was given for 9"
    assert plainly(short_yard, held=[at(short_yard, 7)], codes=[at(short_yard, 7).code]).sound
    assert not plainly(short_yard, witness=head).sound


def test_what_names_an_event_comes_before_what_names_none(short_yard: Yard, tampered: Tamper) -> None:
    short_yard.site.append(short_yard.new(e.Noted(says="paper"), documents={"report": b"one"}))
    tampered("DELETE FROM documents")
    found = plainly(short_yard, held=[replace(short_yard.site.head(), root=b"\0" * 32)], key="00" * 32)
    assert [problem.sequence for problem in found.problems] == [10, None, None]


# --- what nobody could check ------------------------------------------------------------------------


def test_what_could_not_be_checked_is_said(short_yard: Yard) -> None:
    key, head = short_yard.site.head().key, short_yard.site.head()
    no_key, no_head = plainly(short_yard).notices
    assert no_key.startswith("No key was given")
    assert no_head.startswith("This machine has seen no earlier head")
    assert plainly(short_yard, key=key).notices == (no_head,)
    assert plainly(short_yard, witness=head).notices == (no_key,)
    assert plainly(short_yard, key=key, witness=head).notices == ()


def test_the_key_that_signs_now_is_the_one_to_trust(short_yard: Yard, tmp_path: Path) -> None:
    old = short_yard.site.head().key
    short_yard.site.change_key("M. Reyes", "yearly", short_yard.clock.now, tmp_path / "new.key")
    new = short_yard.site.head().key
    assert new != old
    assert plainly(short_yard, key=new, every_signature=True).sound
    assert "From event 10 on another key signs." in plainly(short_yard, key=new).notices
    assert [each.says for each in plainly(short_yard, key=old).problems] == [
        "the log is signed with another key than the one that is trusted here"
    ]


def test_a_large_log_is_read_page_by_page_and_told_of_now_and_then(short_yard: Yard, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(verify, "_PAGE", 4)
    monkeypatch.setattr(verify, "_TELL", 8)
    seen: list[int] = []
    assert plainly(short_yard, progress=lambda done, size: seen.append(done), every_signature=True).sound
    assert seen == [8, 9]
