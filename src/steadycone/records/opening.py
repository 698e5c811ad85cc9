"""Bringing a store into the state that this program writes, and opening a site in it."""

import os
from datetime import datetime
from typing import TYPE_CHECKING, Any

from sqlalchemy import Connection, Engine, insert, select

from steadycone.errors import InputError, StoreMissing, WrongKey
from steadycone.records import access, keys, rebuild, schema, tables
from steadycone.records.address import Address
from steadycone.records.commit import Batch, Request
from steadycone.records.engine import writing
from steadycone.records.envelope import New
from steadycone.records.events import PolicyChanged, SiteOpened
from steadycone.records.merkle import EMPTY
from steadycone.records.names import checked
from steadycone.records.policy import SitePolicy, template
from steadycone.records.turn import Turn

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey


def prepare(engine: Engine, address: Address, turn: Turn, *, create: bool, read_only: bool) -> None:
    """Check the version; make the tables, or bring them up to date, where that is allowed.

    Raises  StoreMissing, StoreTooNew, StoreBroken.
    """
    with engine.connect() as connection:
        if read_only:
            schema.require(connection, address.shown)
            return
        if schema.check(connection, address.shown):
            return
        if not create and schema.revision(connection, address.shown) is None:
            raise StoreMissing("there are no records", where=address.shown, try_="Check the address, or STEADYCONE_STORE.")
    with turn.taken(), engine.connect() as plain:
        connection = writing(plain)
        with connection.begin():
            schema.upgrade(connection, address.shown)
            if not schema.derived_is_new(connection):
                for (site,) in connection.execute(select(tables.sites.c.id)).all():
                    rebuild.rebuild(connection, site)
                schema.mark_derived(connection)


def has_sites(connection: Connection) -> bool:
    return connection.execute(select(tables.sites.c.id).limit(1)).first() is not None


def no_key(address: Address) -> WrongKey:
    return WrongKey(
        "the key that signs the log is not there",
        where=str(address.key),
        try_="Put it back from where it is kept, name its place in STEADYCONE_KEY, or change the log's key with a reason.",
    )


def trusted_key(address: Address) -> str | None:
    """The public half of this machine's key; None where it has none, or may not read it."""
    try:
        key = keys.load_key(address.key)
    except WrongKey:
        return None
    return keys.public_hex(key) if key is not None else None


def open_site(connection: Connection, name: str, region: str, author: str, at: datetime, now: datetime, key: "Ed25519PrivateKey") -> None:
    """Write the first events of a site's log, unless it has them. Call with the write lock held.

    Raises  UnknownName: no such region. InputError: a name that is none, or the site is in another region.
    """
    name, policy = checked(name, "site"), template(region)
    if connection.dialect.name == "postgresql":
        connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({schema.LOCK})")
    old = connection.execute(select(tables.sites.c.policy).where(tables.sites.c.name == name)).scalar()
    if old is not None:
        if f'"region":"{region}"' not in old:
            raise InputError(
                f'the site "{name}" is in another region', where="region", try_="Leave the region out, or give the site another name."
            )
        return
    log, public = os.urandom(16).hex(), keys.public_hex(key)
    site = _first_row(connection, name, log, public, now, SitePolicy(region=region, classes={}))
    rules: dict[Any, Any] = policy.classes
    news = [
        New(SiteOpened(site=name, region=region, log=log, key=public), author, at),
        New(
            PolicyChanged(classes=rules, two_persons=policy.two_persons, sign_off_by=policy.sign_off_by, why="the region's template"),
            author,
            at,
        ),
    ]
    checked(author, "author")
    request = Request(news, own=True)
    request.prepare()
    Batch(connection, site, key, now, [request]).run()
    if request.problem is not None:
        raise request.problem


def _first_row(connection: Connection, name: str, log: str, public: str, now: datetime, policy: SitePolicy) -> int:
    """The site's row before its first event."""
    values: dict[str, Any] = {
        "name": name,
        "log": log,
        "public_key": public,
        "size": 0,
        "frontier": b"",
        "root": EMPTY,
        "last_at": now,
        "signature": b"",
        "policy": access.encode_policy(policy).decode(),
    }
    return int(connection.execute(insert(tables.sites).returning(tables.sites.c.id), values).scalar_one())
