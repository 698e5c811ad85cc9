"""`steadycone calc`: one worksheet, or a file of cases."""

import sys
from typing import TYPE_CHECKING

import click

from steadycone.cli.errors import BAD_INPUT
from steadycone.cli.pairs import read_pairs
from steadycone.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Iterator

    from steadycone.worksheets.declare import Answer

_EPILOG = 'Example: steadycone calc hose gas=oxygen bore="6.3 mm" length="20 m" flow="4 m3/h" outlet="3 bar". Names: steadycone calc.'


@click.command("calc", help="A single sum: NAME and key=value pairs, values with their unit.", epilog=_EPILOG)
@click.argument("name", required=False)
@click.argument("pairs", nargs=-1, metavar="[KEY=VALUE]...")
@click.option("--json", "as_json", is_flag=True, help="Write one flat JSON object.")
@click.option("--region", default="uk", show_default=True, help="Whose words and units a person reads: uk, eu, us, ca, au or nz.")
@click.option("--cases", metavar="FILE", help="JSON lines in, JSON lines out; - for standard input.")
def calc(name: str | None, pairs: tuple[str, ...], as_json: bool, region: str, cases: str | None) -> int:
    if cases is not None:
        if name:
            raise InputError("a name and --cases", where="calc", try_='Put the name in each case: {"calc": "hose", …}.')
        return run_cases(cases)
    if name is None:
        _list()
    elif not pairs:
        _describe(name)
    else:
        _answer(name, read_pairs(pairs, command="calc", what="key", example='Write for example bore="6.3 mm", quoted.'), as_json, region)
    return 0


def _answer(name: str, pairs: dict[str, str], as_json: bool, region: str) -> None:
    from steadycone.worksheets.run import answer

    found = answer(name, pairs)
    if as_json:
        import json

        sys.stdout.write(json.dumps(found, ensure_ascii=False, allow_nan=False) + "\n")
        return
    for line in _told(found, region):
        sys.stdout.write(line + "\n")


def _told(found: "Answer", region: str) -> "Iterator[str]":
    """The answer as a person reads it: what each number is, its band, then the verdict and why. The plain keys are --json's."""
    from steadycone.cli.desk import MARKS
    from steadycone.render.table import plain
    from steadycone.render.text import wrapped
    from steadycone.render.words import Words
    from steadycone.render.worksheet import flat, told_answer

    if "unit" in found:  # a conversion: every figure of it
        yield f"{flat(found['value'])} {found['unit']}"
        return
    told = told_answer(found, Words.of(region))
    wide = max((len(row.says) for row in told.rows), default=0)
    for row in told.rows:
        band = f"  ({row.low} to {row.high})" if row.low or row.high else ""
        yield from wrapped(plain(row.value + band), f"{row.says:<{wide}}  ")
    for number, says in enumerate(told.says):
        yield from wrapped(plain(says), f"{MARKS[told.verdict]} " if told.verdict and not number else "")


def run_cases(name: str) -> int:
    """Answers to stdout, one line a case, in order; 2 when any of them is an error."""
    from steadycone.worksheets.run import cases

    failed = False
    if name == "-":
        failed = _write_cases(cases(sys.stdin))
    else:
        from steadycone.errors import BadFile

        try:
            with open(name, encoding="utf-8") as lines:
                failed = _write_cases(cases(lines))
        except UnicodeDecodeError as error:
            raise BadFile("not UTF-8 text", where=name, try_="Save it as UTF-8.") from error
        except OSError as error:
            if isinstance(error, BrokenPipeError):
                raise
            raise BadFile(f"can't be read: {error.strerror or error}", where=name, try_="Check the name.") from error
    return BAD_INPUT if failed else 0


def _write_cases(answers: "Iterator[str]") -> bool:
    failed = False
    for line in answers:
        failed = failed or line.startswith('{"error"')
        sys.stdout.write(line + "\n")
    return failed


def _list() -> None:
    from steadycone.worksheets.run import names, sheet

    for name in names():
        about = (sheet(name).__doc__ or "").strip().splitlines()[0]
        sys.stdout.write(f"{name:<14}{about}\n")


def _describe(name: str) -> None:
    """What a worksheet takes, a line each."""
    from steadycone.render.text import wrapped
    from steadycone.worksheets.run import describe, sheet

    sys.stdout.write(f"{name}: {(sheet(name).__doc__ or '').strip().splitlines()[0]}\n")
    for field in describe(name):
        default = f"; {field.default} if left out" if field.default is not None else "" if field.needed else "; may be left out"
        told = f"{field.help} ({field.kind}, such as {field.example}{default})"
        sys.stdout.write("\n".join(wrapped(told, f"  {field.name:<20}")) + "\n")
