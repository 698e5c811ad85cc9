"""`steadycone chart check` and `show`: a maker's tip chart, doubted and as read."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from steadycone.cli.errors import STOP

if TYPE_CHECKING:
    from steadycone.station.chart import Chart

file_argument = click.argument("file", type=click.Path(path_type=Path))
region_option = click.option(
    "--region", default="uk", show_default=True, help="Whose words, units and acetylene cap: uk, eu, us, ca, au or nz."
)


@click.group("chart", help="A maker's tip chart: CSV, XLSX or ODS.")
def chart() -> None: ...


@chart.command(
    "check", help="What in a chart can't be right.", epilog="Example: steadycone chart check acetylene.csv. Exit code 3: in doubt."
)
@file_argument
@region_option
@click.option("--json", "as_json", is_flag=True, help="Write JSON.")
def check(file: Path, region: str, as_json: bool) -> int:
    from steadycone.files.chart_doubts import chart_doubts
    from steadycone.render.words import Words

    found = read(file)
    findings = chart_doubts(found, region)
    words = Words.of(region)
    if as_json:
        import json

        told = [
            {
                "code": f.code,
                "verdict": f.verdict,
                "subject": f.subject,
                "says": words.says(f),
                "remedy": words.remedy(f),
                "source": list(f.sources),
            }
            for f in findings
        ]
        sys.stdout.write(json.dumps({"chart": found.name, "rows": len(found.rows), "findings": told}, ensure_ascii=False, indent=2) + "\n")
    else:
        _tell(found, [f"{f.subject}: {words.says(f)} {words.remedy(f)}" for f in findings])
    return STOP if findings else 0


def read(file: Path) -> "Chart":
    """Raises InputError."""
    from steadycone.files.chart import chart_from_bytes
    from steadycone.files.text import CHART_LIMIT, read_bytes

    return chart_from_bytes(file.name, read_bytes(file, CHART_LIMIT, "chart"))


def _tell(chart: "Chart", doubts: list[str]) -> None:
    from steadycone.render.text import wrapped

    rows = f"{len(chart.rows)} row{'s' if len(chart.rows) != 1 else ''}"
    sys.stdout.write(f"{chart.name}: {rows}, basis {chart.basis or 'not stated'}\n")
    if not doubts:
        sys.stdout.write("Nothing in it contradicts itself. The maker's own paper still rules.\n")
    for doubt in doubts:
        sys.stdout.write("\n".join(wrapped(doubt, "[ ! ]  ")) + "\n")


@chart.command("show", help="A chart as it was read.", epilog="Example: steadycone chart show acetylene.csv --region us")
@file_argument
@region_option
def show(file: Path, region: str) -> None:
    from steadycone.render.chart_table import chart_table

    sys.stdout.write(chart_table(read(file), region))
