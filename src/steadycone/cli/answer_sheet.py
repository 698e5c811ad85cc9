"""A sheet of answers as somebody typed it."""

import sys
from pathlib import Path

from steadycone.errors import BadFile

_MOST_BYTES = 200_000


def read_sheet(file: Path) -> str:
    """Raises  BadFile: it can't be read, or is no answer sheet."""
    if str(file) == "-":
        return sys.stdin.read(_MOST_BYTES)
    try:
        data = file.read_bytes()
        if len(data) > _MOST_BYTES:
            raise BadFile("this is too large for an answer sheet", where=str(file), try_='One line a question: "1: B".')
        return data.decode("utf-8-sig")
    except OSError as error:
        raise BadFile(f"can't be read: {error.strerror or error}", where=str(file), try_="Check the name and your rights.") from error
    except UnicodeDecodeError as error:
        raise BadFile("this is no UTF-8 text", where=str(file), try_='One line a question: "1: B".') from error
