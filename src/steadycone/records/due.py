"""When an item is due: by the card's own clocks where they run for its kind, else by the site's rule for its class."""

from collections.abc import Iterator
from functools import lru_cache

import msgspec

from steadycone.files.policy import region_policy
from steadycone.practice.dates import DATED, clocks
from steadycone.practice.finding import Verdict
from steadycone.records.events import ClassRule
from steadycone.records.policy import SitePolicy, due_day, template
from steadycone.records.rows import NEVER, UNKNOWN, Item
from steadycone.station.policy import Policy
from steadycone.units import GivenDate

End = tuple[int, Verdict, str]  # ordinal of the last day in date, what it is after that, and which rule
Due = tuple[int, str, int]  # ordinal of the first day a rule ends; why; ordinal of the first day that stops it
_WHY = {"examined": "test", "life": "replace"}


def finished(item: Item, site: SitePolicy, filed: Policy | None) -> Item:
    """The item with the first day that any of its clocks ends, and the first that makes it a stop.

    filed : the policy that the file of the station it is on names. It stands in for the region's own, as on the station's card
    """
    return with_due(item, due_of(item, site, filed))


def with_due(item: Item, due: Due) -> Item:
    """The item with what `due_of` found."""
    day, why, stop = due
    if (day, why, stop) == (item.due_day, item.due_why, item.stop_day):
        return item
    return msgspec.structs.replace(item, due_day=day, due_why=why, stop_day=stop)


def due_of(item: Item, site: SitePolicy, filed: Policy | None) -> Due:
    """First day that a clock ends, why, and the first that makes it a stop. It hangs on the item's kind and dates alone, and on the policies."""
    ends = list(_ends(item, site, filed))
    day, _, why = min(ends, key=lambda end: end[0], default=(NEVER, "go", ""))
    return day, why, min((end[0] for end in ends if end[1] == "stop"), default=NEVER)


def _ends(item: Item, site: SitePolicy, filed: Policy | None) -> Iterator[End]:
    """A rule that the site laid down itself counts beside the policy of a station's file, and instead of the region's where there is none."""
    rule = site.rule(item.item)
    if item.item not in DATED or not site.region:
        yield from _by_rule(item, rule)
        return
    own = _own(site.region, item.item, rule)
    if filed is not None or not own:
        yield from _by_clock(item, filed if filed is not None else region_policy(site.region))
    if own:
        yield from _by_rule(item, rule)


@lru_cache(maxsize=256)
def _own(region: str, kind: str, rule: ClassRule) -> bool:
    """Whether the site laid this rule down, rather than begun with it."""
    start = template(region).rule(kind)
    return (rule.replace, rule.replace_from, rule.test, rule.test_from) != (start.replace, start.replace_from, start.test, start.test_from)


def _by_rule(item: Item, rule: ClassRule) -> Iterator[End]:
    day, why = due_day(rule, item.dates)
    if day < NEVER:
        yield day, "stop", why


_parsed = lru_cache(maxsize=4096)(GivenDate.parse)  # gear is stamped and tested on the same days by the dozen


def _by_clock(item: Item, policy: Policy) -> Iterator[End]:
    made, tested = (_parsed(item.dates[name].date) if name in item.dates else None for name in ("made", "tested"))
    for clock in clocks(item.item, made, tested, policy):
        if clock.due is None:
            yield UNKNOWN, clock.unknown, "unknown age"
        else:
            yield clock.due.toordinal(), clock.late, _WHY[clock.which]
