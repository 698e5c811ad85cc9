"""Whether a password was given by somebody else, and so is to be changed before it is good for anything."""

import sqlalchemy as sa
from alembic import op

revision, down_revision, branch_labels, depends_on = "0006", "0005", None, None


def upgrade() -> None:
    """Nobody knows of the passwords that are there who made them: they stay as they are."""
    op.add_column("accounts", sa.Column("starting", sa.Boolean(), nullable=False, server_default=sa.false()))


def downgrade() -> None:
    op.drop_column("accounts", "starting")
