"""A table for a terminal: columns as wide as what stands in them, the last one free."""

from collections.abc import Sequence


def text_table(headings: Sequence[str], rows: Sequence[Sequence[str]], lead: str = "") -> str:
    """Lines with their line breaks; nothing a terminal would obey comes through."""
    cells = [[plain(cell) for cell in row] for row in [headings, *rows]]
    wide = [max(len(row[column]) for row in cells) for column in range(len(headings))]
    lines = [lead + "  ".join(cell.ljust(width) for cell, width in zip(row, wide, strict=True)).rstrip() for row in cells]
    return "\n".join(lines) + "\n"


def plain(text: str) -> str:
    """Nothing that a terminal would obey."""
    return "".join(letter if letter.isprintable() else " " for letter in text)
