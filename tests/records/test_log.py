"""The log: whatever is done to it behind its back is found, and the first event it touches is named."""

import json
import os
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
import rfc8785

from steadycone.errors import BadFile, InputError, Refused, WrongKey
from steadycone.records import events as e
from steadycone.records import open_store, parse_head, verify_proof
from steadycone.records.envelope import read_leaf
from steadycone.records.heads import SignedHead
from steadycone.records.merkle import Frontier, leaf_hash
from steadycone.records.witness import read_witness
from tests.records.conftest import Clock, Yard

Tamper = Callable[..., None]


@pytest.fixture(scope="session")
def long_log(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with three hundred events, one commit each: more than a tile. Made once, copied for each test."""
    folder = tmp_path_factory.mktemp("long")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_DATA_HOME", str(folder / "home"))
        with open_store(folder / "yard.db", clock=Clock()) as store:
            yard = Yard(store, Clock())
            yard.gear("R-1")
            for number in range(4, 301):
                yard.says(e.Noted(says=f"walk-round {number}", mark="R-1"))
    return folder


@pytest.fixture
def long_yard(long_log: Path, tmp_path: Path, clock: Clock) -> Iterator[Yard]:
    """A yard in a file of its own, with the long log."""
    shutil.copytree(long_log, tmp_path, dirs_exist_ok=True)
    clock.now += timedelta(seconds=1)
    with open_store(tmp_path / "yard.db", clock=clock) as store:
        yield Yard(store, clock, store.site())


def _first(yard: Yard) -> int | None:
    return yard.site.verify().problems[0].sequence


def test_an_untouched_log_is_sound(long_yard: Yard) -> None:
    found = long_yard.site.verify(every_signature=True)
    assert (found.sound, found.size, found.notices) == (True, long_yard.site.size, ())
    assert found.head == long_yard.site.head()


def test_the_leaf_is_canonical_json_and_reads_back(yard: Yard) -> None:
    yard.says(e.Noted(says='Grüße "quoted" \\ \n € 😀'), "Ø. Brandt")
    for leaf in [json.loads(line)["leaf"] for line in yard.site.lines() if "leaf" in line]:
        assert rfc8785.dumps(json.loads(leaf)).decode() == leaf
    assert read_leaf(leaf).author == "Ø. Brandt"


@pytest.mark.parametrize("number", [3, 150, 256, 257, 300])
def test_an_edited_event_is_named(long_yard: Yard, tampered: Tamper, number: int) -> None:
    tampered(f"UPDATE events SET leaf = replace(replace(leaf, 'oxygen', 'argon'), 'walk', 'talk') WHERE sequence = {number}")
    assert _first(long_yard) == number


@pytest.mark.parametrize("column", ["author", "kind", "happened_at", "recorded_at", "id"])
def test_an_edit_beside_an_event_is_named(long_yard: Yard, tampered: Tamper, column: str) -> None:
    tampered(f"UPDATE events SET {column} = {column} || 'x' WHERE sequence = 41")
    assert _first(long_yard) == 41


def test_a_removed_event_is_named(long_yard: Yard, tampered: Tamper) -> None:
    tampered("DELETE FROM events WHERE sequence = 77")
    assert _first(long_yard) == 77


def test_a_removed_event_with_the_rest_moved_up_is_named(long_yard: Yard, tampered: Tamper) -> None:
    tampered(
        "DELETE FROM events WHERE sequence = 77",
        "UPDATE events SET sequence = -sequence + 1 WHERE sequence > 77",
        "UPDATE events SET sequence = -sequence WHERE sequence < 0",
    )
    assert _first(long_yard) == 77


def test_two_events_in_each_others_place_are_named(long_yard: Yard, tampered: Tamper) -> None:
    tampered(
        "UPDATE events SET sequence = -1 WHERE sequence = 50",
        "UPDATE events SET sequence = 50 WHERE sequence = 60",
        "UPDATE events SET sequence = 60 WHERE sequence = -1",
    )
    assert _first(long_yard) == 50


def test_a_log_cut_off_is_found(long_yard: Yard, tampered: Tamper) -> None:
    tampered("DELETE FROM events WHERE sequence > 200")
    assert _first(long_yard) == 201


def _forge(yard: Yard, number: int, *, cut: int | None = None) -> list[str]:
    """SQL that changes an event (or cuts the log) and makes every hash fit again, as somebody with the file and this program could.

    Only the key is missing, so the signatures stay what they were.
    """
    frontier, found, head = Frontier(), [], yard.site.head()
    rows: list[str] = []
    size = cut if cut is not None else head.size
    for leaf in [json.loads(line)["leaf"] for line in yard.site.lines() if '"leaf"' in line][:size]:
        sequence = read_leaf(leaf).sequence
        if sequence == number and cut is None:
            leaf = leaf.replace("walk-round", "stroll")
        digest = leaf_hash(leaf.encode())
        found += list(frontier.add(digest))
        quoted = leaf.replace("'", "''")
        rows.append(f"UPDATE events SET leaf = '{quoted}', hash = X'{digest.hex()}' WHERE sequence = {sequence}")
    rows.append("DELETE FROM nodes")
    rows += [f"INSERT INTO nodes SELECT id, {level}, {at}, X'{hash_.hex()}' FROM sites" for level, at, hash_ in found]
    rows.append(f"UPDATE sites SET size = {size}, frontier = X'{frontier.to_bytes().hex()}', root = X'{frontier.root().hex()}'")
    if cut is not None:
        rows.append(f"DELETE FROM events WHERE sequence > {cut}")
        rows.append(
            f"UPDATE sites SET last_at = (SELECT recorded_at FROM events WHERE sequence = {cut}), signature = (SELECT signature FROM events WHERE sequence = {cut})"
        )
    return rows


@pytest.mark.parametrize("number", [4, 150, 256, 257, 300])
def test_an_edited_event_with_every_hash_made_to_fit_is_still_named(long_yard: Yard, tampered: Tamper, number: int) -> None:
    tampered(*_forge(long_yard, number))
    found = long_yard.site.verify()
    assert found.problems[0].sequence == number
    assert "signature" in found.problems[0].says


def test_a_log_cut_off_and_tidied_up_is_found_by_what_this_machine_saw(long_yard: Yard, tampered: Tamper) -> None:
    tampered(*_forge(long_yard, 0, cut=200))
    assert _first(long_yard) == 201


def test_without_this_machines_memory_a_head_or_a_code_from_paper_finds_it(long_yard: Yard, tampered: Tamper) -> None:
    head = long_yard.site.head()
    tampered(*_forge(long_yard, 0, cut=200))
    long_yard.store.address.witness(long_yard.site.log).unlink()
    assert not long_yard.site.verify().sound  # the register still tells of the events that are gone
    long_yard.site.rebuild()  # as somebody with the file and this program could
    alone = long_yard.site.verify()
    assert alone.sound
    assert "seen no earlier head" in alone.notices[0]
    assert long_yard.site.verify(heads=[parse_head(head.text)]).problems[0].sequence == 201
    assert long_yard.site.verify(codes=[head.code.lower().replace("-", " ")]).problems[0].sequence == 201


def test_an_event_put_in_at_the_end_has_no_signature(long_yard: Yard, tampered: Tamper) -> None:
    leaf = json.loads(list(long_yard.site.lines())[-1])["leaf"]
    size = long_yard.site.size
    leaf = leaf.replace(f'"sequence":{size}', f'"sequence":{size + 1}').replace(read_leaf(leaf).id, "00000000-forged")
    tampered(
        "INSERT INTO events SELECT site_id, sequence + 1, '00000000-forged', kind, recorded_at, happened_at, author, "
        f"'{leaf}', X'{leaf_hash(leaf.encode()).hex()}', NULL FROM events WHERE sequence = {size}"
    )
    assert _first(long_yard) == size + 1


def test_a_log_signed_anew_with_another_key_is_found_by_the_key_that_is_trusted(yard: Yard, tmp_path: Path) -> None:
    yard.gear("R-1")
    assert yard.site.verify(key="00" * 32).problems[0].says.startswith("the log is signed with another key")


def test_a_changed_document_is_named(yard: Yard, tampered: Tamper) -> None:
    yard.made_up()
    done = yard.site.append(yard.new(e.RoundDone(station="Slip 2", state="open", verdict="go"), documents={"report": b'{"a": 1}'}))[0]
    assert yard.site.document(done.event.documents["report"]) == b'{"a": 1}'
    tampered("UPDATE documents SET content = X'00'")
    assert yard.site.verify().problems[0].sequence == done.sequence
    tampered("DELETE FROM documents")
    assert "missing" in yard.site.verify().problems[0].says


def test_kept_hashes_that_were_changed_are_found(long_yard: Yard, tampered: Tamper) -> None:
    tampered("UPDATE nodes SET hash = X'00'")
    assert not long_yard.site.verify().sound


def test_what_is_derived_wrongly_is_told(yard: Yard, tampered: Tamper) -> None:
    yard.gear("R-1")
    tampered("UPDATE items SET due_day = 9999999")
    assert yard.site.stale() == ["item r-1: due day never, by the events 2027-11-01"]
    found = yard.site.verify()
    assert not found.sound
    assert found.problems[0].says == "the register does not say what the events give: item r-1: due day never, by the events 2027-11-01"
    assert "log rebuild" in found.notices[-1]
    yard.site.rebuild()
    assert yard.site.stale() == []
    assert yard.site.verify().sound


FORGED = {
    "quarantine": ("UPDATE items SET state = 'in service', reason = '' WHERE key = 'r-1'", "item r-1: state"),
    "incident": ("UPDATE stations SET incidents = '[]'", "station slip 2: incidents"),
    "two persons": ("""UPDATE sites SET policy = replace(policy, '"two_persons":false', '"two_persons":true')""", "the site's policy"),
    "a row gone": ("DELETE FROM items WHERE key = 'h-1'", "item h-1: it is missing"),
    "a row too many": (
        "INSERT INTO people (site_id, key, first, last, name, grants) VALUES (1, 'x', 1, 1, 'X', '[]')",
        "person x: no event",
    ),
    "history": ("DELETE FROM mentions WHERE about = 'item' AND key = 'h-1' AND sequence = 4", "item h-1: its history does not list"),
    "all history": ("DELETE FROM mentions WHERE key = 'h-1'", "item h-1: its history is missing"),
}


@pytest.mark.parametrize("what", FORGED)
def test_a_register_that_was_written_into_is_named_and_put_right_on_record(yard: Yard, tampered: Tamper, what: str) -> None:
    """One SQL statement, no key: the log itself stays whole."""
    yard.made_up()
    yard.says(e.Quarantined(mark="R-1", reason="creeps to 6.6 bar"))
    yard.says(e.Incident(station="Slip 2", event="flashback", gate=(e.GateCondition(id="cause-found", who="competent person"),)))
    assert yard.site.verify().sound
    statement, says = FORGED[what]
    tampered(statement)
    found = yard.site.verify()
    assert says in found.problems[0].says
    assert found.head is None
    receipt = yard.site.put_right("M. Reyes", "somebody wrote into the file", yard.clock.now)
    assert yard.site.verify().sound
    body = receipt.event.body
    assert isinstance(body, e.Rebuilt)
    assert says in body.differed[0]
    assert (body.places, body.why) == (1, "somebody wrote into the file")
    with pytest.raises(Refused, match="says what the events give"):
        yard.site.put_right("M. Reyes", "again", yard.clock.now)


def test_many_differences_are_told_short(yard: Yard, tampered: Tamper) -> None:
    for number in range(23):
        yard.gear(f"H-{number:02}", "hose")
    tampered("UPDATE items SET note = 'x'")
    found = yard.site.verify()
    assert len(found.problems) == 21
    assert found.problems[-1].says == "the register differs from the events in 3 more places"


def test_a_large_log_is_compared_in_another_process(yard: Yard, tampered: Tamper, monkeypatch: pytest.MonkeyPatch) -> None:
    from steadycone.records import beside, rebuild

    yard.gear("R-1")
    tampered("UPDATE items SET note = 'x'")
    monkeypatch.setattr(beside, "LARGE", 1)
    monkeypatch.setattr("os.cpu_count", lambda: 2)
    monkeypatch.setattr(rebuild, "stale", None)  # here nothing can be compared
    assert yard.site.verify().problems[0].says.endswith('item r-1: note "x", by the events nothing')


def test_a_log_cut_short_names_the_range_and_no_innocent(yard: Yard, tampered: Tamper) -> None:
    """Cut inside a commit, so that the last event left has no signature of its own."""
    yard.site.append(*(yard.new(e.Noted(says=f"walk-round {number}")) for number in range(6)))
    tampered("DELETE FROM events WHERE sequence > 5")
    found = yard.site.verify()
    assert found.problems[0].says == "events 6 to 8 are missing: the log was cut off"
    assert not any("put in" in problem.says for problem in found.problems)


def test_a_signature_that_was_removed_is_named(long_yard: Yard, tampered: Tamper) -> None:
    tampered("UPDATE events SET signature = NULL WHERE sequence < 300")
    assert [problem.says for problem in long_yard.site.verify().problems] == ["the signature given with event 2 was removed"]


def test_the_database_itself_refuses_to_change_the_log(any_yard: Yard) -> None:
    from sqlalchemy import text
    from sqlalchemy.exc import DBAPIError

    any_yard.gear("R-1")
    for statement in ("UPDATE events SET author = 'x'", "DELETE FROM events", "DELETE FROM nodes WHERE 1 = 1", "DELETE FROM documents"):
        with any_yard.store.engine.connect() as connection:
            if "nodes" in statement or "documents" in statement:
                connection.execute(text("INSERT INTO nodes VALUES (1, 8, 99, :hash)"), {"hash": b"x"})
                connection.execute(text("INSERT INTO documents VALUES ('h', :hash)"), {"hash": b"x"})
            with pytest.raises(DBAPIError, match="never changed"):
                connection.execute(text(statement))


# --- proofs -------------------------------------------------------------------------


def test_a_proof_holds_for_somebody_who_has_only_the_head(long_yard: Yard) -> None:
    head = parse_head(long_yard.site.head().text)
    for number in (1, 2, 128, 256, 257, 299, 300):
        if number <= head.size:
            proof = json.loads(json.dumps(long_yard.site.prove(number)))
            proven = verify_proof(proof, head)
            assert proven.holds, proven.why
            assert proven.event is not None
            assert proven.event.sequence == number
            assert verify_proof(proof, head.code).holds


def test_a_proof_for_an_older_head_holds_too(long_yard: Yard) -> None:
    old = long_yard.site.head()
    for _ in range(5):
        long_yard.says(e.Noted(says="later"))
    assert not verify_proof(long_yard.site.prove(7), old).holds
    assert verify_proof(long_yard.site.prove(7, at=old.size), old).holds
    assert verify_proof(long_yard.site.prove(7, at=old.size), old.code).holds
    with pytest.raises(InputError, match="does not cover"):
        long_yard.site.prove(old.size + 1, at=old.size)


def test_a_proof_that_was_changed_does_not_hold(long_yard: Yard) -> None:
    head, proof = long_yard.site.head(), long_yard.site.prove(100)
    changes = (
        {"leaf": proof["leaf"].replace("walk", "talk")},
        {"index": 100},
        {"path": proof["path"][:-1]},
        {"path": [*proof["path"][:-1], "00" * 32]},
        {"root": "00" * 32},
    )
    for change in changes:
        assert not verify_proof(proof | change, head).holds, change
    other = SignedHead(head.log, head.site, head.size, b"\0" * 32, head.at, head.key, head.signature)
    assert not verify_proof(proof, other).holds
    assert not verify_proof(proof, head, key="00" * 32).holds
    with pytest.raises(BadFile):
        verify_proof({"format": "x"}, head)
    with pytest.raises(InputError):
        verify_proof(proof, "K7QM")


# --- keys ----------------------------------------------------------------------------


def test_the_key_is_a_file_of_its_owner_and_nowhere_in_the_store(yard: Yard) -> None:
    key = yard.store.address.key
    assert key.stat().st_mode & 0o777 == 0o600
    lines = key.read_text().splitlines()
    yard.gear("R-1")
    yard.store.close()
    stored = b"".join(path.read_bytes() for path in key.parent.iterdir() if path != key and path.is_file())
    assert lines[1].encode() not in stored


def test_without_its_key_a_log_is_read_and_not_written(yard: Yard, tmp_path: Path) -> None:
    yard.gear("R-1")
    key = yard.store.address.key
    kept = key.read_bytes()
    yard.store.close()
    key.unlink()
    with open_store(tmp_path / "yard.db", clock=yard.clock) as store:
        site = store.site()
        assert site.item("R-1").mark == "R-1"
        with pytest.raises(WrongKey, match="not there"):
            site.append(yard.new(e.Noted(says="x")))
        with pytest.raises(WrongKey, match="not there"):
            store.open_site("slip yard", region="uk", author="M. Reyes")
    key.write_bytes(kept)
    os.chmod(key, 0o644)
    with open_store(tmp_path / "yard.db") as store, pytest.raises(WrongKey, match="others may read"):
        store.site().append(yard.new(e.Noted(says="x")))


def test_a_lost_key_is_followed_by_another_and_the_log_says_so(yard: Yard, tmp_path: Path) -> None:
    yard.gear("R-1")
    yard.store.close()
    yard.store.address.key.unlink()
    with open_store(tmp_path / "yard.db", clock=yard.clock) as store:
        site = store.site()
        receipt = site.change_key("M. Reyes", "disk of the office machine died", yard.clock.now)
        site.append(yard.new(e.Noted(says="after")))
        found = site.verify(every_signature=True)
        assert found.sound
        assert found.notices == (f"From event {receipt.sequence} on another key signs.",)


def test_another_machines_key_is_refused(yard: Yard, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from steadycone.records.keys import make_key

    make_key(tmp_path / "other.key")
    monkeypatch.setenv("STEADYCONE_KEY", str(tmp_path / "other.key"))
    with open_store(tmp_path / "yard.db", clock=yard.clock) as store, pytest.raises(WrongKey, match="not the one that signs"):
        store.site().append(yard.new(e.Noted(says="x")))


def test_a_torn_witness_is_no_witness(yard: Yard) -> None:
    yard.gear("R-1")
    path = yard.store.address.witness(yard.site.log)
    assert path.exists()
    path.write_text(path.read_text()[:100])
    assert yard.site.verify().sound


def test_a_tidy_cut_is_still_told_after_the_next_commits(yard: Yard, tmp_path: Path, tampered: Tamper) -> None:
    """Cut back to an earlier commit by somebody with the file alone: the copy of before is put in its place, and the yard goes on."""
    for number in range(4):
        yard.gear(f"R-{number}")
    yard.store.close()
    place, clock = tmp_path / "yard.db", yard.clock
    before = place.read_bytes()
    with open_store(place, clock=clock) as store:
        last = store.site().append(yard.new(e.Noted(says="what somebody wants gone")))[0].head
    place.write_bytes(before)
    for more in range(3):  # each a start of its own: below the size that was seen, at it, and above
        with open_store(place, clock=clock) as store:
            site = store.site()
            site.append(yard.new(e.Noted(says=f"on {more}")))
            found = site.verify()
            assert not found.sound
            says = found.problems[0].says
            assert "another one than when that head was signed" in says if site.size >= last.size else "are missing" in says
            assert read_witness(store.address.witness(site.log)) == last
    with open_store(place, clock=clock) as store:  # somebody looked into it and put the proof aside
        store.address.witness(store.site().log).rename(tmp_path / "what-was-there.head")
        store.site().append(yard.new(e.Noted(says="the copy of 09:00 was put back; event 6 is lost")))
        assert store.site().verify().sound


def test_a_memory_of_another_start_goes_on_where_the_log_does(yard: Yard, tmp_path: Path) -> None:
    yard.gear("R-1")
    other = open_store(tmp_path / "yard.db", clock=yard.clock)
    with other:
        for number in range(3):  # two at work in turn, neither loses the other's head
            theirs = other.site().append(yard.new(e.Noted(says=f"theirs {number}")))[0].head
            assert read_witness(yard.store.address.witness(yard.site.log)) == theirs
            ours = yard.site.append(yard.new(e.Noted(says=f"ours {number}")))[0].head
            assert read_witness(yard.store.address.witness(yard.site.log)) == ours
    assert yard.site.verify().sound


def test_the_store_says_what_sqlite_file_it_is(yard: Yard, tmp_path: Path) -> None:
    connection = sqlite3.connect(tmp_path / "yard.db")
    assert connection.execute("PRAGMA application_id").fetchone() == (0x53434E45,)
    assert connection.execute("PRAGMA journal_mode").fetchone() == ("wal",)
    connection.close()


# --- forged with the key ---------------------------------------------------------------


@pytest.mark.parametrize("number", [4, 100, 299])
def test_a_log_forged_with_the_key_is_found_by_every_head_that_was_kept(long_yard: Yard, tampered: Tamper, number: int) -> None:
    """One event edited, everything hashed and signed again by the right key: only what was kept elsewhere can tell."""
    from steadycone.records.keys import load_key
    from tests.records.forging import leaves, signed_again

    key, size = load_key(long_yard.store.address.key), long_yard.site.size
    assert key is not None
    kept = long_yard.site.head()
    later = [long_yard.site.append(long_yard.new(e.Noted(says="later")))[0].head for _ in range(3)]
    witness = long_yard.store.address.witness(long_yard.site.log)
    memory = witness.read_text()
    changed = [
        (leaf.replace("walk-round", "stroll") if at == number - 1 else leaf, signs) for at, (leaf, signs) in enumerate(leaves(long_yard))
    ]
    rows, forged = signed_again(long_yard, changed, key)
    tampered(*rows)
    assert f"an event from 1 to {size + 3} is another one" in long_yard.site.verify().problems[0].says  # this machine's memory
    witness.unlink()
    alone = long_yard.site.verify(every_signature=True)
    assert (alone.sound, alone.head) == (True, forged)
    for head in (kept, *later):
        found = long_yard.site.verify(heads=[head])
        assert "is another one than when that head was signed" in found.problems[0].says
        found = long_yard.site.verify(codes=[head.code])
        assert "are not those the code" in found.problems[0].says
    assert long_yard.site.verify(heads=[forged], codes=[forged.code]).sound
    witness.write_text(memory)
    assert not long_yard.site.verify().sound


def test_a_head_of_another_log_or_without_its_signature_is_told(long_yard: Yard) -> None:
    head = long_yard.site.head()
    other = long_yard.store.open_site("dry dock", region="us", author="J. Marsh").head()
    assert "is of another log" in long_yard.site.verify(heads=[other]).problems[0].says
    unsigned = replace(head, root=b"\0" * 32)
    assert "that was given is not signed" in long_yard.site.verify(heads=[unsigned]).problems[0].says
    assert long_yard.site.verify(heads=[head]).sound


def test_the_sites_own_head_must_be_signed(long_yard: Yard, tampered: Tamper) -> None:
    """The row alone: every signature beside the events still holds."""
    tampered(f"UPDATE sites SET signature = X'{'00' * 64}'")
    assert long_yard.site.verify().problems[0].says == "the site's own head is not signed by the log's key"


def test_every_signature_is_looked_at_only_where_it_is_asked_for(long_yard: Yard, tampered: Tamper) -> None:
    tampered(f"UPDATE events SET signature = X'{'00' * 64}' WHERE sequence = 77")
    assert long_yard.site.verify().sound
    assert long_yard.site.verify(every_signature=True).problems[0].says == "the signature of event 77 does not hold"
