"""What is true now, derived from the events. Filled by a rebuild when the store is opened."""

from typing import Any

import sqlalchemy as sa
from alembic import op

revision, down_revision, branch_labels, depends_on = "0002", "0001", None, None

_KEY = sa.String(120).with_variant(sa.String(120, collation="C"), "postgresql")
_WHOLE = ("first", "last", "makeup_at", "longest_break")
_COLUMNS = {
    "items": "first last mark item gas type dates ratings note state reason incidents station place tests due_day due_why",
    "stations": (
        "first last name makeup makeup_at incidents cleared_by round round_state round_verdict sign_off signed_by signed_at valid_until "
        "longest_break ended ended_at"
    ),
    "people": "first last name grants",
    "defects": "first last says severity mark station found_by found_at closed_by closed_at how",
    "incidents": "first last station event says gate marks happened_at told_by cleared_by cleared_at",
    "cylinders": "first last mark gas place state contents moved_at",
}
_INDEXES = {
    "items": (("state", "due_day"), ("item", "key")),
    "defects": (("closed_at", "severity"),),
    "incidents": (("cleared_at",),),
}


def upgrade() -> None:
    op.create_table(
        "mentions",
        sa.Column("site_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("about", sa.String(10), nullable=False),
        sa.Column("key", _KEY, nullable=False),
        sa.Column("sequence", sa.BigInteger(), autoincrement=False, nullable=False),
        sa.PrimaryKeyConstraint("site_id", "about", "key", "sequence", name="pk_mentions"),
        sqlite_with_rowid=False,
    )
    for table, columns in _COLUMNS.items():
        op.create_table(
            table,
            sa.Column("site_id", sa.Integer(), autoincrement=False, nullable=False),
            sa.Column("key", _KEY, nullable=False),
            *(_column(name) for name in columns.split()),
            sa.PrimaryKeyConstraint("site_id", "key", name=f"pk_{table}"),
        )
        for names in _INDEXES.get(table, ()):
            op.create_index(f"ix_{table}_site_id_{'_'.join(names)}", table, ["site_id", *names])


def _column(name: str) -> "sa.Column[Any]":
    kind: Any = sa.BigInteger() if name in _WHOLE else sa.Integer() if name == "due_day" else sa.Text()
    return sa.Column(name, kind, nullable=False)


def downgrade() -> None:
    for table in (*reversed(_COLUMNS), "mentions"):
        op.drop_table(table)
