"""Backup while in use, restore into an empty place, verify after."""

import threading
from pathlib import Path

import pytest

from steadycone.errors import BadFile, InputError, StoreReadOnly, WrongKey
from steadycone.records import New, open_store, restore
from steadycone.records import events as e
from tests.records.conftest import Clock, Yard


def _full(yard: Yard) -> None:
    yard.made_up()
    yard.sign()
    yard.site.append(yard.new(e.RoundDone(station="Slip 2", state="open", verdict="go"), documents={"report": b"{}" * 500}))
    yard.store.open_site("dry dock", region="us", author="J. Marsh").append(yard.new(e.GearAdded(mark="X-1", item="hose")))


@pytest.mark.parametrize("name", ["copy.db", "copy.jsonl"])
def test_a_backup_taken_while_others_write_is_whole(any_yard: Yard, tmp_path: Path, name: str) -> None:
    _full(any_yard)
    stop = threading.Event()

    def write() -> None:
        while not stop.is_set():
            any_yard.says(e.Noted(says="going on"))

    threads = [threading.Thread(target=write) for _ in range(3)]
    for thread in threads:
        thread.start()
    try:
        made = any_yard.store.backup(tmp_path / name)
    finally:
        stop.set()
        for thread in threads:
            thread.join()
    assert made.sound
    assert {found.site for found in made.sites} == {"tern-quay", "dry dock"}
    verified = restore(made.path, tmp_path / "restored.db")
    assert all(found.sound for found in verified)
    with open_store(tmp_path / "restored.db", read_only=True) as store:
        site = store.site("tern-quay")
        assert site.station("Slip 2").makeup == any_yard.site.station("Slip 2").makeup
        assert site.stale() == []
        assert site.prove(5)["leaf"] == any_yard.site.prove(5)["leaf"]


def test_a_yard_moves_from_a_file_to_a_server_and_back(yard: Yard, tmp_path: Path, request: pytest.FixtureRequest, clock: Clock) -> None:
    _full(yard)
    address = request.getfixturevalue("server").database()
    assert all(found.sound for found in restore(yard.store.backup(tmp_path / "one.db").path, address))
    with open_store(address, clock=clock) as store:
        assert store.site("tern-quay").head() == yard.site.head()
        assert store.site("tern-quay").items() == yard.site.items()
        back = store.backup(tmp_path / "two.jsonl")
    assert all(found.sound for found in restore(back.path, tmp_path / "back.db"))
    with open_store(tmp_path / "back.db") as store:
        assert store.site("tern-quay").head() == yard.site.head()


def test_a_restored_log_goes_on_with_its_own_key_only(yard: Yard, tmp_path: Path) -> None:
    _full(yard)
    restore(yard.store.backup(tmp_path / "copy.db").path, tmp_path / "there" / "yard.db")
    new = yard.new(e.Noted(says="on"))
    with open_store(tmp_path / "there" / "yard.db", clock=yard.clock) as store, pytest.raises(WrongKey):
        store.site("tern-quay").append(new)
    key = tmp_path / "there" / "yard.db.key"
    key.write_bytes(yard.store.address.key.read_bytes())
    key.chmod(0o600)
    with open_store(tmp_path / "there" / "yard.db", clock=yard.clock) as store:
        assert store.site("tern-quay").append(new)[0].sequence == yard.site.size + 1


def test_an_older_backup_put_in_place_shows_on_the_machine_that_saw_more(yard: Yard, tmp_path: Path) -> None:
    _full(yard)
    old = yard.store.backup(tmp_path / "old.db").path
    yard.says(e.DefectFound(station="Slip 2", says="wheel off", severity="stop"))
    size = yard.site.size
    yard.store.close()
    for path in (tmp_path / "yard.db", tmp_path / "yard.db-wal", tmp_path / "yard.db-shm"):
        path.unlink(missing_ok=True)
    (tmp_path / "yard.db").write_bytes(old.read_bytes())
    with open_store(tmp_path / "yard.db") as store:
        assert store.site("tern-quay").verify().problems[0].sequence == size


def test_nothing_is_written_over(yard: Yard, tmp_path: Path) -> None:
    _full(yard)
    made = yard.store.backup(tmp_path / "copy.db")
    with pytest.raises(InputError, match="exists"):
        yard.store.backup(made.path)
    with pytest.raises(InputError, match="already"):
        restore(made.path, tmp_path / "yard.db")


@pytest.mark.parametrize("harm", ["cut", "edited", "reordered", "empty", "binary", "other"])
def test_a_backup_that_is_not_whole_leaves_nothing_behind(yard: Yard, tmp_path: Path, harm: str) -> None:
    _full(yard)
    path = yard.store.backup(tmp_path / "copy.jsonl").path
    lines = path.read_text().splitlines(keepends=True)
    last = next(number for number, line in reversed(list(enumerate(lines))) if "oxygen part 1" in line)
    broken = {
        "cut": "".join(lines[:-1]),
        "edited": "".join(lines).replace("oxygen part 1", "oxygen part 2"),
        "reordered": "".join([*lines[: last - 1], lines[last], lines[last - 1], *lines[last + 1 :]]),
        "empty": "",
        "other": '{"format": "something"}\n',
    }
    path.write_bytes(b"\xff\xfe\x00" if harm == "binary" else broken[harm].encode())
    with pytest.raises(BadFile):
        restore(path, tmp_path / "new" / "yard.db")
    assert list((tmp_path / "new").glob("yard.db*")) == []


def test_a_backup_that_can_not_be_written_says_so_and_leaves_nothing(yard: Yard, tmp_path: Path) -> None:
    with pytest.raises(StoreReadOnly):
        yard.store.backup(tmp_path / "no such folder" / "copy.db")
    with pytest.raises(StoreReadOnly):
        yard.store.backup(tmp_path / "no such folder" / "copy.jsonl")


def test_new_is_plain_data() -> None:
    assert New.__struct_fields__ == ("body", "author", "happened_at", "id", "documents")
