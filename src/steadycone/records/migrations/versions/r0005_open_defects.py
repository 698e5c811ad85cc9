"""Open defects beside the item or the station they are of, and the day an item's age stops it: one row answers whether it may be used."""

from typing import Any

import sqlalchemy as sa
from alembic import op

revision, down_revision, branch_labels, depends_on = "0005", "0004", None, None

_KEY = sa.String(120).with_variant(sa.String(120, collation="C"), "postgresql")
_WHOLE = ("first", "last", "makeup_at", "longest_break")
_OLD = {
    "items": "first last mark item gas type dates ratings note state reason incidents station place tests due_day due_why",
    "stations": (
        "first last name makeup makeup_at incidents cleared_by round round_state round_verdict round_papers sign_off signed_by signed_at "
        "valid_until longest_break ended ended_at file text papers filed_at filed_by retired"
    ),
}
_NEW = {table: columns.replace(" incidents ", " incidents defects ") for table, columns in _OLD.items()}
_NEW["items"] += " stop_day"


def upgrade() -> None:
    _made_anew(_NEW)  # derived: the rebuild that follows fills them


def downgrade() -> None:
    _made_anew(_OLD)
    op.execute("UPDATE meta SET value = '0' WHERE name = 'derived'")


def _made_anew(tables: dict[str, str]) -> None:
    for table, columns in tables.items():
        op.drop_table(table)
        op.create_table(
            table,
            sa.Column("site_id", sa.Integer(), autoincrement=False, nullable=False),
            sa.Column("key", _KEY, nullable=False),
            *(_column(name) for name in columns.split()),
            sa.PrimaryKeyConstraint("site_id", "key", name=f"pk_{table}"),
        )
    for names in (("state", "due_day"), ("item", "key")):
        op.create_index(f"ix_items_site_id_{'_'.join(names)}", "items", ["site_id", *names])


def _column(name: str) -> "sa.Column[Any]":
    kind: Any = sa.BigInteger() if name in _WHOLE else sa.Integer() if name in ("due_day", "stop_day") else sa.Text()
    return sa.Column(name, kind, nullable=False)
