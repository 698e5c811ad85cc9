"""The region's choices, and a site's own laid over them.

A site may choose freely what is a template: draw rule, intervals, where arrestors sit, leak and purge figures. It may be
stricter than the law everywhere, and looser nowhere: each region file's `law` table lists what its law (or, where none was
found, our own judgement) caps, with the highest value allowed and where that comes from. Where a region calls a part of unknown
age overdue, or stops at the end of an interval, no policy can make that a caution.
"""

from functools import lru_cache
from typing import Any

from steadycone.data import reader
from steadycone.errors import InputError, LooserThanLaw, OutOfRange, UnknownName, nearest
from steadycone.files.intervals import check_intervals, made_binding, spelt_out
from steadycone.files.tables import Builder, place, refuse_unknown
from steadycone.files.toml import table_from
from steadycone.procedures.variants import check_choices
from steadycone.station.policy import DrawLimit, Policy
from steadycone.units import ATMOSPHERE, Measure, Pressure

FORMAT = "steadycone-policy/1"
REGIONS = ("uk", "eu", "us", "ca", "au", "nz")
_KEPT_TEXT = 20_000  # characters; longer ones are read anew each time, so that what is kept stays small
SITE_SOURCE = "site-policy"
_SHORTEST_WATCH = 30 * 60.0  # s; cylinder-watch-hour
_NOT_IN_FILES = frozenset({"sources", "site"})
_CHOICES = tuple(name for name in Policy.__struct_fields__ if name not in _NOT_IN_FILES)


def region_table(region: str) -> dict[str, Any]:
    """A region's file as it is: policy keys, sources, law, words, units, numbers, hoses, paper. Not to be changed.

    Raises  UnknownName.
    """
    if region not in REGIONS:
        raise UnknownName(f'"{region}" is not a region', where="region", try_=nearest(region, REGIONS))
    return reader.toml(f"regions/{region}.toml")


@lru_cache(maxsize=len(REGIONS))
def region_policy(region: str) -> Policy:
    """The policy of a region where the site has none of its own; the same object each time. Raises UnknownName."""
    table = region_table(region)
    choices = {name: table[name] for name in _CHOICES if name in table}
    return _policy(choices, dict(table["sources"]), "")


def policy_from_text(text: str, region: str, file: str = "") -> Policy:
    """A site's policy over its region's.

    Raises  InputError: unknown or ill-written choices. LooserThanLaw: a choice that the region forbids.
    """
    return _kept(text, region, file) if len(text) <= _KEPT_TEXT else _read(text, region, file)


@lru_cache(maxsize=64)  # a yard has one or two policies and many stations; the file's name is in the key, since messages carry it
def _kept(text: str, region: str, file: str) -> Policy:
    return _read(text, region, file)


def _read(text: str, region: str, file: str) -> Policy:
    given = table_from(text, file, "policy", FORMAT)
    site = spelt_out({name: value for name, value in given.items() if name != "format"})
    region_choices = region_table(region)
    try:
        refuse_unknown(Policy, site, hidden=_NOT_IN_FILES)
        check_choices(site.get("variants"), region)
        base = made_binding({name: region_choices[name] for name in _CHOICES if name in region_choices}, site)
        sources = {**region_choices["sources"], **dict.fromkeys(_paths(site), SITE_SOURCE)}
        policy = _policy(_laid_over(base, site), sources, file or "site policy")
        _check_sense(policy)
        _check_law(policy, region)
        check_intervals(policy.intervals, region_policy(region).intervals, region)
    except InputError as error:
        if file:
            error.at(file)
        raise
    return policy


def _policy(choices: dict[str, Any], sources: dict[str, str], site: str) -> Policy:
    absent = {name: None for name in ("acetylene_cap_absolute", "acetylene_arrestor_from") if name not in choices}
    policy: Policy = Builder().struct(Policy, choices, extra={**absent, "sources": sources, "site": site})
    return policy


def _laid_over(base: dict[str, Any], site: dict[str, Any]) -> dict[str, Any]:
    """The site's value wherever it has one, table by table."""
    merged = dict(base)
    for name, value in site.items():
        both = isinstance(value, dict) and isinstance(base.get(name), dict)
        merged[name] = _laid_over(base[name], value) if both else value
    return merged


def _paths(table: dict[str, Any], before: str = "") -> list[str]:
    found: list[str] = []
    for name, value in table.items():
        found += _paths(value, f"{before}{name}.") if isinstance(value, dict) else [before + name]
    return found


def _check_sense(policy: Policy) -> None:
    """Choices that contradict themselves or leave nothing to check, whoever makes them."""
    if policy.acetylene_cap.absolute:
        raise InputError("the cap is gauge", where="acetylene_cap", try_="An absolute cap is called acetylene_cap_absolute.")
    if policy.acetylene_cap_absolute and not policy.acetylene_cap_absolute.absolute:
        raise InputError("this cap is absolute", where="acetylene_cap_absolute", try_='Write for example "2.0 bar abs".')
    if not policy.arrestors.at:
        raise InputError("an empty list", where="arrestors, at", try_='Name a place: "regulator", "torch" or "either".')
    if policy.purge.margin.si < 1:
        raise OutOfRange(
            f'"{policy.purge.margin.text}" must be at least 1', where="purge, margin", try_="It multiplies the purge time worked out."
        )
    draw = policy.draw
    for caution, stop in (("caution", "stop"), ("long_caution", "long_stop")):
        low, high = getattr(draw, caution), getattr(draw, stop)
        if bool(low.flow) == bool(high.flow) and low.si > high.si:
            says = f'"{low.text}" is over {stop}, "{high.text}"'
            raise InputError(says, where=place("draw", caution), try_="A caution comes before its stop.")
    limits: dict[str, Measure] = {
        "draw, stop": draw.stop,
        "draw, long_stop": draw.long_stop,
        "loss": policy.loss,
        "arrestors, largest_flow_loss": policy.arrestors.largest_flow_loss,
    }
    for where, value in limits.items():
        if not (isinstance(value, DrawLimit) and value.flow) and not 0 < value.si <= 1:
            raise OutOfRange(f'"{value.text}" must be above 0 and at most 100 %', where=where, try_="Check the value.")
    for where, value in {
        "leak, wait": policy.leak.wait,
        "leak, reject": policy.leak.reject,
        "draw, long": draw.long,
        "reclose": policy.reclose,
    }.items():
        if value.si <= 0:
            raise OutOfRange(f'"{value.text}" must be above zero', where=where, try_="Check the value.")
    if policy.cylinder_watch.si < _SHORTEST_WATCH:
        says = f'"{policy.cylinder_watch.text}" is under half an hour: one cylinder burst minutes after a flashback, others took hours'
        raise OutOfRange(says, where="cylinder_watch", try_='Write for example "60 min", or leave it out.')


def _check_law(policy: Policy, region: str) -> None:
    for name, law in region_table(region)["law"].items():
        value = getattr(policy, name)
        most = type(value).parse(law["most"])
        if _size(value) > _size(most) * (1 + 1e-9):
            raise LooserThanLaw(
                f'"{value.text}" is looser than this region ({region}) allows: at most "{most.text}"',
                where=name,
                try_=f'Write "{most.text}" or less, or leave it out. Source: {law["source"]}.',
            )


def _size(value: Measure) -> float:
    return value.abs(ATMOSPHERE) if isinstance(value, Pressure) else value.si
