"""The text a new station file begins with: its lines and what the job is, and no figure that somebody has to read off the gear."""

from collections.abc import Sequence

from steadycone.errors import InputError, UnknownName, nearest
from steadycone.files.edit_parts import NEW_LINE
from steadycone.files.edit_values import LONGEST_VALUE, dump
from steadycone.station.form import fields_in
from steadycone.station.setup import FORMAT

_WORK = {"cutting": "cut", "heating": "heat", "welding": "weld"}


def new_station(region: str, fuel: str, attachment: str, name: str) -> str:
    """A station with an arrestor, a hose and an arrestor on each line. Regulator gas and rating, hose grade, bore and length are left
    out: none of them can be known here, and the reader names each one missing until it is filled.

    Raises  UnknownName: a region, fuel or attachment that is none. InputError: no name, or one that can't be written.
    """
    _one_of(region, fields_in("station")["region"].choices, "station, region")
    _one_of(fuel, fields_in("station")["fuel"].choices, "station, fuel")
    _one_of(attachment, tuple(_WORK), "torch, attachment")
    tidy = name.strip()
    if not tidy or len(tidy) > LONGEST_VALUE or not tidy.isprintable():
        raise InputError("no usable name", where="station, name", try_="Write the station's name on one line.")
    head = f'format = "{FORMAT}"\n\n[station]\nname = {dump(tidy)}\nregion = "{region}"\nfuel = "{fuel}"\n'
    tail = f'\n[torch]\nattachment = "{attachment}"\n\n[job]\nkind = "{_WORK[attachment]}"\n'
    return head + "".join(map(_line, ("oxygen", "fuel"))) + tail


def _line(name: str) -> str:
    parts = "".join(f'\n[[{name}.part]]\nkind = "{kind}"\n' for kind in NEW_LINE)
    return f'\n[{name}.supply]\nkind = "cylinders"\n\n[{name}.regulator]\n{parts}'


def _one_of(given: str, known: Sequence[str], where: str) -> None:
    if given not in known:
        raise UnknownName(f'"{given[:40]}" is not allowed; one of: {", ".join(known)}', where=where, try_=nearest(given[:40], known))
