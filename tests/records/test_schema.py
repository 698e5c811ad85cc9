"""The schema on both engines: every earlier version comes up to date, a newer one is refused, and the docs show what is there."""

import sqlite3
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import inspect, text

from steadycone.errors import StoreBroken, StoreMissing, StoreTooNew
from steadycone.records import events as e
from steadycone.records import open_store, schema, tables
from steadycone.records.address import read_address
from steadycone.records.engine import make_engine, writing
from steadycone.records.envelope import document_hash
from tests.records.conftest import Clock, Yard

EARLIER = ("0001", "0002", "0003", "0004", "0005")


def _revisions() -> list[str]:
    from alembic.config import Config
    from alembic.script import ScriptDirectory

    config = Config()
    config.set_main_option("script_location", "steadycone.records:migrations")
    config.set_main_option("path_separator", "os")
    return [found.revision for found in ScriptDirectory.from_config(config).walk_revisions()]


def test_the_newest_migration_is_the_version_the_program_writes() -> None:
    assert _revisions() == [tables.REVISION, *reversed(EARLIER)]


def test_migrations_make_exactly_the_tables_of_the_program(address: str) -> None:
    from alembic.autogenerate import compare_metadata
    from alembic.migration import MigrationContext

    with open_store(address) as store, store.engine.connect() as connection:
        assert compare_metadata(MigrationContext.configure(connection, opts={"compare_type": True}), tables.metadata) == []
        assert set(inspect(connection).get_table_names()) == {*tables.metadata.tables, "alembic_version"}


@pytest.mark.parametrize("earlier", EARLIER)
def test_a_store_of_an_earlier_version_comes_up_to_date_with_its_events(address: str, tmp_path: Path, clock: Clock, earlier: str) -> None:
    with open_store(tmp_path / "new.db", clock=clock) as store:
        yard = Yard(store, clock)
        yard.made_up()
        yard.sign()
        log, stations, items = _log(store), yard.site.stations(), yard.site.items()
        key = store.address.key.read_bytes()
    engine = make_engine(read_address(address))
    with engine.connect() as plain, writing(plain).begin():
        _at_revision(plain, earlier, log)
    engine.dispose()
    place = read_address(address)
    if place.key.parent != tmp_path:
        place.key.parent.mkdir(parents=True, exist_ok=True)
    place.key.write_bytes(key)
    place.key.chmod(0o600)
    with open_store(address, clock=clock) as store:
        site = store.site()
        assert (site.stations(), site.items()) == (stations, items)
        assert site.verify().sound
        assert site.stale() == []
        site.append(Yard(store, clock).new(e.Noted(says="and on")))


def test_a_store_of_the_version_before_keeps_its_papers_and_its_state(address: str, tmp_path: Path, clock: Clock) -> None:
    # Made as the program of 0003 left it: its log, its documents, and what was true then in its own columns.
    with open_store(tmp_path / "new.db", clock=clock) as store:
        yard = Yard(store, clock)
        yard.made_up()
        done = e.RoundDone(station="Slip 2", state="signed", verdict="go")
        round_id = yard.site.append(yard.new(done, documents={"chart": b"as it was"}))[0].id
        yard.sign(round_id=round_id)
        log, stations = _log(store, "documents", "stations", "mentions"), yard.site.stations()
        key = store.address.key.read_bytes()
    new = ("round_papers", "file", "text", "papers", "filed_at", "filed_by", "retired", "defects")
    log["stations"] = [{name: value for name, value in row.items() if name not in new} for row in log["stations"]]
    engine = make_engine(read_address(address))
    with engine.connect() as plain, writing(plain).begin():
        _at_revision(plain, "0003", log)
        plain.execute(text("UPDATE meta SET value = '1' WHERE name = 'derived'"))
    engine.dispose()
    place = read_address(address)
    place.key.parent.mkdir(parents=True, exist_ok=True)
    place.key.write_bytes(key)
    place.key.chmod(0o600)
    with open_store(address, clock=clock) as store:
        site = store.site()
        assert site.stations() == stations
        assert site.station("Slip 2").round_papers == {"chart": document_hash(b"as it was")}
        assert site.document(document_hash(b"as it was")) == b"as it was"
        assert site.sign_off("Slip 2", clock.now).holds
        assert (site.papers(), site.drafts.open_ones(), store.accounts.count()) == ([], [], 0)
        assert site.verify().sound
        assert site.stale() == []


def _log(store: Any, *more: str) -> dict[str, list[dict[str, Any]]]:
    with store.reading() as connection:
        return {
            name: [dict(row) for row in connection.execute(text(f"SELECT * FROM {name}")).mappings()]
            for name in ("sites", "events", "nodes", *more)
        }


def _at_revision(connection: Any, revision: str, log: dict[str, list[dict[str, Any]]]) -> None:
    """A store as the program of that revision would have left it."""
    schema.upgrade(connection, "test", revision)
    for name, values in log.items():
        for row in values:
            names = ", ".join(f'"{column}"' for column in row)
            connection.execute(text(f"INSERT INTO {name} ({names}) VALUES ({', '.join(':' + column for column in row)})"), row)


def test_migrations_go_down_again(address: str) -> None:
    from alembic import command

    with open_store(address) as store, store.engine.connect() as plain, writing(plain).begin():
        command.downgrade(schema.config(plain), "base")
        assert set(inspect(plain).get_table_names()) == {"alembic_version"}


@pytest.mark.parametrize(
    "change", ["UPDATE alembic_version SET version_num = '9999'", "UPDATE meta SET value = '99' WHERE name = 'derived'"]
)
@pytest.mark.parametrize("read_only", [False, True])
def test_a_store_of_a_newer_version_is_refused_and_left_alone(address: str, change: str, read_only: bool) -> None:
    with open_store(address) as store, store.engine.begin() as connection:
        connection.execute(text(change))
    before = Path(address).read_bytes() if "://" not in address else b""
    with pytest.raises(StoreTooNew, match="newer program"):
        open_store(address, read_only=read_only)
    assert before == (Path(address).read_bytes() if before else b"")


def test_a_database_of_something_else_is_refused_and_left_alone(address: str) -> None:
    engine = make_engine(read_address(address))
    with engine.begin() as connection:
        connection.execute(text("CREATE TABLE recipes (id INTEGER)"))
    engine.dispose()
    with pytest.raises(StoreBroken, match="something else"):
        open_store(address)


def test_a_file_that_is_no_database_is_refused_and_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "notes.db"
    path.write_text("gear list\n" * 200)
    with pytest.raises(StoreBroken):
        open_store(path)
    assert path.read_text() == "gear list\n" * 200


def test_an_older_store_is_not_upgraded_by_reading_it(tmp_path: Path) -> None:
    engine = make_engine(read_address(tmp_path / "old.db"))
    with engine.connect() as plain, writing(plain).begin():
        schema.upgrade(plain, "test", "0001")
    engine.dispose()
    with pytest.raises(StoreMissing, match="older version"):
        open_store(tmp_path / "old.db", read_only=True)
    assert sqlite3.connect(tmp_path / "old.db").execute("SELECT version_num FROM alembic_version").fetchone() == ("0001",)


def test_opening_a_current_store_loads_no_migrations(tmp_path: Path) -> None:
    import subprocess
    import sys

    open_store(tmp_path / "yard.db").close()
    code = f"import sys; from steadycone.records import open_store; open_store({str(tmp_path / 'yard.db')!r}).close(); print('alembic' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout == "False\n"


def test_the_card_and_the_pure_rules_load_no_database() -> None:
    import subprocess
    import sys

    code = (
        "import sys; import steadycone.records, steadycone.card.make; from steadycone.records import New, events, rules, fold, proof, merkle; "
        "print([name for name in ('sqlalchemy', 'alembic', 'psycopg', 'cryptography') if name in sys.modules])"
    )
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout == "[]\n"


def test_the_diagram_in_the_docs_is_drawn_from_the_tables() -> None:
    from tools.records_schema import PAGE, with_diagram

    page = PAGE.read_text(encoding="utf-8")
    assert with_diagram(page) == page, "run `make diagram`"
