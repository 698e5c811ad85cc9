"""Making a store, bringing an older one up to date, and refusing a newer one."""

from typing import TYPE_CHECKING

from sqlalchemy import Connection, inspect, select

from steadycone.errors import StoreBroken, StoreMissing, StoreTooNew
from steadycone.records.engine import APPLICATION
from steadycone.records.tables import DERIVED, REVISION, meta

if TYPE_CHECKING:
    from alembic.config import Config

_VERSION = "SELECT version_num FROM alembic_version"
LOCK = 0x5343_4E45  # one migration at a time, whoever starts it


def revision(connection: Connection, shown: str) -> str | None:
    """The store's revision; None where there is nothing yet.

    Raises  StoreBroken: tables of something else are there.
    """
    names = set(inspect(connection).get_table_names())
    if "alembic_version" in names and "meta" in names:
        found = connection.exec_driver_sql(_VERSION).scalar()
        return str(found) if found else None
    if names:
        raise StoreBroken("this is a database of something else", where=shown, try_="Name another place for the records.")
    return None


def check(connection: Connection, shown: str) -> bool:
    """Whether the store is of this version. False: it must be made or brought up to date first.

    Raises  StoreTooNew: nothing in it was touched. StoreBroken.
    """
    found = revision(connection, shown)
    if found is None or found < REVISION:
        return False
    if found > REVISION or _derived(connection) > DERIVED:
        raise StoreTooNew(
            f"it was made by a newer program (schema {found}, this one knows {REVISION})",
            where=shown,
            try_="Update steadycone on this machine. The store was left untouched.",
        )
    return _derived(connection) == DERIVED


def _derived(connection: Connection) -> int:
    return int(connection.execute(select(meta.c.value).where(meta.c.name == "derived")).scalar_one())


def upgrade(connection: Connection, shown: str, target: str = "head") -> None:
    """Run the migrations that are missing, inside the connection's transaction: all of them or none.

    Raises  StoreTooNew, StoreBroken.
    """
    if connection.dialect.name == "postgresql":
        connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({LOCK})")
    if check(connection, shown):  # another process was first
        return
    from alembic import command

    if connection.dialect.name == "sqlite":
        connection.exec_driver_sql(f"PRAGMA application_id = {APPLICATION}")
    command.upgrade(config(connection), target)


def config(connection: Connection) -> "Config":
    """Alembic's settings, over one connection."""
    from alembic.config import Config

    found = Config()
    found.set_main_option("script_location", "steadycone.records:migrations")
    found.set_main_option("path_separator", "os")
    found.attributes["connection"] = connection
    return found


def derived_is_new(connection: Connection) -> bool:
    """Whether what is true now was derived by these rules already."""
    return _derived(connection) == DERIVED


def mark_derived(connection: Connection) -> None:
    connection.execute(meta.update().where(meta.c.name == "derived").values(value=str(DERIVED)))


def require(connection: Connection, shown: str) -> None:
    """For reading only: the store must be there, and of this version.

    Raises  StoreMissing, StoreTooNew, StoreBroken.
    """
    if not check(connection, shown):
        old = revision(connection, shown)
        raise StoreMissing(
            "there are no records" if old is None else f"it is of an older version ({old}) and may not be written",
            where=shown,
            try_="Open it once with the right to write.",
        )
