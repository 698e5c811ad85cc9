"""`steadycone refuel`: what a change of fuel asks of a station, with its numbers before and after."""

import sys
from pathlib import Path

import click

from steadycone.cli.card import FILE, day, json_option, on_option

_HELP = "Change of fuel: what must be changed on a station, what may stay and why, with its numbers before and after."
_EPILOG = "Example: steadycone refuel slip-2.toml --to propane --chart demo-propane-cutting.csv"


@click.command("refuel", help=_HELP, epilog=_EPILOG)
@click.argument("file", type=FILE)
@click.option(
    "--to", required=True, metavar="FUEL", help="acetylene, propane, butane, propylene, mps, methane, hydrogen, lpg or natural gas."
)
@click.option("--chart", type=FILE, metavar="FILE", help="The new tip's chart; without it, no settings after.")
@click.option("--size", help="The new tip's size, where the job's thickness does not choose it.")
@on_option
@json_option
def refuel_command(file: Path, to: str, chart: Path | None, size: str | None, on: str | None, as_json: bool) -> None:
    from steadycone.card.refuel import refuel
    from steadycone.files.chart import chart_from_bytes
    from steadycone.files.read import read_setup
    from steadycone.files.text import CHART_LIMIT, read_bytes
    from steadycone.render.refuel import refuel_dict, refuel_text

    text = sys.stdin.read() if str(file) == "-" else None
    setup = read_setup(file, text=text)
    new_chart = chart_from_bytes(chart.name, read_bytes(chart, CHART_LIMIT, "chart")) if chart else None
    found = refuel(setup, to, day(on), new_chart, size)
    region = setup.station.station.region
    if as_json:
        import json

        sys.stdout.write(json.dumps(refuel_dict(found, region), ensure_ascii=False, allow_nan=False, indent=1) + "\n")
    else:
        sys.stdout.write(refuel_text(found, region))
