"""`steadycone triage`: from what was heard and seen to the event, what to do first, causes, and the gate back to service."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from steadycone.cli.card import FILE, day, json_option, on_option

if TYPE_CHECKING:
    from steadycone.card.card import Card
    from steadycone.procedures.triage import Triage

_HELP = "What a bang, a squeal or a moving gauge means, from what was heard and seen. In an emergency: steadycone emergency."
_EPILOG = 'Example: steadycone triage --saw "whistle, hot handle" --station slip-2.toml. Without --saw it asks.'
_PROMPT = "What was heard, seen, felt or smelt? (commas between; Enter alone ends)"


@click.command("triage", help=_HELP, epilog=_EPILOG)
@click.option("--saw", multiple=True, help='Plain words, commas between: "whistle, hot handle". May be repeated.')
@click.option("--station", type=FILE, metavar="FILE", help="The station file: ranks the causes and fills in its numbers.")
@click.option("--region", help="uk, eu, us, ca, au or nz; the station's own if left out.")
@on_option
@json_option
def triage_command(saw: tuple[str, ...], station: Path | None, region: str | None, on: str | None, as_json: bool) -> None:
    from steadycone.procedures.triage import triage

    card = _card(station, on) if station else None
    where = region or (card.figures.setup.station.station.region if card else "uk")
    if not saw and not as_json:
        _asked(card, where)
        return
    _write(triage(list(saw), card, where), where, as_json)


def _card(station: Path, on: str | None) -> "Card":
    from steadycone.card.make import make_card
    from steadycone.files.read import read_setup

    text = sys.stdin.read() if str(station) == "-" else None
    return make_card(read_setup(station, text=text), day(on))


def _write(found: "Triage", region: str, as_json: bool) -> None:
    from steadycone.render.triage import triage_dict, triage_text

    if as_json:
        import json

        sys.stdout.write(json.dumps(triage_dict(found, region), ensure_ascii=False, allow_nan=False, indent=1) + "\n")
    else:
        sys.stdout.write(triage_text(found, region))


def _asked(card: "Card | None", region: str) -> None:
    """Asks a person, adds each answer to those before, and ends at an empty one."""
    from steadycone.procedures.triage import triage

    said: list[str] = []
    while answer := click.prompt(_PROMPT, default="", show_default=False).strip():
        said.append(answer)
        _write(triage(said, card, region), region, as_json=False)
