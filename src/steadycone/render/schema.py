"""JSON Schemas of what goes in and out, made from the types that read and describe it."""

from typing import Any

import msgspec

from steadycone.render import contract
from steadycone.station.policy import Policy
from steadycone.station.setup import Station
from steadycone.units import Duration, GivenDate, Interval, Measure, Number, Share

_DIALECT = "https://json-schema.org/draft/2020-12/schema"
_NOT_IN_FILES = ("sources", "site")  # of a policy: filled by the program


def card_schema() -> dict[str, Any]:
    """Of `steadycone card --json`; the published data/schema/card.schema.json is this."""
    return _titled(
        msgspec.json.schema(contract.Card), "steadycone-card/1", "A set-up card. Units are fixed; null is applicable but unknown."
    )


def station_schema() -> dict[str, Any]:
    """Of a station file, TOML read as JSON. Values are text with their unit."""
    made = msgspec.json.schema(Station, schema_hook=_measure)
    made["$defs"]["TipChoice"]["properties"]["size"]["anyOf"].append({"type": "integer"})  # size = 3 means "3"
    return _titled(made, "steadycone-station/1", "A station file.")


def policy_schema() -> dict[str, Any]:
    """Of a site's policy file: any of the choices, laid over the region's."""
    made = msgspec.json.schema(Policy, schema_hook=_measure)
    for part in made["$defs"].values():
        part.pop("required", None)  # a site states only what it chooses
    kinds = made["$defs"]["Intervals"]["properties"]
    for name, told in kinds.items():  # text alone is the older form of a table with one clock
        if "$ref" in told:
            kinds[name] = {"anyOf": [told, _measure(Interval)]}
    whole = made["$defs"]["Policy"]
    for name in _NOT_IN_FILES:
        del whole["properties"][name]
    whole["properties"] = {"format": {"const": "steadycone-policy/1"}} | whole["properties"]
    del whole["description"]
    whole["required"] = ["format"]
    whole["additionalProperties"] = False
    return _titled(made, "steadycone-policy/1", "A site's policy, laid over its region's. A choice looser than the law is refused.")


def _titled(made: dict[str, Any], name: str, about: str) -> dict[str, Any]:
    return {"$schema": _DIALECT, "title": name, "description": about} | made


def _measure(kind: type) -> dict[str, Any]:
    """A value as a file has it: text with its unit, or a bare number where the kind has none."""
    if not issubclass(kind, Measure):
        raise NotImplementedError(kind)
    told: dict[str, Any] = {"type": "string", "description": kind.kind, "examples": [kind.example]}
    if issubclass(kind, GivenDate):
        return told | {"type": ["string", "integer"], "examples": ["2023-02", "2023-02-17", "2006/04", "5-95", "Q1 24", "2024"]}
    if issubclass(kind, Number | Share) and not issubclass(kind, Duration | Interval):
        return told | {"type": ["string", "number"]}
    return told
