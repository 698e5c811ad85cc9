"""One person's changes of a station laid over another's: field by field, and only where it is plain what belongs where."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from steadycone.errors import InputError
from steadycone.files.edit import (
    AddDeclared,
    AddLine,
    AddPart,
    Op,
    RemoveDeclared,
    RemoveLine,
    RemovePart,
    apply,
    change,
    fields_of,
    station_table,
)
from steadycone.files.edit_parts import NEW_LINE
from steadycone.station.form import LINES

How = Literal["laid", "over", "left"]
_LISTS = (*(f"{line}.part" for line in LINES), "declared")


@dataclass(frozen=True, slots=True)
class Step:
    """One change of mine. `path`: of a box, or of a list of parts, or of a line.

    how : laid (nobody else touched it), over (they changed it too, mine stands now), left (theirs stands: it has no plain place any more)
    """

    path: str
    how: How
    theirs: str = ""
    mine: str = ""


@dataclass(frozen=True, slots=True)
class Laid:
    text: str
    steps: tuple[Step, ...]


def lay_over(base: str, mine: str, theirs: str) -> Laid:
    """My changes since `base`, laid over `theirs`. Texts of station files; comments and spelling of what I did not change stay theirs.

    Raises  InputError: one of them is no station file, or can't be edited in place.
    """
    return _Laying(base, mine, theirs).done()


class _Laying:
    def __init__(self, base: str, mine: str, theirs: str) -> None:
        self.text = theirs
        self.tables = {"base": station_table(base), "mine": station_table(mine), "theirs": station_table(theirs)}
        self.values = {"base": fields_of(base), "mine": fields_of(mine), "theirs": fields_of(theirs)}
        self.steps: list[Step] = []
        self.settled: set[str] = set()  # lines and lists whose boxes are dealt with as a whole

    def done(self) -> Laid:
        for line in LINES:
            self._line(line)
        for owner in _LISTS:
            if owner.partition(".")[0] not in self.settled:
                self._list(owner)
        self._boxes()
        return Laid(self.text, tuple(self.steps))

    def _line(self, line: str) -> None:
        """A line that I added or took away."""
        base, mine, theirs = (self.tables[who].get(line) for who in ("base", "mine", "theirs"))
        if (base is None) == (mine is None):
            if base is not None and theirs is None and mine != base:
                self._leave(line)
            return
        if mine is None and theirs == base:
            self._put(line, [RemoveLine(line)])
        elif mine is not None and theirs is None:
            self._put(line, [AddLine(line), *_parts(line, mine, len(NEW_LINE))])
        elif theirs != mine:
            self._leave(line)
        self.settled.add(line)

    def _list(self, owner: str) -> None:
        """Parts that I added, took away or moved."""
        base, mine, theirs = (_entries(self.tables[who], owner) for who in ("base", "mine", "theirs"))
        if _kinds(mine) == _kinds(base):
            if _kinds(theirs) != _kinds(base):
                if mine != base:
                    self._leave(owner)
                self.settled.add(owner)
            return
        if theirs == base:
            line = owner.partition(".")[0]
            ops = _declared(len(theirs), mine) if owner == "declared" else _parts(line, {"part": mine}, len(theirs))
            self._put(owner, ops)
        elif theirs != mine:
            self._leave(owner)
        self.settled.add(owner)

    def _put(self, owner: str, ops: Sequence[Op]) -> None:
        """The operations, then every box below. What no box can hold is no whole answer, so then theirs stands."""
        text, mine = self.text, self.values["mine"]
        try:
            for op in ops:
                text = change(text, op)
            text = apply(text, {path: value for path, value in mine.items() if path.startswith(f"{owner}.")})
        except InputError:
            self._leave(owner)
            return
        if _entries(station_table(text), owner) != _entries(self.tables["mine"], owner):
            self._leave(owner)
            return
        self.text = text
        self.steps.append(Step(owner, "laid"))

    def _leave(self, owner: str) -> None:
        self.settled.add(owner)
        self.steps.append(Step(owner, "left"))

    def _boxes(self) -> None:
        base, mine, theirs = self.values["base"], self.values["mine"], self.values["theirs"]
        wanted: dict[str, str] = {}
        for path in dict.fromkeys([*mine, *base]):
            before, own, other = base.get(path, ""), mine.get(path, ""), theirs.get(path, "")
            if own in (before, other) or any(path.startswith(f"{owner}.") for owner in self.settled):
                continue
            wanted[path] = own
            self.steps.append(Step(path, "laid" if other == before else "over", other, own))
        self.text = apply(self.text, wanted)


def _entries(table: Mapping[str, Any], owner: str) -> Any:
    """What stands at a line or a list; an empty list where a list is not there."""
    at: Any = table
    for key in owner.split("."):
        at = at.get(key) if isinstance(at, Mapping) else None
    return at if at is not None else [] if owner in _LISTS else None


def _kinds(entries: Any) -> list[object]:
    return [entry.get("kind") if isinstance(entry, Mapping) else None for entry in entries] if isinstance(entries, list) else []


def _parts(line: str, told: Mapping[str, Any], before: int) -> list[Op]:
    """These parts, in place of as many as stood there before. The new ones come first: a line is never left without any."""
    return [*(AddPart(line, str(kind)) for kind in _kinds(told.get("part", []))), *[RemovePart(line, 1)] * before]


def _declared(count: int, mine: Any) -> list[Op]:
    return [*[RemoveDeclared(1)] * count, *(AddDeclared(str(kind)) for kind in _kinds(mine))]
