"""Tables as CSV for sheet programs. A cell that one of them would run as a formula is written as text."""

import csv
import io
from collections.abc import Iterable, Sequence

_FORMULA = ("=", "+", "-", "@", "\t", "\r")
BYTE_ORDER_MARK = "\ufeff"  # without it sheet programs read UTF-8 as something else


def csv_bytes(headings: Sequence[str], rows: Iterable[Sequence[str]]) -> bytes:
    """UTF-8 with commas. Line breaks in a cell become blanks; a cell that begins like a formula gets an apostrophe before it."""
    out = io.StringIO()
    out.write(BYTE_ORDER_MARK)
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([harmless(cell) for cell in headings])
    writer.writerows([harmless(cell) for cell in row] for row in rows)
    return out.getvalue().encode("utf-8", "replace")


def harmless(cell: str) -> str:
    """The cell as no sheet program runs it."""
    plain = " ".join(cell.split())
    return f"'{plain}" if cell.startswith(_FORMULA) or plain.startswith(_FORMULA) else plain
