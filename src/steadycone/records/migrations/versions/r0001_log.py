"""The log: sites, events, the tree's nodes."""

import sqlalchemy as sa
from alembic import op

from steadycone.records.migrations.guards import guard, unguard

revision, down_revision, branch_labels, depends_on = "0001", None, None, None


def upgrade() -> None:
    meta = op.create_table(
        "meta",
        sa.Column("name", sa.String(40), nullable=False),
        sa.Column("value", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("name", name="pk_meta"),
    )
    op.bulk_insert(meta, [{"name": "derived", "value": "0"}])
    op.create_table(
        "sites",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(120), nullable=False),
        sa.Column("log", sa.String(64), nullable=False),
        sa.Column("public_key", sa.String(64), nullable=False),
        sa.Column("size", sa.BigInteger(), nullable=False),
        sa.Column("frontier", sa.LargeBinary(), nullable=False),
        sa.Column("root", sa.LargeBinary(), nullable=False),
        sa.Column("last_at", sa.String(27), nullable=False),
        sa.Column("signature", sa.LargeBinary(), nullable=False),
        sa.Column("policy", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_sites"),
        sa.UniqueConstraint("name", name="uq_sites_name"),
    )
    op.create_table(
        "events",
        sa.Column("site_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("sequence", sa.BigInteger(), autoincrement=False, nullable=False),
        sa.Column("id", sa.String(64), nullable=False),
        sa.Column("kind", sa.String(40), nullable=False),
        sa.Column("recorded_at", sa.String(27), nullable=False),
        sa.Column("happened_at", sa.String(27), nullable=False),
        sa.Column("author", sa.String(120), nullable=False),
        sa.Column("leaf", sa.Text(), nullable=False),
        sa.Column("hash", sa.LargeBinary(), nullable=False),
        sa.Column("signature", sa.LargeBinary(), nullable=True),
        sa.ForeignKeyConstraint(["site_id"], ["sites.id"], name="fk_events_site_id_sites"),
        sa.PrimaryKeyConstraint("site_id", "sequence", name="pk_events"),
    )
    op.create_index("ix_events_site_id_id", "events", ["site_id", "id"], unique=True)
    op.create_index("ix_events_site_id_kind_sequence", "events", ["site_id", "kind", "sequence"])
    op.create_table(
        "nodes",
        sa.Column("site_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("level", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("position", sa.BigInteger(), autoincrement=False, nullable=False),
        sa.Column("hash", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(["site_id"], ["sites.id"], name="fk_nodes_site_id_sites"),
        sa.PrimaryKeyConstraint("site_id", "level", "position", name="pk_nodes"),
    )
    guard("events")
    guard("nodes")


def downgrade() -> None:
    for table in ("nodes", "events"):
        unguard(table)
        op.drop_table(table)
    op.drop_table("sites")
    op.drop_table("meta")
