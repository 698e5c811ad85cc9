"""A worksheet's or a what-if's fields as a form shows them, and what was typed into them."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from steadycone.data import reader
from steadycone.errors import InputError, SteadyconeError
from steadycone.render.words import Words, capital
from steadycone.render.worksheet import worded

if TYPE_CHECKING:
    from steadycone.web.desk import Desk

LONGEST = 500  # characters of one value: the longest, a maker's flow curve, has some 300


@dataclass(frozen=True, slots=True)
class Field:
    """One field. options : (value, says) of a choice, () for free text. alone : it must be given. wrong : what to say at it."""

    name: str
    says: str
    hint: str
    example: str
    options: tuple[tuple[str, str], ...] = ()
    value: str = ""
    needed: bool = False
    wrong: str = ""


def typed(desk: "Desk", aside: Sequence[str] = ("done", "as")) -> dict[str, str]:
    """The address's key=value pairs, those left empty too, without the page's own.

    Raises  InputError: a key twice, or a value too long.
    """
    found: dict[str, str] = {}
    for key, value in desk.asked.multi_items():
        if key in aside:
            continue
        if key in found:
            raise InputError(f'"{key[:60]}" is there twice', where="address", try_="Give each field once.")
        if len(value) > LONGEST:
            raise InputError(f"{len(value)} characters", where=key[:60], try_=f"{LONGEST} at most.")
        found[key] = " ".join(value.split())
    return found


def field(
    name: str, kind: str, help: str, example: str, default: str | None, needed: bool, options: Iterable[str], words: Words, value: str
) -> Field:
    """A described field in the region's words."""
    told = capital(worded(help, words))
    usual = f"{default} if left out" if default is not None and default not in help else ""
    choices = tuple((word, capital(worded(_gas(word, kind, words), words))) for word in options)
    left_out = f"as usual: {default}" if default is not None else "leave out" if not needed else "choose"
    if choices and not (needed and value):
        choices = (("", left_out), *choices)
    return Field(
        name=name,
        says=capital(worded(name.replace("_", " "), words)),
        hint=told + (f"; {usual}" if usual and not choices else ""),
        example=_regional(name, kind, example, words),
        options=choices,
        value=value,
        needed=needed,
    )


def _gas(word: str, kind: str, words: Words) -> str:
    return words.gas(word) if kind == "gas" else word


def _regional(name: str, kind: str, example: str, words: Words) -> str:
    """An example of how to write a value, in the units that are read here."""
    tables = reader.toml("sums.toml")["placeholder"]
    own: str = tables["all"].get(name, example)
    if words.numbers.units["pressure"] != "psi":
        return own
    found: str = tables["psi"]["field"].get(name) or tables["psi"]["kind"].get(kind) or own
    return found


@dataclass(frozen=True, slots=True)
class Problem:
    """What is wrong with what was typed. `says` and `try_` stand at the top; a field's own stands at it too."""

    says: str
    try_: str
    fields: tuple[str, ...]


def problem_of(error: SteadyconeError, names: Iterable[str]) -> Problem:
    """An error told to somebody who sees a form: its field where it names one, else every field that its sentence names."""
    known = list(names)
    own = error.where.rpartition(", ")[2]
    if own in known:
        return Problem(error.says, error.try_, (own,))
    found = tuple(name for name in known if re.search(rf"\b{re.escape(name)}\b", error.says))
    says, try_ = plain(error.says, known), plain(error.try_, known)
    if found and error.says.endswith("missing"):
        try_ = "Fill it in, then work it out again." if len(found) == 1 else "Fill in what is marked, then work it out again."
    return Problem(capital(says), try_, found)


def plain(told: str, names: Iterable[str]) -> str:
    """Field names as they stand over the fields: without underscores."""
    for name in sorted((each for each in names if "_" in each), key=len, reverse=True):
        told = told.replace(name, name.replace("_", " "))
    return told


def marked(fields: Iterable[Field], problem: Problem | None) -> list[Field]:
    """The fields with what is wrong said at those that are."""
    if problem is None:
        return list(fields)
    single = len(problem.fields) == 1
    told = f"{capital(problem.says)}. {problem.try_}".replace("..", ".") if single else "See above."
    return [replace(each, wrong=told) if each.name in problem.fields else each for each in fields]


def command(head: str, pairs: Mapping[str, str]) -> str:
    """The same on the command line, safe to paste into a shell."""
    import shlex

    def quoted(value: str) -> str:
        if re.fullmatch(r"[\w.:/+-]+", value, re.ASCII):
            return value
        if re.fullmatch(r"[\w .,:;/%°+±²³µ()-]*", value):
            return f'"{value}"'
        return shlex.quote(value)

    return " ".join([head, *(f"{key}={quoted(value)}" for key, value in pairs.items() if value)])
