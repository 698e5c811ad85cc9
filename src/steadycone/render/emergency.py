"""The emergency list as text and as data. Imports nothing but the table reader: it must answer at once."""

from typing import Any

from steadycone.data import reader
from steadycone.errors import UnknownName, nearest

_LETTERS = "ABCDEFGH"
_SUPPLY_PLATE = 2  # of the four: after the torch's two valves, before the alarm

HELP = """Usage: steadycone emergency [--region uk|eu|us|ca|au|nz] [--after]

The emergency list, at once, on one screen. The region picks its words and the number to call. --after: what comes after it.

Example: steadycone emergency --region us
"""


def words(region: str) -> dict[str, str]:
    """The few words the list needs: torch, service, number. Raises UnknownName for a region that does not exist."""
    known: dict[str, dict[str, str]] = reader.toml("emergency.toml")["words"]
    if region not in known:
        raise UnknownName(f'no region "{region}"', where="region", try_=nearest(region, known))
    return known[region]


def fill(told: str, region: str) -> str:
    return told.format(**words(region))


def branches(region: str) -> list[dict[str, Any]]:
    """The branches in order, worst hurry first: id, is, signs, do, after; all in the region's words."""
    return [
        {
            "id": branch["id"],
            "is": fill(branch["is"], region),
            "signs": fill(branch["signs"], region),
            "do": [fill(step, region) for step in branch["do"]],
            "after": [fill(step, region) for step in branch["after"]],
        }
        for branch in reader.toml("emergency.toml")["branch"]
    ]


def floor(region: str, supplies: str = "cylinders", lines: int = 2) -> dict[str, Any]:
    """The short form for the floor of a page: heading, four plates of (small, large), two lines of (question, what to do).

    supplies : what the station has to shut: "cylinders", "outlets" of pipes and tanks, or "mixed"; a page of no station says cylinders
    lines : how many gas lines there are to shut
    """
    table = reader.toml("emergency.toml")
    first, burning, hot = table["branch"][:3]
    plates = [list(plate) for plate in first["plates"]]
    told = [[branch["floor"], branch["floor_do"]] for branch in (burning, hot)]
    if supplies != "cylinders":
        own = table["supplies"][supplies]
        plates[_SUPPLY_PLATE] = own["plate_three" if lines > 2 else "plate"]
        told[0][1], told[1][0] = own["burning"], own["hot"]
    return {
        "heading": fill(first["floor"], region),
        "plates": [tuple(fill(part, region) for part in plate) for plate in plates],
        "lines": [(fill(question, region), fill(do, region)) for question, do in told],
    }


def text(region: str = "uk") -> str:
    """What to do, for a terminal: 80 columns at most, and one screen of 24 lines with the prompt under it."""
    table = reader.toml("emergency.toml")
    lines = [f"EMERGENCY. {table['ask']} {table['site']} Later: --after"]
    for letter, branch in zip(_LETTERS, branches(region), strict=False):
        lines.append(f"{letter}  {branch['is'].upper()}: {branch['signs']}")
        lines += [f"   {number}. {step}" for number, step in enumerate(branch["do"], 1)]
    return "\n".join(lines) + "\n"


def after_text(region: str = "uk") -> str:
    """What holds once the first steps are done, for a terminal, 80 columns at most."""
    lines = ["AFTER AN EMERGENCY"]
    for letter, branch in zip(_LETTERS, branches(region), strict=False):
        lines.append(f"{letter}  {branch['is'].upper()}")
        for step in branch["after"]:
            lines += _wrapped(step, "   - ")
    return "\n".join(lines) + "\n"


def _wrapped(told: str, lead: str, width: int = 80) -> list[str]:
    # textwrap would cost its own import, with re, for these few lines
    lines, now = [], lead
    for word in told.split():
        if len(now) + len(word) > width:
            lines.append(now.rstrip())
            now = " " * len(lead)
        now += word + " "
    return [*lines, now.rstrip()]
