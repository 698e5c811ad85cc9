"""The lists of a what-if as tables: a column a number, a line a point. Only lists that have a title in the texts."""

from typing import TYPE_CHECKING, NamedTuple

from steadycone.quantity import Quantity
from steadycone.render.text import WIDTH

if TYPE_CHECKING:
    from steadycone.render.whatif import Told

_LEAST = 12  # letters of the first column


class Listed(NamedTuple):
    """One list: its title, the heads of its columns, and its rows."""

    title: str
    heads: list[str]
    rows: list[list[str]]


def lists(told: "Told") -> list[Listed]:
    """Every list that has a title in the texts."""
    found = []
    for key, points in told.outcome.series.items():
        title = told.table.get("series", {}).get(key)
        if title and points:
            columns = list(dict.fromkeys(name for point in points for name in point))
            rows = [[cell(told, point[name]) if name in point else "—" for name in columns] for point in points]
            found.append(Listed(told.fill(title), [_head(told, name) for name in columns], rows))
    return found


def series_blocks(told: "Told") -> list[list[str]]:
    """The lists as blocks of lines for a terminal, titles first."""
    return [[one.title.upper(), *_table([one.heads, *one.rows])] for one in lists(told)]


def cell(told: "Told", value: Quantity | str) -> str:
    """A number with its unit; a word by the texts, a part by its subject, and what follows a word as it is."""
    if not isinstance(value, str):
        return told.words.numbers.show(value)
    if " part " in value:
        return told.words.subject(value)
    head, _, rest = value.partition(" ")
    words = told.table.get("words", {})
    known = words.get(value) or (f"{words[head]}, {rest}" if head in words else value)
    return told.fill(known)


def _head(told: "Told", name: str) -> str:
    """A short head of its own, or the label of the number up to its first comma."""
    label = told.table.get("columns", {}).get(name) or told.table.get("numbers", {}).get(name, name.replace("_", " "))
    return told.fill(str(label).partition(",")[0])


def _table(rows: list[list[str]]) -> list[str]:
    """Columns as wide as their widest cell; the first is cut where the line would pass the page."""
    widths = [max(len(row[k]) for row in rows) for k in range(len(rows[0]))]
    gap = "  " if sum(widths) + 2 * len(widths) <= WIDTH else " "
    widths[0] = min(widths[0], max(_LEAST, WIDTH - 1 - sum(widths[1:]) - len(gap) * len(widths)))
    return [
        "  " + gap.join([_fit(row[0], widths[0]), *(x.rjust(w) for x, w in zip(row[1:], widths[1:], strict=True))]).rstrip() for row in rows
    ]


def _fit(text: str, width: int) -> str:
    return (text if len(text) <= width else text[: width - 1] + "…").ljust(width)
