"""Changes made in a station file's text: only what changes is touched."""

from steadycone.errors import InputError
from steadycone.files.edit_scan import Block, Pair, scan
from steadycone.files.edit_table import REMOVED, Change, table_rank
from steadycone.files.edit_values import dump, dump_key
from steadycone.station.form import Key, place_of

Path = tuple[Key, ...]
Splice = tuple[int, int, str]  # from, to, what stands there instead


def edited(text: str, changes: list[Change], after: dict[str, object]) -> str:
    """The text with these changes. `after`: the whole table as it shall read, for values that hold other values.

    Raises  InputError: a table written in a way that can't be edited in place.
    """
    blocks = scan(text)
    tables: dict[Path, list[Change]] = {}
    for change in changes:
        tables.setdefault(change.table, []).append(change)
    splices: list[Splice] = []
    whole: dict[int, Splice] = {}  # values that hold a whole table, by where they start
    by_path = {pair.path: pair for block in blocks for pair in block.pairs}
    for table, within in tables.items():
        holder = next((by_path[table[:length]] for length in range(1, len(table) + 1) if table[:length] in by_path), None)
        if holder:
            whole[holder.start] = _replaced(text, holder, _at(after, holder.path))
        else:
            splices += _table(text, blocks, table, within)
    return spliced(text, [*splices, *whole.values()])


def spliced(text: str, splices: list[Splice]) -> str:
    """The text with every splice made. They do not overlap; what is put in at one place keeps its order."""
    for start, end, told in sorted(splices, key=lambda splice: splice[:2])[::-1]:
        text = text[:start] + told + text[end:]
    return text


def newline(text: str) -> str:
    """The line end this file uses."""
    return "\r\n" if "\r\n" in text[:2000] else "\n"


def new_block(text: str, at: int, told: str) -> Splice:
    """A block of its own, set apart by a blank line, at the end of another one."""
    end = newline(text)
    before = "" if not at else end if text[at - 1] == "\n" else end * 2
    after = "" if at >= len(text) or text[at] in "\r\n" else end
    return at, at, before + told.replace("\n", end) + after


def place_for(blocks: list[Block], table: Path) -> int:
    """Where a new table belongs: at the end of the last block that comes before it in the form's order."""
    rank = table_rank(table)
    before = [(table_rank(block.path), block.end) for block in blocks if table_rank(block.path) <= rank]
    return max(before)[1]


def without_heading(text: str, block: Block) -> list[Splice]:
    """Take a heading away: the whole block where nothing but its keys is in it, else the comments stay."""
    own = [(pair.start, pair.end) for pair in block.pairs]
    rest = text[block.start : block.heading] + _without(text, block.body, block.end, own)
    if rest.strip():
        return [(block.heading, block.body, ""), *((start, end, "") for start, end in own)]
    return [(block.start, blanks_after(text, block.end), "")]


def blanks_after(text: str, at: int) -> int:
    """The end of the blank lines from here on."""
    while at < len(text):
        end = text.find("\n", at) + 1 or len(text)
        if text[at:end].strip():
            break
        at = end
    return at


def _without(text: str, start: int, end: int, cuts: list[tuple[int, int]]) -> str:
    kept = ""
    for cut_start, cut_end in cuts:
        kept += text[start:cut_start]
        start = cut_end
    return kept + text[start:end]


def _table(text: str, blocks: list[Block], table: Path, changes: list[Change]) -> list[Splice]:
    """The splices of one table that has its own heading, or dotted keys, or is new."""
    pairs = [pair for block in blocks for pair in block.pairs if pair.path[: len(table)] == table]
    below = [block for block in blocks if block.path[: len(table)] == table]
    splices: list[Splice] = []
    added: list[Change] = []
    gone: set[int] = set()
    for change in changes:
        path = (*table, change.name)
        own = next((pair for pair in pairs if pair.path == path), None)
        if own and change.value is not REMOVED:
            splices.append(_replaced(text, own, change.value))
            continue
        inner = [pair for pair in pairs if pair.path[: len(path)] == path]
        gone |= {pair.start for pair in inner}
        splices += [(pair.start, pair.end, "".join(_comment_lines(text, pair))) for pair in inner]
        splices += [(block.heading, block.body, "") for block in below if block.path[: len(path)] == path]
        if change.value is not REMOVED:
            added.append(change)
    emptied = _emptied(text, blocks, table, gone) if not added else []
    return emptied or splices + (_added(text, blocks, pairs, added) if added else [])


def _replaced(text: str, pair: Pair, value: object) -> Splice:
    """Another value in a pair's place; comments that stood inside the old one move above its line."""
    if not pair.comments:
        return pair.value_start, pair.value_end, dump(value)
    told = "".join(_comment_lines(text, pair)) + text[pair.start : pair.value_start] + dump(value)
    return pair.start, pair.value_end, told


def _comment_lines(text: str, pair: Pair) -> list[str]:
    return [comment + newline(text) for comment in pair.comments]


def _emptied(text: str, blocks: list[Block], table: Path, gone: set[int]) -> list[Splice]:
    """The splices that take away a table which has lost its last key and can't stand empty."""
    if table != ("settings",) and table[0] != "declared":
        return []
    own = [block for block in blocks if block.path == table]
    left = [pair for block in blocks if block.path[: len(table)] == table for pair in block.pairs if pair.start not in gone]
    return without_heading(text, own[0]) if own and not left else []


def _added(text: str, blocks: list[Block], pairs: list[Pair], changes: list[Change]) -> list[Splice]:
    """New keys at the end of their table; with a heading where it has none. `pairs`: those of the table."""
    table = changes[0].table
    home = next((block for block in blocks if block.path == table), None)
    dotted = [pair for pair in pairs if pair.path[:-1] == table and len(pair.names) > 1]
    end = newline(text)
    if home is None and dotted:
        at, before = dotted[-1].end, "".join(f"{dump_key(name)}." for name in dotted[-1].names[:-1])
        indent = _indent(text, dotted[-1])
    elif home:
        last = home.pairs[-1] if home.pairs else None
        at, before, indent = last.end if last else home.body, "", _indent(text, last) if last else ""
    else:
        return [new_block(text, place_for(blocks, table), _heading(table) + _lines(changes))]
    told = "".join(indent + line + end for line in _lines(changes, before).splitlines())
    return [(at, at, told if text[at - 1] == "\n" else end + told)]


def _indent(text: str, pair: Pair) -> str:
    line = text[pair.start : pair.value_start]
    return line[: len(line) - len(line.lstrip())]


def _heading(table: Path) -> str:
    name = ".".join(key for key in table if isinstance(key, str))
    return f"[[{name}]]\n" if isinstance(table[-1], int) else f"[{name}]\n"


def _lines(changes: list[Change], before: str = "") -> str:
    return "".join(f"{before}{dump_key(change.name)} = {dump(change.value)}\n" for change in changes)


def _at(table: object, path: Path) -> object:
    """What stands at a path of the table. Raises InputError where the path leads nowhere."""
    at = table
    for key in path:
        inside = at[key - 1] if isinstance(at, list) and isinstance(key, int) else at.get(key) if isinstance(at, dict) else None
        if inside is None:
            raise InputError(
                "this table is written in a way that can't be edited in place", where=place_of(path), try_="Edit the file's text."
            )
        at = inside
    return at
