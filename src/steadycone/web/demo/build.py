"""Tern Quay, built: the site and its people, its files and gear, then what happened there."""

import secrets
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from steadycone.data.reader import toml
from steadycone.records import events
from steadycone.records.station_files import file_paper, file_station
from steadycone.web.demo import gear
from steadycone.web.demo.happened import happened
from steadycone.web.demo.stations import HOME, TABLE, Place, charts, places
from steadycone.web.demo.story import Past, Story, put, told_in_the_past
from steadycone.web.guard import passwords

if TYPE_CHECKING:
    from steadycone.records.store import Site, Store

_PAST = timedelta(days=60)
_LETTERS = "abcdefghjkmnpqrstuvwxyz23456789"  # none that looks like another: read from a screen, typed on a phone


def build_demo(store: "Store", now: datetime) -> tuple[str, ...]:
    """Fill an empty store with the invented yard.

    Parameters
    ----------
    now : with its zone; the yard's sixty days of records end here, so that it looks the same on any day

    Returns  lines for the sign-in page: the people, and the password that was made for them.
    Raises   InputError, StoreError.
    """
    if now.utcoffset() is None:
        raise ValueError(f"{now.isoformat()} has no zone")
    password = _password()
    found = places(now.date())
    begun = (now - _PAST).replace(hour=7, minute=0, second=0, microsecond=0)
    with told_in_the_past(store, begun) as past:
        site = _open(store, begun)
        _file(site, past, found)
        _gear(site, past, found, now)
        story = Story()
        happened(story, site, {place.name: place for place in found}, now)
        story.tell(past)
        past.put(now)
    _accounts(store, password, now)
    return _notice(password)


def _password() -> str:
    """Ten letters and more, in groups."""
    return "-".join("".join(secrets.choice(_LETTERS) for _ in range(4)) for _ in range(3))


def _open(store: "Store", at: datetime) -> "Site":
    """The site, who may do what there, and who signs."""
    table = toml(TABLE)
    site = store.open_site(table["site"], region=table["region"], author="M. Reyes", at=at)
    put(site, at, "M. Reyes", *(events.Authorised(person=p["name"], role=p["role"], basis=p["basis"]) for p in table["person"]))
    put(site, at, "M. Reyes", events.PolicyChanged(sign_off_by=("lead hand", "competent person"), why="the yard's own order"))
    return site


def _file(site: "Site", past: Past, found: tuple[Place, ...]) -> None:
    policy = toml(TABLE)["policy"]
    past.put(past.at + timedelta(minutes=20))
    file_paper(site, "M. Reyes", past.at, policy, "policy", (HOME / policy).read_bytes(), why="first filed")
    for chart in charts():
        file_paper(site, "T. Vance", past.at, chart, "chart", (HOME / chart).read_bytes(), why="first filed")
    for place in found:
        past.put(past.at + timedelta(minutes=6))
        file_station(site, "L. Marsh", past.at, place.file, place.text, why="first filed")


def _gear(site: "Site", past: Past, found: tuple[Place, ...], now: datetime) -> None:
    """The register, read off the gear, and what each station is made up of."""
    past.put(past.at + timedelta(hours=2))
    for number, place in enumerate(found):
        past.put(past.at + timedelta(minutes=8))
        marked = gear.marks(number)
        put(site, past.at, "T. Vance", *gear.gear_of(place, marked), gear.made_up(place, marked))
    put(site, past.at, "T. Vance", *gear.spares(now.date()))


def _accounts(store: "Store", password: str, now: datetime) -> None:
    kept = passwords.hashed(password)  # once: making one is slow on purpose
    for person in toml(TABLE)["person"]:
        store.accounts.add(person["name"], kept, now)


def _notice(password: str) -> tuple[str, ...]:
    table = toml(TABLE)
    people = ", ".join(f"{person['name']} ({person['role']})" for person in table["person"])
    return (f"{table['site']} is an invented yard. Invented people: {people}.", f"The password of each is {password}, made for this start.")
