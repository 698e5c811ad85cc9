"""Backup while in use, restore into an empty place, verify after."""

import os
import threading
from pathlib import Path

import pytest

from steadycone.errors import BadFile, InputError, StoreReadOnly, WrongKey
from steadycone.records import New, open_store, restore
from steadycone.records import events as e
from steadycone.records.backup import backup
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
    assert New.__struct_fields__ == ("body", "author", "happened_at", "id", "documents", "known_by")


# --- what a backup must fit -------------------------------------------------------------


def _foreign(yard: Yard, tmp_path: Path) -> Path:
    """The same log signed anew from its first event with another key, one author changed, as lines."""
    from tests.records.forging import signed_anew

    return signed_anew(yard, tmp_path / "foreign.jsonl")


def test_a_backup_signed_anew_is_refused_by_the_key_and_by_each_head(yard: Yard, tmp_path: Path) -> None:
    _full(yard)
    foreign, head = _foreign(yard, tmp_path), yard.site.head()
    assert all(found.sound for found in restore(foreign, tmp_path / "blind" / "yard.db"))  # nothing there could tell
    with pytest.raises(BadFile, match="another key"):
        restore(foreign, tmp_path / "a" / "yard.db", key=head.key)
    with pytest.raises(BadFile, match="another one than when"):
        restore(foreign, tmp_path / "b" / "yard.db", heads=[head])
    (tmp_path / "c").mkdir()
    (tmp_path / "c" / "yard.db.key").write_bytes(yard.store.address.key.read_bytes())
    (tmp_path / "c" / "yard.db.key").chmod(0o600)
    with pytest.raises(BadFile, match="another key"):
        restore(foreign, tmp_path / "c" / "yard.db")
    (tmp_path / "d").mkdir()
    (tmp_path / "d" / f"yard.db.{head.log[:16]}.head").write_text(head.text)
    with pytest.raises(BadFile, match="another one than when"):
        restore(foreign, tmp_path / "d" / "yard.db")
    for name in "abcd":
        assert not [path for path in (tmp_path / name).glob("yard.db*") if path.suffix not in (".key", ".head")]
    sound = yard.store.backup(tmp_path / "sound.db").path
    assert all(found.sound for found in restore(sound, tmp_path / "c" / "yard.db", heads=[head]))


def test_an_older_backup_is_restored_and_says_what_is_missing(yard: Yard, tmp_path: Path) -> None:
    _full(yard)
    old = yard.store.backup(tmp_path / "old.db").path
    yard.says(e.Noted(says="later"))
    found = {site.site: site for site in restore(old, tmp_path / "new.db", heads=[yard.site.head()])}
    assert [problem.cut for problem in found["tern-quay"].problems] == [True]
    assert (tmp_path / "new.db").exists()


@pytest.mark.parametrize(
    "line",
    [
        '{"format": "steadycone-log/1"}',
        '{"format": "steadycone-log/1", "head": {"size": 1e999}}',
        '{"format": "steadycone-log/1", "head": 1}',
        "[" * 100_000,
        '{"a":' * 100_000,
        "SITE",
        "SIZE",
        "TIME",
    ],
)
def test_a_line_that_can_not_be_is_told_and_leaves_nothing(yard: Yard, tmp_path: Path, line: str) -> None:
    _full(yard)
    text = yard.store.backup(tmp_path / "copy.jsonl").path.read_text()
    changed = {
        "SITE": text + text,
        "SIZE": text.replace('"head": {', '"head": {"size": 1e999, "x": {', 1),
        "TIME": text.replace('"at": "', '"at": "x', 1),
    }
    (tmp_path / "bad.jsonl").write_text(changed.get(line, text + line + "\n"))
    with pytest.raises(BadFile):
        restore(tmp_path / "bad.jsonl", tmp_path / "new" / "yard.db")
    assert list((tmp_path / "new").glob("yard.db*")) == []


def test_a_restore_that_was_killed_is_not_in_the_way_of_the_next(yard: Yard, tmp_path: Path) -> None:
    """Killed between the first line and the last, by a line that never comes."""
    import os
    import signal
    import subprocess
    import sys

    _full(yard)
    yard.store.backup(tmp_path / "copy.jsonl")
    (tmp_path / "here").mkdir()
    program = (
        "import time\n"
        "from steadycone.records import loading, restore\n"
        "loading._Loaded.take = lambda self, line, number: (print('taking', flush=True), time.sleep(60))\n"
        f"restore({str(tmp_path / 'copy.jsonl')!r}, {str(tmp_path / 'here' / 'yard.db')!r})\n"
    )
    running = subprocess.Popen([sys.executable, "-c", program], stdout=subprocess.PIPE)
    assert running.stdout is not None
    assert running.stdout.readline() == b"taking\n"
    os.kill(running.pid, signal.SIGKILL)
    running.wait()
    running.stdout.close()
    assert list((tmp_path / "here").glob("yard.db.part*"))
    assert all(found.sound for found in restore(tmp_path / "copy.jsonl", tmp_path / "here" / "yard.db"))
    assert [path.name for path in (tmp_path / "here").iterdir()] == ["yard.db"]


def test_a_document_that_unpacks_to_more_than_is_ever_kept_is_refused() -> None:
    import zlib

    from steadycone.records.documents import unpacked
    from steadycone.records.envelope import LARGEST

    assert unpacked(zlib.compress(b"0" * LARGEST)) == b"0" * LARGEST
    assert unpacked(zlib.compress(b"0" * (LARGEST + 1))) is None
    assert unpacked(zlib.compress(b"00000")[:-3]) is None


def test_nobody_else_may_read_store_key_heads_or_backups(yard: Yard, tmp_path: Path) -> None:
    yard.made_up()
    folder = tmp_path / "away"
    folder.mkdir()
    for name in ("copy.db", "lines.jsonl"):
        backup(yard.store, folder / name)
    restore(folder / "lines.jsonl", folder / "new" / "again.db")
    lying = [*Path(yard.store.address.path or "").parent.glob("*"), *folder.glob("**/*")]
    kept = {path: path.stat().st_mode & 0o077 for path in lying if path.is_file()}
    assert {path.suffix for path in kept} >= {".db", ".key", ".lock", ".head", ".jsonl", ".db-wal"}
    assert not any(kept.values()), kept
    assert (folder / "new").stat().st_mode & 0o077 == 0


def test_the_lock_may_be_taken_by_whoever_may_write_the_store(tmp_path: Path, clock: Clock) -> None:
    place = tmp_path / "shared.db"
    place.touch()
    place.chmod(0o660)
    before = os.umask(0)
    try:
        with open_store(place, clock=clock) as store:
            Yard(store, clock).made_up()
    finally:
        os.umask(before)
    assert place.with_name("shared.db.lock").stat().st_mode & 0o777 == 0o660
    assert place.stat().st_mode & 0o777 == 0o660  # whoever set it meant it
