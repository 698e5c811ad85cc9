"""Mutants: small wrong changes to the program's own code and tables, each of which a test ought to notice.

A mutant is found by its place in a fixed order, so a list made twice from the same source is the same list.
"""

import ast
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

SRC = Path(__file__).parent.parent / "src" / "steadycone"
_BOUNDARY = {ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt}
_NEGATED = {
    ast.Lt: ast.GtE, ast.LtE: ast.Gt, ast.Gt: ast.LtE, ast.GtE: ast.Lt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq,
    ast.In: ast.NotIn, ast.NotIn: ast.In, ast.Is: ast.IsNot, ast.IsNot: ast.Is,
}  # fmt: skip
_SWAPPED = {
    "min": "max", "max": "min", "any": "all", "all": "any", "low": "high", "high": "low",
    "earliest": "latest", "latest": "earliest",
}  # fmt: skip
_SOFTER = {"stop": "caution", "caution": "go"}
_TABLE_NUMBER = re.compile(r"(?<![\w.])-?\d+(?:\.\d+)?(?:e-?\d+)?(?![\w.])")
_TABLE_TEXTS = ("title", "note", "place", "says", "why", "do", "remedy", "evidence", "source", "sources", "reason", "word", "words", "help")


@dataclass(frozen=True, slots=True)
class Mutant:
    """One wrong change. `path`: below src/steadycone. `scope`: the outermost function it is in, or "" for what runs at import."""

    path: str
    line: int
    kind: str
    number: int  # in its file's order
    scope: str
    block: str
    before: str
    after: str
    copy: int = 0  # of several alike on one line

    @property
    def id(self) -> str:
        return f"{self.path}:{self.line}:{self.kind}" + (f".{self.copy}" if self.copy else "")

    @property
    def name(self) -> str:
        """What stays the same when lines move: the place, and the change in words."""
        return f"{self.path} {self.scope or 'module'}: {self.before} -> {self.after}"


@dataclass(frozen=True, slots=True)
class _Change:
    node: ast.AST
    kind: str
    before: str
    after: str
    make: Callable[[], None]


def mutants_of(path: Path) -> list[Mutant]:
    """Every mutant of a module or of a TOML table, in order."""
    if path.suffix == ".toml":
        return list(_of_table(path))
    tree = ast.parse(path.read_text(encoding="utf-8"))
    places = Places(tree)
    found: list[Mutant] = []
    seen: dict[tuple[int, str], int] = {}
    for number, change in enumerate(_changes(tree)):
        line = (change.node.target if isinstance(change.node, ast.comprehension) else change.node).lineno  # type: ignore[attr-defined]
        seen[line, change.kind] = seen.get((line, change.kind), -1) + 1
        scope, block = places.of(change.node)
        name = path.relative_to(SRC).as_posix()
        found.append(Mutant(name, line, change.kind, number, scope, block, change.before, change.after, seen[line, change.kind]))
    return found


def mutated(path: Path, number: int) -> ast.Module:
    """The module's tree with one change made."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    for place, change in enumerate(_changes(tree)):
        if place == number:
            change.make()
            return ast.fix_missing_locations(tree)
    raise IndexError(number)


# --- where things are ---------------------------------------------------------------------


class Places:
    """The functions and the blocks of a module. A block is what runs together: its name is the function's and a number."""

    def __init__(self, tree: ast.Module) -> None:
        self._of: dict[int, tuple[str, str]] = {}
        self.starts: list[tuple[list[ast.stmt], int, str]] = []  # a body, the place in it, the block that begins there
        self._counts: dict[str, int] = {}
        self._body(tree.body, "", "", False)

    def of(self, node: ast.AST) -> tuple[str, str]:
        return self._of.get(id(node), ("", ""))

    def _body(self, body: list[ast.stmt], outer: str, name: str, within: bool) -> None:
        """within : whether this is run when a function is called, not at import"""
        block, begins = "", True
        for place, statement in enumerate(body):
            if within and begins and not _is_text(statement):
                self._counts[name] = self._counts.get(name, 0) + 1
                block, begins = f"{name}:{self._counts[name]}", False
                self.starts.append((body, place, block))
            self._statement(statement, outer, name, block, within)
            begins = begins or hasattr(statement, "body")

    def _statement(self, statement: ast.stmt, outer: str, name: str, block: str, within: bool) -> None:
        self._of[id(statement)] = outer, block
        function = isinstance(statement, ast.FunctionDef | ast.AsyncFunctionDef)
        inside = function or isinstance(statement, ast.ClassDef)
        inner = f"{name}.{statement.name}" if inside and name else statement.name if inside else name  # type: ignore[attr-defined]
        for field, value in ast.iter_fields(statement):
            if isinstance(value, list) and value and isinstance(value[0], ast.stmt):
                self._body(value, outer or (inner if function else ""), inner, within or function)
                if function and field == "body" and not within:
                    self._of.update({id(each): (inner, self._first(value)) for each in value if id(each) not in self._of})
            for each in value if isinstance(value, list) else [value]:
                if isinstance(each, ast.ExceptHandler | ast.match_case):
                    self._body(each.body, outer, inner, within)
                elif isinstance(each, ast.AST) and not isinstance(each, ast.stmt):
                    for node in ast.walk(each):
                        self._of.setdefault(id(node), (outer, block))

    def _first(self, body: list[ast.stmt]) -> str:
        return next((block for each, _, block in self.starts if each is body), "")


def _is_text(statement: ast.stmt) -> bool:
    return (isinstance(statement, ast.Expr) and isinstance(statement.value, ast.Constant)) or isinstance(
        statement, ast.Global | ast.Nonlocal
    )


# --- what is changed in code ----------------------------------------------------------------


def _changes(tree: ast.Module) -> Iterator[_Change]:
    """In the order of the source. Nothing is changed in types, texts, imports and assertions."""
    yield from _within(tree)


def _within(parent: ast.AST) -> Iterator[_Change]:
    for field, value in ast.iter_fields(parent):
        if field in ("annotation", "returns", "decorator_list", "type_params", "bases"):
            continue
        for place, node in enumerate(value) if isinstance(value, list) else [(None, value)]:
            if not isinstance(node, ast.AST) or isinstance(node, ast.Assert | ast.Import | ast.ImportFrom | ast.JoinedStr):
                continue
            if isinstance(node, ast.If) and isinstance(node.test, ast.Name) and node.test.id == "TYPE_CHECKING":
                continue
            if isinstance(node, ast.Assign) and any(isinstance(each, ast.Name) and each.id == "__all__" for each in node.targets):
                continue
            for kind, new in _wrong(node, parent, field):
                yield _Change(node, kind, _told(node), _told(new), _putting(parent, field, place, new))
            if isinstance(node, ast.FunctionDef):
                yield from _early(node)
            yield from _within(node)


def _putting(parent: ast.AST, field: str, place: int | None, new: ast.AST) -> Callable[[], None]:
    def put() -> None:
        if place is None:
            setattr(parent, field, new)
        else:
            getattr(parent, field)[place] = new

    return put


def _wrong(node: ast.AST, parent: ast.AST, field: str) -> Iterator[tuple[str, ast.AST]]:
    match node:
        case ast.Compare():
            yield from _compared(node)
        case ast.Constant():
            yield from _constant(node)
        case ast.BinOp():
            yield from _sum(node)
        case ast.BoolOp():
            yield "and-or", _like(node, ast.BoolOp(ast.Or() if isinstance(node.op, ast.And) else ast.And(), node.values))
            for place in range(len(node.values)):
                left = [each for at, each in enumerate(node.values) if at != place]
                yield "term", left[0] if len(left) == 1 else _like(node, ast.BoolOp(node.op, left))
        case ast.UnaryOp(op=ast.Not() | ast.USub()) if not isinstance(node.operand, ast.Constant):
            yield "sign", node.operand
        case ast.Name(id=name, ctx=ast.Load()) if _SWAPPED.get(name, name) != name:
            yield "swap", _like(node, ast.Name(_SWAPPED[name], ast.Load()))
        case ast.Attribute(attr=name, ctx=ast.Load()) if _SWAPPED.get(name, name) != name:
            yield "swap", _like(node, ast.Attribute(node.value, _SWAPPED[name], ast.Load()))
        case ast.If():
            yield "off", _like(node, ast.If(ast.Constant(False), node.body, node.orelse))
        case ast.IfExp():
            yield "off", node.orelse
            yield "on", node.body
        case ast.comprehension(ifs=[_, *_]):
            yield "filter", ast.comprehension(node.target, node.iter, [], node.is_async)
        case ast.Raise() | ast.AugAssign() | ast.Expr(value=ast.Call()):
            if not (isinstance(node, ast.Raise) and isinstance(parent, ast.If) and field == "body" and len(parent.body) == 1):
                yield "dropped", _like(node, ast.Pass())


def _like(old: ast.AST, new: ast.AST) -> ast.AST:
    return ast.copy_location(new, old)


def _compared(node: ast.Compare) -> Iterator[tuple[str, ast.AST]]:
    for place, op in enumerate(node.ops):
        for kind, table in (("limit", _BOUNDARY), ("negated", _NEGATED)):
            if type(op) in table:
                ops = [*node.ops[:place], table[type(op)](), *node.ops[place + 1 :]]
                yield kind, _like(node, ast.Compare(node.left, ops, node.comparators))


def _constant(node: ast.Constant) -> Iterator[tuple[str, ast.AST]]:
    value = node.value
    if isinstance(value, bool):
        yield "flag", _like(node, ast.Constant(not value))
    elif isinstance(value, int):
        yield from (("number", _like(node, ast.Constant(value + step))) for step in (1, -1))
    elif isinstance(value, float):
        yield from (("number", _like(node, ast.Constant(value * by if value else by - 1))) for by in (1.1, 0.9))
    elif isinstance(value, str) and value in _SOFTER:
        yield "verdict", _like(node, ast.Constant(_SOFTER[value]))


def _sum(node: ast.BinOp) -> Iterator[tuple[str, ast.AST]]:
    if any(
        isinstance(side, ast.JoinedStr) or (isinstance(side, ast.Constant) and isinstance(side.value, str))
        for side in (node.left, node.right)
    ):
        return
    match node.op:
        case ast.Add() | ast.Mult() | ast.BitOr() | ast.BitAnd():
            yield "term", node.left
            yield "term", node.right
        case ast.Sub():
            yield "term", node.left
            yield "sign", _like(node, ast.BinOp(node.left, ast.Add(), node.right))
        case ast.Div():
            yield "term", node.left
            yield "sign", _like(node, ast.BinOp(node.left, ast.Mult(), node.right))


def _early(node: ast.FunctionDef) -> Iterator[_Change]:
    """A function that comes back at once: with nothing, or with yes or no."""
    told = ast.unparse(node.returns) if node.returns else ""
    yields = told.startswith("Iterator")
    results = {"bool": ("True", "False"), "None": ("None",), "str": ('""',)}.get(told, ())
    results = results or (
        ("[]",) if told.startswith("list") else ("()",) if told.startswith("tuple") else ("None",) if "None" in told or yields else ()
    )
    first = 1 if ast.get_docstring(node) is not None else 0
    if len(node.body) <= first:
        return
    for result in results:
        value = None if yields else ast.parse(result, mode="eval").body

        def put(value: ast.expr | None = value) -> None:
            node.body.insert(first, ast.copy_location(ast.Return(value), node.body[first]))

        yield _Change(node.body[first], "early", f"def {node.name}", "return" if yields else f"return {result}", put)


def _told(node: ast.AST) -> str:
    """The code in one line, short."""
    if isinstance(node, ast.comprehension):
        return "for … " + " ".join(f"if {ast.unparse(each)}" for each in node.ifs)
    if isinstance(node, ast.If):
        return f"if {ast.unparse(node.test)}"[:110]
    return " ".join(ast.unparse(node).split())[:110]


# --- what is changed in tables --------------------------------------------------------------


def _of_table(path: Path) -> Iterator[Mutant]:
    """Each figure of a table up and down: a tenth, or one for whole numbers under ten."""
    name, number, many = path.relative_to(SRC).as_posix(), 0, False
    for line, text in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
        many, was = (text.count('"""') % 2 == 1) != many, many
        key = text.partition("=")[0].strip()
        if was or '"""' in text or "=" not in text or key in _TABLE_TEXTS or text.lstrip().startswith(("#", "[")):
            continue
        found = list(_TABLE_NUMBER.finditer(_value_part(text)))
        for copy_ in range(2 * len(found)):
            spot = found[copy_ // 2]
            new = _other(spot[0], copy_ % 2 == 0)
            yield Mutant(name, line, "figure", number, key, "", text.strip()[:100], f"{spot[0]} -> {new}", copy_)
            number += 1


def _value_part(text: str) -> str:
    """The line with its key and its comment blanked out, so that places stay."""
    key, _, rest = text.partition("=")
    rest = re.sub(r'(\bsources?\s*=\s*)(\[[^]]*\]|"[^"]*")', lambda found: " " * len(found[0]), rest)
    rest = re.sub(r"#[^\"]*$", lambda found: " " * len(found[0]), rest)
    return " " * (len(key) + 1) + rest


def _other(figure: str, up: bool) -> str:
    if "." not in figure and "e" not in figure and abs(int(figure)) < 20:
        return str(int(figure) + (1 if up else -1))
    value = float(figure) * (1.1 if up else 0.9)
    return str(round(value)) if "." not in figure and "e" not in figure else f"{value:.6g}"


def table_text(path: Path, number: int) -> str:
    """A table's text with one figure changed."""
    mutant = mutants_of(path)[number]
    lines = path.read_text(encoding="utf-8").splitlines()
    text = lines[mutant.line - 1]
    spot = list(_TABLE_NUMBER.finditer(_value_part(text)))[mutant.copy // 2]
    lines[mutant.line - 1] = text[: spot.start()] + mutant.after.split(" -> ")[1] + text[spot.end() :]
    return "\n".join(lines) + "\n"


# --- counting what runs ------------------------------------------------------------------------


def counted(path: Path, first: int) -> tuple[ast.Module, list[str]]:
    """The module's tree with a note at the start of each block, `__hits__[n] = 1`, and the blocks' names from number `first` on."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    starts = Places(tree).starts
    name = path.relative_to(SRC).as_posix()
    names = [f"{name}:{block}" for _, _, block in starts]
    notes: dict[int, list[tuple[int, ast.stmt, list[ast.stmt]]]] = {}
    for at, (body, place, _) in enumerate(starts):
        note = ast.parse(f"__hits__[{first + at}] = 1").body[0]
        for node in ast.walk(note):
            ast.copy_location(node, body[place])
        notes.setdefault(id(body), []).append((place, note, body))
    for body_notes in notes.values():
        for place, note, body in sorted(body_notes, key=lambda each: -each[0]):
            body.insert(place, note)
    return tree, names


__all__ = ["SRC", "Mutant", "counted", "mutants_of", "mutated", "table_text"]
