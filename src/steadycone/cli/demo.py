"""`steadycone demo`: the card of an invented station that comes with the program."""

from pathlib import Path

import click

from steadycone.cli import card
from steadycone.data.reader import FOLDER

STATION = FOLDER / "demo" / "slip-2.toml"


@click.command(
    "demo", help="The card of an invented station, to see what one looks like.", epilog="Example: steadycone demo --html card.html"
)
@card.on_option
@card.json_option
@card.html_option
@card.pdf_option
@card.all_option
@click.option("--copy", type=card.FILE, metavar="FOLDER", help="Copy its station, chart and policy files here, to start from.")
def demo(on: str | None, as_json: bool, html: Path | None, pdf: Path | None, whole: bool, copy: Path | None) -> int:
    if copy is not None:
        copy_to(copy)
    return card.make(STATION, on, as_json, html, pdf, whole)


def copy_to(folder: Path) -> None:
    """The demo's files into a folder that exists; nothing there is written over.

    Raises  BadFile.
    """
    from steadycone.cli.write import check_target, write_whole
    from steadycone.errors import BadFile

    home = STATION.parent
    found = sorted(path for path in home.rglob("*") if path.is_file())
    check_target(folder / STATION.name)
    for path in found:
        if (folder / path.relative_to(home)).exists():
            raise BadFile("is there already", where=str(folder / path.relative_to(home)), try_="Copy into another folder.")
    for path in found:
        target = folder / path.relative_to(home)
        target.parent.mkdir(exist_ok=True)
        write_whole(target, path.read_bytes())
