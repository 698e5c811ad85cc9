"""Where official texts differ: the choices side by side, which one is in force, and the ways that no policy can choose."""

from dataclasses import dataclass
from functools import cache
from typing import Any

from steadycone.data.reader import FOLDER, toml
from steadycone.errors import LooserThanLaw, RefusedVariant, UnknownName, nearest
from steadycone.station.policy import Policy

_TABLE = "procedures/variants.toml"


@dataclass(frozen=True, slots=True)
class Choice:
    """One way of doing it, with who says so and the reason they give."""

    name: str
    says: str
    reason: str
    source: tuple[str, ...]
    fuels: tuple[str, ...] = ()  # empty = all
    forbidden: tuple[tuple[str, str], ...] = ()  # region, source of the law that rules it out
    short: str = ""  # fills a blank of a step


@dataclass(frozen=True, slots=True)
class Variant:
    """One question with its choices. `field`: the answer is a value of the policy (its name), not a name among the choices."""

    name: str
    asks: str
    choices: tuple[Choice, ...]
    field: str = ""
    note: str = ""
    source: tuple[str, ...] = ()  # of the note

    def starts_in(self, name: str) -> tuple[str, ...]:
        """The regions that start from one of the choices."""
        regions = {path.stem: toml(f"regions/{path.name}") for path in sorted((FOLDER / "regions").glob("*.toml"))}
        return tuple(
            region for region, table in regions.items() if (table[self.field] if self.field else table["variants"][self.name]) == name
        )

    def choice(self, name: str) -> Choice:
        """A choice by its name. Raises UnknownName."""
        for choice in self.choices:
            if choice.name == name:
                return choice
        names = [choice.name for choice in self.choices]
        raise UnknownName(f'"{name[:60]}" is not a choice of {self.name}', where=f"variants, {self.name}", try_=nearest(name, names))


@dataclass(frozen=True, slots=True)
class Refused:
    """A way that some texts name and that nobody can choose."""

    name: str
    says: str
    reason: str
    try_: str
    source: tuple[str, ...]
    also: tuple[str, ...] = ()


@cache
def variants() -> tuple[Variant, ...]:
    """Every question on which official texts differ."""
    return tuple(_variant(entry) for entry in toml(_TABLE)["variant"])


def variant(name: str) -> Variant:
    """One question by its name. Raises UnknownName."""
    for found in variants():
        if found.name == name:
            return found
    raise UnknownName(f'"{name[:60]}" is not a variant', where="variants", try_=nearest(name, [each.name for each in variants()]))


@cache
def refused() -> tuple[Refused, ...]:
    """Every way that is known and refused."""
    return tuple(
        Refused(entry["name"], entry["says"], entry["reason"], entry["try"], tuple(entry["source"]), tuple(entry.get("also", ())))
        for entry in toml(_TABLE)["refused"]
    )


def chosen(policy: Policy, name: str) -> Choice:
    """The choice in force for a question that is answered by a name. Raises UnknownName."""
    return variant(name).choice(policy.variants[name])


def check_choices(given: object, region: str) -> None:
    """Refuse what a site's `variants` table may not say. What is no table is left to whoever reads it.

    Raises  RefusedVariant: a known unsafe way. UnknownName: no such question or choice. LooserThanLaw: the region's law rules it out.
    """
    for name, choice in given.items() if isinstance(given, dict) else ():
        _refuse(str(name), choice)
        _known(str(name))
        _allowed(variant(str(name)).choice(str(choice)), str(name), region)


def _refuse(name: str, choice: object) -> None:
    """A refused way is named as the question, as the choice, or as both; a question's own choices are never one."""
    said = _plain(choice) if isinstance(choice, str) else ""
    question = next((each for each in variants() if each.name == name), None)
    if question and any(one.name == choice for one in question.choices):
        return
    asked = {said, f"{_plain(name)}={said}"} | (set() if question else {_plain(name), f"{_plain(name)}-{said}"})
    for way in refused():
        if asked & {way.name, *way.also}:
            raise RefusedVariant(
                f"{way.says}: {way.reason[0].lower()}{way.reason[1:]}",
                where=f"variants, {name[:60]}",
                try_=f"{way.try_} Source: {', '.join(way.source)}.",
            )


def _plain(text: str) -> str:
    return "-".join(text.lower().replace("_", " ").replace("-", " ").split())


def _known(name: str) -> None:
    named = [each.name for each in variants() if not each.field]
    if name in named:
        return
    fields = {each.name: each for each in variants() if each.field}
    if name in fields:
        example = fields[name].choices[0].name
        raise UnknownName(
            f'"{name}" is not chosen among the variants',
            where=f"variants, {name}",
            try_=f'Write {name} = "{example}" beside variants, not in it.',
        )
    raise UnknownName(f'"{name[:60]}" is not a variant', where=f"variants, {name[:60]}", try_=nearest(name, named))


def _allowed(choice: Choice, name: str, region: str) -> None:
    source = dict(choice.forbidden).get(region)
    if source:
        raise LooserThanLaw(
            f'"{choice.name}" is looser than this region ({region}) allows',
            where=f"variants, {name}",
            try_=f"Choose another, or leave it out. Source: {source}.",
        )


def _variant(entry: dict[str, Any]) -> Variant:
    choices = tuple(_choice(choice) for choice in entry["choice"])
    return Variant(entry["name"], entry["asks"], choices, entry.get("field", ""), entry.get("note", ""), tuple(entry.get("source", ())))


def _choice(entry: dict[str, Any]) -> Choice:
    return Choice(
        name=entry["name"],
        says=entry["says"],
        reason=entry["reason"],
        source=tuple(entry["source"]),
        fuels=tuple(entry.get("fuels", ())),
        forbidden=tuple(entry.get("forbidden", {}).items()),
        short=entry.get("short", ""),
    )
