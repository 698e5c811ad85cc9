"""Acetylene's cap where a chart is used: by the policies of the stations that name it."""

from typing import TYPE_CHECKING

from steadycone.assembly.ceiling import cap
from steadycone.errors import InputError
from steadycone.files.policy import policy_from_text, region_policy
from steadycone.records.names import key
from steadycone.units import ATMOSPHERE

if TYPE_CHECKING:
    from steadycone.records.store import Site


def chart_cap(site: "Site", chart: str) -> float:
    """The lowest cap [Pa gauge at one atmosphere] of any policy under which this chart is used; of every policy that is filed where no
    station names the chart yet; the region's own where none is filed."""
    region = site.policy.region
    papers = {key(paper.name): paper for paper in site.papers("policy")}
    named = [station for station in site.stations() if not station.retired and key(chart) in map(key, station.papers)]
    used = {key(name) for station in named for name in station.papers if key(name) in papers}
    found = [region_policy(region)] if not papers or any(not used & set(map(key, station.papers)) for station in named) else []
    for name in used if named else papers:
        text = site.files.document(papers[name].hash).decode("utf-8", "replace")
        try:
            found.append(policy_from_text(text, region, papers[name].name))
        except InputError:  # stricter than when it was filed, and told on its own page: the region's cap counts for it
            found.append(region_policy(region))
    return min(cap(policy, ATMOSPHERE).gauge for policy in found)
