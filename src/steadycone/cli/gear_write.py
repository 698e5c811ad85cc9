"""`steadycone gear add`, `date`, `test`, `fit`, `remove`, `quarantine`, `release`, `retire`: one thing that happened to one item."""

from typing import Any

import click

from steadycone.cli import desk
from steadycone.cli.desk import moment, open_site, record, writing
from steadycone.cli.errors import STOP
from steadycone.errors import InputError

_TEST_EPILOG = 'Example: steadycone gear test TQ-FBA-031 "reverse flow" "12 cm3/h" --passed --by "A. Lindqvist"'
_ADD_EPILOG = "Example: steadycone gear add TQ-REG-014 regulator --gas oxygen --made 2023-02 --basis stamp --fit \"Slip 2, frame bench\" --by NAME"  # fmt: skip


def pairs(given: tuple[str, ...], where: str) -> dict[str, str]:
    """key=value texts as a table. Raises InputError."""
    found: dict[str, str] = {}
    for pair in given:
        name, equals, value = pair.partition("=")
        if not equals or not name.strip() or name.strip() in found:
            raise InputError(f'"{pair[:60]}" is not name=value, or is there twice', where=where, try_='Write for example outlet="10 bar".')
        found[name.strip()] = value.strip()
    return found


@click.command("add", help="A new item: its mark, its kind and what is known of its age.", epilog=_ADD_EPILOG)
@click.argument("mark")
@click.argument("kind")
@click.option("--gas", default="", help="oxygen, acetylene, propane, ... what it is marked for.")
@click.option("--type", "type_", default="", metavar="TEXT", help="The maker's type, as free text.")
@click.option("--made", default="", metavar="DATE", help="2023-02 or 2023-02-17.")
@click.option("--bought", default="", metavar="DATE")
@click.option("--in-service", default="", metavar="DATE")
@click.option("--tested", default="", metavar="DATE", help="When it was last examined.")
@click.option("--tested-by", default="", metavar="NAME")
@click.option("--basis", default="", metavar="TEXT", help="What the dates were read from: stamp, invoice, sheet.")
@click.option("--rating", multiple=True, metavar="NAME=VALUE", help='What is marked on it: outlet="10 bar". May be repeated.')
@click.option("--fit", default="", metavar="STATION", help="The station it is fitted at.")
@click.option("--place", default="", help='Where there, as the card names it: "fuel part 2"; the usual one if left out.')
@click.option("--note", default="", metavar="TEXT")
@writing
def add(store: str | None, site: str | None, by: str | None, at: str | None, as_json: bool, rating: tuple[str, ...], **given: str) -> None:
    from steadycone.records import events
    from steadycone.records.gear_events import added
    from steadycone.records.gear_item import read_item

    when = moment(at)
    texts = {name.replace("_", " "): text.strip() for name, text in given.items()}
    texts |= {"type": texts.pop("type "), "fitted": texts.pop("fit")}
    item = read_item(texts, {}, desk.now().date())
    bodies: list[Any] = [added(item, texts["basis"], pairs(rating, "--rating"))]
    if item.fitted:
        bodies.append(events.GearFitted(mark=item.mark, station=item.fitted, place=item.place))
    with open_site(store, site, writes=True) as found:
        record(found, by, when, *bodies, as_json=as_json)


@click.command("date", help="A date of an item: made, bought, in_service or tested.", epilog="Example: steadycone gear date TQ-HOS-207 made 2024-05 --basis stamp --by NAME")  # fmt: skip
@click.argument("mark")
@click.argument("which", type=click.Choice(["made", "bought", "in_service", "tested"]))
@click.argument("date")
@click.option(
    "--basis", default="", metavar="TEXT", help="What it was read from: stamp, invoice; for tested its paper, and who examined it."
)
@writing
def date_command(
    store: str | None, site: str | None, by: str | None, at: str | None, as_json: bool, mark: str, which: Any, date: str, basis: str
) -> None:
    from dataclasses import replace

    from steadycone.records import events
    from steadycone.records.gear_events import listed
    from steadycone.records.gear_item import check_dates

    when = moment(at)
    with open_site(store, site, writes=True) as found:
        item = listed(found.item(mark))
        given: dict[str, Any] = {which: date}
        check_dates(replace(item, **given), desk.now().date())
        record(found, by, when, events.GearDated(mark=item.mark, which=which, date=date, basis=basis), as_json=as_json)


@click.command("test", help="A test with its number and unit. A failed test puts the item in quarantine.", epilog=_TEST_EPILOG)
@click.argument("mark")
@click.argument("what", metavar="TEST")
@click.argument("value")
@click.option("--passed/--failed", default=None, help="What it came to.")
@click.option("--limit", default="", metavar="VALUE", help="What it was held to, with its unit.")
@click.option("--gas", default="", help="The test gas.")
@click.option("--reading", multiple=True, metavar="NAME=VALUE", help='What was read, with units: start="3.0 bar". May be repeated.')
@click.option("--instrument", default="", metavar="MARK", help="The master gauge or flow meter it was read with; it must be in date.")
@click.option("--completes", is_flag=True, help="It ends the periodic examination: the item counts as tested that day.")
@writing
def test(
    store: str | None, site: str | None, by: str | None, at: str | None, as_json: bool, mark: str, what: str, value: str,
    passed: bool | None, limit: str, gas: str, reading: tuple[str, ...], instrument: str, completes: bool,
) -> int:  # fmt: skip
    from steadycone.errors import UnknownName, nearest
    from steadycone.records import events
    from steadycone.records.gear_columns import RESULTS, parse_result

    when = moment(at)
    kind = next((each for each in RESULTS if each == what.lower()), None)
    if kind is None:
        raise UnknownName(f'"{what[:40]}" is not a test', where="TEST", try_=nearest(what.lower(), RESULTS))
    if passed is None:
        raise InputError("a number without what it came to", where=kind, try_="Add --passed or --failed.")
    parse_result(kind, value, kind)
    if limit:
        parse_result(kind, limit, "--limit")
    result = events.TestResult(
        mark=mark,
        test=kind,
        value=value,
        passed=passed,
        limit=limit,
        gas=gas,
        readings=pairs(reading, "--reading"),
        completes=completes,
        instrument=instrument.strip(),
    )
    with open_site(store, site, writes=True) as found:
        (receipt,) = record(found, by, when, result, as_json=as_json)
    return _told_failed(receipt.event.body, as_json) if passed else 0


def _told_failed(body: Any, as_json: bool) -> int:
    """A number outside its limit, whatever was said of it: exit code 3."""
    if body.passed:
        return 0
    if not as_json:
        click.echo(f"[STOP] {body.mark}: {body.value} is outside its limit ({body.held_to}). Recorded as failed: it is in quarantine.")
    return STOP


@click.command("fit", help="An item onto a station. It ends the station's sign-off.", epilog='Example: steadycone gear fit TQ-REG-014 "Slip 2, frame bench" --by NAME')  # fmt: skip
@click.argument("mark")
@click.argument("station")
@click.option("--place", default="", help='Where there, as the card names it: "fuel part 2"; the usual one if left out.')
@writing
def fit(store: str | None, site: str | None, by: str | None, at: str | None, as_json: bool, mark: str, station: str, place: str) -> None:
    from steadycone.records import events
    from steadycone.records.gear_item import usual_place

    when = moment(at)
    with open_site(store, site, writes=True) as found:
        item = found.item(mark)
        where = place or usual_place(item.item, item.gas)
        record(found, by, when, events.GearFitted(mark=item.mark, station=station, place=where), as_json=as_json)


@click.command("remove", help="An item off its station. It ends the station's sign-off.", epilog='Example: steadycone gear remove TQ-REG-014 --why "to the bench" --by NAME')  # fmt: skip
@click.argument("mark")
@click.option("--why", default="", metavar="TEXT")
@writing
def remove(store: str | None, site: str | None, by: str | None, at: str | None, as_json: bool, mark: str, why: str) -> None:
    from steadycone.records import events

    when = moment(at)
    with open_site(store, site, writes=True) as found:
        record(found, by, when, events.GearRemoved(mark=mark, why=why), as_json=as_json)


@click.command("retire", help="An item that is scrapped, sold or lost. Its mark is never given again.", epilog='Example: steadycone gear retire TQ-HOS-207 --why "flashback inside, cut up" --by NAME')  # fmt: skip
@click.argument("mark")
@click.option("--why", required=True, metavar="TEXT")
@writing
def retire(store: str | None, site: str | None, by: str | None, at: str | None, as_json: bool, mark: str, why: str) -> None:
    from steadycone.records import events

    when = moment(at)
    with open_site(store, site, writes=True) as found:
        record(found, by, when, events.GearRetired(mark=mark, why=why), as_json=as_json)


@click.command("quarantine", help="An item out of use until somebody authorised releases it. No station that holds it can be signed off.", epilog='Example: steadycone gear quarantine TQ-HOS-207 --why flashback-inside --reason "soot at the blowpipe end" --by NAME')  # fmt: skip
@click.argument("mark")
@click.option("--why", default="", metavar="REASON", help="From the list: flashback-inside, damaged, leaks, does-not-work, oil, ...")
@click.option("--reason", default="", metavar="TEXT", help="What is wrong with it, in your words. It stands on the tag.")
@writing
def quarantine(
    store: str | None, site: str | None, by: str | None, at: str | None, as_json: bool, mark: str, why: str, reason: str
) -> None:
    from steadycone.records import events
    from steadycone.records.quarantine import reason_of

    when = moment(at)
    with open_site(store, site, writes=True) as found:
        item = found.item(mark)
        record(found, by, when, events.Quarantined(mark=item.mark, reason=reason_of(item.item, why, reason)), as_json=as_json)


@click.command("repair", help="What was put right on an item, told by the one who did it. Your password is asked.", epilog='Example: steadycone gear repair TQ-REG-015 --did "seat changed" --evidence "kit 4711" --by NAME')  # fmt: skip
@click.argument("mark")
@click.option("--did", required=True, metavar="TEXT", help="What was put right.")
@click.option("--evidence", default="", metavar="TEXT", help="Parts, numbers.")
@writing
def repair(
    store: str | None, site: str | None, by: str | None, at: str | None, as_json: bool, mark: str, did: str, evidence: str
) -> None:  # fmt: skip
    from steadycone.records import events

    when = moment(at)
    with open_site(store, site, writes=True) as found:
        record(found, by, when, events.Repaired(mark=mark, did=did, evidence=evidence), as_json=as_json)


@click.command("release", help="An item back from quarantine, by somebody authorised. Your password is asked.", epilog='Example: steadycone gear release TQ-REG-015 --did "seat changed" --evidence "creep 4 cm3/h, sheet 12" --by NAME')  # fmt: skip
@click.argument("mark")
@click.option("--did", required=True, metavar="TEXT", help="What was put right.")
@click.option("--evidence", required=True, metavar="TEXT", help="The number, the certificate, what was seen.")
@writing
def release(
    store: str | None, site: str | None, by: str | None, at: str | None, as_json: bool, mark: str, did: str, evidence: str
) -> None:  # fmt: skip
    from steadycone.records import events

    when = moment(at)
    cleared = events.Cleared(condition=did, by="", evidence=evidence)
    with open_site(store, site, writes=True) as found:
        record(found, by, when, events.Released(mark=mark, cleared=(cleared,)), as_json=as_json)
