"""`steadycone whatif`: a fault that nobody may show live, worked out on one station, as text, JSON, drawing and page."""

import sys
from pathlib import Path

import click

from steadycone.cli.card import FILE, day, json_option, on_option
from steadycone.cli.pairs import read_pairs
from steadycone.cli.write import check_target, write_whole

_HELP = (
    "What happens when: NAME on the station of a file, with setting=value pairs. Without NAME: the names. Without STATION: its settings."
)
_EPILOG = "Example: steadycone whatif blocked-tip slip-2.toml far_end=empty check_valve=none --svg blocked.svg"


@click.command("whatif", help=_HELP, epilog=_EPILOG)
@click.argument("name", required=False)
@click.argument("station", required=False, type=FILE)
@click.argument("pairs", nargs=-1, metavar="[SETTING=VALUE]...")
@on_option
@json_option
@click.option("--svg", type=FILE, metavar="FILE", help="Write the drawing, a strip of frames, to this file.")
@click.option("--html", type=FILE, metavar="FILE", help="Write the page, with the drawing moving once, to this file.")
def whatif_command(
    name: str | None, station: Path | None, pairs: tuple[str, ...], on: str | None, as_json: bool, svg: Path | None, html: Path | None
) -> None:
    if name is None:
        _list()
    elif station is None:
        _describe(name)
    else:
        _answer(name, station, pairs, on, as_json, svg, html)


def _answer(name: str, station: Path, pairs: tuple[str, ...], on: str | None, as_json: bool, svg: Path | None, html: Path | None) -> None:
    for target in (svg, html):
        if target:
            check_target(target)
    from steadycone.card.make import make_card
    from steadycone.files.read import read_setup
    from steadycone.render.whatif import whatif_dict, whatif_text
    from steadycone.whatif.run import answer, read

    given = read_pairs(pairs, command="whatif", what="setting", example="Write for example far_end=empty.")
    read(name, given)  # before the station: a slip in the line is told first
    text = sys.stdin.read() if str(station) == "-" else None
    card = make_card(read_setup(station, text=text), day(on))
    outcome = answer(name, card, given)
    if svg:
        from steadycone.render.whatif_svg import strip_svg

        write_whole(svg, strip_svg(outcome, card).encode())
    if html:
        from steadycone.render.whatif_page import whatif_page

        write_whole(html, whatif_page(outcome, card).encode())
    if as_json:
        import json

        told = whatif_dict(outcome, card.figures, given)
        sys.stdout.write(json.dumps(told, ensure_ascii=False, allow_nan=False, indent=1) + "\n")
    else:
        sys.stdout.write(whatif_text(outcome, card.figures))


def _list() -> None:
    from steadycone.whatif.run import kind_of, names

    for name in names():
        sys.stdout.write(f"{name:<16}{(kind_of(name).__doc__ or '').strip().splitlines()[0]}\n")


def _describe(name: str) -> None:
    """What a what-if can be told, a line each."""
    from steadycone.render.text import wrapped
    from steadycone.whatif.run import describe, kind_of

    sys.stdout.write(f"{name}: {(kind_of(name).__doc__ or '').strip().splitlines()[0]}\n")
    for setting in describe(name):
        default = f"; {setting.default} if left out" if setting.default is not None else "; may be left out"
        told = f"{setting.help} ({setting.kind}, such as {setting.example}{default})"
        sys.stdout.write("\n".join(wrapped(told, f"  {setting.name:<16}")) + "\n")
