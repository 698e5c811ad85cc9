"""TOML text to a table, with the line and column of what is wrong."""

import re
import tomllib
from typing import Any

from steadycone.errors import BadFile

_PLACE = re.compile(r"\s*\(at line (\d+), column (\d+)\)|\s*\(at end of document\)")


def table_from(text: str, file: str, what: str, format_name: str) -> dict[str, Any]:
    """The whole file as one table whose `format` is the expected one.

    Raises  BadFile: empty, no TOML, or of another format.
    """
    if not text.strip():
        raise BadFile("this file is empty", where=file, try_=f'Start it with format = "{format_name}".')
    try:
        table = tomllib.loads(text)
    except RecursionError as error:
        raise BadFile("tables inside tables without end", where=file, try_=f"Check that this is a {what} file.") from error
    except ValueError as error:  # TOMLDecodeError, or a number of thousands of digits
        raise _syntax(str(error), text, file) from error
    _check_format(table.get("format"), file, what, format_name)
    return table


def _syntax(message: str, text: str, file: str) -> BadFile:
    found = _PLACE.search(message)
    where, line = file, ""
    if found and not found[1]:
        where = f"{file}, line {text.count(chr(10)) + 1}, the end of the file".removeprefix(", ")
    if found and found[1]:
        where = f"{file}, line {found[1]}, column {found[2]}" if file else f"line {found[1]}, column {found[2]}"
        line = text.splitlines()[int(found[1]) - 1].strip()[:60] if int(found[1]) <= len(text.splitlines()) else ""
    reason = _PLACE.sub("", message)[:120]
    says = f"not TOML: {reason}" + (f", in: {line}" if line else "")
    if "overwrite" in reason or "twice" in reason or "already" in reason:
        return BadFile(
            says, where=where, try_="A name stands here a second time: keep one; a list of parts has two brackets, [[oxygen.part]]."
        )
    if "Exceeds the limit" in reason:
        return BadFile("a number of thousands of digits", where=where, try_='Write values as text with a unit, such as "3.5 bar".')
    return BadFile(says, where=where, try_='Write name = "value with unit", text in quotes, one a line.')


def _check_format(given: object, file: str, what: str, format_name: str) -> None:
    if given == format_name:
        return
    where = f"{file}, format" if file else "format"
    if given is None:
        raise BadFile("missing, and needed here", where=where, try_=f'Start the file with format = "{format_name}".')
    name, _, number = str(given)[:60].partition("/")
    if name == format_name.partition("/")[0]:
        raise BadFile(f'"{name}/{number}" is not a number this program reads', where=where, try_=f'It reads format = "{format_name}".')
    raise BadFile(f'"{str(given)[:60]}" is not a {what} file', where=where, try_=f'A {what} file starts with format = "{format_name}".')
