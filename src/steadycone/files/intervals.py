"""The intervals of a policy file: the older short form spelt out, and the site's own choices laid over the region's."""

from typing import Any

from steadycone.errors import InputError, LooserThanLaw
from steadycone.station.policy import Clocks, Intervals

# The clock that text alone stands for: the only one that the kind had when that was the only form.
_ALONE = {"regulator": "life", "arrestor": "examined", "check_valve": "examined", "hose": "life"}


def spelt_out(choices: dict[str, Any]) -> dict[str, Any]:
    """A policy's choices with intervals = { regulator = "5 years" } as { regulator = { life = "5 years" } }; anything else as it is."""
    given = choices.get("intervals")
    if not isinstance(given, dict):
        return choices
    spelt = {kind: {_ALONE[kind]: value} if kind in _ALONE and not isinstance(value, dict) else value for kind, value in given.items()}
    return choices | {"intervals": spelt}


def made_binding(region: dict[str, Any], site: dict[str, Any]) -> dict[str, Any]:
    """The region's choices, a clock that the site sets itself no longer a mere habit: a site's own rule binds.

    An examination that the site asks for then also runs from make, where nothing was ever tested.
    """
    asked = site.get("intervals")
    if not isinstance(asked, dict):
        return region
    intervals = dict(region["intervals"])
    for kind, clocks in asked.items():
        if kind in _ALONE and isinstance(clocks, dict):
            intervals[kind] = _binding(intervals[kind], clocks)
    return region | {"intervals": intervals}


def _binding(region: dict[str, Any], site: dict[str, Any]) -> dict[str, Any]:
    found = dict(region)
    found["caution"] = [which for which in region.get("caution", []) if which not in site]
    if "examined" in site:
        found.pop("examined_from", None)
    return found


def check_intervals(chosen: Intervals, region: Intervals, name: str) -> None:
    """Raises  LooserThanLaw: a stop of the region made a caution. InputError: a clock named that does not run."""
    for kind in _ALONE:
        clocks: Clocks = getattr(chosen, kind)
        theirs: Clocks = getattr(region, kind)
        for which in clocks.caution:
            if getattr(clocks, which) is None:
                raise InputError(
                    f'"{which}" has no interval', where=f"intervals.{kind}, caution", try_=f'Add for example {which} = "1 year".'
                )
            if getattr(theirs, which) is not None and which not in theirs.caution:
                _refuse(f'"{which}" as a caution', f"intervals.{kind}, caution", name)
        if _of(clocks, chosen) == "caution" and _of(theirs, region) == "overdue":
            _refuse('"caution"', f"intervals.{kind}, unknown_age" if clocks.unknown_age else "intervals, unknown_age", name)


def _of(clocks: Clocks, intervals: Intervals) -> str:
    return clocks.unknown_age or intervals.unknown_age


def _refuse(given: str, where: str, region: str) -> None:
    raise LooserThanLaw(f"{given} is looser than this region ({region}) allows: here it stops", where=where, try_="Leave it out.")
