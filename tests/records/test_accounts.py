"""Accounts, sessions and the first code: beside the log, on either engine, and worth nothing to whoever reads the database."""

import threading
from datetime import timedelta
from pathlib import Path

import pytest
from sqlalchemy import text

from steadycone.errors import InputError, Refused, StoreFull, UnknownName
from steadycone.records import open_store, restore
from tests.records.conftest import Clock, Yard

HASH = "$argon2id$v=19$m=65536,t=3,p=4$c2FsdA$aGFzaA"
OTHER = HASH.replace("aGFzaA", "b3RoZXI")


def _everything(yard: Yard) -> str:
    """Every row of every table, as text."""
    with yard.store.reading() as connection:
        names = [f"SELECT * FROM {name}" for name in ("accounts", "sessions", "attempts", "settings")]
        return "\n".join(str(row) for asked in names for row in connection.execute(text(asked)))


def test_an_account_is_found_by_its_persons_name_whatever_its_letter_case(any_yard: Yard) -> None:
    accounts, now = any_yard.store.accounts, any_yard.clock.now
    made = accounts.add(" J.  Okafor ", HASH, now)
    assert made.person == "J. Okafor"
    assert accounts.get("j. OKAFOR") == made
    assert [accounts.get(name) for name in ("nobody", "", "J. Okafor\0", "\ud800")] == [None] * 4
    with pytest.raises(InputError, match="there is an account"):
        accounts.add("J. OKAFOR", HASH, now)
    accounts.add("A. Lindqvist", HASH, now)
    assert [account.person for account in accounts.all()] == ["A. Lindqvist", "J. Okafor"]
    assert accounts.count() == 2
    with pytest.raises(InputError, match="no hash"):
        accounts.add("M. Reyes", "secret password", now)


def test_of_two_who_make_the_same_account_at_once_one_is_told(any_yard: Yard) -> None:
    outcomes: list[str] = []
    start = threading.Barrier(6)

    def add() -> None:
        start.wait()
        try:
            any_yard.store.accounts.add("J. Okafor", HASH, any_yard.clock.now)
            outcomes.append("made")
        except InputError:
            outcomes.append("told")

    threads = [threading.Thread(target=add) for _ in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(outcomes) == ["made", *["told"] * 5]


def test_a_session_lasts_its_hours_and_ends_when_idle(any_yard: Yard) -> None:
    accounts, now = any_yard.store.accounts, any_yard.clock.now
    accounts.add("J. Okafor", HASH, now)
    token = accounts.begin("j. okafor", now, hours=3)
    found = accounts.read(token, now)
    assert found is not None
    assert (found.person, found.began_at, found.ends_at) == ("J. Okafor", now, now + timedelta(hours=3))
    assert len(token) == 43  # 32 bytes, 6 bits a letter
    assert len(found.secret) == 43
    assert accounts.read(("x" if token[0] != "x" else "y") + token[1:], now) is None
    assert accounts.read("", now) is None
    assert accounts.read(token, now + timedelta(minutes=31), idle=timedelta(minutes=30)) is None
    assert accounts.read(token, now + timedelta(minutes=29), idle=timedelta(minutes=30)) is not None
    assert accounts.read(token, now + timedelta(minutes=58), idle=timedelta(minutes=30)) is not None  # seen in between
    assert accounts.read(token, now + timedelta(hours=3), idle=timedelta(days=1)) is None


def test_being_seen_is_written_once_a_minute_at_most(yard: Yard) -> None:
    accounts, now = yard.store.accounts, yard.clock.now
    accounts.add("J. Okafor", HASH, now)
    token = accounts.begin("J. Okafor", now)
    accounts.read(token, now + timedelta(seconds=59))
    found = accounts.read(token, now + timedelta(seconds=60))
    assert found is not None
    assert found.seen_at == now
    again = accounts.read(token, now + timedelta(seconds=61))
    assert again is not None
    assert again.seen_at == now + timedelta(seconds=60)


def test_a_full_disk_keeps_nobody_from_reading(yard: Yard, monkeypatch: pytest.MonkeyPatch) -> None:
    accounts, now = yard.store.accounts, yard.clock.now
    accounts.add("J. Okafor", HASH, now)
    token = accounts.begin("J. Okafor", now)

    def full() -> None:
        raise StoreFull("no room left")

    monkeypatch.setattr(yard.store, "check_writable", full)
    assert accounts.read(token, now + timedelta(minutes=5)) is not None
    with pytest.raises(StoreFull):
        accounts.begin("J. Okafor", now)


def test_a_new_token_takes_the_old_ones_place_when_it_has_arrived(any_yard: Yard) -> None:
    accounts, now = any_yard.store.accounts, any_yard.clock.now
    accounts.add("J. Okafor", HASH, now)
    old = accounts.begin("J. Okafor", now)
    before = accounts.read(old, now)
    assert before is not None
    later = now + timedelta(hours=1)
    new = accounts.rotate(old, later)
    found = accounts.read(new, later)
    assert found is not None
    assert (found.ends_at, found.secret, found.token_at) == (before.ends_at, before.secret, later)
    assert accounts.read(old, later + timedelta(seconds=30)) is not None  # a request that was on its way
    assert accounts.read(old, later + timedelta(minutes=20)) is not None  # the answer with the new one was lost
    accounts.read(new, later + timedelta(minutes=21))
    assert accounts.read(old, later + timedelta(minutes=21)) is None
    assert accounts.read(new, later + timedelta(minutes=21)) is not None
    with pytest.raises(UnknownName, match="over"):
        accounts.rotate(old, later + timedelta(minutes=22))
    with pytest.raises(UnknownName, match="over"):
        accounts.rotate(new, now + timedelta(hours=13))


def test_a_token_whose_successor_was_lost_can_be_changed_again(yard: Yard) -> None:
    accounts, now = yard.store.accounts, yard.clock.now
    accounts.add("J. Okafor", HASH, now)
    old = accounts.begin("J. Okafor", now)
    lost = accounts.rotate(old, now + timedelta(hours=1))
    new = accounts.rotate(old, now + timedelta(hours=2))
    assert accounts.read(new, now + timedelta(hours=2)) is not None
    assert accounts.read(lost, now + timedelta(hours=2)) is None
    accounts.end(old)
    assert accounts.read(new, now + timedelta(hours=2)) is None


def test_another_password_and_a_disabled_account_end_its_sessions(any_yard: Yard) -> None:
    accounts, now = any_yard.store.accounts, any_yard.clock.now
    for person in ("J. Okafor", "A. Lindqvist"):
        accounts.add(person, HASH, now)
    one, two, other = (accounts.begin(person, now) for person in ("J. Okafor", "J. Okafor", "A. Lindqvist"))
    later = now + timedelta(minutes=5)
    accounts.rehash("J. Okafor", OTHER)
    assert accounts.read(one, now) is not None
    accounts.set_password("J. OKAFOR", OTHER, later, keep=two)
    account = accounts.get("J. Okafor")
    assert account is not None
    assert (account.password, account.created_at, account.changed_at) == (OTHER, now, later)
    assert [accounts.read(token, now) is not None for token in (one, two, other)] == [False, True, True]
    accounts.disable("J. Okafor")
    assert [accounts.read(token, now) is not None for token in (one, two, other)] == [False, False, True]
    with pytest.raises(Refused, match="disabled"):
        accounts.begin("J. Okafor", now)
    accounts.enable("J. Okafor")
    assert accounts.read(two, now) is None
    assert accounts.read(accounts.begin("J. Okafor", now), now) is not None
    accounts.end_all("A. Lindqvist")
    assert accounts.read(other, now) is None
    for change in (accounts.disable, accounts.enable, lambda person: accounts.set_password(person, HASH, now)):
        with pytest.raises(UnknownName):
            change("nobody")
    with pytest.raises(UnknownName):
        accounts.begin("nobody", now)


def test_failed_attempts_are_counted_cleared_and_forgotten(any_yard: Yard) -> None:
    accounts, now = any_yard.store.accounts, any_yard.clock.now
    accounts.add("J. Okafor", HASH, now)
    token = accounts.begin("J. Okafor", now, hours=2)
    for minute in range(5):
        accounts.failed("192.0.2.7", now + timedelta(minutes=minute))
    accounts.failed("J. Okafor" * 50, now)
    assert accounts.recent("192.0.2.7", now + timedelta(minutes=3)) == 2
    assert accounts.recent("192.0.2.7", now) == 5
    assert accounts.recent("J. Okafor" * 50, now) == 1
    assert accounts.recent("J. Okafor", now) == 0
    accounts.clear("J. Okafor" * 50)
    accounts.sweep(now + timedelta(hours=1))
    assert accounts.read(token, now + timedelta(hours=1)) is not None
    accounts.sweep(now + timedelta(days=1, minutes=2))
    assert accounts.recent("192.0.2.7", now) == 3
    assert "192.0.2.7" not in _everything(any_yard)
    with any_yard.store.reading() as connection:
        assert connection.execute(text("SELECT count(*) FROM sessions")).scalar() == 0


def test_the_first_code_works_once_within_a_day_and_only_while_there_is_no_account(any_yard: Yard) -> None:
    accounts, now = any_yard.store.accounts, any_yard.clock.now
    assert not accounts.use_first_code("", now)
    old = accounts.make_first_code(now)
    code = accounts.make_first_code(now)
    assert len(code.replace("-", "")) == 16
    assert not accounts.use_first_code(old, now)
    assert not accounts.use_first_code(code[:-1], now)
    assert not accounts.use_first_code(code, now + timedelta(hours=24))
    typed = code.lower().replace("-", " ").replace("0", "o").replace("1", "l")
    assert accounts.use_first_code(typed, now + timedelta(hours=23))
    assert not accounts.use_first_code(code, now)
    code = accounts.make_first_code(now)
    accounts.add("J. Okafor", HASH, now)
    assert not accounts.use_first_code(code, now)
    with pytest.raises(Refused, match="already"):
        accounts.make_first_code(now)


def test_of_many_who_use_the_first_code_at_once_one_may_go_on(any_yard: Yard) -> None:
    code = any_yard.store.accounts.make_first_code(any_yard.clock.now)
    outcomes: list[bool] = []
    start = threading.Barrier(6)

    def use() -> None:
        start.wait()
        outcomes.append(any_yard.store.accounts.use_first_code(code, any_yard.clock.now))

    threads = [threading.Thread(target=use) for _ in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(outcomes) == [*[False] * 5, True]


def test_what_is_kept_opens_nothing(yard: Yard) -> None:
    accounts, now = yard.store.accounts, yard.clock.now
    code = accounts.make_first_code(now)
    assert code not in _everything(yard)
    assert code.replace("-", "") not in _everything(yard)
    accounts.add("J. Okafor", HASH, now)
    token = accounts.begin("J. Okafor", now)
    new = accounts.rotate(token, now)
    assert token not in _everything(yard)
    assert new not in _everything(yard)


def test_a_copy_of_the_file_holds_the_accounts_and_the_lines_do_not(yard: Yard, tmp_path: Path, clock: Clock) -> None:
    yard.store.accounts.add("J. Okafor", HASH, clock.now)
    token = yard.store.accounts.begin("J. Okafor", clock.now)
    copy, lines = yard.store.backup(tmp_path / "copy.db"), yard.store.backup(tmp_path / "copy.jsonl")
    assert copy.sound
    with open_store(copy.path, read_only=True, clock=clock) as store:
        assert [account.person for account in store.accounts.all()] == ["J. Okafor"]
        assert store.accounts.read(token, clock.now) is not None
    assert "Okafor" not in lines.path.read_text()
    assert "argon2" not in lines.path.read_text()
    for number, made in enumerate((copy, lines)):
        assert all(found.sound for found in restore(made.path, tmp_path / f"restored-{number}.db"))
        with open_store(tmp_path / f"restored-{number}.db") as store:
            assert store.accounts.count() == 0


def test_accounts_leave_the_log_as_it_is(any_yard: Yard) -> None:
    before = any_yard.site.head()
    any_yard.store.accounts.add("J. Okafor", HASH, any_yard.clock.now)
    any_yard.store.accounts.begin("J. Okafor", any_yard.clock.now)
    assert any_yard.site.head() == before
    assert any_yard.site.rebuild() == before.size
    assert any_yard.store.accounts.count() == 1
    assert any_yard.site.verify().sound
