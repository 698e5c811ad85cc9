"""A yard of many stations to measure on: those of the demo, over and over, each with gear of its own. Every second one is signed off.

No round was gone through: what a sign-off rests on is a bare event with the station's papers, as the records ask for it.
"""

from datetime import datetime, timedelta

from steadycone.data.reader import toml
from steadycone.records import New, Site, Store, events
from steadycone.records.station_files import file_paper, file_station
from steadycone.web.demo import gear
from steadycone.web.demo.stations import HOME, TABLE, Place, charts, place
from steadycone.web.demo.story import told_in_the_past

SHIFT = timedelta(hours=6)


def build_many(store: Store, now: datetime, stations: int) -> Site:
    """Fill an empty store with so many stations; the store's clock stands at `now` meanwhile.

    Raises  InputError, StoreError.
    """
    table = toml(TABLE)
    with told_in_the_past(store, now):
        site = store.open_site(table["site"], region=table["region"], author="M. Reyes", at=now)
        site.append(*(New(events.Authorised(person=p["name"], role=p["role"]), "M. Reyes", now) for p in table["person"]))
        file_paper(site, "M. Reyes", now, table["policy"], "policy", (HOME / table["policy"]).read_bytes())
        for chart in charts():
            file_paper(site, "M. Reyes", now, chart, "chart", (HOME / chart).read_bytes())
        for number in range(stations):
            _add(site, now, number)
    return store.site()


def _add(site: Site, now: datetime, number: int) -> None:
    entries = toml(TABLE)["station"]
    entry = {name: value for name, value in entries[number % len(entries)].items() if name != "torch"}
    here = place(entry, now.date(), f"{entry['name']} {number + 1}", f"station-{number + 1:04d}.toml")
    file_station(site, "L. Marsh", now, here.file, here.text)
    marked = gear.marks(number)
    site.append(*(New(body, "T. Vance", now) for body in (*gear.gear_of(here, marked), gear.made_up(here, marked))))
    if number % 2 == 0:
        _sign(site, now, here, f"bench-{number + 1:04d}")


def _sign(site: Site, now: datetime, here: Place, name: str) -> None:
    done = events.RoundDone(station=here.name, state="signed", verdict="go")
    signed = events.SignOff(station=here.name, round=name, valid_until=(now + SHIFT).isoformat(), longest_break=1800)
    site.append(New(done, "L. Marsh", now, id=name, documents=here.files.papers), New(signed, "L. Marsh", now))
