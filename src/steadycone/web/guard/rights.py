"""What a person may do, by the roles that the log gives them today."""

from collections.abc import Iterable
from typing import Literal

from steadycone.data.reader import toml

Right = Literal["open", "own", "read", "round", "sign", "station", "gear", "release", "people"]

STARTING: frozenset[Right] = frozenset({"open", "own"})  # with a password that somebody else gave: to change it, and no more


def rights(roles: Iterable[str]) -> frozenset[str]:
    """The rights of all the roles together. Somebody known without a role reads."""
    table: dict[str, list[str]] = toml("rights.toml")["role"]
    return frozenset({*STARTING, "read", *(right for role in roles for right in table.get(role, ()))})


def roles_with(right: str) -> list[str]:
    """The roles that have a right, to tell whom to ask."""
    return [role for role, found in toml("rights.toml")["role"].items() if right in found]
