"""Parts, lines and declared things added, taken away and moved: in the table, and in the text as whole blocks."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from steadycone.errors import InputError, OutOfRange, UnknownName, nearest
from steadycone.files.edit_scan import Block, scan
from steadycone.files.edit_text import Splice, blanks_after, new_block, place_for, spliced
from steadycone.files.edit_values import dump
from steadycone.station.form import LINES, Key, fields_in, place_of

Path = tuple[Key, ...]
ADDABLE = ("preheat_oxygen",)  # lines a station may do without
MOST_PARTS = 100
NEW_LINE = ("arrestor", "hose", "arrestor")  # parts of a new line, regulator to torch


@dataclass(frozen=True, slots=True)
class AddPart:
    """A part of this kind with nothing stated yet, so that it stands as number `at`; 0: at the torch end."""

    line: str
    kind: str
    at: int = 0


@dataclass(frozen=True, slots=True)
class RemovePart:
    line: str
    number: int


@dataclass(frozen=True, slots=True)
class MovePart:
    """One place towards the regulator, or towards the torch."""

    line: str
    number: int
    to: Literal["regulator", "torch"]


@dataclass(frozen=True, slots=True)
class DuplicatePart:
    """The same again, right after it."""

    line: str
    number: int


@dataclass(frozen=True, slots=True)
class AddLine:
    """A preheat oxygen line, with an arrestor at both ends of a hose and nothing stated of them."""

    line: str = "preheat_oxygen"


@dataclass(frozen=True, slots=True)
class RemoveLine:
    line: str = "preheat_oxygen"


@dataclass(frozen=True, slots=True)
class AddDeclared:
    kind: str


@dataclass(frozen=True, slots=True)
class RemoveDeclared:
    number: int


Op = AddPart | RemovePart | MovePart | DuplicatePart | AddLine | RemoveLine | AddDeclared | RemoveDeclared


def changed_parts(table: Mapping[str, Any], op: Op) -> dict[str, Any]:
    """The table as the operation leaves it; the one given is left alone. Raises InputError: no such part, kind or line."""
    after = dict(table)
    if isinstance(op, AddLine):
        _check_line(table, op)
        parts = [{"kind": kind} for kind in NEW_LINE]
        return after | {op.line: {"supply": {}, "regulator": {}, "part": parts}}
    if isinstance(op, RemoveLine):
        _check_line(table, op)
        del after[op.line]
        if isinstance(table.get("settings"), dict):
            after["settings"] = {name: value for name, value in table["settings"].items() if name != op.line}
        return after
    owner = _owner(op)
    entries = list(_entries(table, owner))
    _listed(entries, op, owner)
    if owner == ("declared",):
        after["declared"] = entries
        return {name: value for name, value in after.items() if name != "declared" or value}
    line = str(owner[0])
    return after | {line: {**table.get(line, {}), "part": entries}}


def edited_parts(text: str, table: Mapping[str, Any], op: Op) -> str:
    """The same in the text. Raises InputError: parts that do not stand under headings of their own."""
    blocks = scan(text)
    if isinstance(op, AddLine):
        told = f"[{op.line}.supply]\n\n[{op.line}.regulator]\n" + "".join("\n" + _new(op.line + ".part", kind) for kind in NEW_LINE)
        return spliced(text, [new_block(text, place_for(blocks, (op.line, "part", MOST_PARTS)), told)])
    if isinstance(op, RemoveLine):
        return spliced(text, _line_gone(text, blocks, op.line))
    owner = _owner(op)
    spans = [_span(blocks, (*owner, number)) for number in range(1, len(_entries(table, owner)) + 1)]
    if isinstance(op, AddPart | AddDeclared):
        at = (op.at if isinstance(op, AddPart) else 0) or len(spans) + 1
        where = spans[at - 2][1] if at > 1 else spans[0][0] if spans else place_for(blocks, (*owner, 1))
        told = _new(".".join(map(str, owner)), op.kind)
        before = at == 1 and spans
        return spliced(text, [(where, where, _ended(text, told + "\n"))] if before else [new_block(text, where, told)])
    start, end = spans[op.number - 1]
    if isinstance(op, DuplicatePart):
        return spliced(text, [new_block(text, end, text[start:end].replace("\r\n", "\n"))])
    if isinstance(op, MovePart):
        other = spans[op.number - 2 if op.to == "regulator" else op.number]
        return _swapped(text, *sorted([(start, end), other]))
    return spliced(text, [(start, blanks_after(text, end), "")])


def _owner(op: Op) -> Path:
    return ("declared",) if isinstance(op, AddDeclared | RemoveDeclared) else (op.line, "part")


def _check_line(table: Mapping[str, Any], op: AddLine | RemoveLine) -> None:
    if op.line not in ADDABLE:
        raise UnknownName(f'"{op.line[:40]}" is not a line that comes and goes', where="form", try_=nearest(op.line[:40], ADDABLE))
    if (op.line in table) == isinstance(op, AddLine):
        says = "this line is there already" if isinstance(op, AddLine) else "there is no such line"
        raise InputError(says, where=op.line, try_="Load the form again.")


def _entries(table: Mapping[str, Any], owner: Path) -> list[Any]:
    """The parts of a line. Raises UnknownName: no such line. InputError: something that is no list."""
    if owner[0] not in (*LINES, "declared"):
        raise UnknownName(f'"{str(owner[0])[:40]}" is not a line', where="form", try_=nearest(str(owner[0])[:40], LINES))
    at: Any = table
    for key in owner:
        at = at.get(key, [] if key == owner[-1] else {}) if isinstance(at, dict) else None
    if not isinstance(at, list):
        raise InputError("no list of tables", where=place_of(owner), try_="Mend the file's text first.")
    return at


def _listed(entries: list[Any], op: Op, owner: Path) -> None:
    """The operation on the list itself."""
    if isinstance(op, AddPart | AddDeclared):
        at = (op.at if isinstance(op, AddPart) else 0) or len(entries) + 1
        _check_new(op.kind, str(owner[-1]), len(entries), owner)
        _check_number(at, len(entries) + 1, owner)
        entries.insert(at - 1, {"kind": op.kind})
        return
    if isinstance(op, AddLine | RemoveLine):
        raise AssertionError(op)
    _check_number(op.number, len(entries), owner)
    if isinstance(op, RemovePart | RemoveDeclared):
        del entries[op.number - 1]
    elif isinstance(op, DuplicatePart):
        _check_new(None, "part", len(entries), owner)
        entries.insert(op.number, entries[op.number - 1])
    else:
        other = op.number - 1 if op.to == "regulator" else op.number + 1
        _check_number(other, len(entries), owner)
        entries[op.number - 1], entries[other - 1] = entries[other - 1], entries[op.number - 1]


def _check_new(kind: str | None, noun: str, length: int, owner: Path) -> None:
    choices = fields_in(noun)["kind"].choices
    if kind is not None and kind not in choices:
        raise UnknownName(f'"{kind[:40]}" is not a kind of this', where=place_of(owner), try_=nearest(kind[:40], choices))
    if length >= MOST_PARTS:
        raise OutOfRange(f"{length} entries; at most {MOST_PARTS}", where=place_of(owner), try_="Take one away first.")


def _check_number(number: int, most: int, owner: Path) -> None:
    if not 1 <= number <= most:
        raise OutOfRange(f"no number {number} here; 1 to {most}", where=place_of(owner), try_="Load the form again.")


def _new(heading: str, kind: str) -> str:
    # The kind alone: a gas or grade filled in here would be judged good though nobody has read it off the part.
    return f"[[{heading}]]\nkind = {dump(kind)}\n"


def _ended(text: str, told: str) -> str:
    return told.replace("\n", "\r\n") if "\r\n" in text[:2000] else told


def _span(blocks: list[Block], place: Path) -> tuple[int, int]:
    """Where an entry stands, with its comments and the tables below it."""
    own = [at for at, block in enumerate(blocks) if block.path[: len(place)] == place]
    if not own or not blocks[own[0]].listed or own != list(range(own[0], own[-1] + 1)):
        heading = ".".join(str(key) for key in place[:-1])
        raise InputError(
            "this list can't be edited in place", where=place_of(place), try_=f"Write each entry under a heading of its own, [[{heading}]]."
        )
    return blocks[own[0]].start, blocks[own[-1]].end


def _swapped(text: str, first: tuple[int, int], second: tuple[int, int]) -> str:
    """Two entries in each other's place; what stands between them stays."""
    end = "" if text[second[1] - 1] == "\n" else "\n"
    one, other = text[slice(*first)], text[slice(*second)] + end
    return text[: first[0]] + other + text[first[1] : second[0]] + one + text[second[1] :]


def _line_gone(text: str, blocks: list[Block], line: str) -> list[Splice]:
    cuts: list[Splice] = []
    for block in blocks:
        if block.path[:1] == (line,):
            cuts.append((block.start, blanks_after(text, block.end), ""))
        else:
            named = [pair for pair in block.pairs if pair.path == ("settings", line) or pair.path[:1] == (line,)]
            cuts += [(pair.start, pair.end, "") for pair in named]
    return cuts
