"""Triggers that let nobody change or remove a row of the log by a slip. Who owns the database can drop them; `log verify` then tells."""

from alembic import op

_SAYS = "the log is added to, never changed"


def guard(table: str) -> None:
    """Forbid UPDATE, DELETE and TRUNCATE."""
    if op.get_bind().dialect.name == "sqlite":
        for act in ("update", "delete"):
            op.execute(f"CREATE TRIGGER {table}_no_{act} BEFORE {act.upper()} ON {table} BEGIN SELECT RAISE(ABORT, '{_SAYS}'); END")
        return
    op.execute(
        "CREATE OR REPLACE FUNCTION steadycone_append_only() RETURNS trigger LANGUAGE plpgsql AS "
        f"$$ BEGIN RAISE EXCEPTION '{_SAYS}' USING ERRCODE = 'restrict_violation'; END $$"
    )
    op.execute(
        f"CREATE TRIGGER {table}_no_change BEFORE UPDATE OR DELETE ON {table} FOR EACH ROW EXECUTE FUNCTION steadycone_append_only()"
    )
    op.execute(f"CREATE TRIGGER {table}_no_truncate BEFORE TRUNCATE ON {table} EXECUTE FUNCTION steadycone_append_only()")


def unguard(table: str) -> None:
    """Take the triggers off again."""
    if op.get_bind().dialect.name == "sqlite":
        for act in ("update", "delete"):
            op.execute(f"DROP TRIGGER {table}_no_{act}")
        return
    for act in ("change", "truncate"):
        op.execute(f"DROP TRIGGER {table}_no_{act} ON {table}")
