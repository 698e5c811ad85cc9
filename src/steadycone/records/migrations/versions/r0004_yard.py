"""Stations' files, charts and policies among what is true now; accounts and drafts of rounds beside the log."""

from typing import Any

import sqlalchemy as sa
from alembic import op

revision, down_revision, branch_labels, depends_on = "0004", "0003", None, None

_KEY = sa.String(120).with_variant(sa.String(120, collation="C"), "postgresql")
_WHOLE = ("first", "last", "makeup_at", "longest_break")
_OLD = (
    "first last name makeup makeup_at incidents cleared_by round round_state round_verdict sign_off signed_by signed_at valid_until "
    "longest_break ended ended_at"
)
_NEW = (
    "first last name makeup makeup_at incidents cleared_by round round_state round_verdict round_papers sign_off signed_by signed_at "
    "valid_until longest_break ended ended_at file text papers filed_at filed_by retired"
)
_PAPERS = "first last name what hash filed_at filed_by stations"
_BESIDE = ("drafts", "settings", "attempts", "sessions", "accounts")


def upgrade() -> None:
    op.drop_table("stations")  # derived: the rebuild that follows fills it
    _derived("stations", _NEW)
    _derived("papers", _PAPERS)
    op.create_table(
        "accounts",
        sa.Column("key", _KEY, nullable=False),
        sa.Column("person", sa.String(120), nullable=False),
        sa.Column("password", sa.Text(), nullable=False),
        sa.Column("created_at", sa.String(27), nullable=False),
        sa.Column("changed_at", sa.String(27), nullable=False),
        sa.Column("disabled", sa.Boolean(), nullable=False),
        sa.PrimaryKeyConstraint("key", name="pk_accounts"),
    )
    op.create_table(
        "sessions",
        sa.Column("token", sa.String(64), nullable=False),
        sa.Column("before", sa.String(64), nullable=False),
        sa.Column("account", _KEY, nullable=False),
        sa.Column("secret", sa.String(64), nullable=False),
        sa.Column("began_at", sa.String(27), nullable=False),
        sa.Column("seen_at", sa.String(27), nullable=False),
        sa.Column("token_at", sa.String(27), nullable=False),
        sa.Column("ends_at", sa.String(27), nullable=False),
        sa.ForeignKeyConstraint(["account"], ["accounts.key"], name="fk_sessions_account_accounts"),
        sa.PrimaryKeyConstraint("token", name="pk_sessions"),
    )
    op.create_index("ix_sessions_before", "sessions", ["before"])
    op.create_index("ix_sessions_account", "sessions", ["account"])
    op.create_index("ix_sessions_ends_at", "sessions", ["ends_at"])
    op.create_table(
        "attempts",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(64), nullable=False),
        sa.Column("at", sa.String(27), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_attempts"),
    )
    op.create_index("ix_attempts_key_at", "attempts", ["key", "at"])
    op.create_table(
        "settings",
        sa.Column("name", sa.String(40), nullable=False),
        sa.Column("value", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("name", name="pk_settings"),
    )
    _drafts()


def _drafts() -> None:
    texts = ["hashes", "plan", "answers", "waiting", "problem"]
    lengths = {
        "station": 120, "file": 120, "hashes": 0, "on": 10, "digest": 64, "plan": 0, "answers": 0, "waiting": 0, "author": 120, "state": 10,
        "event": 64, "problem": 0, "created_at": 27, "updated_at": 27,
    }  # fmt: skip
    op.create_table(
        "drafts",
        sa.Column("site_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("id", sa.String(64), nullable=False),
        *(sa.Column(name, sa.Text() if name in texts else sa.String(long), nullable=False) for name, long in lengths.items()),
        sa.ForeignKeyConstraint(["site_id"], ["sites.id"], name="fk_drafts_site_id_sites"),
        sa.PrimaryKeyConstraint("site_id", "id", name="pk_drafts"),
    )
    op.create_index("ix_drafts_site_id_state_updated_at", "drafts", ["site_id", "state", "updated_at"])


def _derived(table: str, columns: str) -> None:
    op.create_table(
        table,
        sa.Column("site_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("key", _KEY, nullable=False),
        *(_column(name) for name in columns.split()),
        sa.PrimaryKeyConstraint("site_id", "key", name=f"pk_{table}"),
    )


def _column(name: str) -> "sa.Column[Any]":
    return sa.Column(name, sa.BigInteger() if name in _WHOLE else sa.Text(), nullable=False)


def downgrade() -> None:
    """What stood in the tables beside the log is gone then."""
    for table in (*_BESIDE, "papers", "stations"):
        op.drop_table(table)
    _derived("stations", _OLD)
    op.execute("UPDATE meta SET value = '0' WHERE name = 'derived'")
