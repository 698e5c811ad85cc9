"""`steadycone card`: one station file to its set-up card, as text, JSON, HTML and PDF."""

import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from steadycone.cli.errors import STOP
from steadycone.cli.write import check_target, write_whole
from steadycone.errors import BadUnit

if TYPE_CHECKING:
    from steadycone.card.card import Card
    from steadycone.render.model import View
    from steadycone.station.setup import Setup

FILE = click.Path(path_type=Path)
on_option = click.option("--on", metavar="DATE", help="The day the card is for, such as 2026-11-25; today if left out.")
json_option = click.option("--json", "as_json", is_flag=True, help="Write JSON to stdout, and nothing else.")
html_option = click.option("--html", type=FILE, metavar="FILE", help="Write the page to this file.")
pdf_option = click.option("--pdf", type=FILE, metavar="FILE", help="Write the printed card to this file.")
all_option = click.option("--all", "whole", is_flag=True, help="On the screen, print every figure, step and source.")
_EPILOG = "Example: steadycone card slip-2.toml --pdf card.pdf. Exit code: 0 go or caution, 3 stop, 2 bad input."


@click.command("card", help="The set-up card of a station file; - reads it from standard input.", epilog=_EPILOG)
@click.argument("file", type=FILE)
@on_option
@json_option
@html_option
@pdf_option
@all_option
@click.option("--store", metavar="PATH-OR-URL", help="Lay what these records hold against the station over its card.")
@click.option("--site", metavar="NAME", help="Which site of the records; needed where they hold several.")
def card(
    file: Path, on: str | None, as_json: bool, html: Path | None, pdf: Path | None, whole: bool, store: str | None, site: str | None
) -> int:  # fmt: skip
    return make(file, on, as_json, html, pdf, whole, store, site)


def make(
    file: Path, on: str | None, as_json: bool, html: Path | None, pdf: Path | None, whole: bool, store: str | None = None,
    site: str | None = None,
) -> int:  # fmt: skip
    """Read, judge, write; gives the exit code. Targets are looked at before any work, files written before anything is shown."""
    for target in (html, pdf):
        if target:
            check_target(target)
    from steadycone.card.make import make_card
    from steadycone.files.read import read_setup
    from steadycone.render.json_card import card_bytes, card_dict

    text = sys.stdin.read() if str(file) == "-" else None
    setup = read_setup(file, text=text)
    made = make_card(setup, day(on)) if store is None else _held(setup, day(on), store, site)
    told = card_dict(made)
    if html or pdf or not as_json:
        view = _pages(made, told, html, pdf)
        if not as_json:
            from steadycone.render.text import short_card, text_card

            sys.stdout.write(text_card(view) if whole else short_card(view))
    if as_json:
        sys.stdout.buffer.write(card_bytes(told))
    return STOP if made.verdict == "stop" else 0


def _held(setup: "Setup", on: date, store: str, site: str | None) -> "Card":
    """The card with what the records hold against the station of that name. Raises UnknownName: they know no such station."""
    from steadycone.cli.desk import open_site
    from steadycone.records.held import held

    with open_site(store, site) as found:
        return held(found, setup.station.station.name).card(setup, on)


def _pages(made: "Card", told: dict[str, object], html: Path | None, pdf: Path | None) -> "View":
    from steadycone.render.view import view_of

    view = view_of(made, told)
    results = []
    if html:
        from steadycone.render.html_card import html_card

        results.append((html, html_card(view).encode()))
    if pdf:
        from steadycone.render.pdf_card import pdf_card

        results.append((pdf, pdf_card(view)))
    for target, data in results:
        write_whole(target, data)
    return view


def day(text: str | None) -> date:
    """The date asked for; the clock is read here and nowhere below.

    Raises  BadUnit.
    """
    if text is None:
        return date.today()
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise BadUnit(f'"{text[:40]}" is not a date', where="--on", try_="Write year, month and day: 2026-11-25.") from error
