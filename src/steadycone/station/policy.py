"""The choices in force: the region's law and habit with the site's own laid over them."""

import re
from typing import Literal, Self

import msgspec

from steadycone.units import Duration, GasFlow, Interval, Measure, Number, Pressure, ReferenceState, Share


class DrawLimit(Measure):
    """A share of the contents an hour ("1/7", "10 %"), or a flat flow for one cylinder ("1 m3/h")."""

    kind, example = "draw limit", "1/7"
    __slots__ = ("flow",)

    def __init__(self, si: float, text: str = "", flow: GasFlow | None = None) -> None:
        self.flow = flow  # the flat flow, or None for a share an hour in `si`
        super().__init__(si, text)

    @classmethod
    def parse(cls, given: object, reference: ReferenceState | None = None) -> Self:
        if isinstance(given, str) and not re.fullmatch(r"[\d./\s]+(%|per cent)?\s*", given):
            flow = GasFlow.parse(given, reference)
            return cls(flow.si, flow.text, flow)
        share = Share.parse(given)
        return cls(share.si, share.text)


class Draw(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Share of an acetylene cylinder's contents an hour, or a flat flow for one cylinder."""

    stop: DrawLimit
    caution: DrawLimit
    long: Duration  # a flow that runs on for longer is held to the long shares
    long_stop: DrawLimit
    long_caution: DrawLimit
    of: Literal["end of job", "left", "full"]


class Arrestors(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    at: tuple[Literal["regulator", "torch", "either"], ...]  # "either": one on each line, at whichever end
    largest_flow_loss: Share


class CheckValves(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A line with neither a check valve nor an arrestor at the torch: never go."""

    missing: Literal["caution", "stop"]


class Leak(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    reject: GasFlow
    wait: Duration


ClockName = Literal["examined", "life"]
UnknownAge = Literal["overdue", "caution"]  # overdue: a stop


class Clocks(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """When one kind of gear is due. A clock left out does not run.

    `examined` counts from the last test, or from make where it was never tested; with examined_from = "test" it runs only where a
    test is dated. `life` counts from make. `caution` names the clocks that are a habit: their end is a caution, else a stop.
    `unknown_age` left out = that of the whole table.
    """

    examined: Interval | None = None
    life: Interval | None = None
    examined_from: Literal["test or make", "test"] = "test or make"
    caution: tuple[ClockName, ...] = ()
    unknown_age: UnknownAge | None = None


class Intervals(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """One table a kind of gear. In a file, text alone ("5 years") stands for the clock that the kind had before it had two."""

    regulator: Clocks
    arrestor: Clocks
    check_valve: Clocks
    hose: Clocks
    unknown_age: UnknownAge


class Purge(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    rule: Literal["cleared", "three volumes"]
    margin: Number


class Policy(msgspec.Struct, frozen=True, kw_only=True):
    """Complete: every field filled. `sources` has a source key for each dotted field, "site-policy" for the site's own."""

    acetylene_cap: Pressure
    acetylene_cap_absolute: Pressure | None  # US: whichever bites first
    acetylene_arrestor_from: Pressure | None  # UK: from here an arrestor is asked for by law
    draw: Draw
    arrestors: Arrestors
    check_valves: CheckValves
    leak: Leak
    intervals: Intervals
    purge: Purge
    loss: Share
    reclose: Duration
    cylinder_watch: Duration  # after a flashback: how long cylinders are watched from a distance before anybody handles them
    stand_up: Duration
    enrichment: Share  # oxygen in air above which the place is unsafe
    variants: dict[str, str]
    sources: dict[str, str]
    site: str = ""  # file name of the site's policy; empty = region only

    def source(self, path: str) -> str:
        """Source key of one choice, by its dotted path such as "draw.stop"; the nearest table above it that has one."""
        while path not in self.sources:
            above = path.rpartition(".")[0]
            if not above:
                raise KeyError(path)
            path = above
        return self.sources[path]
