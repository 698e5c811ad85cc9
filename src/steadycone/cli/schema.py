"""`steadycone schema`: what files hold, for editors and for other programs."""

import sys
from typing import Any

import click


@click.command(
    "schema",
    help="The JSON Schema of a file: station, card, chart, policy or round.",
    epilog="Example: steadycone schema card > card.schema.json",
)
@click.argument("what", type=click.Choice(["station", "card", "chart", "policy", "round"]))
def schema(what: str) -> None:
    import json

    sys.stdout.write(json.dumps(made(what), ensure_ascii=False, indent=2) + "\n")


def made(what: str) -> dict[str, Any]:
    """The schema as a table."""
    from steadycone.render import schema as schemas

    if what == "chart":
        return chart_schema()
    if what == "round":
        from steadycone.render.round_schema import round_schema

        return round_schema()
    return {"station": schemas.station_schema, "card": schemas.card_schema, "policy": schemas.policy_schema}[what]()


def chart_schema() -> dict[str, Any]:
    """A chart is a table: its columns and about-lines, as the reader knows them."""
    from steadycone.files.chart import ABOUT_KEYS
    from steadycone.files.columns import KINDS, RANGED

    columns: dict[str, Any] = {}
    for name, kind in KINDS.items():
        column = {"kind": kind.kind if kind else "name", "heading": name if kind is None else f"{name} [{kind.example.split()[-1]}]"}
        columns[name] = column
        if name in RANGED:
            columns |= {f"{name} {end}": column | {"heading": column["heading"].replace(name, f"{name} {end}")} for end in ("from", "to")}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "steadycone tip chart",
        "description": "CSV, XLSX or ODS. Header cells are a name and a unit in brackets; about-lines come first, as # key: value.",
        "type": "object",
        "properties": {
            "about": {"type": "object", "properties": {key: {"type": "string"} for key in ABOUT_KEYS}, "additionalProperties": False},
            "columns": {"type": "object", "properties": {name: {"type": "string", **told} for name, told in columns.items()}},
        },
    }
