"""Draw the schema of the records into docs/records.md, from the tables themselves.

python -m tools.records_schema
"""

from pathlib import Path

from sqlalchemy import Table
from sqlalchemy.dialects import postgresql

from steadycone.records import tables

ROOT = Path(__file__).parent.parent
PAGE = ROOT / "docs" / "records.md"
BEGIN, END = "<!-- schema: drawn by make diagram -->", "<!-- schema ends -->"
_LOG = ("sites", "events", "nodes", "documents")


def diagram() -> str:
    """The schema as a mermaid diagram: every table, every column, what points where."""
    every = tables.metadata.tables
    lines = ["```mermaid", "erDiagram"]
    for name in sorted(every, key=lambda name: (_order(name), name)):
        lines += _table(every[name])
    for name in sorted(every):
        for key in sorted(every[name].foreign_keys, key=lambda key: key.parent.name):
            lines.append(f"    {key.column.table.name} ||--o{{ {name} : {key.parent.name}")
    lines.append("    events ||--o{ mentions : sequence")
    lines += [f"    events }}o--|| {table.name} : derives" for table in tables.derived.values()]
    return "\n".join([*lines, "```"])


def _order(name: str) -> int:
    return _LOG.index(name) if name in _LOG else len(_LOG)


def _table(table: Table) -> list[str]:
    lines = [f"    {table.name} {{"]
    for column in table.c:
        kind = column.type.compile(postgresql.dialect()).partition("(")[0].lower().replace(" ", "_")
        kind = {"utc": "utc", "json": "json"}.get(type(column.type).__name__.lower(), kind)
        mark = " PK" if column.primary_key else " FK" if column.foreign_keys else ""
        lines.append(f"        {kind.partition('_collate')[0]} {column.name}{mark}")
    return [*lines, "    }"]


def with_diagram(page: str) -> str:
    """The page with the diagram as it is now."""
    before, _, rest = page.partition(BEGIN)
    _, _, after = rest.partition(END)
    return f"{before}{BEGIN}\n{diagram()}\n{END}{after}"


if __name__ == "__main__":
    PAGE.write_text(with_diagram(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
    print(PAGE.relative_to(ROOT))
