"""Papers that go along with events, kept once each by their hash."""

import sqlalchemy as sa
from alembic import op

from steadycone.records.migrations.guards import guard, unguard

revision, down_revision, branch_labels, depends_on = "0003", "0002", None, None


def upgrade() -> None:
    op.create_table(
        "documents",
        sa.Column("hash", sa.String(71), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("hash", name="pk_documents"),
    )
    guard("documents")


def downgrade() -> None:
    unguard("documents")
    op.drop_table("documents")
