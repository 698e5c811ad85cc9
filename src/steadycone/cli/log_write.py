"""`steadycone log open`, `add`, `correct`: begin the records, put in what has no command of its own, put right what was wrong."""

import json
from typing import TYPE_CHECKING, Any

import click

from steadycone.cli.desk import (
    author,
    by_option,
    clock,
    json_option,
    moment,
    open_records,
    open_site,
    record,
    store_option,
    told,
    write_json,
    writing,
)
from steadycone.errors import BadUnit, InputError, UnknownName, nearest

if TYPE_CHECKING:
    from steadycone.records.events import Event

_ADD_EPILOG = 'Example: steadycone log add cylinder-moved mark=TQ-CYL-77 gas=oxygen to="Slip 2" state=full contents="200 bar" --by NAME'
_DIGITS = 18  # of an event's number
_OWN = ("site-opened", "key-changed", "correction", "register-rebuilt", "account-changed")  # have commands of their own


@click.command("open", help="Begin the records of a site. Its log and its signing key are made.", epilog='Example: steadycone log open "Tern Quay" --region uk --by "M. Reyes"')  # fmt: skip
@click.argument("name")
@click.option("--region", required=True, help="uk, eu, us, ca, au or nz: whose intervals and words.")
@store_option
@by_option
@json_option
def open_command(name: str, region: str, store: str | None, by: str | None, as_json: bool) -> None:
    from steadycone.records import open_store

    with open_store(store, clock=clock) as found:
        site = found.open_site(name, region=region, author=author(by))
        head = site.head()
    if as_json:
        write_json({"site": name, "region": region, "key": head.key, "head": head.code})
    else:
        click.echo(f"{name} is open. Its heads are signed by key {head.key}: write it down where the records are not. Head {head.code}")


@click.command("add", help="Any event by its kind and fields: authorised, cylinder-moved, defect-found, incident, noted, policy-changed, ...", epilog=_ADD_EPILOG)  # fmt: skip
@click.argument("kind")
@click.argument("fields", nargs=-1, metavar="[FIELD=VALUE]...")
@writing
def add(store: str | None, site: str | None, by: str | None, at: str | None, as_json: bool, kind: str, fields: tuple[str, ...]) -> None:
    body = read_event(kind, fields)
    when = moment(at)
    with open_site(store, site, writes=True) as found:
        record(found, by, when, body, as_json=as_json)


def read_event(kind: str, fields: tuple[str, ...]) -> "Event":
    """An event from its texts. A value that begins with { or [ is JSON.

    Raises  UnknownName: no such kind. BadUnit: a field that is missing, unknown or of another kind.
    """
    import msgspec

    from steadycone.records.events import KINDS

    known = [name for name in KINDS if name not in _OWN]
    if kind not in known:
        raise UnknownName(f'"{kind[:40]}" is not a kind of event', where="log add", try_=nearest(kind, known))
    values: dict[str, Any] = {"kind": kind} | dict(map(_field, fields))
    try:
        return msgspec.convert(values, KINDS[kind], strict=False)
    except msgspec.ValidationError as error:
        names = ", ".join(field.name for field in msgspec.structs.fields(KINDS[kind]))
        raise BadUnit(f"{kind}: {str(error)[:200]}", where="log add", try_=f"Its fields: {names}.") from error


def _field(pair: str) -> tuple[str, Any]:
    name, equals, value = pair.partition("=")
    if not equals or not name.strip():
        raise InputError(f'"{pair[:60]}" is not field=value', where="log add", try_='Write for example says="gauge glass cracked", quoted.')
    if value[:1] in ("{", "["):
        try:
            return name.strip(), json.loads(value)
        except (ValueError, RecursionError) as error:
            raise InputError(f"{name}: not JSON ({error})", where="log add", try_='Write for example classes={"hose": {"replace": "4 years"}}.') from error  # fmt: skip
    return name.strip(), value


@click.command(
    "correct", help="Put an event right: what it should have said. The old one stays in the log.",
    epilog='Example: steadycone log correct 41 date=2023-03 --why "misread the stamp" --by NAME; or --annul',
)  # fmt: skip
@click.argument("event")
@click.argument("fields", nargs=-1, metavar="[FIELD=VALUE]...")
@click.option("--annul", is_flag=True, help="It should not have been there at all.")
@click.option("--why", required=True, metavar="TEXT")
@writing
def correct(
    store: str | None, site: str | None, by: str | None, at: str | None, as_json: bool, event: str, fields: tuple[str, ...], annul: bool,
    why: str,
) -> None:  # fmt: skip
    from steadycone.records import events
    from steadycone.records.corrected import with_fields

    if annul == bool(fields):
        raise InputError(
            "either fields or --annul", where="log correct", try_="Say what it should have said, or that it should not be there."
        )
    when = moment(at)
    with open_site(store, site, writes=True) as found:
        old = found.event(which(event))
        new = None if annul else with_fields(old.body, dict(map(_field, fields)), where="log correct")
        record(found, by, when, events.Correction(corrects=old.id, why=why, replaces=new), as_json=as_json)  # type: ignore[arg-type]


def which(event: str) -> int | str:
    """An event's number, or its id, as typed."""
    return int(event) if event.isascii() and event.isdigit() and len(event) <= _DIGITS else event


@click.command(
    "rebuild", help="Make the register again from the events, where log verify says that it differs from them. The log keeps who did it and why.",
    epilog='Example: steadycone log rebuild --why "the office copy was edited by hand" --by NAME',
)  # fmt: skip
@click.option("--why", required=True, metavar="TEXT")
@writing
def rebuild(store: str | None, site: str | None, by: str | None, at: str | None, as_json: bool, why: str) -> None:
    from steadycone.render.table import plain

    who, when = author(by), moment(at)
    with open_site(store, site, writes=True) as found:
        receipt = found.put_right(who, why, when)
    if not as_json:
        for line in receipt.event.body.differed:  # type: ignore[union-attr]
            click.echo(f"put right: {plain(line)}")
    told((receipt,), as_json)


@click.command(
    "change-key", help="Sign with another key from now on, where the old one is lost or was seen by others. The log keeps who did it and why.",
    epilog='Example: steadycone log change-key --why "the office disk died" --by NAME. To replace a key that is there, move its file away first.',
)  # fmt: skip
@click.option("--why", required=True, metavar="TEXT")
@store_option
@by_option
@json_option
def change_key(store: str | None, by: str | None, as_json: bool, why: str) -> None:
    who = author(by)
    with open_records(store, writes=True) as found:
        receipts = found.change_key(who, why, moment(None))
    if not as_json:
        click.echo(f"Heads are signed by key {receipts[-1].head.key} from now on: write it down where the records are not.")
    for receipt in receipts:
        told((receipt,), as_json)
